// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/judged.hpp"

#include "network/branch_kinds.hpp"

#include "sizing/limits.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

bool is_part_level(const Setting& setting) {
    return setting.is_level && setting.level > 0.0 && setting.level < 1.0;
}

/// The parts of one chain in its order, each with the voltage lost along it.
std::vector<PathPart> parts_along(const Network& network, const StateSolution& solution,
                                  const std::vector<int>& chain, int start) {
    std::vector<PathPart> out;
    int node = start;
    for (const int index : chain) {
        const Branch& branch = network.branches[static_cast<std::size_t>(index)];
        const int next = branch.other_end(node);
        if (is_conductor(branch.kind)) {
            out.push_back({index, solution.node_volts[static_cast<std::size_t>(node)] -
                                      solution.node_volts[static_cast<std::size_t>(next)]});
        }
        node = next;
    }
    return out;
}

/// Where a chain starts: the end of its first branch that the second does not touch. A chain of one
/// branch ends at `end`, or else starts from `start`.
int chain_start(const Network& network, const std::vector<int>& chain, int start, int end) {
    if (chain.empty()) {
        return start;
    }
    const Branch& first = network.branches[static_cast<std::size_t>(chain.front())];
    if (chain.size() == 1) {
        if (first.from == end || first.to == end) {
            return first.other_end(end);
        }
        return first.to == start ? first.to : first.from;
    }
    const Branch& second = network.branches[static_cast<std::size_t>(chain[1])];
    const bool shares_to = first.to == second.from || first.to == second.to;
    return shares_to ? first.from : first.to;
}

CircuitId circuit_of(const StudyInput& input, const PathDrop& drop) {
    for (const auto* chain : {&drop.feed, &drop.back}) {
        const bool from_end = chain == &drop.feed;
        for (std::size_t i = 0; i < chain->size(); ++i) {
            const std::size_t at = from_end ? chain->size() - 1 - i : i;
            const Branch& branch = input.network.branches[static_cast<std::size_t>((*chain)[at])];
            if (branch.wire.is_valid()) {
                return input.vehicle.wire(branch.wire).circuit;
            }
        }
    }
    return {};
}

/// Plus node of a source, minus node of it; a motor that is turned has those of its windings.
std::pair<int, int> source_nodes(const Network& network, DeviceId source) {
    std::pair<int, int> windings{-1, -1};
    for (const int index : network.device_branches[source.index()]) {
        const Branch& branch = network.branches[static_cast<std::size_t>(index)];
        if (is_source(branch.kind)) {
            return {branch.from, branch.to};
        }
        if (branch.kind == BranchKind::load) {
            windings = {branch.from, branch.to};
        }
    }
    return windings;
}

/// The limit of each circuit, looked up once.
class DropLimits {
public:
    explicit DropLimits(const StudyInput& input)
        : input_(input), known_(input.vehicle.circuits.size() + 1) {}
    [[nodiscard]] double of(CircuitId circuit) {
        auto& row = known_[circuit.is_valid() ? circuit.index() + 1 : 0];
        if (!row) {
            row = drop_limit(input_, circuit).value;
        }
        return *row;
    }

private:
    const StudyInput& input_;
    std::vector<std::optional<double>> known_;
};

LoadDrop describe_drop(const StudyInput& input, const StateSolution& solution, const PathDrop& path,
                       DropLimits& limits) {
    LoadDrop out;
    out.load = path.load;
    out.source = path.source;
    out.state = solution.state;
    out.circuit = circuit_of(input, path);
    out.is_solenoid = path.solenoid >= 0;
    out.amps =
        std::abs(out.is_solenoid ? solution.branch_amps[static_cast<std::size_t>(path.solenoid)]
                                 : solution.devices[path.load.index()].amps);
    out.supply_v = path.supply_v;
    out.load_v = path.load_v;
    out.limit_v = limits.of(out.circuit);
    const int plus = source_nodes(input.network, path.source).first;
    const int minus = source_nodes(input.network, path.home).second;
    out.feed = parts_along(input.network, solution, path.feed,
                           chain_start(input.network, path.feed, plus, -1));
    out.back = parts_along(input.network, solution, path.back,
                           chain_start(input.network, path.back, -1, minus));
    for (const auto* parts : {&out.feed, &out.back}) {
        for (const PathPart& part : *parts) {
            out.drop_v += part.volts;
        }
    }
    return out;
}

} // namespace

