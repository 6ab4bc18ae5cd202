// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/fault_circuit.hpp"
#include "study/faults.hpp"
#include "study/wire_warmings.hpp"

#include <vector>

namespace loomwright {

/// What the conductors of a state stand, and how each warms up under a fault's current. Const once
/// made; all threads share it.
class FaultHeat {
public:
    /// The base has a solution; `warmings` outlives this.
    FaultHeat(const FaultBase& base, WireWarmings& warmings);

    struct Wire {
        double class_c = 0.0;      ///< what its insulation stands for good
        double short_time_c = 0.0; ///< and for the time of a short
        double start_c = 0.0;      ///< in the state at rest
        double base_a = 0.0;       ///< current in the state at rest, its size
        double calm_a = 0.0;       ///< the current that brings it to its class, for good
        /// What the others of its bundle add in the state at rest: they go on as before.
        double neighbours_k = 0.0;
        double current_factor = 1.0;                 ///< for the resistance that this warmth makes
        std::vector<const solve::Warming*> warmings; ///< under each cover of its way
    };
    [[nodiscard]] const std::vector<Wire>& wires() const { return wires_; }

private:
    std::vector<Wire> wires_;
};

/// The conductors of one short in time: those that its current takes past their class, and the one
/// that comes nearest to it.
class HeatRun {
public:
    explicit HeatRun(const FaultHeat& heat) : heat_(heat) {}

    void begin();
    /// The current that flows now goes on for a time (infinite: for good). `duty`: the share of the
    /// time in which it flows.
    void advance(const FaultCircuit& circuit, const std::vector<int>& wire_branch, double seconds,
                 double duty = 1.0);
    /// The conductors that went past their insulation's class, the hottest first.
    [[nodiscard]] std::vector<HotConductor> overheated() const {
        return overheated(hottest_first());
    }
    /// Takes what was found into the event.
    void tell(ShortEvent& event) const;
    /// The short put current of some account on a conductor.
    [[nodiscard]] bool is_any_loaded() const { return is_any_loaded_; }
    /// A conductor passed its short-time limit, or its class, in the last advance.
    [[nodiscard]] bool passes_short_time() const { return passes_short_time_; }
    [[nodiscard]] bool passes_class() const { return passes_class_; }
    [[nodiscard]] bool ever_passed_short_time() const { return ever_passed_short_time_; }

private:
    struct Hot {
        std::size_t wire = 0;
        double now_c = 0.0;
        double peak_c = 0.0;
        double too_hot_after_s = OpeningCurve::never;
    };
    [[nodiscard]] Hot& hot(std::size_t wire);
    [[nodiscard]] std::vector<Hot> hottest_first() const;
    [[nodiscard]] std::vector<HotConductor> overheated(const std::vector<Hot>& order) const;
    void warm(Hot& hot, double amps, double seconds);

    const FaultHeat& heat_;
    std::vector<Hot> hot_;
    double time_s_ = 0.0;
    bool is_any_loaded_ = false;
    bool passes_short_time_ = false;
    bool passes_class_ = false;
    bool ever_passed_short_time_ = false;
};

} // namespace loomwright
