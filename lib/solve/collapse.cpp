// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/collapse.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

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
// The second is found by asking the circuit again. With all dropped loads all but taken off: would
// the supply reach b? With those it would, and no least voltage to speak of: is there a voltage at
// which they have their power? That names suspects. Each is then tried by itself, every other load
// by its own law, since what is too much for all may do for one: only where the supply reaches b
// without the suspect, and the suspect then finds its power nowhere, has it pulled itself down.
//
// On the way an answer may come up in which fewer loads have dropped out: it is taken instead.

namespace loomwright::solve {

namespace {

constexpr double off_share = 1e-3;  ///< of a load's power, when it is all but taken off
constexpr double least_share = 0.1; ///< of its least voltage, when that is as good as taken away
constexpr double rounding = 1e-9;
constexpr std::size_t most_suspects = 8;

using Places = std::vector<std::size_t>;

bool is_below(const Newton& newton, const Newton::Term& term) {
    return term.law == Law::constant_power &&
           std::abs(newton.volts(term)) < term.b * (1.0 - rounding);
}

Places dropped_loads(const Newton& newton) {
    Places dropped;
    for (std::size_t k = 0; k < newton.terms.size(); ++k) {
        if (is_below(newton, newton.terms[k])) {
            dropped.push_back(k);
        }
    }
    return dropped;
}

/// Voltages and currents of a solver that has balanced, to come back to.
struct Answer {
    std::vector<double> high;
    std::vector<double> low;
    std::vector<double> amps;
    Places dropped;

    explicit Answer(const Newton& newton)
        : high(newton.high), low(newton.low), amps(newton.term_amps),
          dropped(dropped_loads(newton)) {}
    void put_back(Newton& newton) const {
        newton.high = high;
        newton.low = low;
        newton.term_amps = amps;
    }
};

class Inquest {
public:
    Inquest(Newton& newton, int& iterations)
        : newton_(newton), iterations_(iterations), terms_(newton.terms), answer_(newton) {}

    /// The load that has pulled itself down, or -1. Leaves the answer in the solver.
    Index run() {
        bool found_better = !answer_.dropped.empty();
        Index named = -1;
        while (found_better && named < 0) {
            found_better = false;
            for (const std::size_t suspect : suspects(found_better)) {
                if (found_better || named >= 0) {
                    break;
                }
                if (finds_no_power(suspect, found_better)) {
                    named = static_cast<Index>(suspect);
                }
            }
        }
        newton_.terms = terms_;
        answer_.put_back(newton_);
        return named;
    }

private:
    [[nodiscard]] double share(std::size_t load) const {
        return std::abs(newton_.volts(terms_[load])) / terms_[load].b;
    }

    /// From where the solver stands, every load by its law again: are fewer dropped out?
    bool take_if_better() {
        newton_.terms = terms_;
        if (!newton_.run(iterations_)) {
            return false;
        }
        Answer other(newton_);
        if (other.dropped.size() >= answer_.dropped.size()) {
            return false;
        }
        answer_ = std::move(other);
        return true;
    }

    /// The loads that have their power at no voltage when all that dropped out come on together,
    /// the one that stands lowest first.
    Places suspects(bool& found_better) {
        newton_.terms = terms_;
        for (const std::size_t load : answer_.dropped) {
            newton_.terms[load].a *= off_share;
        }
        newton_.start_cold();
        if (!newton_.run(iterations_)) {
            return {};
        }
        Places supplied;
        for (const std::size_t load : answer_.dropped) {
            if (!is_below(newton_, terms_[load])) {
                supplied.push_back(load);
                newton_.terms[load].b *= least_share;
            }
            newton_.terms[load].a = terms_[load].a;
        }
        if (supplied.empty()) {
            return {};
        }
        // From the voltages without load Newton comes down on the upper of two solutions, if any.
        const bool balanced = newton_.run(iterations_);
        std::vector<double> shares(terms_.size(), 0.0);
        for (const std::size_t load : supplied) {
            shares[load] = balanced ? share(load) : 0.0;
        }
        found_better = balanced && take_if_better();
        std::erase_if(supplied, [&](std::size_t load) { return shares[load] >= least_share; });
        std::ranges::stable_sort(
            supplied, [&](std::size_t a, std::size_t b) { return shares[a] < shares[b]; });
        supplied.resize(std::min(supplied.size(), most_suspects));
        return supplied;
    }

    bool finds_no_power(std::size_t load, bool& found_better) {
        newton_.terms = terms_;
        newton_.terms[load].a *= off_share;
        newton_.start_cold();
        if (!newton_.run(iterations_) || is_below(newton_, terms_[load])) {
            return false;
        }
        newton_.terms[load] = terms_[load];
        newton_.terms[load].b *= least_share;
        if (!newton_.run(iterations_) || share(load) < least_share) {
            return true;
        }
        found_better = take_if_better();
        return false;
    }

    Newton& newton_;
    int& iterations_;
    std::vector<Newton::Term> terms_;
    Answer answer_;
};

} // namespace

bool has_dropped_out(const Newton& newton) {
    return std::ranges::any_of(
        newton.terms, [&newton](const Newton::Term& term) { return is_below(newton, term); });
}

Index find_collapse(Newton& newton, int& iterations) {
    return has_dropped_out(newton) ? Inquest(newton, iterations).run() : -1;
}

} // namespace loomwright::solve
