// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of what only joins: splices, studs, grounds, straps, connectors, diodes, resistors,
// units.
#include "base/display.hpp"
#include "checks/answered_states.hpp"
#include "checks/contact_loads.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/stud_lugs.hpp"
#include "checks/wording.hpp"
#include "sizing/judged.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// Currents into and out of a node in one state.
struct Balance {
    std::vector<std::string> in_names;
    std::vector<std::string> out_names;
    std::string in_amps;
    double in_a = 0.0;
    double out_a = 0.0;
};

Balance balance_at(const StudyInput& study, const StateSolution& solution, int node) {
    Balance out;
    for (std::size_t b = 0; b < study.network.branches.size(); ++b) {
        const Branch& branch = study.network.branches[b];
        const double amps = solution.branch_amps[b];
        if ((branch.from != node && branch.to != node) || std::abs(amps) <= negligible_a ||
            branch.from == branch.to) {
            continue;
        }
        const bool flows_in = (branch.to == node) == (amps > 0.0);
        const std::string name = branch_name(study, static_cast<int>(b));
        (flows_in ? out.in_names : out.out_names).push_back(name);
        (flows_in ? out.in_a : out.out_a) += std::abs(amps);
        if (flows_in) {
            out.in_amps += (out.in_amps.empty() ? "" : " + ") + figure(std::abs(amps));
        }
    }
    return out;
}

/// Kirchhoff's law at the busiest moment of a node.
ProofSection prove_balance(const CheckInput& input, int node) {
    ProofSection out{"Currents", {}};
    const StateSolution* busiest = nullptr;
    Balance most;
    for (const StateSolution& solution : input.sizing.states) {
        if (solution.converged) {
            Balance here = balance_at(input.study, solution, node);
            if (is_clearly_more(here.in_a, most.in_a)) {
                most = std::move(here);
                busiest = &solution;
            }
        }
    }
    if (busiest == nullptr) {
        const AnsweredStates states = answered_states(input.study, input.sizing);
        out.steps.push_back({"current through it in " + states.every, "", states.none(),
                             std::string(from_operating_point)});
        return out;
    }
    out.steps.push_back(
        {fmt::format("I out by {} = sum of I in by {}, in {}", list_of(most.out_names),
                     list_of(most.in_names), state_name(input.study.vehicle, *busiest)),
         most.in_amps, show(Amps(most.out_a)),
         "Kirchhoff's current law; " + std::string(from_operating_point)});
    return out;
}

ProofSection prove_lugs(Gathered& gathered, DeviceId id) {
    const StudLugs on = stud_lugs(gathered.input.study, gathered.fittings(), id);
    ProofSection out{"Lugs", {}};
    out.steps.push_back({"lugs on it <= most that it holds",
                         fmt::format("{} <= {}", on.lugs, figure(on.most)),
                         within(static_cast<double>(on.lugs), on.most), on.source});
    return out;
}

/// V = I R of each branch of a kind, in the state in which it carries most.
ProofSection prove_ohms(const CheckInput& input, DeviceId id, BranchKind kind, double ohm,
                        const std::string& source) {
    ProofSection out{"Voltage across it", {}};
    for (const int index : input.study.network.device_branches[id.index()]) {
        const auto at = static_cast<std::size_t>(index);
        if (input.study.network.branches[at].kind != kind) {
            continue;
        }
        const StateSolution* busiest = nullptr;
        for (const StateSolution& solution : input.sizing.states) {
            const double amps = std::abs(solution.branch_amps[at]);
            if (solution.converged && amps > negligible_a &&
                (busiest == nullptr || amps > std::abs(busiest->branch_amps[at]))) {
                busiest = &solution;
            }
        }
        if (busiest == nullptr) {
            const AnsweredStates states = answered_states(input.study, input.sizing);
            out.steps.push_back({"current through it in " + states.every, "", states.none(),
                                 std::string(from_operating_point)});
            continue;
        }
        const double amps = std::abs(busiest->branch_amps[at]);
        out.steps.push_back({fmt::format("V = I R of {} in {}, the most of any state",
                                         branch_name(input.study, index),
                                         state_name(input.study.vehicle, *busiest)),
                             fmt::format("{} x {}", figure(amps), figure(ohm)),
                             show(Volts(amps * ohm)), source});
    }
    return out;
}

