// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The network is no linear one: lamps, motors and electronics follow their own laws, relays fall
// out. So a set found in the tangents of the prediction is put into the network, the network is
// solved by its laws, and the set is fitted again in the tangents of what comes out, until the
// readings no longer move (Gauss-Newton on the network itself). A step that makes things worse is
// halved. The values of the answer are the best that were met. Of a joint that may be open the
// readings give no more than the least resistance that does as well, found by halving in
// logarithms.
#include "study/measure_sets.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace loomwright {
namespace {

constexpr int most_network_solutions = 8;
constexpr double worsening_margin = 0.01; ///< of chi-square: far less than any set is judged by
constexpr double worth_a_round = 1e-3;
constexpr double least_joint_ohm = 1e-3;
constexpr int resistance_halvings = 24;

} // namespace

std::vector<Change> TrueFitter::changes(std::span<const std::size_t> set,
                                        std::span<const double> values) const {
    std::vector<Change> out;
    for (std::size_t i = 0; i < set.size(); ++i) {
        out.push_back({suspects_[set[i]], values[i]});
    }
    return out;
}

TrueFit TrueFitter::at_values(std::span<const std::size_t> set,
                              std::span<const double> values) const {
    TrueFit out;
    const std::vector<Change> all = changes(set, values);
    out.is_solved = true;
    for (std::size_t s = 0; s < predicted_.size(); ++s) {
        const bool is_touched = std::ranges::any_of(all, [&](const Change& change) {
            return change.what.kind != Suspect::Kind::reading && predicted_[s].is_solved &&
                   predicted_[s].place[static_cast<std::size_t>(change.what.index)] >= 0;
        });
        out.states.push_back(is_touched ? car_.solve(s, all) : predicted_[s]);
        out.is_solved = out.is_solved && out.states.back().is_solved == predicted_[s].is_solved;
    }
    if (!out.is_solved) {
        out.chi_square = HUGE_VAL;
        return out;
    }
    for (const std::size_t reading : comparison_.reading_of_row) {
        const ProbePair& probe = car_.probes()[reading];
        out.left.push_back(probe.volts - out.states[probe.state].volts(probe.node, probe.against));
        for (const Change& change : all) {
            const bool is_this = change.what.kind == Suspect::Kind::reading &&
                                 static_cast<std::size_t>(change.what.index) == reading;
            out.left.back() -= is_this ? change.value : 0.0;
        }
    }
    std::vector<double> white = out.left;
    comparison_.whitening.apply(white);
    out.chi_square = std::inner_product(white.begin(), white.end(), white.begin(), 0.0);
    return out;
}

void TrueFitter::find_least(TrueFit& fit) const {
    for (std::size_t i = 0; i < fit.fit.set.size(); ++i) {
        if (fit.fit.is_open[i] == 0) {
            continue;
        }
        std::vector<double> values = fit.fit.value;
        double low = std::log(least_joint_ohm);
        double high = std::log(std::max(values[i], least_joint_ohm));
        for (int k = 0; k < resistance_halvings; ++k) {
            const double middle = (low + high) / 2.0;
            values[i] = std::exp(middle);
            const TrueFit there = at_values(fit.fit.set, values);
            const bool is_as_good = there.chi_square <= fit.chi_square + told_apart;
            (is_as_good ? high : low) = middle;
        }
        fit.fit.low[i] = std::exp(high);
    }
}

TrueFit TrueFitter::refine(const SetFit& start) const {
    std::vector<Suspect> members;
    std::vector<std::size_t> own(start.set.size());
    std::iota(own.begin(), own.end(), std::size_t{0});
    for (const std::size_t k : start.set) {
        members.push_back(suspects_[k]);
    }
    TrueFit best;
    best.chi_square = HUGE_VAL;
    std::vector<double> values = start.value;
    for (int round = 0; round < most_network_solutions; ++round) {
        TrueFit here = at_values(start.set, values);
        if (!here.is_solved || here.chi_square > best.chi_square + worsening_margin) {
            if (!best.is_solved && round > 2) {
                break;
            }
            for (std::size_t i = 0; i < values.size(); ++i) {
                values[i] =
                    best.is_solved ? (values[i] + best.fit.value[i]) / 2.0 : values[i] / 2.0;
            }
            continue;
        }
        std::vector<double> white = here.left;
        comparison_.whitening.apply(white);
        const Response response = respond(car_, here.states, comparison_, members);
        SetFit next = SetFitter(response, white, nominal_v(), values).fit(own, values);
        here.fit = next;
        here.fit.set = start.set;
        here.fit.value = values;
        const bool is_last = here.chi_square - next.chi_square < worth_a_round ||
                             std::abs(best.chi_square - here.chi_square) < worth_a_round;
        best = std::move(here);
        if (is_last) {
            break;
        }
        values = std::move(next.value);
    }
    return best;
}

} // namespace loomwright
