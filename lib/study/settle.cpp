// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Relays, starters and loads that let go are settled by solving again and again.
//
// All start released and unpowered, as when the battery is joined. In each round every trigger that
// does not stand as its voltage asks is turned over, all at once, until none is left. If a set
// comes back that has been seen before, real devices might still find rest, since no two act at the
// very same moment: so half of them are turned over, then ever fewer, in the order of the file. If
// that comes round in a circle with one at a time too, there is no rest, and the devices of every
// such circle are named (turns.cpp).
#include "study/settle.hpp"

#include "study/turns.hpp"

#include <algorithm>

namespace loomwright {
namespace {

constexpr std::size_t together_limit = 100;
constexpr std::size_t most_in_turn = 1000;
constexpr std::size_t least_in_turn = 60;
constexpr std::size_t in_turn_work = 10'000'000; ///< rounds x branches
constexpr int heat_limit = 60;

using Stand = std::vector<std::uint8_t>;

} // namespace

bool Settler::is_let_go(const solve::OperatingPoint& point) const {
    return point.status == solve::Status::no_solution && point.worst_branch >= 0 &&
           circuit_.circuit().law[static_cast<std::size_t>(point.worst_branch)] ==
               solve::Law::constant_power;
}

/// False when the circuit has no answer. A load that pulls its own feed down is no such case: its
/// trigger will turn it off.
bool Settler::solve_once(Settled& out) {
    const std::vector<double> start = std::move(out.point.volts);
    out.point = solvers_.current().solve(circuit_.circuit(), start);
    out.iterations += out.point.iterations;
    if (out.point.status == solve::Status::solved || is_let_go(out.point)) {
        return true;
    }
    report_collapse(out);
    return false;
}

void Settler::report_collapse(Settled& out) const {
    const Network& network = plan_.input.network;
    int node = out.point.worst_node;
    if (out.point.worst_branch >= 0) {
        const int branch =
            circuit_.circuit_branch()[static_cast<std::size_t>(out.point.worst_branch)];
        node = network.branches[static_cast<std::size_t>(branch)].from;
    }
    out.failure_node = node;
    const std::string place =
        node >= 0 ? network.node_names[static_cast<std::size_t>(node)] : std::string("?");
    out.failure = out.point.status == solve::Status::bad_input
                      ? "a value at " + place + " is not one that a circuit can have"
                      : "no voltages satisfy the circuit; it is farthest from balance at " + place;
}

std::vector<std::size_t> Settler::unsettled(const solve::OperatingPoint& point) const {
    std::vector<std::size_t> out;
    for (std::size_t i = 0; i < plan_.triggers.size(); ++i) {
        if (circuit_.wants_change(i, point)) {
            out.push_back(i);
        }
    }
    return out;
}

bool Settler::flip_together(Settled& out) {
    std::vector<Stand> seen;
    while (seen.size() < together_limit) {
        const std::vector<std::size_t> flips = unsettled(out.point);
        if (flips.empty()) {
            return true;
        }
        if (std::ranges::find(seen, circuit_.is_on) != seen.end()) {
            return flip_in_turn(out);
        }
        seen.push_back(circuit_.is_on);
        for (const std::size_t trigger : flips) {
            circuit_.is_on[trigger] ^= 1U;
        }
        circuit_.build();
        solvers_.advance();
        if (!solve_once(out)) {
            return false;
        }
    }
    return flip_in_turn(out);
}

bool Settler::flip_in_turn(Settled& out) {
    Turns turns(plan_.triggers.size());
    const std::size_t limit = in_turn_rounds();
    for (std::size_t round = 0; round < limit; ++round) {
        std::vector<std::size_t> flips = unsettled(out.point);
        if (flips.empty()) {
            return true;
        }
        if (turns.is_endless(circuit_.is_on, flips)) {
            break;
        }
        for (const std::size_t trigger : turns.next(std::move(flips))) {
            circuit_.is_on[trigger] ^= 1U;
        }
        circuit_.build();
        solvers_.advance();
        if (!solve_once(out)) {
            return false;
        }
    }
    report_chattering(turns.loops(), out);
    return false;
}

/// Fewer rounds for a circuit of which each takes long.
std::size_t Settler::in_turn_rounds() const {
    return std::clamp<std::size_t>(in_turn_work / std::max<std::size_t>(plan_.elements.size(), 1),
                                   least_in_turn, most_in_turn);
}

void Settler::report_chattering(const std::vector<std::vector<std::size_t>>& loops,
                                Settled& out) const {
    std::vector<DeviceId> named;
    for (const std::vector<std::size_t>& loop : loops) {
        std::vector<DeviceId> fresh;
        for (const std::size_t trigger : loop) {
            const DeviceId device = plan_.triggers[trigger].device;
            if (std::ranges::find(named, device) == named.end()) {
                named.push_back(device);
                fresh.push_back(device);
            }
        }
        if (!fresh.empty()) {
            out.chattering.push_back(std::move(fresh));
        }
    }
    constexpr std::size_t most_named = 8;
    std::string names;
    for (std::size_t i = 0; i < std::min(named.size(), most_named); ++i) {
        names += (i > 0 ? ", " : "") + plan_.input.vehicle.device(named[i]).name;
    }
    if (named.size() > most_named) {
        names += " and " + std::to_string(named.size() - most_named) + " more";
    }
    out.failure =
        "never comes to rest: " + names + (named.size() == 1 ? " goes" : " go") + " on and off";
    const std::size_t first = loops.front().front();
    out.failure_node =
        plan_.input.network.branches[static_cast<std::size_t>(plan_.triggers[first].branch)].from;
}

bool Settler::settle_triggers(Settled& out) {
    if (!solve_once(out) || !flip_together(out)) {
        return false;
    }
    if (out.point.status != solve::Status::solved) {
        report_collapse(out);
        return false;
    }
    return true;
}

/// False when neither conductors nor coils moved.
bool Settler::update_heat(Settled& out) {
    const bool coils = circuit_.update_coils(out.point);
    const bool wires = heat_.update(circuit_.branch_amps(out.point), circuit_);
    return coils || wires;
}

void Settler::settle_heat(Settled& out) {
    out.is_solved = settle_triggers(out);
    for (int round = 0; out.is_solved && update_heat(out); ++round) {
        if (round == heat_limit) {
            out.is_solved = false;
            out.failure = "the temperature of wire " +
                          plan_.input.vehicle.wire(heat_.most_moved()).number +
                          " does not come to rest";
            break;
        }
        circuit_.update_wires();
        out.is_solved = settle_triggers(out);
    }
    out.runaways = heat_.runaways();
}

Settled Settler::settle_cold(std::vector<double> start) {
    Settled out;
    out.point.volts = std::move(start);
    circuit_.build();
    out.is_solved = settle_triggers(out);
    return out;
}

Settled Settler::settle(std::vector<double> start) {
    Settled out;
    out.point.volts = std::move(start);
    circuit_.build();
    settle_heat(out);
    if (out.is_solved && !out.runaways.empty()) {
        std::string names;
        for (const WireId wire : out.runaways) {
            names += (names.empty() ? "" : ", ") + plan_.input.vehicle.wire(wire).number;
        }
        out.failure = "the heat of wire " + names +
                      " cannot leave: no steady temperature below 1000 C, where it is taken to be";
    }
    return out;
}

} // namespace loomwright