ProofSection prove_cavities(const CheckInput& input, DeviceId id) {
    const Vehicle& vehicle = input.study.vehicle;
    const std::optional<double> rating = cavity_rating(vehicle, id);
    const AnsweredStates states = answered_states(input.study, input.sizing);
    ProofSection out{"Cavities", {}};
    for (const int index : input.study.network.device_branches[id.index()]) {
        const auto at = static_cast<std::size_t>(index);
        if (input.study.network.branches[at].kind != BranchKind::joint) {
            continue;
        }
        double most_a = 0.0;
        StateId when;
        for (const StateSolution* state : judged_states(input.sizing)) {
            const double amps = std::abs(state->branch_amps[at]);
            if (state->converged && !is_cranking(vehicle, state->state) &&
                is_clearly_more(amps, most_a)) {
                most_a = amps;
                when = state->state;
            }
        }
        const std::string name = branch_name(input.study, index);
        const std::string where =
            most_a > 0.0 ? " in " + state_name(vehicle, when) : " in " + states.every;
        if (rating && most_a > negligible_a) {
            out.steps.push_back(
                {fmt::format("I <= rating of a contact, the lasting I of {}{}", name, where),
                 fmt::format("{} <= {}", figure(most_a), figure(*rating)), within(most_a, *rating),
                 "the connector's own rating, the vehicle file"});
        } else {
            out.steps.push_back(
                {fmt::format("largest lasting current of {}{}", name, where), "",
                 most_a > negligible_a ? show(Amps(most_a)) : states.none(),
                 rating ? std::string(from_operating_point) : "no rating in the vehicle file"});
        }
    }
    return out;
}

ProofSection list_inside(const Vehicle& vehicle, DeviceId id) {
    ProofSection out{"Inside", {}};
    for (const Device& device : vehicle.devices) {
        if (device.housing == id) {
            out.steps.push_back({"a device inside it", "", device.name,
                                 fmt::format("the vehicle file; `explain {}`", device.name)});
        }
    }
    return out;
}

} // namespace

std::vector<ProofSection> explain_joint(Gathered& gathered, DeviceId id) {
    const CheckInput& input = gathered.input;
    const Device& device = input.study.vehicle.device(id);
    const StudyDefaults& by = gathered.defaults;
    const auto source = [](bool is_given, const char* row) {
        return is_given ? std::string("the vehicle file") : fmt::format("tables defaults, {}", row);
    };
    if (const auto* ground = device.as<Ground>()) {
        ProofSection bond = prove_ohms(input, id, BranchKind::bond,
                                       ground->bond ? ground->bond->value() : by.ground_bond_ohm,
                                       source(ground->bond.has_value(), "ground-bond"));
        return {prove_balance(input, input.study.network.node({id, 0})), std::move(bond),
                prove_lugs(gathered, id)};
    }
    if (const auto* strap = device.as<Strap>()) {
        return {prove_ohms(input, id, BranchKind::strap,
                           strap->resistance ? strap->resistance->value() : by.strap_ohm,
                           source(strap->resistance.has_value(), "strap-resistance"))};
    }
    if (const auto* resistor = device.as<Resistor>()) {
        const auto& branches = input.study.network.device_branches[id.index()];
        const BranchKind kind =
            branches.empty()
                ? BranchKind::resistor
                : input.study.network.branches[static_cast<std::size_t>(branches.front())].kind;
        return {prove_ohms(input, id, kind, resistor->resistance.value(), source(true, ""))};
    }
    if (device.as<Splice>() != nullptr) {
        return {prove_balance(input, input.study.network.node({id, 0}))};
    }
    if (device.as<Stud>() != nullptr) {
        return {prove_balance(input, input.study.network.node({id, 0})), prove_lugs(gathered, id)};
    }
    if (device.as<Connector>() != nullptr) {
        return {prove_cavities(input, id)};
    }
    if (device.as<Unit>() != nullptr) {
        return {list_inside(input.study.vehicle, id)};
    }
    return {explain_demand(gathered, id)}; // a diode
}

} // namespace loomwright
