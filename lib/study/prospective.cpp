// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Prospective currents of protective devices (equations in solve/short_currents.cpp). A device
// taken for a piece of metal, with a short beyond it, has both its terminals at the metal's
// voltage: what its own side sends into the short is the current through it.
#include "study/prospective.hpp"

#include "network/battery_rows.hpp"
#include "network/branch_kinds.hpp"
#include "solve/short_currents.hpp"
#include "study/shelves.hpp"
#include "study/values.hpp"

#include <array>
#include <cmath>
#include <cstdint>

namespace loomwright {
namespace {

/// The circuit without what leads nowhere: a node of one branch alone takes no current. Those of
/// `kept` stay.
solve::Circuit without_dead_ends(const solve::Circuit& circuit,
                                 const std::vector<std::uint8_t>& kept) {
    // A node's branches that are left, and the sum of their numbers: of one it is its number.
    struct Left {
        std::size_t count = 0;
        std::size_t sum = 0;
    };
    std::vector<Left> left(static_cast<std::size_t>(circuit.node_count));
    const auto ends = [&circuit](std::size_t branch) {
        return std::array{static_cast<std::size_t>(circuit.from[branch]),
                          static_cast<std::size_t>(circuit.to[branch])};
    };
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        for (const std::size_t node : ends(k)) {
            left[node].count += 1;
            left[node].sum += k;
        }
    }
    std::vector<std::uint8_t> is_gone(circuit.branch_count(), 0);
    for (std::size_t start = 0; start < left.size(); ++start) {
        std::size_t node = start;
        while (left[node].count == 1 && kept[node] == 0) {
            const std::size_t last = left[node].sum;
            is_gone[last] = 1;
            for (const std::size_t end : ends(last)) {
                left[end].count -= 1;
                left[end].sum -= last;
            }
            node = ends(last)[0] == node ? ends(last)[1] : ends(last)[0];
        }
    }
    solve::Circuit out;
    out.node_count = circuit.node_count;
    out.reference = circuit.reference;
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (is_gone[k] == 0) {
            out.add(circuit.law[k], circuit.from[k], circuit.to[k], circuit.a[k], circuit.b[k],
                    circuit.c[k]);
        }
    }
    return out;
}

class ColdCircuit {
public:
    ColdCircuit(const StudyInput& input, const Design& design)
        : input_(input), design_(design), defaults_(input.catalogue, input.vehicle),
          rows_(battery_rows(input.vehicle, input.network)),
          kept_(static_cast<std::size_t>(input.network.node_count()), 0) {
        for (const Branch& branch : input.network.branches) {
            if (branch.kind == BranchKind::protection) {
                kept_[static_cast<std::size_t>(branch.from)] = 1;
                kept_[static_cast<std::size_t>(branch.to)] = 1;
            }
        }
        if (input.network.reference >= 0) {
            kept_[static_cast<std::size_t>(input.network.reference)] = 1;
        }
    }

    /// The circuit of a state as a short finds it.
    [[nodiscard]] solve::Circuit of(const StateSolution& state) const {
        solve::Circuit out;
        out.node_count = state.circuit.node_count;
        out.reference = state.circuit.reference;
        for (std::size_t k = 0; k < state.circuit.branch_count(); ++k) {
            const Branch& branch =
                input_.network.branches[static_cast<std::size_t>(state.circuit_branch[k])];
            const bool is_diode = branch.kind == BranchKind::diode;
            if (is_conductor(branch.kind) || is_source(branch.kind) || is_diode) {
                const Element element = element_of(branch, state, k);
                out.add(element.law, branch.from, branch.to, element.a, element.b, element.c);
            }
        }
        return without_dead_ends(out, kept_);
    }

private:
    [[nodiscard]] Element element_of(const Branch& branch, const StateSolution& state,
                                     std::size_t place) const {
        const solve::Circuit& solved = state.circuit;
        switch (branch.kind) {
        case BranchKind::wire:
            return resistor_element(design_.wires[branch.wire.index()].r20_ohm());
        case BranchKind::protection:
            return resistor_element(device_ohm(branch.device));
        case BranchKind::diode:
            return resistor_element(0.0); // it holds nothing back, whichever way round
        case BranchKind::battery:
            return {.law = solve::Law::source,
                    .a = solved.a[place],
                    .b = resistor_element(battery_ohm(branch.device, state.state)).a};
        default:
            return {solved.law[place], solved.a[place], solved.b[place], solved.c[place]};
        }
    }

    [[nodiscard]] double device_ohm(DeviceId id) const {
        return cold_protection_ohm(*input_.vehicle.device(id).as<Protection>(),
                                   design_.ratings[id.index()], input_.catalogue, defaults_);
    }
    [[nodiscard]] double battery_ohm(DeviceId id, StateId state) const {
        const Battery& battery = *input_.vehicle.device(id).as<Battery>();
        const State* named = state_of(input_.vehicle, state);
        return battery_values(
                   battery, defaults_.in_row(rows_[id.index()]), battery_charge(battery, named),
                   battery_temperature_c(battery, defaults_, input_.vehicle.policy, named))
            .ohm;
    }

    const StudyInput& input_;
    const Design& design_;
    StudyDefaults defaults_;
    std::vector<int> rows_;
    std::vector<std::uint8_t> kept_; ///< by node: ends of protective devices, and the reference
};

/// More than any source has: of one at its limit (solve/short_currents.cpp).
constexpr double held_v = 1e6;

void take(Prospect& most, double amps, double open_v, StateId state) {
    if (std::abs(amps) > most.amps) {
        const double volts = std::abs(open_v);
        most = {std::abs(amps), volts < held_v ? volts : 0.0, state};
    }
}

void take_state(const StudyInput& input, solve::ShortCurrents& shorts, StateId state,
                std::vector<ProspectPair>& out) {
    for (const Branch& branch : input.network.branches) {
        if (branch.kind != BranchKind::protection) {
            continue;
        }
        ProspectPair& pair = out[branch.device.index()];
        const bool from_is_dead = shorts.is_dead(branch.from);
        if (from_is_dead && shorts.is_dead(branch.to)) {
            continue;
        }
        if (from_is_dead || shorts.is_dead(branch.to)) {
            // Its other end is the metal itself: a fuse in the way home.
            const int live = from_is_dead ? branch.to : branch.from;
            take(from_is_dead ? pair.back : pair.onward, shorts.at_node(live),
                 shorts.open_volts(live), state);
            continue;
        }
        const solve::ShortPair amps = shorts.at_pair(branch.from, branch.to);
        take(pair.onward, amps.a_amps, shorts.open_volts(branch.from), state);
        take(pair.back, amps.b_amps, shorts.open_volts(branch.to), state);
    }
}

} // namespace

std::vector<ProspectPair> prospective_currents(const StudyInput& input, const Design& design,
                                               const std::vector<StateSolution>& states) {
    std::vector<ProspectPair> out(input.vehicle.devices.size());
    const ColdCircuit cold(input, design);
    auto* const patterns = shelf_of<solve::PatternShelf>(input);
    for (const StateSolution& state : states) {
        if (state.converged) {
            solve::ShortCurrents shorts(cold.of(state), patterns);
            take_state(input, shorts, state.state, out);
        }
    }
    return out;
}

} // namespace loomwright
