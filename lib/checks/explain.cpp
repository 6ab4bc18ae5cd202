// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/explain.hpp"

#include "checks/gathered.hpp"
#include "checks/proofs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace loomwright {
namespace {

/// The proofs of one bearer of a name.
struct Named {
    const char* kind;
    std::vector<ProofSection> sections;
};

/// The place of a name in a list, or nothing.
template <typename Things>
std::optional<std::size_t> place_in(const Things& things, std::string_view name) {
    const auto found =
        std::ranges::find_if(things, [&](const auto& one) { return one.name == name; });
    return found == things.end() ? std::nullopt
                                 : std::optional(static_cast<std::size_t>(found - things.begin()));
}

std::optional<std::size_t> state_named(const CheckInput& input, std::string_view name) {
    const auto& states = input.sizing.states;
    const auto found = std::ranges::find_if(states, [&](const StateSolution& solution) {
        return state_name(input.study.vehicle, solution) == name;
    });
    return found == states.end() ? std::nullopt
                                 : std::optional(static_cast<std::size_t>(found - states.begin()));
}

std::vector<Named> all_named(Gathered& gathered, std::string_view id) {
    const Vehicle& vehicle = gathered.input.study.vehicle;
    std::vector<Named> out;
    if (const WireId wire = vehicle.find_wire(id); wire.is_valid()) {
        out.push_back({"Wire", explain_wire(gathered, wire)});
    }
    if (const DeviceId device = vehicle.find_device(id); device.is_valid()) {
        out.push_back({"Device", explain_device(gathered, device)});
    }
    if (const auto state = state_named(gathered.input, id)) {
        out.push_back({"State", explain_state(gathered, *state)});
    }
    if (const auto run = place_in(vehicle.runs, id)) {
        out.push_back({"Run", explain_run(gathered, RunId(*run))});
    }
    if (const auto point = place_in(vehicle.points, id)) {
        out.push_back({"Point", explain_point(gathered, PointId(*point))});
    }
    return out;
}

} // namespace

Explainer::Explainer(const CheckInput& input, const SourceFiles* files,
                     std::span<const RunBundle> bundles)
    : gathered_(std::make_unique<Gathered>(input, bundles)), files_(files) {}
Explainer::~Explainer() = default;

std::optional<std::vector<ProofSection>> Explainer::explain(std::string_view id) {
    std::vector<Named> named = all_named(*gathered_, id);
    if (named.empty()) {
        return std::nullopt;
    }
    if (named.size() == 1) {
        return std::move(named.front().sections);
    }
    std::vector<ProofSection> out;
    for (Named& one : named) {
        for (ProofSection& section : one.sections) {
            section.title = fmt::format("{} {}: {}", one.kind, id, section.title);
            out.push_back(std::move(section));
        }
    }
    return out;
}

std::optional<std::vector<ProofSection>> explain(const CheckInput& input, std::string_view id) {
    return Explainer(input).explain(id);
}

std::vector<ProofSection> explain_finding(const CheckInput& input, const Finding& finding) {
    return Explainer(input).explain_finding(finding);
}

std::vector<std::string> explained_names(const Vehicle& vehicle) {
    std::vector<std::string> out;
    for (const Wire& wire : vehicle.wires) {
        out.push_back(wire.number);
    }
    const auto add = [&out](const auto& things) {
        for (const auto& one : things) {
            out.push_back(one.name);
        }
    };
    add(vehicle.devices);
    add(vehicle.states);
    if (vehicle.states.empty()) {
        out.push_back(state_name(vehicle, StateId()));
    }
    add(vehicle.runs);
    add(vehicle.points);
    for (const RuleInfo& info : rule_catalogue()) {
        out.emplace_back(info.id);
    }
    return out;
}

} // namespace loomwright
