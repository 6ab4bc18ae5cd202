// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/altered.hpp"

#include "solve/altered_parts.hpp"
#include "solve/rank_updates.hpp"

#include <algorithm>
#include <array>
#include <cmath>

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

constexpr int round_limit = 40;
constexpr int rounds_with_base = 3;
constexpr int search_limit = 12;
constexpr int chord_limit = 2;
constexpr double far = 1.5; ///< of the emf: no voltage of a circuit moves so far
constexpr std::size_t most_updates = 24;
constexpr double slow = 0.03;
constexpr double creeping = 0.03;         ///< of the step before: what a round should gain
constexpr double blame = 0.1;             ///< of the greatest imbalance
constexpr double step_cap = 1e3;          ///< of the emf: farther is nonsense
constexpr double search_from = 1e-3;      ///< of the emf: smaller steps are not searched
constexpr double volts_tolerance = 1e-11; ///< of the emf
constexpr double amps_tolerance = 1e-12;  ///< of the source current
constexpr double proof = 1e-9;            ///< of the source current, whichever way it was found
constexpr double rounding = 1e-9;         ///< of a least voltage
constexpr double sure = 1.2;        ///< what is reckoned along a straight line is good for so much
constexpr double bend_volts = 0.05; ///< laws are straight over less than this

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

// In four strands: one after another they would wait for each other.
double dot(const std::vector<double>& a, const std::vector<double>& b) {
    std::array<double, 4> sum{};
    std::size_t k = 0;
    for (; k + 4 <= a.size(); k += 4) {
        for (std::size_t j = 0; j < 4; ++j) {
            sum[j] += a[k + j] * b[k + j];
        }
    }
    for (; k < a.size(); ++k) {
        sum[0] += a[k] * b[k];
    }
    return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

/// NaN when there is one.
double greatest_size(const std::vector<double>& a) {
    const auto larger = [](double most, double x) {
        const double size = std::abs(x);
        return size > most || std::isnan(size) ? size : most;
    };
    std::array<double, 4> most{};
    std::size_t k = 0;
    for (; k + 4 <= a.size(); k += 4) {
        for (std::size_t j = 0; j < 4; ++j) {
            most[j] = larger(most[j], a[k + j]);
        }
    }
    for (; k < a.size(); ++k) {
        most[0] = larger(most[0], a[k]);
    }
    return larger(larger(larger(most[0], most[1]), most[2]), most[3]);
}

/// What a load or a source that is flat where it stands looks like from its point of rest, siemens.
double chord_from_rest(const LawTerm& law, double volts) {
    switch (law.law) {
    case Law::constant_current:
    case Law::constant_power:
    case Law::lamp:
        return volts != 0.0 ? law.amps / volts : 0.0;
    case Law::limited_source:
        return volts < law.a ? std::min(law.b, law.c / (law.a - volts)) : 0.0;
    case Law::conductance:
    case Law::source:
    case Law::diode:
        break;
    }
    return 0.0;
}

} // namespace

struct AlteredSolver::Work {
    explicit Work(const AlteredBase::Parts& parts)
        : base(parts), islands(parts.islands), updates(parts.high.size() - 1),
          columns(parts.laws.size()) {
        reset();
    }

    void reset();
    LawTerm& law_of(std::size_t term);
    void hold(const std::vector<Islands::Change>& changes);
    void open(Index branch);
    void put(Index branch, Law law, double a, double b, double c);
    void bridge(Index from, Index to, double siemens);

    void evaluate();
    [[nodiscard]] bool is_far_off(const LawTerm& law) const;
    [[nodiscard]] std::span<const double> column_of(std::size_t law);
    [[nodiscard]] bool is_slow(std::size_t law, double changed);
    [[nodiscard]] bool choose_updates();
    [[nodiscard]] bool refactor();
    [[nodiscard]] bool step_from_columns();
    [[nodiscard]] double find_step();
    [[nodiscard]] bool take_chords(double greatest);
    void go(double share);
    void move(double greatest);
    [[nodiscard]] bool is_balanced(double share) const;
    [[nodiscard]] bool may_come_on();
    [[nodiscard]] bool iterate();
    [[nodiscard]] bool start_anew();
    void note_balance();
    [[nodiscard]] Circuit present() const;
    [[nodiscard]] double source_amps() const;

