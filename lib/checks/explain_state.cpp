// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proof of one state's operating point: what is set, what the sources do, where the power goes.
//
//   P = V I;  sum of P over the sources = sum of P over everything else (Tellegen)
#include "base/display.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "network/branch_kinds.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::string_view vehicle_file = "the vehicle file, states";
constexpr std::size_t most_loads = 10;
constexpr double nothing_w = 1e-6;

std::string setting_words(const Device& device, const Setting& setting) {
    const auto* hand = device.as<Switch>();
    if (hand != nullptr && setting.position >= 0) {
        return hand->positions[static_cast<std::size_t>(setting.position)].name;
    }
    if (setting.level == 0.0 || setting.level == 1.0) {
        return setting.level == 0.0 ? "off" : "on";
    }
    return show_percent(setting.level);
}

void add_settings(ProofSection& out, const Vehicle& vehicle, const State& state) {
    for (const Setting& setting : state.settings) {
        const Device& device = vehicle.device(setting.device);
        const std::string terminal =
            setting.terminal >= 0
                ? "." + device.terminals[static_cast<std::size_t>(setting.terminal)]
                : std::string();
        out.steps.push_back({fmt::format("{}{} is set to", device.name, terminal), "",
                             setting_words(device, setting), std::string(vehicle_file)});
    }
    for (const Turning& turning : state.turning) {
        out.steps.push_back({vehicle.device(turning.device).name + " is turned at a speed of", "",
                             show_percent(turning.speed), std::string(vehicle_file)});
    }
}

ProofSection list_set(const Vehicle& vehicle, const State* state) {
    ProofSection out{"What is set", {}};
    const auto add = [&](const std::string& what, std::string value) {
        out.steps.push_back({what, "", std::move(value), std::string(vehicle_file)});
    };
    if (state == nullptr) {
        add("state", "the vehicle names none: every switch at rest");
        return out;
    }
    add("engine", std::string(engine_name(state->engine)));
    if (state->after.is_valid()) {
        add("follows on", vehicle.state(state->after).name);
    }
    if (state->lasts) {
        add("lasts", show(*state->lasts));
    }
    if (state->charge) {
        add("charge of the batteries", show_percent(*state->charge));
    }
    if (state->battery_temperature) {
        add("temperature of the batteries", show(*state->battery_temperature));
    }
    add_settings(out, vehicle, *state);
    return out;
}

ProofSection list_air(const Vehicle& vehicle, const State* state) {
    ProofSection out{"Air", {}};
    for (const Zone& zone : vehicle.zones) {
        const bool is_state = state != nullptr && state->air;
        out.steps.push_back(
            {"air of zone " + zone.name, "", show(is_state ? *state->air : zone.air),
             is_state ? "the vehicle file, this state" : "the vehicle file, zones"});
    }
    return out;
}

/// Power that one branch takes; negative: it gives.
double watts_of(const StudyInput& study, const StateSolution& solution, std::size_t index) {
    const Branch& branch = study.network.branches[index];
    const auto from = static_cast<std::size_t>(branch.from);
    const auto to = static_cast<std::size_t>(branch.to);
    if (solution.floating[from] != 0 || solution.floating[to] != 0) {
        return 0.0;
    }
    return (solution.node_volts[from] - solution.node_volts[to]) * solution.branch_amps[index];
}

struct Taker {
    std::size_t branch = 0;
    double watts = 0.0;
};

/// The loads that take most, the most first.
ProofSection list_loads(const StudyInput& study, const StateSolution& solution) {
    std::vector<Taker> takers;
    for (std::size_t b = 0; b < study.network.branches.size(); ++b) {
        const BranchKind kind = study.network.branches[b].kind;
        const double watts = watts_of(study, solution, b);
        if ((kind == BranchKind::load || kind == BranchKind::coil) && watts > nothing_w) {
            takers.push_back({b, watts});
        }
    }
    std::ranges::stable_sort(takers, std::ranges::greater(), &Taker::watts);
    ProofSection out{"Largest loads", {}};
    for (const Taker& taker : std::span(takers).first(std::min(takers.size(), most_loads))) {
        const Branch& branch = study.network.branches[taker.branch];
        const double volts = solution.node_volts[static_cast<std::size_t>(branch.from)] -
                             solution.node_volts[static_cast<std::size_t>(branch.to)];
        out.steps.push_back({"P = V I of " + branch_name(study, static_cast<int>(taker.branch)),
                             fmt::format("{} x {}", figure(std::abs(volts)),
                                         figure(std::abs(solution.branch_amps[taker.branch]))),
                             figure(taker.watts) + " W",
                             "operating point, " + std::string(operating_point_page)});
    }
    if (out.steps.empty()) {
        out.steps.push_back({"P of every load", "", "nothing",
                             "operating point, " + std::string(operating_point_page)});
    }
    return out;
}

/// What a branch is in the balance of power.
std::size_t power_group(BranchKind kind) {
    if (kind == BranchKind::load) {
        return 0;
    }
    if (kind == BranchKind::coil || kind == BranchKind::suppressor) {
        return 1;
    }
    if (kind == BranchKind::wire || kind == BranchKind::lead) {
        return 2;
    }
    return is_conductor(kind) ? 3 : 4;
}

