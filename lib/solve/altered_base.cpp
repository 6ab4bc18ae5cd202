// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/altered_parts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace loomwright::solve {

namespace {

constexpr std::size_t most_ports = 512; ///< beyond, what ports save is lost among themselves
constexpr std::size_t most_port_volts = std::size_t{1} << 20U;

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

bool is_source(Law law) {
    return law == Law::source || law == Law::limited_source;
}

/// The pattern of all branches that may come into force: it has a place for every matrix.
Pattern pattern_of(const Circuit& circuit, const std::vector<std::uint8_t>& in_force) {
    std::vector<Role> roles(circuit.branch_count(), Role::joins);
    for (std::size_t k = 0; k < roles.size(); ++k) {
        if (is_source(circuit.law[k]) && in_force[k] != 0) {
            roles[k] = Role::source;
        }
    }
    Pattern pattern;
    pattern.build(circuit, roles);
    return pattern;
}

std::vector<Index> fixed_nodes(const Pattern& pattern) {
    std::vector<Index> out;
    for (std::size_t node = 0; node < pattern.unknown_of_node.size(); ++node) {
        if (pattern.unknown_of_node[node] == pattern.unknown_count) {
            out.push_back(static_cast<Index>(node));
        }
    }
    return out;
}

/// By node, the number of its island if every branch were in force.
std::vector<Index> islands_of_all(const Circuit& circuit) {
    std::vector<Index> island(at(circuit.node_count));
    for (std::size_t node = 0; node < island.size(); ++node) {
        island[node] = static_cast<Index>(node);
    }
    const auto root = [&island](Index node) {
        while (island[at(node)] != node) {
            island[at(node)] = island[at(island[at(node)])];
            node = island[at(node)];
        }
        return node;
    };
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        const Index a = root(circuit.from[k]);
        const Index b = root(circuit.to[k]);
        island[at(std::max(a, b))] = std::min(a, b);
    }
    for (std::size_t node = 0; node < island.size(); ++node) {
        island[node] = root(static_cast<Index>(node));
    }
    return island;
}

Circuit in_force_only(const Circuit& circuit, const std::vector<std::uint8_t>& in_force) {
    Circuit out;
    out.node_count = circuit.node_count;
    out.reference = circuit.reference;
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (in_force[k] != 0) {
            out.add(circuit.law[k], circuit.from[k], circuit.to[k], circuit.a[k], circuit.b[k],
                    circuit.c[k]);
        }
    }
    return out;
}

} // namespace

bool is_there(Law law, double a, double c) {
    switch (law) {
    case Law::constant_current:
    case Law::constant_power:
    case Law::lamp:
    case Law::conductance:
        return a > 0.0;
    case Law::limited_source:
        return c > 0.0;
    case Law::source:
    case Law::diode:
        break;
    }
    return true;
}

AlteredBase::Parts::Parts(Circuit whole, std::vector<std::uint8_t> which)
    : circuit(std::move(whole)), in_force(std::move(which)), meetings(circuit),
      pattern(pattern_of(circuit, in_force)), fixed(fixed_nodes(pattern)),
      islands(circuit, meetings, fixed), pattern_island(islands_of_all(circuit)) {
    for (std::size_t k = 0; k < in_force.size(); ++k) {
        if (!is_there(circuit.law[k], circuit.a[k], circuit.c[k])) {
            in_force[k] = 0;
        }
    }
    islands.build(in_force);
    term_of_branch.assign(circuit.branch_count(), -1);
    for (std::size_t term = 0; term < pattern.branch.size(); ++term) {
        term_of_branch[at(pattern.branch[term])] = static_cast<Index>(term);
    }
}

bool AlteredBase::Parts::take_operating_point(std::span<const double> start) {
    const OperatingPoint point = Solver().solve(in_force_only(circuit, in_force), start);
    if (point.status != Status::solved) {
        return false;
    }
    const std::size_t count = at(pattern.unknown_count) + 1;
    high.assign(count, 0.0);
    low.assign(count, 0.0);
    for (std::size_t node = 0; node < point.volts.size(); ++node) {
        const Index unknown = pattern.unknown_of_node[node];
        if (unknown >= 0 && unknown < pattern.unknown_count) {
            high[at(unknown)] = point.volts[node];
            low[at(unknown)] = point.volts_low[node];
        }
    }
    return true;
}

SplitVolts AlteredBase::Parts::across(Index from, Index to) const {
    return difference(high[at(from)], low[at(from)], high[at(to)], low[at(to)]);
}

void AlteredBase::Parts::place_terms() {
    factor.analyse(pattern.column_start, pattern.row);
    place.resize(pattern.slot.size());
    for (std::size_t k = 0; k < place.size(); ++k) {
        place[k] = pattern.slot[k] < 0 ? -1 : factor.place(at(pattern.slot[k]));
    }
}

