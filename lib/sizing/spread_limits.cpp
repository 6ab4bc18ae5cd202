// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The drop of a load's way is what the source has between its terminals, less what the load has,
// less what other loads and diodes on the way take: pairs of nodes, which each sample only adds up.
#include "sizing/spread_limits.hpp"

#include "network/branch_kinds.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"
#include "study/values.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

using Kind = SpreadLimit::Kind;

/// Collects the limits of one state.
class Limits {
public:
    Limits(const StudyInput& input, const Design& design, const StateSolution& nominal,
           bool is_nominal)
        : input_(input), design_(design), nominal_(nominal), is_nominal_(is_nominal),
          state_(state_of(input.vehicle, nominal.state)) {}

    [[nodiscard]] std::vector<SpreadLimit> collect() {
        if (nominal_.converged) {
            add_drops();
        }
        add_controllers();
        if (nominal_.converged && is_nominal_) {
            add_coils();
        }
        add_expectations();
        if (!is_cranking(input_.vehicle, nominal_.state)) {
            add_insulation();
        }
        return std::move(out_);
    }

private:
    [[nodiscard]] const Branch& branch(int index) const {
        return input_.network.branches[static_cast<std::size_t>(index)];
    }
    [[nodiscard]] double amps(int index) const {
        return nominal_.branch_amps[static_cast<std::size_t>(index)];
    }

    /// The branch of a device by which it takes or gives current; -1: none.
    template <typename Wanted> [[nodiscard]] int busiest(DeviceId id, Wanted is_wanted) const {
        int best = -1;
        for (const int index : input_.network.device_branches[id.index()]) {
            if (is_wanted(branch(index).kind) &&
                (best < 0 || std::abs(amps(index)) > std::abs(amps(best)))) {
                best = index;
            }
        }
        return best;
    }

    /// Adds what a branch takes along its current, with its sign turned.
    void take_off(int index, SpreadLimit& limit) const {
        const Branch& here = branch(index);
        if (amps(index) > 0.0) {
            limit.spans.emplace_back(here.to, here.from);
        } else {
            limit.spans.emplace_back(here.from, here.to);
        }
    }

    void add_drops() {
        const std::vector<PathDrop> paths = path_drops(input_, nominal_);
        const std::vector<LoadDrop> drops = load_drops(input_, nominal_);
        for (std::size_t i = 0; i < paths.size(); ++i) {
            if (!is_drop_judged(input_.vehicle, drops[i]) || drops[i].is_solenoid) {
                continue; // whether a solenoid comes in is asked below
            }
            SpreadLimit limit{.kind = Kind::drop,
                              .device = drops[i].load,
                              .limit = drops[i].limit_v,
                              .source = drop_limit(input_, drops[i].circuit).source};
            const int source = busiest(drops[i].source, is_source);
            const bool is_charging = input_.vehicle.device(drops[i].load).as<Battery>() != nullptr;
            const int load = busiest(drops[i].load, [&](BranchKind kind) {
                return kind == (is_charging ? BranchKind::battery : BranchKind::load);
            });
            const int home = busiest(paths[i].home, is_source);
            limit.spans.emplace_back(branch(source).from, branch(home).to);
            take_off(load, limit);
            for (const auto* chain : {&paths[i].feed, &paths[i].back}) {
                for (const int index : *chain) {
                    if (!is_conductor(branch(index).kind)) {
                        take_off(index, limit);
                    }
                }
            }
            out_.push_back(std::move(limit));
        }
    }

    [[nodiscard]] bool is_needed(const Controller& controller) const {
        if (state_ == nullptr) {
            return false;
        }
        if (controller.needed_in.empty()) {
            return state_->engine != EngineCondition::stopped;
        }
        return std::ranges::find(controller.needed_in, state_->name, &Given<std::string>::value) !=
               controller.needed_in.end();
    }

    void add_controllers() {
        for (std::size_t i = 0; i < input_.vehicle.devices.size(); ++i) {
            const auto* made = input_.vehicle.devices[i].as<Controller>();
            const bool has_feed = made != nullptr &&
                                  std::ranges::find(made->parts, TerminalPart::feed,
                                                    &ControllerTerminal::part) != made->parts.end();
            if (has_feed && is_needed(*made)) {
                const Limit least = least_controller_voltage(input_, *made);
                out_.push_back({.kind = Kind::controller,
                                .device = DeviceId(i),
                                .limit = least.value,
                                .source = least.source});
            }
        }
    }