    [[nodiscard]] Index unknown(Index node) const { return base.pattern.unknown_of_node[at(node)]; }
    [[nodiscard]] bool floats(Index node) const {
        return unknown(node) < 0 || !islands.is_fed(node);
    }

    struct Bridge {
        Index from = 0; ///< node
        Index to = 0;
        double siemens = 0.0;
        Index law = -1; ///< into laws; -1: it carries nothing
    };

    const AlteredBase::Parts& base;
    std::vector<std::uint8_t> in_force;
    std::vector<StraightTerm> straight;
    std::vector<Index> law_of_term;
    std::vector<LawTerm> laws;
    std::vector<double> steady;
    Islands islands;
    std::vector<Bridge> bridges;
    bool is_as_base = false; ///< nothing was altered since the reset
    bool is_at_base = false; ///< voltages are those of the base

    std::vector<double> moved;     ///< by unknown, volts from the base
    std::vector<double> imbalance; ///< amperes leaving each unknown; the reference's is put to 0
    std::vector<double> step;
    RankUpdates updates;
    std::vector<std::vector<double>> columns; ///< by law of the base; empty: not yet known
    Factor own;                               ///< made anew on the way
    bool is_own_analysed = false;
    const Factor* factor = nullptr;
    std::vector<Islands::Change> changes;
    bool is_creeping = false; ///< the last round gained little
    double greatest_imbalance = 0.0;
    double supplied = 0.0;
    AlteredCounts counts;
};

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

