// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
//   g_k = di_k/dv at the operating point         S, slope of branch k by its law
//   G = sum of g_k u_k u_k^T                     u_k: +1 at its `from`, -1 at its `to`
//   z = G^-1 (e_into - e_out_of)                 V for each A
//
// A law that is flat at its operating point (a motor's constant current, a source at its limit)
// counts as a picosiemens: what hangs on it alone is held, and no other voltage moves by it. Range:
// changes so small that no slope changes, relays standing as they do. (The small-signal analysis of
// any circuit text; G is symmetric, which is reciprocity.)
#include "solve/tangent.hpp"

#include <algorithm>

namespace loomwright::solve {
namespace {

constexpr double flat_siemens = 1e-12;

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

std::vector<Role> roles_of(const Circuit& circuit) {
    std::vector<Role> out;
    out.reserve(circuit.branch_count());
    for (const Law law : circuit.law) {
        const bool is_source = law == Law::source || law == Law::limited_source;
        out.push_back(is_source ? Role::source : Role::joins);
    }
    return out;
}

} // namespace

Tangent::Tangent(const Circuit& circuit, std::span<const double> node_volts) {
    pattern_.build(circuit, roles_of(circuit));
    siemens_.resize(circuit.branch_count());
    for (std::size_t k = 0; k < siemens_.size(); ++k) {
        const double volts = node_volts[at(circuit.from[k])] - node_volts[at(circuit.to[k])];
        const double slope =
            branch_current(circuit.law[k], circuit.a[k], circuit.b[k], circuit.c[k], volts).siemens;
        siemens_[k] = slope == 0.0 ? flat_siemens : slope;
    }
    factor_.analyse(pattern_.column_start, pattern_.row);
    factor_.clear();
    const std::span<double> to_reference = factor_.to_reference();
    const std::span<double> off_diagonal = factor_.off_diagonal();
    for (std::size_t term = 0; term < pattern_.branch.size(); ++term) {
        const double slope = siemens_[at(pattern_.branch[term])];
        const Index from = pattern_.from[term];
        const Index to = pattern_.to[term];
        if (from == to) {
            continue;
        }
        if (pattern_.slot[term] >= 0) {
            off_diagonal[at(factor_.place(at(pattern_.slot[term])))] -= slope;
        } else {
            to_reference[at(from < pattern_.unknown_count ? from : to)] += slope;
        }
    }
    is_solved_ = factor_.factorise();
}

std::vector<double> Tangent::respond(Index into, Index out_of) const {
    std::vector<double> by_unknown(at(pattern_.unknown_count), 0.0);
    const auto lead = [&](Index node, double amps) {
        const Index unknown = pattern_.unknown_of_node[at(node)];
        if (unknown >= 0 && unknown < pattern_.unknown_count) {
            by_unknown[at(unknown)] += amps;
        }
    };
    lead(into, 1.0);
    lead(out_of, -1.0);
    factor_.solve(by_unknown);
    std::vector<double> out(pattern_.unknown_of_node.size(), 0.0);
    for (std::size_t node = 0; node < out.size(); ++node) {
        const Index unknown = pattern_.unknown_of_node[node];
        if (unknown >= 0 && unknown < pattern_.unknown_count) {
            out[node] = by_unknown[at(unknown)];
        }
    }
    return out;
}

} // namespace loomwright::solve