    void add_coils() {
        const StudyDefaults defaults(input_.catalogue, input_.vehicle);
        for (std::size_t i = 0; i < input_.vehicle.devices.size(); ++i) {
            const Device& device = input_.vehicle.devices[i];
            if (device.as<Relay>() != nullptr || device.as<Starter>() != nullptr) {
                const auto* relay = device.as<Relay>();
                const double pull_in = relay == nullptr  ? defaults.starter_pull_in_v
                                       : relay->pulls_in ? relay->pulls_in->value()
                                                         : defaults.relay_pull_in_v;
                out_.push_back({.kind = Kind::coil,
                                .device = DeviceId(i),
                                .limit = pull_in,
                                .is_on = nominal_.devices[i].on,
                                .source = "as in the nominal car"});
            }
        }
    }

    void add_expectations() {
        if (state_ == nullptr) {
            return;
        }
        for (const auto& expected : state_->expect_on) {
            out_.push_back(
                {.kind = Kind::on, .device = expected.value, .source = "the vehicle file, expect"});
        }
        for (const auto& expected : state_->expect_off) {
            out_.push_back({.kind = Kind::off,
                            .device = expected.value,
                            .source = "the vehicle file, expect"});
        }
    }

    void add_insulation() {
        for (std::size_t i = 0; i < design_.wires.size(); ++i) {
            const Insulation& insulation = *design_.wires[i].insulation;
            out_.push_back({.kind = Kind::insulation,
                            .wire = WireId(i),
                            .limit = insulation.limit.value(),
                            .source = "tables insulation, " + insulation.name + ": " +
                                      insulation.limit_origin.source});
        }
    }

    const StudyInput& input_;
    const Design& design_;
    const StateSolution& nominal_;
    bool is_nominal_; ///< false: a sample stands in for it
    const State* state_;
    std::vector<SpreadLimit> out_;
};

bool has_value(Kind kind) {
    return kind != Kind::on && kind != Kind::off;
}

void add_limit_figures(const std::vector<SpreadLimit>& limits, std::vector<SpreadFigure>& out) {
    for (std::size_t i = 0; i < limits.size(); ++i) {
        if (has_value(limits[i].kind)) {
            out.push_back({SpreadFigure::Kind::limit, i});
        }
    }
}

} // namespace

std::vector<SpreadLimit> spread_limits(const StudyInput& input, const Design& design,
                                       const StateSolution& nominal, bool is_nominal) {
    return Limits(input, design, nominal, is_nominal).collect();
}

std::vector<SpreadFigure> judged_figures(const StudyInput& input, const StateSolution& nominal,
                                         const std::vector<SpreadLimit>& limits) {
    std::vector<SpreadFigure> out;
    for (std::size_t i = 0; i < input.vehicle.devices.size(); ++i) {
        const Device& device = input.vehicle.devices[i];
        const bool is_load = device.as<Load>() != nullptr || device.as<Starter>() != nullptr ||
                             device.as<Sensor>() != nullptr;
        if (is_load && nominal.devices[i].on) {
            out.push_back({SpreadFigure::Kind::device_volts, i});
        }
    }
    add_limit_figures(limits, out);
    return out;
}

std::vector<SpreadFigure> all_figures(const StudyInput& input,
                                      const std::vector<SpreadLimit>& limits) {
    std::vector<SpreadFigure> out;
    for (std::size_t i = 0; i < input.vehicle.wires.size(); ++i) {
        out.push_back({SpreadFigure::Kind::wire_amps, i});
        out.push_back({SpreadFigure::Kind::wire_drop, i});
        out.push_back({SpreadFigure::Kind::wire_c, i});
    }
    for (std::size_t i = 0; i < input.vehicle.devices.size(); ++i) {
        const bool is_element = input.vehicle.devices[i].as<Connector>() == nullptr &&
                                !input.network.device_branches[i].empty();
        if (is_element) {
            out.push_back({SpreadFigure::Kind::device_volts, i});
            out.push_back({SpreadFigure::Kind::device_amps, i});
        }
    }
    add_limit_figures(limits, out);
    return out;
}

} // namespace loomwright