constexpr std::array<const char*, 6> group_names = {"loads",
                                                    "coils",
                                                    "wires",
                                                    "contacts, fuses, joints and metal",
                                                    "diodes and resistors",
                                                    "batteries on charge"};

void add_powers(ProofSection& out, const StudyInput& study, const StateSolution& solution) {
    std::array<double, 6> taken{};
    std::string given;
    double given_w = 0.0;
    for (std::size_t b = 0; b < study.network.branches.size(); ++b) {
        const double watts = watts_of(study, solution, b);
        const BranchKind kind = study.network.branches[b].kind;
        if (watts < -nothing_w) { // a source, or a motor that is turned
            given += fmt::format("{}{}", given.empty() ? "" : " + ", figure(-watts));
            given_w -= watts;
        } else {
            taken.at(is_source(kind) ? 5 : power_group(kind)) += watts;
        }
    }
    if (given.empty()) {
        out.steps.push_back(
            {"P given", "", "nothing", "operating point, " + std::string(operating_point_page)});
        return;
    }
    std::string parts;
    std::string names;
    double taken_w = 0.0;
    for (std::size_t k = 0; k < taken.size(); ++k) {
        if (taken.at(k) > nothing_w) {
            parts += fmt::format("{}{}", parts.empty() ? "" : " + ", figure(taken.at(k)));
            names += fmt::format("{}{}", names.empty() ? "" : " + ", group_names.at(k));
            taken_w += taken.at(k);
        }
    }
    out.steps.push_back({"P given = sum of V I over what gives", given, figure(given_w) + " W",
                         "operating point, " + std::string(operating_point_page)});
    out.steps.push_back({"P taken = " + names, parts, figure(taken_w) + " W",
                         "operating point, " + std::string(operating_point_page)});
}

ProofSection prove_point(const StudyInput& study, const StateSolution& solution) {
    ProofSection out{"Proof of the operating point", {}};
    out.steps.push_back({"current that all sources deliver", "",
                         show(Amps(solution.source_current_a)), std::string(operating_point_page)});
    out.steps.push_back({"largest sum of currents that is left over at any node", "",
                         fmt::format("{:.3g} A", solution.imbalance_a),
                         "Kirchhoff's current law at every node"});
    add_powers(out, study, solution);
    out.steps.push_back({"|P given - P taken| / P given, as solved", "",
                         fmt::format("{:.3g}", solution.power_error),
                         "the solver's own sum, more digits than are printed here"});
    out.steps.push_back({"steps of Newton's method in all", "", std::to_string(solution.iterations),
                         std::string(operating_point_page)});
    return out;
}

void add_expected(ProofSection& out, const Vehicle& vehicle, const StateSolution& solution,
                  const std::vector<Given<DeviceId>>& devices, bool should_be_on) {
    for (const Given<DeviceId>& given : devices) {
        const DeviceState& is = solution.devices[given.value.index()];
        out.steps.push_back(
            {fmt::format("{} should be {}", vehicle.device(given.value).name,
                         should_be_on ? "on" : "off"),
             fmt::format("{} across it, {} through it", show(Volts(is.volts)), show(Amps(is.amps))),
             is.on == should_be_on ? fmt::format("it is {}", is.on ? "on" : "off")
                                   : fmt::format("it is {}, not as expected", is.on ? "on" : "off"),
             "the vehicle file, expect; operating point, " + std::string(operating_point_page)});
    }
}

ProofSection list_relays(const Vehicle& vehicle, const StateSolution& solution) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        if (vehicle.devices[i].as<Relay>() != nullptr && solution.devices[i].on) {
            names.push_back(vehicle.devices[i].name);
        }
    }
    ProofSection out{"Relays", {}};
    if (!devices_of<Relay>(vehicle).empty()) {
        out.steps.push_back({"relays that are pulled in", "",
                             names.empty() ? std::string("none") : list_of(names),
                             "operating point, " + std::string(operating_point_page)});
    }
    return out;
}

} // namespace

std::vector<ProofSection> explain_state(Gathered& gathered, std::size_t state) {
    const StudyInput& study = gathered.input.study;
    const Vehicle& vehicle = study.vehicle;
    const StateSolution& solution = gathered.input.sizing.states[state];
    const State* written = state_of(vehicle, solution.state);
    std::vector<ProofSection> out{list_set(vehicle, written), list_air(vehicle, written)};
    if (!solution.converged) {
        out.push_back({"Operating point",
                       {{"no answer", "", solution.failure, std::string(operating_point_page)}}});
        return out;
    }
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const Device& device = vehicle.devices[i];
        if (device.as<Battery>() != nullptr || device.as<Alternator>() != nullptr ||
            device.as<Charger>() != nullptr) {
            out.push_back({"Source " + device.name, {}});
            add_source_in_state(out.back(), gathered, DeviceId(i), state);
        }
    }
    out.push_back(list_loads(study, solution));
    out.push_back(list_relays(vehicle, solution));
    out.push_back(prove_point(study, solution));
    ProofSection expected{"Expected", {}};
    if (written != nullptr) {
        add_expected(expected, vehicle, solution, written->expect_on, true);
        add_expected(expected, vehicle, solution, written->expect_off, false);
    }
    out.push_back(std::move(expected));
    std::erase_if(out, [](const ProofSection& section) { return section.steps.empty(); });
    return out;
}

} // namespace loomwright
