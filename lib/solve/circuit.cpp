// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/circuit.hpp"

#include "solve/collapse.hpp"
#include "solve/newton.hpp"
#include "solve/pattern_shelf.hpp"
#include "solve/split_volts.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

namespace loomwright::solve {

namespace {

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

// Numbers outside are slips (a unit off by a factor of a million), and would overflow in products.
constexpr double least_number = 1e-30;
constexpr double greatest_number = 1e30;

bool is_number(double x) {
    return std::abs(x) <= greatest_number; // false for NaN
}
bool is_positive(double x) {
    return x >= least_number && x <= greatest_number;
}
bool is_not_negative(double x) {
    return x >= 0.0 && x <= greatest_number;
}

bool is_possible(Law law, double a, double b, double c) {
    switch (law) {
    case Law::conductance:
        return is_positive(a);
    case Law::source:
        return is_number(a) && is_positive(b);
    case Law::limited_source:
        return is_number(a) && is_positive(b) && is_not_negative(c);
    case Law::constant_current:
    case Law::constant_power:
        return is_not_negative(a) && is_positive(b);
    case Law::lamp:
        return is_not_negative(a) && is_positive(b) && c > 1.0 && is_number(c);
    case Law::diode:
        return is_positive(a) && is_positive(b);
    }
    return false;
}

Role role_of(const Circuit& circuit, std::size_t k) {
    switch (circuit.law[k]) {
    case Law::source:
        return Role::source;
    case Law::limited_source:
        return circuit.c[k] > 0.0 ? Role::source : Role::absent;
    case Law::constant_current:
    case Law::constant_power:
    case Law::lamp:
        return circuit.a[k] > 0.0 ? Role::joins : Role::absent;
    case Law::conductance:
        return Role::conducts;
    case Law::diode:
        break;
    }
    return Role::joins;
}

/// The role of every branch. False when the arrays do not belong together or a branch is not
/// possible; the first such is named.
bool find_roles(const Circuit& circuit, std::vector<Role>& roles, Index& worst_branch) {
    const std::size_t count = circuit.branch_count();
    const bool fits = circuit.from.size() == count && circuit.to.size() == count &&
                      circuit.a.size() == count && circuit.b.size() == count &&
                      circuit.c.size() == count;
    if (!fits || circuit.node_count < 0 || circuit.reference >= circuit.node_count) {
        return false;
    }
    roles.resize(count);
    for (std::size_t k = 0; k < count; ++k) {
        const Index from = circuit.from[k];
        const Index to = circuit.to[k];
        if (from < 0 || from >= circuit.node_count || to < 0 || to >= circuit.node_count ||
            !is_possible(circuit.law[k], circuit.a[k], circuit.b[k], circuit.c[k])) {
            worst_branch = static_cast<Index>(k);
            return false;
        }
        roles[k] = role_of(circuit, k);
    }
    return true;
}

/// What sources deliver, what the rest takes, and how far each node is from balance.
void prove(const Circuit& circuit, const Newton& newton, const Pattern& pattern,
           std::vector<double>& node_amps, OperatingPoint& point) {
    node_amps.assign(at(circuit.node_count), 0.0);
    double delivered_w = 0.0;
    double taken_w = 0.0;
    for (std::size_t k = 0; k < newton.terms.size(); ++k) {
        const Newton::Term& term = newton.terms[k];
        const double amps = newton.term_amps[k];
        node_amps[at(pattern.from_node[k])] += amps;
        node_amps[at(pattern.to_node[k])] -= amps;
        const double watts = newton.volts(term) * amps;
        const bool is_source = term.law == Law::source || term.law == Law::limited_source;
        if (is_source && amps < 0.0) {
            point.source_current_a -= amps;
        }
        (is_source && watts < 0.0 ? delivered_w : taken_w) += watts;
    }
    for (std::size_t node = 0; node < node_amps.size(); ++node) {
        const double off = std::abs(node_amps[node]);
        if (off > point.imbalance_a) {
            point.imbalance_a = off;
            point.worst_node = static_cast<Index>(node);
        }
    }
    if (delivered_w < 0.0) {
        point.power_error = std::abs(delivered_w + taken_w) / -delivered_w;
    }
}

/// The voltage of the node where a chain goes from one branch to the next.
void write_inner(const Circuit& circuit, const Pattern& pattern, const Link& before,
                 SplitVolts volts, OperatingPoint& point) {
    const auto& ends = before.is_turned ? circuit.from : circuit.to;
    const std::size_t level = at(pattern.level_of_node[at(ends[at(before.branch)])]);
    point.volts[level] = volts.high + volts.low;
    point.volts_low[level] = volts.low - (point.volts[level] - volts.high);
}

/// The currents of a term's branches, and the voltages between them, from both ends to the branch
/// of the greatest drop: what rounding leaves over is least beside that.
void write_chain(const Circuit& circuit, const Newton& newton, const Pattern& pattern,
                 std::size_t term, OperatingPoint& point) {
    const std::span<const Link> links =
        std::span(pattern.chains.links)
            .subspan(at(pattern.chains.start[term]),
                     at(pattern.chains.start[term + 1] - pattern.chains.start[term]));
    const double amps = newton.term_amps[term];
    for (const Link& link : links) {
        point.amps[at(link.branch)] = link.is_turned ? -amps : amps;
    }
    const auto siemens = [&circuit](const Link& link) { return circuit.a[at(link.branch)]; };
    const auto greatest = std::ranges::min_element(links, {}, siemens);
    const auto end_volts = [&newton](Index unknown) {
        return SplitVolts{.high = newton.high[at(unknown)], .low = newton.low[at(unknown)]};
    };
    SplitVolts here = end_volts(pattern.from[term]);
    for (auto link = links.begin(); link != greatest; ++link) {
        here = difference(here.high, here.low, amps / siemens(*link), 0.0);
        write_inner(circuit, pattern, *link, here, point);
    }
    here = end_volts(pattern.to[term]);
    for (auto link = links.end() - 1; link != greatest; --link) {
        here = difference(here.high, here.low, -amps / siemens(*link), 0.0);
        write_inner(circuit, pattern, *(link - 1), here, point);
    }
}

void write_out(const Circuit& circuit, const Newton& newton, const Pattern& pattern,
               OperatingPoint& point) {
    for (std::size_t term = 0; term < newton.terms.size(); ++term) {
        write_chain(circuit, newton, pattern, term, point);
    }
    for (std::size_t node = 0; node < point.volts.size(); ++node) {
        const Index unknown = pattern.unknown_of_node[node];
        point.floating[node] = static_cast<std::uint8_t>(unknown == Pattern::floating);
        if (unknown == Pattern::in_chain) {
            const std::size_t level = at(pattern.level_of_node[node]);
            point.volts[node] = point.volts[level];
            point.volts_low[node] = point.volts_low[level];
        } else if (unknown >= 0) {
            point.volts[node] = newton.high[at(unknown)];
            point.volts_low[node] = newton.low[at(unknown)];
        }
    }
}

/// Numbers run out of their range are no answer: zero stands in their place.
void clear_nonsense(OperatingPoint& point) {
    for (auto* numbers : {&point.volts, &point.volts_low, &point.amps}) {
        std::replace_if(
            numbers->begin(), numbers->end(), [](double x) { return !std::isfinite(x); }, 0.0);
    }
    for (double* number : {&point.source_current_a, &point.imbalance_a, &point.power_error}) {
        *number = std::isfinite(*number) ? *number : 0.0;
    }
}

bool is_start(std::span<const double> start, const Circuit& circuit) {
    return !start.empty() && start.size() == at(circuit.node_count) &&
           std::all_of(start.begin(), start.end(), is_number);
}

} // namespace

struct Solver::Work {
    PatternShelf* shelf = nullptr;
    std::shared_ptr<const AnalysedPattern> pattern;
    Newton newton;
    std::vector<Role> roles;
    std::vector<double> node_amps;
    int analyses = 0;
};

Solver::Solver(PatternShelf* shelf) : work_(std::make_unique<Work>()) {
    work_->shelf = shelf;
}
Solver::~Solver() = default;
Solver::Solver(Solver&&) noexcept = default;
Solver& Solver::operator=(Solver&&) noexcept = default;

int Solver::analyses() const {
    return work_->analyses;
}

OperatingPoint Solver::solve(const Circuit& circuit, std::span<const double> start) {
    OperatingPoint point;
    const std::size_t node_count = at(std::max(circuit.node_count, 0));
    point.volts.resize(node_count);
    point.volts_low.resize(node_count);
    point.floating.assign(node_count, 1);
    point.amps.resize(circuit.branch_count());
    Work& work = *work_;
    if (!find_roles(circuit, work.roles, point.worst_branch)) {
        return point;
    }
    if (!work.pattern || !work.pattern->matches(circuit, work.roles)) {
        work.pattern = find_pattern(work.shelf, circuit, work.roles, Unknowns::needed);
        work.newton.analyse(*work.pattern);
        ++work.analyses;
    }
    const Pattern& pattern = *work.pattern;
    Newton& newton = work.newton;
    newton.prepare(circuit);
    bool balanced = false;
    if (is_start(start, circuit)) {
        newton.start_from(start);
        balanced = newton.run(point.iterations) && !has_dropped_out(newton);
    }
    if (!balanced) {
        newton.start_cold();
        balanced = newton.run(point.iterations);
    }
    const Index collapsed = balanced ? find_collapse(newton, point.iterations) : -1;
    write_out(circuit, newton, pattern, point);
    prove(circuit, newton, pattern, work.node_amps, point);
    point.status = balanced && collapsed < 0 ? Status::solved : Status::no_solution;
    if (!balanced) {
        clear_nonsense(point);
    }
    if (collapsed >= 0) {
        point.worst_branch = pattern.branch[at(collapsed)];
        point.worst_node = circuit.from[at(point.worst_branch)];
    }
    return point;
}

} // namespace loomwright::solve
