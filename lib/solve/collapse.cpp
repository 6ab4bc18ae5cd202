// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/collapse.hpp"

#include <algorithm>
#include <cmath>

// Voltage collapse. A load of constant power P behind an emf E and a resistance R satisfies
//   (E - v) v / R = P,
// which has a solution only for P <= E^2 / (4 R). The law of circuit.hpp lets go below the load's
// least voltage b, so that the circuit as a whole always balances somewhere; two cases must be told
// apart when the balance leaves a load below b:
//
//  - the supply itself is too low (cranking): a true answer, in which the load has dropped out;
//  - the supply would do, but the load's own current drags it down and there is no voltage at which
//    the load has its power: in life it starts, falls back and starts again. No steady state
//    exists.
//
// The second is found by asking the circuit twice more: first with the dropped loads taken off
// (would the supply reach b?), then, for those it would, with no least voltage to speak of (is
// there a voltage at which they have their power?).

namespace loomwright::solve {

namespace {

constexpr double off_share = 1e-3;  ///< of a load's power, when it is all but taken off
constexpr double least_share = 0.1; ///< of its least voltage, when that is as good as taken away
constexpr double rounding = 1e-9;

bool is_below(const Newton& newton, const Newton::Term& term) {
    return term.law == Law::constant_power &&
           std::abs(newton.volts(term)) < term.b * (1.0 - rounding);
}

} // namespace

bool has_dropped_out(const Newton& newton) {
    return std::ranges::any_of(
        newton.terms, [&newton](const Newton::Term& term) { return is_below(newton, term); });
}

Index find_collapse(Newton& newton, int& iterations) {
    std::vector<std::size_t> dropped;
    for (std::size_t k = 0; k < newton.terms.size(); ++k) {
        if (is_below(newton, newton.terms[k])) {
            dropped.push_back(k);
        }
    }
    if (dropped.empty()) {
        return -1;
    }
    const std::vector<Newton::Term> terms = newton.terms;
    const std::vector<double> high = newton.high;
    const std::vector<double> low = newton.low;
    const std::vector<double> amps = newton.term_amps;

    for (const std::size_t k : dropped) {
        newton.terms[k].a *= off_share;
    }
    newton.start_cold();
    Index worst = -1;
    std::vector<std::size_t> supplied;
    if (newton.run(iterations)) {
        for (const std::size_t k : dropped) {
            if (!is_below(newton, newton.terms[k])) {
                supplied.push_back(k);
            }
            newton.terms[k].a = terms[k].a;
        }
    }
    if (!supplied.empty()) {
        for (const std::size_t k : supplied) {
            newton.terms[k].b *= least_share;
        }
        // From the voltages without load Newton comes down on the upper of two solutions, if any.
        const bool balanced = newton.run(iterations);
        double lowest = 1.0;
        for (const std::size_t k : supplied) {
            const double share = std::abs(newton.volts(newton.terms[k])) / terms[k].b;
            if ((!balanced || is_below(newton, newton.terms[k])) && share < lowest) {
                lowest = share;
                worst = static_cast<Index>(k);
            }
        }
    }
    newton.terms = terms;
    newton.high = high;
    newton.low = low;
    newton.term_amps = amps;
    return worst;
}

} // namespace loomwright::solve
