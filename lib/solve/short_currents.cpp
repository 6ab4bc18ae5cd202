// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Dead shorts in a network of conductances, by superposition and Thevenin's theorem.
//
//   G v = j        G nodal conductances (S), j what sources send into the nodes (A): g E of a
//                  source of E behind 1 / g, its limit of one that limits itself
//   z_a = G^-1 e_a voltages that 1 A into node a makes; R_aa = z_a[a], R_ab = z_a[b] (ohm)
//   I = v_a / R_aa                                      one short at a
//   [R_aa R_ab; R_ab R_bb] (I_a, I_b) = (v_a, v_b)      two shorts at once
//
// A source at its limit is held from floating by a billionth of a siemens for each ampere. Since it
// gives its limit whatever the voltage, and loads take nothing, the currents are not less than
// those of the car itself: upper bounds, and exact where there is no such source.
#include "solve/short_currents.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace loomwright::solve {
namespace {

constexpr double holding_siemens_per_a = 1e-9;
/// Voltages under this share of what a node has for each ampere are rounding.
constexpr double rounding = 1e-9;
constexpr double least_volts = 1e-6;

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

Role role_of(Law law, double limit_a) {
    switch (law) {
    case Law::conductance:
        return Role::joins;
    case Law::source:
        return Role::source;
    case Law::limited_source:
        return limit_a > 0.0 ? Role::source : Role::absent;
    case Law::constant_current:
    case Law::constant_power:
    case Law::lamp:
    case Law::diode:
        break;
    }
    return Role::absent;
}

std::vector<Role> roles_of(const Circuit& circuit) {
    std::vector<Role> out;
    out.reserve(circuit.branch_count());
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        out.push_back(role_of(circuit.law[k], circuit.c[k]));
    }
    return out;
}

/// Siemens of a branch, and the current that it sends into its `from` node at 0 V.
struct Norton {
    double siemens = 0.0;
    double amps = 0.0;
};
Norton norton_of(Law law, double a, double b, double c) {
    if (law == Law::conductance) {
        return {a, 0.0};
    }
    return law == Law::source ? Norton{b, a * b} : Norton{c * holding_siemens_per_a, c};
}

} // namespace

ShortCurrents::ShortCurrents(const Circuit& circuit, PatternShelf* shelf)
    : pattern_(find_pattern(shelf, circuit, roles_of(circuit), Unknowns::all)) {
    find_joined(circuit);
    assemble(circuit);
}

void ShortCurrents::find_joined(const Circuit& circuit) {
    // Where each node's neighbours begin, and the neighbours of one node after the other.
    std::vector<std::size_t> begin(at(circuit.node_count) + 2, 0);
    for (const Index branch : pattern_->branch) {
        ++begin[at(circuit.from[at(branch)]) + 2];
        ++begin[at(circuit.to[at(branch)]) + 2];
    }
    std::partial_sum(begin.begin(), begin.end(), begin.begin());
    std::vector<Index> beside(2 * pattern_->branch.size());
    for (const Index branch : pattern_->branch) {
        beside[begin[at(circuit.from[at(branch)]) + 1]++] = circuit.to[at(branch)];
        beside[begin[at(circuit.to[at(branch)]) + 1]++] = circuit.from[at(branch)];
    }
    is_joined_.assign(at(circuit.node_count), 0);
    std::vector<Index> open;
    if (circuit.reference >= 0) {
        open.push_back(circuit.reference);
    }
    while (!open.empty()) {
        const std::size_t here = at(open.back());
        open.pop_back();
        if (is_joined_[here] == 0) {
            is_joined_[here] = 1;
            open.insert(open.end(), beside.begin() + static_cast<std::ptrdiff_t>(begin[here]),
                        beside.begin() + static_cast<std::ptrdiff_t>(begin[here + 1]));
        }
    }
}

void ShortCurrents::assemble(const Circuit& circuit) {
    const Index count = pattern_->unknown_count;
    pattern_->begin(factor_);
    factor_.clear();
    const std::span<double> to_reference = factor_.to_reference();
    const std::span<double> off_diagonal = factor_.off_diagonal();
    volts_.assign(at(count) + 1, 0.0); // the references share the last place
    for (std::size_t term = 0; term < pattern_->branch.size(); ++term) {
        const std::size_t branch = at(pattern_->branch[term]);
        const Norton norton =
            norton_of(circuit.law[branch], circuit.a[branch], circuit.b[branch], circuit.c[branch]);
        const Index from = pattern_->from[term];
        const Index to = pattern_->to[term];
        if (from == to) {
            continue;
        }
        volts_[at(from)] += norton.amps;
        volts_[at(to)] -= norton.amps;
        if (pattern_->slot[term] >= 0) {
            off_diagonal[at(factor_.place(at(pattern_->slot[term])))] -= norton.siemens;
        } else {
            to_reference[at(from < count ? from : to)] += norton.siemens;
        }
    }
    volts_.resize(at(count));
    is_solved_ = factor_.factorise();
    if (is_solved_) {
        factor_.solve(volts_);
    }
}

Index ShortCurrents::unknown(Index node) const {
    return pattern_->unknown_of_node[at(node)];
}

bool ShortCurrents::is_dead(Index node) const {
    const Index place = unknown(node);
    return !is_solved_ || is_joined_[at(node)] == 0 || place < 0 ||
           place >= pattern_->unknown_count || !(std::abs(volts_[at(place)]) > least_volts);
}

double ShortCurrents::open_volts(Index node) const {
    return is_dead(node) ? 0.0 : volts_[at(unknown(node))];
}

double ShortCurrents::at_node(Index node) {
    const Index place = unknown(node);
    return volts_[at(place)] / factor_.inverse_entries(place, place).aa;
}

ShortPair ShortCurrents::at_pair(Index a, Index b) {
    const std::size_t ka = at(unknown(a));
    const std::size_t kb = at(unknown(b));
    const auto [raa, rab, rbb] = factor_.inverse_entries(unknown(a), unknown(b));
    // From a node that hangs on the other alone nothing comes: its voltage follows the other's.
    const bool is_one = std::abs(volts_[ka] - volts_[kb]) <= rounding * std::abs(volts_[ka]);
    if (is_one && std::abs(raa - rab) <= rounding * raa) {
        return {volts_[ka] / raa, 0.0};
    }
    if (is_one && std::abs(rbb - rab) <= rounding * rbb) {
        return {0.0, volts_[kb] / rbb};
    }
    const double determinant = raa * rbb - rab * rab;
    return {(rbb * volts_[ka] - rab * volts_[kb]) / determinant,
            (raa * volts_[kb] - rab * volts_[ka]) / determinant};
}

} // namespace loomwright::solve
