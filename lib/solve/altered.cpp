// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/altered.hpp"

#include "solve/altered_work.hpp"

#include <algorithm>

// Operating points of circuits that differ from a solved one in a few branches.
//
// Unknowns are what each node voltage moved from the base, x. Branches that are straight lines and
// as in the base carry i0 + g dx; all others (bent laws, altered branches, bridges) are taken by
// their laws at the true voltage. What is left over at the nodes, r(x), is brought to nothing by
//
//   x <- x - (A + U D U^T)^-1 r(x)
//
//   A         matrix of the base, factorised once for all cases
//   U D U^T   what the altered branches changed in it, and those bent laws whose slope moved so
//             far that the iteration would be slow without them: |dg| R > slow, with R the
//             resistance that the base has between their ends (rank_updates.cpp)
//
// A circuit with not too many bent laws is first searched by their voltages alone
// (altered_ports.cpp); the iteration over all unknowns (altered_rounds.cpp) takes over where that
// does not settle.
//
// With every slope in D this is Newton's method; with the others left as they were in the base each
// round still gains the factor |dg| R at least. A step that overshoots is shortened as in
// newton.cpp. Where rounds gain little or too much changed, the factors are made anew at the place
// reached; where that does not help either, the circuit goes to `Solver`, which finds an answer
// from anywhere.
//
// A part that comes off is held at 0 V at one node (islands.cpp); no current flows there, so that
// the currents are those of the circuit without it.