void AlteredSolver::Work::hold(const std::vector<Islands::Change>& all) {
    const Index reference = base.pattern.unknown_count;
    for (const Islands::Change& change : all) {
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

/// Currents and slopes where the solver stands, and what is left over at each unknown.
void AlteredSolver::Work::evaluate() {
    imbalance = steady;
    for (const StraightTerm& term : straight) {
        const double amps = term.siemens * (moved[at(term.from)] - moved[at(term.to)]);
        imbalance[at(term.from)] += amps;
        imbalance[at(term.to)] -= amps;
    }
    for (LawTerm& law : laws) {
        if (!law.in_force) {
            law.amps = 0.0;
            law.siemens = 0.0;
            continue;
        }
        const double more = moved[at(law.from)] - moved[at(law.to)];
        const BranchCurrent now =
            law_current(law.law, law.a, law.b, law.c, law.high, law.low + more);
        law.amps = now.amps;
        law.siemens = matrix_siemens(law.law, law.a, law.b, now.siemens);
        imbalance[at(law.from)] += now.amps;
        imbalance[at(law.to)] -= now.amps;
    }
    imbalance.back() = 0.0;
}

double AlteredSolver::Work::source_amps() const {
    double sum = 0.0;
    for (const LawTerm& law : laws) {
        if (law.in_force && (law.law == Law::source || law.law == Law::limited_source)) {
            sum += std::max(0.0, -law.amps);
        }
    }
    return sum;
}

/// True when this law is to blame for what the last step left over, and that was much.
bool AlteredSolver::Work::is_far_off(const LawTerm& law) const {
    return is_creeping && std::abs(law.amps - law.expected) > blame * greatest_imbalance;
}

/// True when a slope that moved by so many siemens would hold up the iteration, by the resistance
/// that the base has there.
bool AlteredSolver::Work::is_slow(std::size_t law, double changed) {
    if (law >= columns.size()) {
        return true;
    }
    const std::span<const double> column = column_of(law);
    const double ohm = column[at(laws[law].from)] - column[at(laws[law].to)];
    return std::abs(changed * ohm) > slow;
}

/// What one ampere through a law of the base does to its voltages.
std::span<const double> AlteredSolver::Work::column_of(std::size_t law) {
    std::vector<double>& column = columns[law];
    if (column.empty()) {
        RankUpdates one(step.size() - 1);
        const std::span<const double> found =
            one.column(one.add(base.factor, laws[law].from, laws[law].to));
        column.assign(found.begin(), found.end());
    }
    return column;
}

/// Brings the updates to where the solver stands; false when they are too many or make the matrix
/// singular.
bool AlteredSolver::Work::choose_updates() {
    for (std::size_t k = 0; k < laws.size(); ++k) {
        LawTerm& law = laws[k];
        const double changed = law.siemens - law.kept;
        if (law.update < 0) {
            if (changed == 0.0 || !(law.is_altered || is_far_off(law) || is_slow(k, changed))) {
                continue;
            }
            if (updates.count() == most_updates) {
                return false;
            }
            is_as_base = false;
            const bool is_known = k < columns.size() && factor == &base.factor;
            law.update = is_known ? updates.add(column_of(k), law.from, law.to)
                                  : updates.add(*factor, law.from, law.to);
        }
        updates.set(law.update, changed);
    }
    return updates.prepare();
}

/// Factors of the matrix where the solver stands.
bool AlteredSolver::Work::refactor() {
    if (!is_own_analysed) {
        own.analyse(base.pattern.column_start, base.pattern.row);
        is_own_analysed = true;
    }
    is_as_base = false;
    updates.clear();
    counts.refactored += factor == &own ? 0 : 1;
    factor = &own;
    for (LawTerm& law : laws) {
        law.update = -1;
        law.kept = law.has_place ? law.siemens : 0.0;
    }
    return base.factorise(own, straight, laws) && choose_updates();
}

/// Where only what was altered is out of balance: what that does is known already. False when an
/// altered branch has no update.
bool AlteredSolver::Work::step_from_columns() {
    std::fill(step.begin(), step.end(), 0.0);
    for (const LawTerm& law : laws) {
        if (law.amps == law.base_amps) {
            continue;
        }
        if (law.update < 0) {
            return false;
        }
        updates.add_column(law.update, law.base_amps - law.amps, step);
    }
    return true;
}

/// The step that would balance the circuit if it were linear; returns its greatest part.
double AlteredSolver::Work::find_step() {
    ++counts.rounds;
    if (!(is_at_base && factor == &base.factor && step_from_columns())) {
        for (std::size_t k = 0; k < step.size(); ++k) {
            step[k] = -imbalance[k];
        }
        factor->solve(std::span(step).first(step.size() - 1));
    }
    if (updates.count() > 0) {
        updates.correct(step);
    }
    return greatest_size(step);
}

/// Where the step takes a load so far that its slope says nothing there: a constant power whose
/// voltage would halve, and any flat law when the step goes farther than any voltage of the
/// circuit. Its supply is gone. Such branches become the resistors that they are seen from their
/// point of rest; false when there are none.
bool AlteredSolver::Work::take_chords(double greatest) {
    const bool is_nonsense = greatest > far * base.emf;
    bool has_any = false;
    for (LawTerm& law : laws) {
        const bool is_power = law.law == Law::constant_power;
        if (!law.in_force || !(is_power || is_nonsense)) {
            continue;
        }
        const double volts = law.high + (law.low + (moved[at(law.from)] - moved[at(law.to)]));
        const double change = step[at(law.from)] - step[at(law.to)];
        const double chord = chord_from_rest(law, volts);
        if (chord > law.siemens && std::abs(change) > (is_power ? 0.5 : 1.0) * std::abs(volts)) {
            law.siemens = chord;
            law.is_altered = true; // whatever the base has there
            is_as_base = false;
            has_any = true;
        }
    }
    return has_any && choose_updates();
}

void AlteredSolver::Work::go(double share) {
    for (std::size_t k = 0; k < moved.size(); ++k) {
        moved[k] += share * step[k];
    }
    evaluate();
}

/// Takes the step, or as much of it as does not overshoot; leaves the currents of that place
/// behind.
void AlteredSolver::Work::move(double greatest) {
    const double slope_start = dot(imbalance, step);
    is_at_base = false;
    for (LawTerm& law : laws) {
        const double siemens = law.update < 0 ? law.kept : law.siemens;
        law.expected = law.amps + siemens * (step[at(law.from)] - step[at(law.to)]);
    }
    go(1.0);
    if (greatest <= search_from * base.emf || !(slope_start < 0.0)) {
        return;
    }
    const double enough = 0.5 * std::abs(slope_start);
    double below = 0.0;
    double slope_below = slope_start;
    double above = 1.0;
    double slope_above = dot(imbalance, step);
    double here = 1.0;
    double slope = slope_above;
    for (int k = 0; k < search_limit && !(std::abs(slope) <= enough || slope < 0.0); ++k) {
        const double width = above - below;
        const double crossing = below - slope_below * width / (slope_above - slope_below);
        const double next = std::isfinite(crossing)
                                ? std::clamp(crossing, below + 0.1 * width, above - 0.1 * width)
                                : below + 0.5 * width;
        go(next - here);
        here = next;
        slope = dot(imbalance, step);
        (slope < 0.0 ? below : above) = here;
        (slope < 0.0 ? slope_below : slope_above) = slope;
    }
}

void AlteredSolver::Work::note_balance() {
    greatest_imbalance = greatest_size(imbalance);
    supplied = source_amps();
}

/// No node is out of balance by more than this share of what the sources deliver.
bool AlteredSolver::Work::is_balanced(double share) const {
    return greatest_imbalance <= share * supplied + base.rounding_a;
}

/// True when loads of constant power stand below their least voltage perhaps only because they pull
/// their feeds down: there may be another answer, in which they work. A load that at its least
/// voltage is a resistance r, behind a resistance R, has a second answer for R > r alone; judged by
/// what the voltages would be without the currents of all that let go.
bool AlteredSolver::Work::may_come_on() {
    const auto volts = [this](const LawTerm& law) {
        return std::abs(law.high + (law.low + (moved[at(law.from)] - moved[at(law.to)])));
    };
    const auto is_below = [&](const LawTerm& law) {
        return law.in_force && law.law == Law::constant_power &&
               volts(law) < law.b * (1.0 - rounding);
    };
    if (std::ranges::none_of(laws, is_below)) {
        return false;
    }
    std::fill(step.begin(), step.end(), 0.0);
    for (const LawTerm& law : laws) {
        if (is_below(law)) {
            step[at(law.from)] += law.amps;
            step[at(law.to)] -= law.amps;
        }
    }
    step.back() = 0.0;
    factor->solve(std::span(step).first(step.size() - 1));
    if (updates.count() > 0) {
        updates.correct(step);
    }
    return std::ranges::any_of(laws, [&](const LawTerm& law) {
        const double more = std::abs(step[at(law.from)] - step[at(law.to)]);
        return is_below(law) && sure * more >= volts(law) &&
               volts(law) + 2.0 * sure * more >= law.b;
    });
}

bool AlteredSolver::Work::iterate() {
    evaluate();
    is_creeping = false;
    double last = bend_volts;
    for (int round = 0; round < round_limit; ++round) {
        if (!choose_updates() && !refactor()) {
            return false;
        }
        double greatest = find_step();
        for (int k = 0; k < chord_limit && take_chords(greatest); ++k) {
            greatest = find_step();
        }
        if (!(greatest <= step_cap * base.emf)) {
            return false;
        }
        move(greatest);
        note_balance();
        const double ahead = greatest * std::min(greatest / last, 1.0);
        if (ahead <= volts_tolerance * base.emf && is_balanced(amps_tolerance)) {
            return !may_come_on();
        }
        if (round >= rounds_with_base && greatest > 0.25 * last && !refactor()) {
            return false;
        }
        is_creeping = greatest > creeping * last;
        last = greatest;
    }
    return false;
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
    return work_->iterate() || work_->start_anew();
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
