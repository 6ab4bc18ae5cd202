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

constexpr int diode_rounds = 12;

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
    const auto& unknown_of_node = pattern_->unknown_of_node;
    for (std::size_t node = 0; node < unknown_of_node.size(); ++node) {
        const Index unknown = unknown_of_node[node];
        if (unknown >= 0 && unknown < pattern_->unknown_count) {
            high[at(unknown)] = node_volts[node];
        }
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
        settle_diodes();
    }
}

/// Newton with each diode made linear at a voltage of its own, `bend_`, in place of that between
/// its nodes: a conducting diode's next point is read off its predicted current by the inverse law,
/// which is nearly straight where the law itself is steep. Only improves the start.
void Newton::settle_diodes() {
    bend_.assign(terms.size(), 0.0);
    for (int round = 0; round < diode_rounds; ++round) {
        double farthest = 0.0; // in units of b
        for (std::size_t k = 0; k < terms.size(); ++k) {
            const Term& term = terms[k];
            const double across = volts(term);
            if (term.law != Law::diode) {
                const BranchCurrent now =
                    law_current(term.law, term.a, term.b, term.c, across, 0.0);
                term_amps[k] = now.amps;
                term_siemens_[k] =
                    chord_siemens(term, across, now); // a start need not be sharp, but must be tame
                continue;
            }
            const double on = term.b * std::log1p(1.0 / term.a); // where it carries 1 A
            const BranchCurrent old = law_current(term.law, term.a, term.b, term.c, bend_[k], 0.0);
            const double predicted = old.amps + old.siemens * (across - bend_[k]);
            double next = across;
            if (across > on && bend_[k] < on) {
                next = on;
            } else if (predicted > 0.0) {
                next = term.b * std::log1p(predicted / term.a);
            }
            next = std::min(next, diode_linear_from * term.b);
            farthest = std::max(farthest, std::abs(next - across) / term.b);
            bend_[k] = next;
            const BranchCurrent now = law_current(term.law, term.a, term.b, term.c, next, 0.0);
            // What flows at the present voltage by the line through the new point.
            term_amps[k] = now.amps + now.siemens * (across - next);
            term_siemens_[k] = now.siemens;
        }
        if (farthest < 1e-2 || !solve_linear()) {
            return;
        }
    }
}

} // namespace loomwright::solve
