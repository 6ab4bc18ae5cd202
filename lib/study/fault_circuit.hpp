// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/altered.hpp"
#include "study/device_reader.hpp"
#include "study/settled_state.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// A state at rest as the faults of it start from it: its circuit with every branch that a relay or
/// load may still bring in. Const once made; all threads share it.
struct FaultBase : SettledState {
    FaultBase(const StudyPlan& study_plan, StateId which);

    [[nodiscard]] bool is_solved() const { return solver_base.has_value(); }
    [[nodiscard]] double amps(int branch) const {
        return solution.branch_amps[static_cast<std::size_t>(branch)];
    }

    StateSolution solution;
    std::vector<int> place; ///< by branch of the network: its branch of the circuit; -1: none
    std::vector<std::optional<Element>> elements; ///< by branch of the circuit; nothing: open
    std::vector<std::vector<int>> moved_by; ///< by trigger: branches of the network it turns over
    std::vector<std::vector<int>> outputs;  ///< by Controller in the plan: outputs that are on
    std::vector<std::uint8_t> is_awake;     ///< by Controller in the plan
    /// An alternator's own feed of its field, of those that turn.
    struct Exciter {
        int branch = 0;
        int alternator = 0;  ///< branch
        double most_a = 0.0; ///< more, and the field has lost its voltage
    };
    std::vector<Exciter> exciters;
    /// By trigger: the current of its make contact that welds it, A; infinite: none.
    std::vector<double> welding_a;
    std::optional<solve::AlteredBase> solver_base;

private:
    void find_moved();
    void find_controllers();
    void find_exciters();
    void find_welding();
    void lay_out();
};

/// So much above the current of the state at rest, both without their signs, that the fault is why.
[[nodiscard]] inline bool is_raised_from(double amps, double base_a) {
    constexpr double raised_share = 1.01;
    constexpr double raised_a = 0.01;
    return amps > raised_share * base_a + raised_a;
}

/// A state of a car with faults in it. Each starts from the state at rest, never from the one
/// before.
class FaultCircuit final : public BranchReadings {
public:
    explicit FaultCircuit(const FaultBase& base);

    /// The state at rest again.
    void reset();
    /// Joins a node to another by a conductor until the next reset.
    void join(int node, int other, double siemens);
    /// Opens a branch until the next reset.
    void open(int branch);

    /// The operating point with relays and loads as they stand; false when there is none.
    [[nodiscard]] bool solve() { return solver_.solve(); }
    // From the last operating point, to the next; false when a circuit on the way has none. See
    // fault_circuit.cpp.
    /// Batteries give or take, one-way loads block or conduct: what takes no time.
    [[nodiscard]] bool settle_sources();
    /// Relays and loads too, until each stands as its voltage asks.
    [[nodiscard]] bool settle();
    /// Controllers that are dead for good let their outputs go.
    [[nodiscard]] bool let_outputs_go();

    /// Current through the conductor joined last.
    [[nodiscard]] double joined_amps() const { return solver_.bridge_amps(); }
    [[nodiscard]] double amps(int branch) const override;
    [[nodiscard]] double volts(int branch) const override;
    [[nodiscard]] double volts_between(int from, int to) const override;
    [[nodiscard]] bool conducts(int branch) const override;
    [[nodiscard]] double node_volts(int node) const { return solver_.volts(node); }
    [[nodiscard]] bool floats(int node) const { return solver_.is_floating(node); }

    /// The devices, as `read_devices` has them.
    void read(std::vector<DeviceState>& out) const;
    /// By trigger: it was on in the state at rest, and off at some time since the reset.
    [[nodiscard]] const std::vector<std::uint8_t>& let_go() const { return let_go_; }
    /// Relays held where they are since the reset, in the order of their triggers.
    [[nodiscard]] std::vector<DeviceId> held() const;
    [[nodiscard]] const solve::AlteredCounts& counts() const { return solver_.counts(); }

private:
    using Stand = std::vector<std::uint8_t>;
    [[nodiscard]] std::vector<std::size_t> unsettled() const;
    [[nodiscard]] bool weld(std::vector<std::size_t>& flips);
    [[nodiscard]] bool follow_fields();
    [[nodiscard]] bool is_controller_awake(std::size_t index) const;
    [[nodiscard]] bool take_turn(std::vector<Stand>& seen, std::vector<std::size_t>& flips,
                                 bool& in_turn);
    void turn_over(std::span<const std::size_t> triggers);
    void pin_loop(std::span<const Stand> seen, std::span<const std::size_t> flips);
    void pin(std::size_t trigger);
    void apply(int branch);

    const FaultBase& base_;
    StateCircuit circuit_;
    solve::AlteredSolver solver_;
    std::vector<std::optional<Element>> elements_; ///< by branch of the circuit, as solved
    std::vector<int> touched_;                     ///< branches of the circuit not as in the base
    std::vector<std::uint8_t> is_opened_;          ///< by branch of the network
    std::vector<int> opened_;
    std::vector<std::uint8_t> is_dead_;      ///< by controller: its outputs are open
    std::vector<std::uint8_t> is_unexcited_; ///< by exciter
    std::vector<std::uint8_t> pinned_;       ///< by trigger
    std::vector<std::uint8_t> let_go_;
    bool has_turned_ = false; ///< a trigger or a controller since the reset
};

} // namespace loomwright
