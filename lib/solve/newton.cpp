// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/newton.hpp"

#include "solve/laws.hpp"
#include "solve/split_volts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomwright::solve {

namespace {

constexpr int factorisation_limit = 200;
constexpr int search_limit = 24;
constexpr int polish_limit = 12;
constexpr double step_cap = 4.0; ///< no node moves farther at once, in units of the emf
constexpr double greatest_number = 1e300;
/// A step below this share of the emf leaves the matrix as it is: later steps only refine.
constexpr double refine_below = 1e-4;
constexpr double volts_tolerance = 1e-13; ///< of the emf
constexpr double amps_tolerance = 1e-12;  ///< of the source current, summed over the nodes
constexpr double amps_floor = 1e-24;      ///< ampere: nothing flows
constexpr double acceptable = 1e-10;      ///< share that will do where rounding allows no better
constexpr double acceptable_floor = 1e-13;

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

/// The parameter `a` of a branch; of conductances in a row theirs together.
double chain_parameter(const Circuit& circuit, const Chains& chains, std::size_t term) {
    const Index first = chains.start[term];
    const Index end = chains.start[term + 1];
    if (end - first == 1) {
        return circuit.a[at(chains.links[at(first)].branch)];
    }
    double ohm = 0.0;
    for (Index k = first; k < end; ++k) {
        ohm += 1.0 / circuit.a[at(chains.links[at(k)].branch)];
    }
    return 1.0 / ohm;
}

} // namespace

void Newton::analyse(const AnalysedPattern& pattern) {
    pattern_ = &pattern;
    unknown_count_ = at(pattern.unknown_count);
    pattern.begin(factor_);
    place_.resize(pattern.slot.size());
    for (std::size_t k = 0; k < place_.size(); ++k) {
        place_[k] = pattern.slot[k] < 0 ? -1 : factor_.place(at(pattern.slot[k]));
    }
}

void Newton::prepare(const Circuit& circuit) {
    const Pattern& pattern = *pattern_;
    const std::size_t term_count = pattern.branch.size();
    terms.resize(term_count);
    source_terms_.clear();
    has_diodes_ = false;
    emf_ = 0.0;
    for (std::size_t k = 0; k < term_count; ++k) {
        const std::size_t branch = at(pattern.branch[k]);
        terms[k] = {.a = chain_parameter(circuit, pattern.chains, k),
                    .b = circuit.b[branch],
                    .c = circuit.c[branch],
                    .from = pattern.from[k],
                    .to = pattern.to[k],
                    .slot = place_[k],
                    .law = circuit.law[branch]};
        if (terms[k].law == Law::source || terms[k].law == Law::limited_source) {
            source_terms_.push_back(static_cast<Index>(k));
            emf_ = std::max(emf_, std::abs(terms[k].a));
        }
        has_diodes_ = has_diodes_ || terms[k].law == Law::diode;
    }
    emf_ = emf_ > 0.0 ? emf_ : 1.0;
    for (auto* by_unknown : {&high, &low, &imbalance_, &lost_, &trial_low_}) {
        by_unknown->assign(unknown_count_ + 1, 0.0);
    }
    step_.assign(unknown_count_ + 1, 0.0); // the reference never moves
    term_amps.resize(term_count);
    term_siemens_.resize(term_count);
}

double Newton::volts(const Term& term) const {
    const SplitVolts across =
        difference(high[at(term.from)], low[at(term.from)], high[at(term.to)], low[at(term.to)]);
    return across.high + across.low;
}

void Newton::evaluate(const std::vector<double>& low_part) {
    std::fill(imbalance_.begin(), imbalance_.end(), 0.0);
    for (std::size_t k = 0; k < terms.size(); ++k) {
        const Term& term = terms[k];
        const std::size_t from = at(term.from);
        const std::size_t to = at(term.to);
        const SplitVolts across = difference(high[from], low_part[from], high[to], low_part[to]);
        const BranchCurrent now =
            law_current(term.law, term.a, term.b, term.c, across.high, across.low);
        term_amps[k] = now.amps;
        term_siemens_[k] = now.siemens;
        imbalance_[from] += now.amps;
        imbalance_[to] -= now.amps;
    }
}

