// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/wire_heat.hpp"

#include <array>
#include <vector>

namespace loomwright {

/// Conductor temperatures near a state's nominal answer, read off the heat model once: see the
/// .cpp. Const once made: all threads share it.
class SpreadHeat {
public:
    /// `circuit` as settled; `amps` by branch and `conductor_c` by wire, of the nominal answer.
    SpreadHeat(const StudyPlan& plan, const StateCircuit& circuit, const std::vector<double>& amps,
               const std::vector<double>& conductor_c);

    /// The conductor's temperature at a current, with `per_metre` times its nominal resistance a
    /// metre and the air shifted; NaN where the readings do not reach.
    [[nodiscard]] double conductor_c(std::size_t wire, double amps, double per_metre,
                                     double air_shift_k) const;
    [[nodiscard]] double nominal_c(std::size_t wire) const { return wires_[wire].nominal_c; }

private:
    /// Shares of the nominal currents that the heat model was asked for.
    static constexpr std::array<double, 7> shares{0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0};
    struct WireReading {
        solve::WireBody body;
        double nominal_c = 0.0;
        double air_c = 0.0;
        double amps = 0.0; ///< nominal, without sign
        double r20_ohm = 0.0;
        double rise_k = 0.0; ///< by the readings, at the nominal current
        bool is_warm = false;
        std::array<double, shares.size()> w_per_k{}; ///< heat over rise at each share
        double more_per_k = 0.0; ///< share of it gained with each kelvin of air
    };
    void read(const StudyPlan& plan, StateCircuit& circuit, const std::vector<double>& amps);
    void read_warmer_air(const StudyPlan& plan, StateCircuit& circuit,
                         const std::vector<double>& amps);
    [[nodiscard]] static double rise_of(const WireReading& wire, double share, double air_shift_k);

    [[nodiscard]] static double alone_c(const WireReading& wire, double amps, double air_shift_k);

    std::vector<WireReading> wires_;
};

} // namespace loomwright
