// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/laws.hpp"
#include "solve/newton.hpp"

#include <algorithm>
#include <cmath>

// Where Newton's method begins. A start need not be sharp but must be tame: near the answer the
// method doubles the digits with each step, far from it a kink or an exponential costs a search.

namespace loomwright::solve {

namespace {

constexpr int start_steps = 100;
constexpr double start_fineness = 3e-3; ///< of the emf
constexpr double bluntest_knee = 2.0;   ///< voltage at 1 A of the bluntest diode, in units of b
constexpr double sharper_each = 3.0;    ///< time

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

} // namespace

/// The chord from the law's point of rest to (volts, current): what the branch looks like from
/// afar. For a law that bends downwards it is steeper than the slope, so a step by it does not
/// overshoot.
double chord_siemens(const Newton::Term& term, double volts, BranchCurrent now) {
    switch (term.law) {
    case Law::conductance:
    case Law::source:
        return now.siemens;
    case Law::limited_source: {
        const double wanted = term.a - volts;
        return wanted > 0.0 ? std::min(term.b, term.c / wanted) : 1e-9 * term.b;
    }
    case Law::constant_power: // above its least voltage its content bends downwards: a straight
                              // line
        return std::max(now.siemens, 0.0);
    case Law::constant_current:
    case Law::lamp:
    case Law::diode:
        break;
    }
    const double ratio = volts != 0.0 ? now.amps / volts : 0.0;
    return std::max(now.siemens, ratio);
}

void Newton::start_from(std::span<const double> node_volts) {
    // Given against the circuit's reference; here each island counts from its own.
    for (std::size_t unknown = 0; unknown < unknown_count_; ++unknown) {
        high[unknown] = node_volts[at(pattern_->node_of_unknown[unknown])];
    }
    std::fill(low.begin(), low.end(), 0.0);
}

/// One step of the linear circuit in term_amps and term_siemens_, taken at the present voltages.
bool Newton::solve_linear() {
    std::fill(imbalance_.begin(), imbalance_.end(), 0.0);
    for (std::size_t k = 0; k < terms.size(); ++k) {
        imbalance_[at(terms[k].from)] += term_amps[k];
        imbalance_[at(terms[k].to)] -= term_amps[k];
    }
    if (!factorise(Metric::slope) || !std::isfinite(find_step())) {
        return false;
    }
    commit(1.0);
    return true;
}

void Newton::start_cold() {
    std::fill(high.begin(), high.end(), 0.0);
    std::fill(low.begin(), low.end(), 0.0);
    for (std::size_t k = 0; k < terms.size(); ++k) {
        const Term& term = terms[k];
        BranchCurrent start = law_current(term.law, term.a, term.b, term.c, 0.0, 0.0);
        switch (term.law) {
        case Law::limited_source:
            start = {.amps = -term.a * term.b, .siemens = term.b};
            break;
        case Law::constant_current:
        case Law::constant_power:
        case Law::lamp:
            start.siemens = law_current(term.law, term.a, term.b, term.c, emf_, 0.0).amps / emf_;
            break;
        case Law::conductance:
        case Law::source:
        case Law::diode:
            break;
        }
        term_amps[k] = start.amps;
        term_siemens_[k] = start.siemens;
    }
    if (!solve_linear()) {
        std::fill(high.begin(), high.end(), 0.0);
        std::fill(low.begin(), low.end(), 0.0);
        return;
    }
    if (has_diodes_) {
        sharpen_diodes();
    }
}

/// A diode's knee is so sharp beside the voltages of a car that a step past it meets currents out
/// of all measure. So the search begins with blunt diodes, which carry the same 1 A at the same
/// voltage, and sharpens them by degrees; each answer is a good start for the next. The problem is
/// as convex at every stage as at the last.
void Newton::sharpen_diodes() {
    true_terms_ = terms;
    double bluntest = 1.0;
    for (const Term& term : terms) {
        if (term.law == Law::diode) {
            bluntest = std::max(bluntest, std::log1p(1.0 / term.a) / bluntest_knee);
        }
    }
    int steps_left = start_steps;
    for (double blunt = bluntest; blunt > 1.0; blunt /= sharper_each) {
        for (std::size_t k = 0; k < terms.size(); ++k) {
            if (terms[k].law == Law::diode) {
                const double knee = std::log1p(1.0 / true_terms_[k].a);
                const double share = std::clamp(blunt, 1.0, std::max(1.0, knee / bluntest_knee));
                terms[k].b = share * true_terms_[k].b;
                terms[k].a = 1.0 / std::expm1(knee / share);
            }
        }
        if (!descend(start_fineness * emf_, steps_left)) {
            break; // a start need not be sharp
        }
    }
    terms = true_terms_;
}

} // namespace loomwright::solve