/// The imbalance of each node once more, with nothing lost in the sums: what is left of large
/// currents that cancel must not look like a current into a node that next to nothing holds.
void Newton::sum_exactly() {
    std::fill(imbalance_.begin(), imbalance_.end(), 0.0);
    std::fill(lost_.begin(), lost_.end(), 0.0);
    const auto add = [this](std::size_t unknown, double amps) {
        const SplitVolts sum = difference(imbalance_[unknown], lost_[unknown], -amps, 0.0);
        imbalance_[unknown] = sum.high;
        lost_[unknown] = sum.low;
    };
    for (std::size_t k = 0; k < terms.size(); ++k) {
        add(at(terms[k].from), term_amps[k]);
        add(at(terms[k].to), -term_amps[k]);
    }
    for (std::size_t unknown = 0; unknown < unknown_count_; ++unknown) {
        imbalance_[unknown] += lost_[unknown];
    }
}

void Newton::assemble(Metric metric) {
    factor_.clear();
    const std::span<double> to_reference = factor_.to_reference();
    const std::span<double> off_diagonal = factor_.off_diagonal();
    const Index reference = pattern_->unknown_count;
    for (std::size_t k = 0; k < terms.size(); ++k) {
        const Term& term = terms[k];
        double siemens = term_siemens_[k];
        if (metric != Metric::slope) {
            siemens = chord_siemens(term, volts(term), {.amps = term_amps[k], .siemens = siemens});
        }
        siemens = metric == Metric::slope
                      ? matrix_siemens(term.law, term.a, term.b, siemens)
                      : std::max(siemens, least_siemens(term.law, term.a, term.b));
        if (term.from == term.to) {
            continue;
        }
        if (term.slot >= 0) {
            off_diagonal[at(term.slot)] -= siemens;
        } else {
            to_reference[at(term.from == reference ? term.to : term.from)] += siemens;
        }
    }
    if (metric == Metric::damped) {
        for (std::size_t k = 0; k < unknown_count_; ++k) {
            to_reference[k] += std::abs(imbalance_[k]) / (step_cap * emf_);
        }
    }
}

bool Newton::factorise(Metric metric) {
    assemble(metric);
    return factor_.factorise();
}

/// Solves for the step that would balance the linearised circuit; returns its greatest part.
double Newton::find_step() {
    for (std::size_t k = 0; k < unknown_count_; ++k) {
        step_[k] = -imbalance_[k];
    }
    factor_.solve(std::span(step_).first(unknown_count_));
    double greatest = 0.0;
    for (std::size_t k = 0; k < unknown_count_; ++k) {
        const double size = std::abs(step_[k]);
        greatest = size <= greatest ? greatest : size; // lets NaN through
    }
    return greatest;
}

/// Moves by `share` of the step and brings high + low to the normal form again.
void Newton::commit(double share) {
    for (std::size_t k = 0; k < unknown_count_; ++k) {
        const double moved = low[k] + share * step_[k];
        const double sum = high[k] + moved;
        const double part = sum - high[k];
        low[k] = (high[k] - (sum - part)) + (moved - part);
        high[k] = sum;
    }
}

/// Slope of the content along the step, at `share` of it. Leaves the currents of that place behind.
double Newton::slope_at(double share) {
    for (std::size_t k = 0; k < unknown_count_; ++k) {
        trial_low_[k] = low[k] + share * step_[k];
    }
    evaluate(trial_low_);
    double slope = 0.0;
    for (std::size_t k = 0; k < unknown_count_; ++k) {
        slope += imbalance_[k] * step_[k];
    }
    return slope;
}

/// A share of the step at which the content is near its least along the step: about the whole step,
/// less where that overshoots, more (up to `cap`) where the content still falls steeply there.
double Newton::search_line(double cap, double slope_start) {
    const double enough = 0.5 * std::abs(slope_start);
    double below = 0.0;
    double slope_below = slope_start;
    double above = std::min(1.0, cap);
    double slope_above = slope_at(above);
    while (slope_above < -enough && above < cap) {
        below = above;
        slope_below = slope_above;
        above = std::min(2.0 * above, cap);
        slope_above = slope_at(above);
    }
    if (!(slope_above > enough)) {
        return above;
    }
    double middle = above;
    for (int k = 0; k < search_limit; ++k) {
        const double width = above - below;
        const double crossing = below - slope_below * width / (slope_above - slope_below);
        middle = std::isfinite(crossing)
                     ? std::clamp(crossing, below + 0.1 * width, above - 0.1 * width)
                     : below + 0.5 * width;
        const double slope = slope_at(middle);
        if (std::abs(slope) <= enough) {
            return middle;
        }
        if (slope < 0.0) {
            below = middle;
            slope_below = slope;
        } else {
            above = middle;
            slope_above = slope;
        }
    }
    middle = below > 0.0 ? below : middle;
    static_cast<void>(slope_at(middle)); // leaves its currents behind
    return middle;
}