LawTerm AlteredBase::Parts::law_term(std::size_t term) const {
    const std::size_t branch = at(pattern.branch[term]);
    const SplitVolts volts = across(pattern.from[term], pattern.to[term]);
    return {.law = circuit.law[branch],
            .in_force = in_force[branch] != 0,
            .from = pattern.from[term],
            .to = pattern.to[term],
            .place = place[term],
            .a = circuit.a[branch],
            .b = circuit.b[branch],
            .c = circuit.c[branch],
            .high = volts.high,
            .low = volts.low};
}

void AlteredBase::Parts::lay_out_terms() {
    const std::size_t count = pattern.branch.size();
    straight.resize(count);
    straight_amps.assign(count, 0.0);
    law_of_term.assign(count, -1);
    steady.assign(high.size(), 0.0);
    double highest = 0.0;
    double heaviest = 0.0; // siemens
    for (std::size_t term = 0; term < count; ++term) {
        LawTerm here = law_term(term);
        straight[term] = {.from = here.from, .to = here.to};
        if (is_source(here.law) && here.in_force) {
            highest = std::max(highest, std::abs(here.a));
        }
        const BranchCurrent now =
            here.in_force ? law_current(here.law, here.a, here.b, here.c, here.high, here.low)
                          : BranchCurrent{};
        heaviest = std::max(heaviest, now.siemens);
        if (here.law == Law::conductance) {
            straight[term].siemens = now.siemens;
            straight_amps[term] = now.amps;
            steady[at(here.from)] += now.amps;
            steady[at(here.to)] -= now.amps;
            continue;
        }
        here.base_amps = now.amps;
        here.kept = here.in_force ? matrix_siemens(here.law, here.a, here.b, now.siemens) : 0.0;
        law_of_term[term] = static_cast<Index>(laws.size());
        laws.push_back(here);
    }
    emf = highest > 0.0 ? highest : 1.0;
    rounding_a = std::numeric_limits<double>::epsilon() * emf * heaviest;
}

void AlteredBase::Parts::hold_islands() {
    for (const Index node : islands.held()) {
        const Index unknown = pattern.unknown_of_node[at(node)];
        if (unknown >= 0) {
            laws.push_back({.in_force = true,
                            .is_hold = true,
                            .from = unknown,
                            .to = pattern.unknown_count,
                            .a = hold_siemens,
                            .kept = hold_siemens});
        }
    }
}

bool AlteredBase::Parts::factorise(Factor& into, std::span<const StraightTerm> all_straight,
                                   std::span<const LawTerm> all_laws) const {
    into.clear();
    const std::span<double> to_reference = into.to_reference();
    const std::span<double> off_diagonal = into.off_diagonal();
    const Index reference = pattern.unknown_count;
    const auto add = [&](Index from, Index to, Index where, double siemens) {
        if (from == to) {
            return;
        }
        if (where >= 0) {
            off_diagonal[at(where)] -= siemens;
        } else {
            to_reference[at(from == reference ? to : from)] += siemens;
        }
    };
    for (std::size_t term = 0; term < all_straight.size(); ++term) {
        add(all_straight[term].from, all_straight[term].to, place[term],
            all_straight[term].siemens);
    }
    for (const LawTerm& law : all_laws) {
        if (law.has_place) {
            add(law.from, law.to, law.place, law.kept);
        }
    }
    return into.factorise();
}

void AlteredBase::Parts::work_out_ports() {
    const std::size_t width = high.size();
    if (laws.empty() || laws.size() > most_ports || laws.size() * width > most_port_volts) {
        return;
    }
    ports.count = laws.size();
    ports.width = width;
    ports.columns.assign(ports.count * width, 0.0);
    ports.between.assign(ports.count * ports.count, 0.0);
    for (std::size_t k = 0; k < ports.count; ++k) {
        const std::span<double> column = std::span(ports.columns).subspan(k * width, width);
        factor.solve_between(laws[k].from, laws[k].to, column.first(width - 1));
        for (std::size_t j = 0; j < ports.count; ++j) {
            ports.between[k * ports.count + j] = column[at(laws[j].from)] - column[at(laws[j].to)];
        }
    }
}

AlteredBase::AlteredBase(const Circuit& circuit, std::vector<std::uint8_t> in_force,
                         std::span<const double> start) {
    auto parts = std::make_unique<Parts>(circuit, std::move(in_force));
    parts->is_solved = parts->take_operating_point(start);
    if (parts->is_solved) {
        parts->place_terms();
        parts->lay_out_terms();
        parts->hold_islands();
        parts->is_solved = parts->factorise(parts->factor, parts->straight, parts->laws);
        parts->work_out_ports();
    }
    parts_ = std::move(parts);
}

AlteredBase::~AlteredBase() = default;
AlteredBase::AlteredBase(AlteredBase&&) noexcept = default;
AlteredBase& AlteredBase::operator=(AlteredBase&&) noexcept = default;

bool AlteredBase::is_solved() const {
    return parts_->is_solved;
}

} // namespace loomwright::solve
