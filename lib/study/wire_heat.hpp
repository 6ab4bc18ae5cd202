// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/state_circuit.hpp"
#include "study/wire_warmings.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// Conductor temperatures of all wires in one state, each at its hottest place: alone in the still
/// air of its way, or in the bundle and under the cover of a run on it. At rest; in a state that
/// cranks the engine after the cranking time from the temperature of the air.
class WireHeat {
public:
    WireHeat(const StudyPlan& plan, const StateCircuit& circuit, const State* state);

    /// Writes the wires' resistances for the plan's design. `from_rest`: all conductors at the
    /// temperature of their air; else as they were before the design changed.
    void begin(bool from_rest, StateCircuit& circuit);

    /// Begins from the temperatures at which another of the same state and design has come to rest,
    /// all of it and its air warmer by the shift. `settled` outlives this.
    void restart(const WireHeat& settled, double air_shift_k);

    /// Takes the temperatures to these currents and writes the wires' resistances. False when no
    /// conductor moved by more than the tolerance: then nothing is written.
    [[nodiscard]] bool update(const std::vector<double>& branch_amps, StateCircuit& circuit);

    [[nodiscard]] const std::vector<double>& conductor_c() const { return conductor_c_; }
    [[nodiscard]] const std::vector<double>& air_c() const { return air_c_; }
    /// Wires whose heat cannot leave, taken at `hottest_c`. Of a bundle those that bring it there.
    [[nodiscard]] std::vector<WireId> runaways() const;
    /// The wire that moved most in the last update.
    [[nodiscard]] WireId most_moved() const { return most_moved_; }

    static constexpr double hottest_c = 1000.0;
    static constexpr double tolerance_k = 0.01;

private:
    void balance_all(const std::vector<double>& branch_amps);
    [[nodiscard]] double guess_c(std::size_t wire, double amps) const;
    [[nodiscard]] bool balance_alone(std::size_t wire, double amps);
    void balance_bundle(std::size_t index);
    [[nodiscard]] double at_rest_c(std::size_t wire) const;
    void take_up_cranking();
    [[nodiscard]] double after_cranking_c(std::size_t wire);
    [[nodiscard]] double warmed_alone_c(std::size_t wire);
    [[nodiscard]] double from_neighbours_k(std::size_t wire) const;
    [[nodiscard]] const HeatBody& body_of(std::size_t wire) const {
        return plan_.bodies[static_cast<std::size_t>(plan_.wires[wire].body)];
    }

    const StudyPlan& plan_;
    const WireHeat* near_ = nullptr; ///< of the last restart
    double cranking_s_ = 0.0;        ///< 0: the state lasts
    double air_shift_k_ = 0.0;       ///< of the air, against that of warmings_
    std::vector<double> air_c_;
    std::vector<double> conductor_c_;
    std::vector<double> balance_amps_;       ///< current of the last heat balance; -1: none yet
    std::vector<double> alone_c_;            ///< what it gave for the wire alone
    std::vector<double> balance_c_;          ///< and in its hottest place
    std::vector<std::uint8_t> is_moved_;     ///< by wire: another current than at the balance
    std::vector<double> bundle_air_c_;       ///< by Bundles::bundles
    std::vector<solve::BundleHeat> bundles_; ///< by Bundles::bundles
    std::vector<double> place_amps_;         ///< by Bundles::places
    std::vector<double> adiabatic_c_;        ///< by wire, of a cranking state
    std::vector<double> bundle_j_per_m_;     ///< what the copper of a bundle then takes up
    WireWarmings warmings_;                  ///< in the air before any shift
    WireId most_moved_;
    int rounds_ = 0;
};

} // namespace loomwright