/// Farthest that a step may go, volts, to be of use.
double Newton::greatest_step(Metric metric) const {
    return metric == Metric::damped ? greatest_number : step_cap * emf_;
}

double Newton::source_amps() const {
    double sum = 0.0;
    for (const Index term : source_terms_) {
        sum += std::max(0.0, -term_amps[at(term)]);
    }
    return sum;
}

/// Refines with the matrix at hand until the imbalance is rounding. False: the matrix is too stale.
bool Newton::polish() {
    double last_step = std::numeric_limits<double>::infinity();
    double last_sum = std::numeric_limits<double>::infinity();
    for (int k = 0; k < polish_limit; ++k) {
        evaluate(low);
        sum_exactly();
        double sum = 0.0;
        for (std::size_t unknown = 0; unknown < unknown_count_; ++unknown) {
            sum += std::abs(imbalance_[unknown]);
        }
        const double step = find_step();
        const double supplied = source_amps();
        if (sum <= amps_tolerance * supplied + amps_floor && step <= volts_tolerance * emf_) {
            return true;
        }
        if (!(step <= 0.25 * last_step) && !(sum <= 0.25 * last_sum)) {
            return sum <= acceptable * supplied + acceptable_floor && step <= acceptable * emf_;
        }
        last_step = step;
        last_sum = sum;
        commit(1.0);
    }
    return false;
}

/// The step by this metric, and the content's slope along it.
Newton::Step Newton::step_by(Metric metric) {
    if (!factorise(metric)) {
        return {};
    }
    Step step = {.greatest = find_step(), .slope = 0.0, .is_convex = factor_.is_definite()};
    for (std::size_t k = 0; k < unknown_count_; ++k) {
        step.slope += imbalance_[k] * step_[k];
    }
    return step;
}

/// From a balance that no circuit keeps, the least disturbance leads away: here a different one at
/// each node, in case they are alike.
void Newton::step_aside() {
    constexpr double golden = 0.6180339887498949;
    for (std::size_t k = 0; k < unknown_count_; ++k) {
        const double share = golden * static_cast<double>(k + 1);
        step_[k] = share - std::floor(share) - 0.5;
    }
    commit(2.0 * refine_below * emf_);
    evaluate(low);
}

/// Steps down the content until a step of Newton's own is below `until` volts, and takes that one
/// too. False: the steps are used up, or the numbers out of range.
bool Newton::descend(double until, int& steps_left) {
    evaluate(low);
    Metric metric = Metric::slope;
    for (; steps_left > 0; --steps_left) {
        const Step step = step_by(metric);
        const bool is_near = metric == Metric::slope && step.greatest <= until;
        if (is_near && step.is_convex) {
            --steps_left;
            commit(1.0);
            return true;
        }
        if (is_near) {
            step_aside();
        }
        const bool leads_down =
            step.is_convex && step.greatest <= greatest_step(metric) && step.slope <= 0.0;
        if (leads_down) {
            const double share = search_line(step_cap * emf_ / step.greatest, step.slope);
            commit(share); // the currents there are known from the search
            metric = share < 0.05 ? Metric::chord : Metric::slope;
        } else if (metric == Metric::slope) {
            metric = Metric::chord; // a constant power on its falling branch: no minimum ahead
        } else if (metric == Metric::chord) {
            metric = Metric::damped; // a node that next to nothing holds
        } else {
            return false; // even the convex stand-in is singular
        }
    }
    return false;
}

bool Newton::run(int& iterations) {
    if (unknown_count_ == 0) {
        evaluate(low);
        return true;
    }
    int steps_left = factorisation_limit;
    bool balanced = false;
    while (!balanced && descend(refine_below * emf_, steps_left)) {
        balanced = polish();
    }
    iterations += factorisation_limit - steps_left;
    return balanced;
}

} // namespace loomwright::solve
