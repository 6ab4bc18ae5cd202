// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/fault_heat.hpp"

#include <span>
#include <vector>

namespace loomwright {

/// Follows shorts of one state, one after another: what opens, when, and what then goes on.
class ShortRunner {
public:
    /// All of it outlives this. `curves` by DeviceId.
    ShortRunner(const FaultBase& base, const FaultHeat& heat, FaultCircuit& circuit,
                std::span<const OpeningCurve> curves, double breaker_cooling_s);

    /// `event` comes with its state and node; `metal` is what the node is shorted to. `lasts_s`:
    /// until the state ends it; infinite: it goes on for good.
    void run(int metal, double short_ohm, double lasts_s, ShortEvent& event);

private:
    /// A protective device on its way to opening.
    struct Guard {
        int branch = 0;
        DeviceId device;
        const OpeningCurve* curve = nullptr;
        double base_a = 0.0;
        double worn = 0.0;         ///< share of its longest time that has run
        double worn_soonest = 0.0; ///< and of its shortest
        bool is_open = false;
        double amps = 0.0;      ///< now
        double longest_s = 0.0; ///< left at this current; infinite: it stays closed
        double shortest_s = 0.0;
    };
    void look_at_guards();
    [[nodiscard]] Guard* next_to_open();
    void pass_time(double seconds);
    [[nodiscard]] FaultOpening opening_of(const Guard& guard) const;
    [[nodiscard]] bool follow(ShortEvent& event);
    void end(ShortEvent& event);
    [[nodiscard]] bool is_stood_while_it_lasts() const;
    [[nodiscard]] double short_a() const;
    [[nodiscard]] ShortOutcome outcome_of(const ShortEvent& event) const;
    void compare_devices(ShortEvent& event);

    const FaultBase& base_;
    FaultCircuit& circuit_;
    const std::vector<int>& wire_branch_;
    double breaker_cooling_s_;
    std::vector<Guard> guards_;
    HeatRun heat_run_;
    double now_s_ = 0.0;
    double lasts_s_ = OpeningCurve::never;
    bool is_stood_ = false; ///< the state ends it before any conductor passes its short-time limit
    double duty_ = 1.0;     ///< of a breaker that goes on opening and closing; 1: none does
    std::vector<DeviceState> devices_;
};

} // namespace loomwright
