// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/altered_work.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

// The iteration over all unknowns: see altered.cpp.

namespace loomwright::solve {

namespace {

constexpr int round_limit = 40;
constexpr int rounds_with_base = 3;
constexpr int search_limit = 12;
constexpr double slow = 0.03;
constexpr double creeping = 0.03;    ///< of the step before: what a round should gain
constexpr double blame = 0.1;        ///< of the greatest imbalance
constexpr double search_from = 1e-3; ///< of the emf: smaller steps are not searched
constexpr double rounding = 1e-9;    ///< of a least voltage
constexpr double sure = 1.2;         ///< what is reckoned along a straight line is good for so much

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
    std::array<double, 4> most{};
    std::array<double, 4> sum{}; // keeps a NaN, which the comparison may lose
    std::size_t k = 0;
    for (; k + 4 <= a.size(); k += 4) {
        for (std::size_t j = 0; j < 4; ++j) {
            const double size = std::abs(a[k + j]);
            most[j] = std::max(most[j], size);
            sum[j] += size;
        }
    }
    for (; k < a.size(); ++k) {
        most[0] = std::max(most[0], std::abs(a[k]));
        sum[0] += std::abs(a[k]);
    }
    const double all = (sum[0] + sum[1]) + (sum[2] + sum[3]);
    return std::isnan(all) ? all : *std::ranges::max_element(most);
}

/// A load that has let go is a resistance r = b^2 / P. Behind an emf E and a resistance R it stands
/// at v = E r / (R + r); taking its current off raises that by m, and the share s = m / v is
/// R / (R + r). It has its power P at
///   (E + sqrt(E^2 - 4 R P)) / 2 >= b   for R > r and E^2 >= 4 R P,
/// that is for s > 1/2 and v >= 2 b sqrt(s (1 - s)), since E = v / (1 - s), R P = b^2 s / (1 - s).
/// Loads that let go together lift each other: s may be 1 and more, and then says no more than that
/// they pull their feed down.
bool has_second_answer(double volts, double more, double least_volts) {
    const double share = more / volts; // no number where nothing feeds it: then neither holds
    const bool by_itself = share > 0.5 && share < 1.0 &&
                           sure * volts >= 2.0 * least_volts * std::sqrt(share * (1.0 - share));
    const bool with_others = sure * more >= volts && volts + 2.0 * sure * more >= least_volts;
    return by_itself || with_others;
}

} // namespace

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
    return law >= base.laws.size() || std::abs(changed * ohm_of(law)) > slow;
}

double AlteredSolver::Work::ohm_of(std::size_t law) {
    if (base.ports.is_known()) {
        return base.ports.between_ports(law, law);
    }
    double& ohm = port_ohm[law];
    if (std::isnan(ohm)) {
        RankUpdates one(step.size() - 1);
        ohm = one.ohm(one.add(base.factor, laws[law].from, laws[law].to));
    }
    return ohm;
}

Index AlteredSolver::Work::add_update(std::size_t law) {
    const LawTerm& here = laws[law];
    is_as_base = false;
    const bool is_known = factor == &base.factor && law < base.laws.size() && base.ports.is_known();
    return is_known ? updates.add(base.ports.column(law), here.from, here.to)
                    : updates.add(*factor, here.from, here.to);
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
            law.update = add_update(k);
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
    const auto is_known = [](const LawTerm& law) {
        return law.amps == law.base_amps || law.update >= 0;
    };
    if (!std::ranges::all_of(laws, is_known)) {
        return false;
    }
    std::fill(step.begin(), step.end(), 0.0);
    for (const LawTerm& law : laws) {
        if (law.amps != law.base_amps) {
            updates.add_column(law.update, law.base_amps - law.amps, step);
        }
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
/// their feeds down: there may be another answer, in which they work; judged by what the voltages
/// would be without the currents of all that let go.
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
    if (!choose_updates()) {
        return true;
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
        return is_below(law) && has_second_answer(volts(law), more, law.b);
    });
}

/// True when the balance found is perhaps one that no circuit keeps, the lower of two. It is asked
/// only where a load of constant power has its power at no more than half of the highest voltage.
///
/// Where every load of power P stands at v > E / 2 below one voltage E of all sources, x = E - v is
/// positive and obeys (G - P / v^2) x >= (P / v^2) (2 v - E) > 0. G, the conductances, has no
/// positive entry off its diagonal, so that G - P / v^2 is positive definite: the balance is kept.
bool AlteredSolver::Work::may_fall() {
    double least = std::numeric_limits<double>::infinity();
    double highest = base.emf;
    for (const LawTerm& law : laws) {
        if (!law.in_force) {
            continue;
        }
        if (law.law == Law::source || law.law == Law::limited_source) {
            highest = std::max(highest, std::abs(law.a));
        } else if (law.law == Law::constant_power) {
            const double volts =
                std::abs(law.high + (law.low + (moved[at(law.from)] - moved[at(law.to)])));
            least = volts < law.b * (1.0 - rounding) ? least : std::min(least, volts);
        }
    }
    // What the factors lack is conductances between two places: with those it is definite all the
    // more.
    return 2.0 * least <= highest && !(refactor() && own.is_definite());
}

bool AlteredSolver::Work::iterate() {
    evaluate();
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
            return true;
        }
        if (round >= rounds_with_base && greatest > 0.25 * last && !refactor()) {
            return false;
        }
        is_creeping = greatest > creeping * last;
        last = greatest;
    }
    return false;
}

/// By ports, else by all unknowns; false when there is no answer, or may be another.
bool AlteredSolver::Work::search() {
    is_creeping = false; // whatever the point before did
    return (search_ports() || iterate()) && !may_come_on() && !may_fall();
}

} // namespace loomwright::solve