namespace loomwright::solve {

namespace {

constexpr double proof = 1e-9; ///< of the source current, whichever way it was found

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

} // namespace

void AlteredSolver::Work::reset() {
    if (!is_as_base) {
        in_force = base.in_force;
        straight = base.straight;
        law_of_term = base.law_of_term;
        steady = base.steady;
        laws = base.laws;
        islands = base.islands;
        bridges.clear();
        updates.clear();
        factor = &base.factor;
        is_as_base = true;
    }
    if (!is_at_base) {
        moved.assign(base.high.size(), 0.0);
        imbalance.assign(base.high.size(), 0.0);
        step.assign(base.high.size(), 0.0);
        is_at_base = true;
    }
}

/// The term as one that is taken by its law from now on.
LawTerm& AlteredSolver::Work::law_of(std::size_t term) {
    is_as_base = false;
    if (law_of_term[term] < 0) {
        law_of_term[term] = static_cast<Index>(laws.size());
        StraightTerm& line = straight[term];
        laws.push_back(base.law_term(term));
        laws.back().kept = line.siemens;
        laws.back().base_amps = base.straight_amps[term];
        steady[at(line.from)] -= base.straight_amps[term];
        steady[at(line.to)] += base.straight_amps[term];
        line.siemens = 0.0;
    }
    LawTerm& law = laws[at(law_of_term[term])];
    law.is_altered = true;
    return law;
}

void AlteredSolver::Work::hold(const std::vector<Islands::Change>& nodes) {
    const Index reference = base.pattern.unknown_count;
    for (const Islands::Change& change : nodes) {
        const Index here = unknown(change.node);
        if (here < 0 || here == reference) {
            continue;
        }
        const auto is_this = [&](const LawTerm& law) { return law.is_hold && law.from == here; };
        auto found = std::ranges::find_if(laws, is_this);
        if (found == laws.end()) {
            laws.push_back({.is_hold = true,
                            .from = here,
                            .to = reference,
                            .a = hold_siemens,
                            .high = base.high[at(here)],
                            .low = base.low[at(here)]});
            found = laws.end() - 1;
        }
        found->in_force = change.is_held;
        found->is_altered = true;
    }
}

void AlteredSolver::Work::open(Index branch) {
    if (in_force[at(branch)] == 0) {
        return;
    }
    is_as_base = false;
    in_force[at(branch)] = 0;
    changes.clear();
    islands.cut(base.circuit.from[at(branch)], base.circuit.to[at(branch)], in_force, changes);
    hold(changes);
    if (base.term_of_branch[at(branch)] >= 0) {
        law_of(at(base.term_of_branch[at(branch)])).in_force = false;
    }
}

void AlteredSolver::Work::put(Index branch, Law law, double a, double b, double c) {
    if (!is_there(law, a, c)) {
        open(branch);
        return;
    }
    if (in_force[at(branch)] == 0) {
        is_as_base = false;
        in_force[at(branch)] = 1;
        changes.clear();
        islands.join(base.circuit.from[at(branch)], base.circuit.to[at(branch)], in_force, changes);
        hold(changes);
    }
    if (base.term_of_branch[at(branch)] >= 0) {
        LawTerm& here = law_of(at(base.term_of_branch[at(branch)]));
        here.in_force = true;
        here.law = law;
        here.a = a;
        here.b = b;
        here.c = c;
    }
}

void AlteredSolver::Work::bridge(Index from, Index to, double siemens) {
    const Index plus = unknown(from);
    const Index minus = unknown(to);
    const Index reference = base.pattern.unknown_count;
    // Between two parts of the car that nothing else joins, and at a place that nothing feeds, no
    // current flows.
    if (plus < 0 || minus < 0 || plus == minus ||
        base.pattern_island[at(from)] != base.pattern_island[at(to)]) {
        bridges.push_back({.from = from, .to = to, .siemens = siemens});
        return;
    }
    is_as_base = false;
    changes.clear();
    islands.add_conductor(from, to, in_force, changes);
    hold(changes);
    bridges.push_back(
        {.from = from, .to = to, .siemens = siemens, .law = static_cast<Index>(laws.size())});
    const SplitVolts across = base.across(plus, minus);
    laws.push_back({.in_force = true,
                    .is_altered = true,
                    .has_place = plus == reference || minus == reference,
                    .from = plus,
                    .to = minus,
                    .a = siemens,
                    .high = across.high,
                    .low = across.low});
}

/// The branches in force and the bridges, as a circuit of their own.
Circuit AlteredSolver::Work::present() const {
    Circuit out;
    out.node_count = base.circuit.node_count;
    out.reference = base.circuit.reference;
    for (std::size_t k = 0; k < in_force.size(); ++k) {
        if (in_force[k] == 0) {
            continue;
        }
        const Index term = base.term_of_branch[k];
        const Index law = term < 0 ? -1 : law_of_term[at(term)];
        if (law >= 0) {
            const LawTerm& here = laws[at(law)];
            out.add(here.law, base.circuit.from[k], base.circuit.to[k], here.a, here.b, here.c);
        } else {
            out.add(base.circuit.law[k], base.circuit.from[k], base.circuit.to[k],
                    base.circuit.a[k], base.circuit.b[k], base.circuit.c[k]);
        }
    }
    for (const Bridge& bridge : bridges) {
        out.add(Law::conductance, bridge.from, bridge.to, bridge.siemens);
    }
    return out;
}

/// Leaves the circuit to `Solver`. A load that pulls its own feed down is no answer of its; here
/// the voltages count, and who holds the load decides whether it lets go.
bool AlteredSolver::Work::start_anew() {
    ++counts.from_nothing;
    const OperatingPoint point = Solver().solve(present());
    if (point.status == Status::bad_input ||
        (point.status == Status::no_solution && point.worst_branch < 0)) {
        return false;
    }
    for (std::size_t node = 0; node < point.volts.size(); ++node) {
        const Index here = unknown(static_cast<Index>(node));
        if (here >= 0 && here < base.pattern.unknown_count) {
            moved[at(here)] = (point.volts[node] - base.high[at(here)]) +
                              (point.volts_low[node] - base.low[at(here)]);
        }
    }
    is_at_base = false;
    evaluate();
    note_balance();
    return is_balanced(proof);
}

AlteredSolver::AlteredSolver(const AlteredBase& base)
    : work_(std::make_unique<Work>(*base.parts_)) {}
AlteredSolver::~AlteredSolver() = default;
AlteredSolver::AlteredSolver(AlteredSolver&&) noexcept = default;
AlteredSolver& AlteredSolver::operator=(AlteredSolver&&) noexcept = default;

void AlteredSolver::reset() {
    work_->reset();
}
void AlteredSolver::open(Index branch) {
    work_->open(branch);
}
void AlteredSolver::put(Index branch, Law law, double a, double b, double c) {
    work_->put(branch, law, a, b, c);
}
void AlteredSolver::bridge(Index from, Index to, double siemens) {
    work_->bridge(from, to, siemens);
}

bool AlteredSolver::solve() {
    ++work_->counts.points;
    return work_->search() || work_->start_anew();
}

double AlteredSolver::volts(Index node) const {
    if (work_->floats(node)) {
        return 0.0;
    }
    const std::size_t here = at(work_->unknown(node));
    return work_->base.high[here] + (work_->base.low[here] + work_->moved[here]);
}

double AlteredSolver::volts_between(Index a, Index b) const {
    if (work_->floats(a) || work_->floats(b)) {
        return 0.0;
    }
    const Index from = work_->unknown(a);
    const Index to = work_->unknown(b);
    const SplitVolts across = work_->base.across(from, to);
    return across.high + (across.low + (work_->moved[at(from)] - work_->moved[at(to)]));
}

bool AlteredSolver::is_floating(Index node) const {
    return work_->floats(node);
}

double AlteredSolver::amps(Index branch) const {
    const Index term = work_->base.term_of_branch[at(branch)];
    if (term < 0 || work_->in_force[at(branch)] == 0) {
        return 0.0;
    }
    const Index law = work_->law_of_term[at(term)];
    if (law >= 0) {
        return work_->laws[at(law)].amps;
    }
    const StraightTerm& line = work_->straight[at(term)];
    return work_->base.straight_amps[at(term)] +
           line.siemens * (work_->moved[at(line.from)] - work_->moved[at(line.to)]);
}

double AlteredSolver::bridge_amps() const {
    if (work_->bridges.empty() || work_->bridges.back().law < 0) {
        return 0.0;
    }
    return work_->laws[at(work_->bridges.back().law)].amps;
}

double AlteredSolver::imbalance_a() const {
    return work_->greatest_imbalance;
}
double AlteredSolver::source_current_a() const {
    return work_->supplied;
}
bool AlteredSolver::is_in_force(Index branch) const {
    return work_->in_force[at(branch)] != 0;
}
const AlteredCounts& AlteredSolver::counts() const {
    return work_->counts;
}

} // namespace loomwright::solve