StateSolver::StateSolver(const StudyInput& input) : study_(input) {
    for (std::size_t i = 0; i < input.vehicle.states.size(); ++i) {
        if (std::ranges::any_of(input.vehicle.states[i].settings, is_part_level)) {
            part_level_.emplace_back(i);
        }
    }
    if (part_level_.empty()) {
        return;
    }
    full_vehicle_ = input.vehicle;
    for (const StateId state : part_level_) {
        for (Setting& setting : full_vehicle_->states[state.index()].settings) {
            if (is_part_level(setting)) {
                setting.level = 1.0;
            }
        }
    }
    full_input_.emplace(StudyInput{*full_vehicle_, input.catalogue, input.routing, input.network});
    full_study_.emplace(*full_input_, part_level_);
}

void StateSolver::solve(Sizing& sizing) {
    sizing.states = study_.solve(sizing.design);
    sizing.full_demand.clear();
    sizing.full_index.assign(sizing.states.size(), -1);
    if (!full_study_) {
        return;
    }
    sizing.full_demand = full_study_->solve(sizing.design);
    for (std::size_t i = 0; i < part_level_.size(); ++i) {
        sizing.full_index[part_level_[i].index()] = static_cast<int>(i);
    }
}

std::vector<const StateSolution*> judged_states(const Sizing& sizing) {
    std::vector<const StateSolution*> out;
    for (std::size_t i = 0; i < sizing.states.size(); ++i) {
        out.push_back(&sizing.judged(i));
    }
    return out;
}

bool has_answer(const Sizing& sizing) {
    return std::ranges::any_of(judged_states(sizing), &StateSolution::converged);
}

bool is_cranking(const Vehicle& vehicle, StateId state) {
    const State* named = state_of(vehicle, state);
    return named != nullptr && named->engine == EngineCondition::cranking;
}

std::vector<LoadDrop> load_drops(const StudyInput& input, const Sizing& sizing) {
    std::vector<LoadDrop> out;
    DropLimits limits(input);
    for (const StateSolution* solution : judged_states(sizing)) {
        if (!solution->converged) {
            continue;
        }
        for (const PathDrop& path : path_drops(input, *solution)) {
            out.push_back(describe_drop(input, *solution, path, limits));
        }
    }
    return out;
}

std::vector<LoadDrop> load_drops(const StudyInput& input, const StateSolution& solution) {
    std::vector<LoadDrop> out;
    DropLimits limits(input);
    for (const PathDrop& path : path_drops(input, solution)) {
        out.push_back(describe_drop(input, solution, path, limits));
    }
    return out;
}

bool is_drop_judged(const Vehicle& vehicle, const LoadDrop& drop) {
    if (drop.is_solenoid) {
        return drop.circuit.is_valid() &&
               vehicle.circuit(drop.circuit).drop_class.value == "starter-control";
    }
    return !is_cranking(vehicle, drop.state) || vehicle.device(drop.load).as<Starter>() != nullptr;
}

std::string path_end(const Vehicle& vehicle, const LoadDrop& drop) {
    const std::string& name = vehicle.device(drop.load).name;
    return drop.is_solenoid ? name + ".50" : name;
}

WireLoads wire_loads(const StudyInput& input, const std::vector<const StateSolution*>& states) {
    const std::size_t count = input.vehicle.wires.size();
    WireLoads out{std::vector<double>(count, 0.0), std::vector<StateId>(count),
                  std::vector<double>(count, 0.0), std::vector<StateId>(count)};
    for (const StateSolution* solution : states) {
        if (!solution->converged) {
            continue;
        }
        const bool cranking = is_cranking(input.vehicle, solution->state);
        std::vector<double>& amps = cranking ? out.cranking_a : out.steady_a;
        std::vector<StateId>& state = cranking ? out.cranking_state : out.steady_state;
        for (std::size_t i = 0; i < count; ++i) {
            const double here = std::abs(solution->wires[i].amps);
            if (is_clearly_more(here, amps[i])) {
                amps[i] = here;
                state[i] = solution->state;
            }
        }
    }
    return out;
}

} // namespace loomwright
