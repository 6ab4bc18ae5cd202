// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// From readings to the fewest things that explain them. Sizes are tried one after another, and of
// one size the sets with the fewest wrong readings first: a set is taken when
//
//   Q(X, n - k) >= 1 %       Q the tail of chi-square, X what it leaves, n readings, k members
//   and no reading is off by more than the largest of n normal numbers is in 5 % of cases (at least
//   3 deviations), against what the others foretell of it.
#include "study/measure.hpp"

#include "base/at.hpp"
#include "study/chi_square.hpp"
#include "study/measure_culprits.hpp"
#include "study/measure_relays.hpp"
#include "study/measure_search.hpp"
#include "study/measure_sets.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace loomwright {
namespace {

constexpr double off_share = 0.05; ///< of lists with a good reading beyond the limit
constexpr double least_limit = 3.0;
constexpr std::size_t refined_to_judge = 12;
constexpr std::size_t most_refined = 60;
constexpr double worth_refining = 20.0; ///< of chi-square over the best
constexpr std::size_t most_wrong_readings = 2;
constexpr double above_any_source = 1.2; ///< own choice: no source is better than its file by more
constexpr double clearly_moved = 2.0;    ///< deviations of a reading

/// Set members by class, and the rest of what the answer needs of a fit.
class Diagnosis {
public:
    Diagnosis(const StudyInput& input, const Design& design, const SpreadTable& spreads,
              std::span<const MeterReading> readings)
        : car_(input, design, readings), nominal_v_(input.vehicle.nominal.value()),
          predicted_(predicted_states(car_)) {
        const std::vector<Tolerance> all = tolerances(car_.plan(), spreads);
        const std::vector<std::uint8_t> impossible = find_impossible();
        comparison_ = compare_readings(car_, predicted_, all, impossible);
        white_ = comparison_.residual;
        comparison_.whitening.apply(white_);
        begin(impossible);
    }

    [[nodiscard]] MeasureAnswer run() {
        TrueFit nothing;
        nothing.left = comparison_.residual;
        nothing.chi_square = answer_.chi_square_before;
        nothing.states = predicted_;
        if (is_accepted(nothing, 0)) {
            finish({nothing});
            return std::move(answer_);
        }
        FoundSuspects found = find_suspects(car_, predicted_, comparison_);
        suspects_ = std::move(found.all);
        const Response response = respond(car_, predicted_, comparison_, suspects_);
        classes_ = classify(response, found.turns, white_, nominal_v_);
        for (const SuspectClass& one : classes_) {
            answer_.classes += one.is_reading ? 0 : 1;
            answer_.suspects += one.is_reading ? 0 : one.members.size();
        }
        SetSearch search(response, classes_, white_, nominal_v_);
        finish(find(search, response, std::move(nothing)));
        answer_.has_all_suspects = found.is_whole;
        answer_.has_all_sets = search.is_exhausted();
        return std::move(answer_);
    }

private:
    [[nodiscard]] std::vector<std::uint8_t> find_impossible() const;
    void begin(const std::vector<std::uint8_t>& impossible);
    [[nodiscard]] bool is_accepted(const TrueFit& fit, std::size_t members) const;
    [[nodiscard]] std::vector<TrueFit> find(SetSearch& search, const Response& response,
                                            TrueFit nothing);
    [[nodiscard]] std::vector<TrueFit> refined(const std::vector<SetFit>& fits, std::size_t most,
                                               std::vector<TrueFit> done) const;
    [[nodiscard]] std::vector<TrueFit> best_sets(SetSearch& search, const Response& response,
                                                 std::size_t causes, std::size_t wrong) const;
    void finish(const std::vector<TrueFit>& fits);
    void judge_readings(const TrueFit& best);
    [[nodiscard]] int strongest(const TrueFit& best, std::size_t reading) const;

    MeasuredCar car_;
    double nominal_v_;
    std::vector<ChangedState> predicted_;
    Comparison comparison_;
    std::vector<double> white_;
    std::vector<Suspect> suspects_;
    std::vector<SuspectClass> classes_;
    MeasureAnswer answer_;
};

/// No place lies above the plus of every source or below the minus of every one: what is read
/// between two places is no more than that, whatever the joints are.
std::vector<std::uint8_t> Diagnosis::find_impossible() const {
    std::vector<std::uint8_t> out(car_.probes().size(), 0);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const ProbePair& probe = car_.probes()[i];
        const ChangedState& state = predicted_[probe.state];
        if (!state.is_solved) {
            continue; // nothing is known of its sources
        }
        double lowest = 0.0;
        double highest = 0.0;
        for (std::size_t k = 0; k < state.circuit.branch_count(); ++k) {
            const solve::Law law = state.circuit.law[k];
            if (law == solve::Law::source || law == solve::Law::limited_source) {
                const double minus = state.point.volts[at(state.circuit.to[k])];
                lowest = std::min(lowest, minus);
                highest = std::max(highest, minus + state.circuit.a[k]);
            }
        }
        const double beyond = 3.0 * probe.meter_v;
        const bool is_above =
            std::abs(probe.volts) > above_any_source * (highest - lowest) + beyond;
        const bool is_below =
            probe.against == car_.black_lead() && probe.against >= 0 &&
            probe.volts < lowest - state.point.volts[at(probe.against)] - beyond &&
            probe.volts < -beyond - 0.01 * nominal_v_;
        out[i] = is_above || is_below ? 1 : 0;
    }
    return out;
}

void Diagnosis::begin(const std::vector<std::uint8_t>& impossible) {
    answer_.black_lead = car_.black_lead();
    for (std::size_t s = 0; s < car_.state_count(); ++s) {
        const SettledState& state = car_.settled(s);
        answer_.states.push_back({state.id, state.settled.is_solved, state.settled.failure});
    }
    answer_.compared = comparison_.reading_of_row.size();
    answer_.limit_sigmas =
        std::max(least_limit, largest_of(static_cast<int>(answer_.compared), off_share));
    answer_.chi_square_before =
        std::inner_product(white_.begin(), white_.end(), white_.begin(), 0.0);
    answer_.chance_before =
        chi_square_beyond(answer_.chi_square_before, static_cast<int>(answer_.compared));
    for (std::size_t i = 0; i < car_.probes().size(); ++i) {
        const ProbePair& probe = car_.probes()[i];
        ReadingResult& result = answer_.results.emplace_back();
        result.meter_v = probe.meter_v;
        result.predicted_v = comparison_.predicted_v[i];
        result.prediction_v = comparison_.prediction_v[i];
        result.off_v = probe.volts - result.predicted_v;
        result.sigmas = result.off_v / std::hypot(result.meter_v, result.prediction_v);
        result.explained_v = result.predicted_v;
        result.verdict =
            impossible[i] != 0 ? ReadingVerdict::impossible : ReadingVerdict::no_prediction;
    }
}

bool Diagnosis::is_accepted(const TrueFit& fit, std::size_t members) const {
    const int degrees =
        static_cast<int>(answer_.compared) - static_cast<int>(std::min(members, answer_.compared));
    if (degrees == 0 && members > 0) {
        return fit.chi_square < told_apart;
    }
    const std::vector<double> off = comparison_.whitening.against_others(fit.left);
    return chi_square_beyond(fit.chi_square, degrees) >= least_chance &&
           std::ranges::all_of(
               off, [this](double sigmas) { return std::abs(sigmas) <= answer_.limit_sigmas; });
}

/// The sets of a size that are worth it, in the true network: the best first.
std::vector<TrueFit> Diagnosis::refined(const std::vector<SetFit>& fits, std::size_t most,
                                        std::vector<TrueFit> done) const {
    const TrueFitter fitter(car_, predicted_, comparison_, suspects_);
    double best = done.empty() ? HUGE_VAL : done.front().chi_square;
    for (std::size_t i = done.size(); i < std::min(fits.size(), most); ++i) {
        if (i > 0 &&
            fits[i].chi_square > std::max(best, fits.front().chi_square) + worth_refining) {
            break;
        }
        done.push_back(fitter.refine(fits[i]));
        best = std::min(best, done.back().chi_square);
    }
    return done;
}

/// The best sets of one size, refined; more of them where the best is the answer.
std::vector<TrueFit> Diagnosis::best_sets(SetSearch& search, const Response& response,
                                          std::size_t causes, std::size_t wrong) const {
    const std::vector<SetFit> fits = search.best(causes, wrong);
    std::vector<TrueFit> out = refined(fits, refined_to_judge, {});
    const TrueFitter fitter(car_, predicted_, comparison_, suspects_);
    const bool has_answer = std::ranges::any_of(
        out, [&](const TrueFit& fit) { return fit.is_solved && is_accepted(fit, causes + wrong); });
    if (has_answer) {
        out = refined(fits, most_refined, std::move(out));
    }
    if (causes == 1 && wrong == 0) {
        for (TrueFit& turned : joints_that_turn(fitter, predicted_, response, classes_, fits)) {
            const bool is_there = std::ranges::any_of(out, [&](const TrueFit& fit) {
                return fit.fit.set == turned.fit.set && fit.chi_square <= turned.chi_square;
            });
            std::erase_if(out, [&](const TrueFit& fit) {
                return fit.fit.set == turned.fit.set && !is_there;
            });
            if (!is_there) {
                out.push_back(std::move(turned));
            }
        }
    }
    std::erase_if(out, [](const TrueFit& fit) { return !fit.is_solved; });
    std::ranges::stable_sort(out, {}, &TrueFit::chi_square);
    for (TrueFit& fit : out) {
        if (fit.chi_square <= out.front().chi_square + told_apart) {
            fitter.find_least(fit);
        }
    }
    return out;
}

std::vector<TrueFit> Diagnosis::find(SetSearch& search, const Response& response, TrueFit nothing) {
    std::vector<TrueFit> best{std::move(nothing)};
    const std::size_t rows = answer_.compared;
    const std::size_t most_wrong =
        std::min(most_wrong_readings, std::max<std::size_t>(rows / 4, 1));
    for (std::size_t size = 1; size <= std::min(most_culprits, rows); ++size) {
        answer_.largest_set = size;
        for (std::size_t wrong = 0; wrong <= std::min(size, most_wrong); ++wrong) {
            std::vector<TrueFit> here = best_sets(search, response, size - wrong, wrong);
            if (here.empty()) {
                continue;
            }
            if (is_accepted(here.front(), size)) {
                return here;
            }
            // A member more must be worth more than what chance alone would give it.
            if (here.front().chi_square + told_apart < best.front().chi_square) {
                best = std::move(here);
            }
        }
    }
    return best;
}

void Diagnosis::finish(const std::vector<TrueFit>& fits) {
    const TrueFit& best = fits.front();
    const std::size_t members = best.fit.set.size();
    answer_.chi_square = best.chi_square;
    answer_.chance = chi_square_beyond(best.chi_square, static_cast<int>(answer_.compared) -
                                                            static_cast<int>(members));
    answer_.is_accepted = is_accepted(best, members);
    if (members > 0) {
        name_culprits(car_, predicted_, comparison_, suspects_, classes_, fits, answer_);
    }
    judge_readings(best);
}

/// The culprit without which a reading would move most; -1: none moves it.
int Diagnosis::strongest(const TrueFit& best, std::size_t reading) const {
    const ProbePair& probe = car_.probes()[reading];
    const TrueFitter fitter(car_, predicted_, comparison_, suspects_);
    int out = -1;
    double most = 0.0;
    for (std::size_t i = 0; i < best.fit.set.size(); ++i) {
        if (suspects_[best.fit.set[i]].kind == Suspect::Kind::reading) {
            continue;
        }
        std::vector<double> values = best.fit.value;
        values[i] = 0.0;
        const TrueFit without = fitter.at_values(best.fit.set, values);
        if (!without.is_solved) {
            continue;
        }
        const double moved = std::abs(without.states[probe.state].volts(probe.node, probe.against) -
                                      best.states[probe.state].volts(probe.node, probe.against));
        if (moved > most) {
            most = moved;
            out = static_cast<int>(i);
        }
    }
    return out;
}

void Diagnosis::judge_readings(const TrueFit& best) {
    const std::vector<double> left = comparison_.whitening.against_others(best.left);
    for (std::size_t m = 0; m < left.size(); ++m) {
        const std::size_t reading = comparison_.reading_of_row[m];
        const ProbePair& probe = car_.probes()[reading];
        ReadingResult& result = answer_.results[reading];
        result.explained_v = best.states[probe.state].volts(probe.node, probe.against);
        result.left_sigmas = left[m];
        const auto wrong = std::ranges::find_if(best.fit.set, [&](std::size_t k) {
            return suspects_[k] == Suspect{Suspect::Kind::reading, static_cast<int>(reading)};
        });
        const double moved = std::abs(result.explained_v - result.predicted_v);
        if (wrong != best.fit.set.end()) {
            result.verdict = ReadingVerdict::unexplained;
            result.culprit = static_cast<int>(wrong - best.fit.set.begin());
            result.left_sigmas = (probe.volts - result.explained_v) /
                                 std::hypot(result.meter_v, result.prediction_v);
        } else if (std::abs(left[m]) > answer_.limit_sigmas) {
            result.verdict = ReadingVerdict::unexplained;
        } else if (moved > clearly_moved * result.meter_v) {
            result.verdict = ReadingVerdict::explained;
            result.culprit = strongest(best, reading);
        } else {
            result.verdict = ReadingVerdict::as_predicted;
        }
    }
}

} // namespace

MeasureAnswer measure(const StudyInput& input, const Design& design, const SpreadTable& spreads,
                      std::span<const MeterReading> readings) {
    return Diagnosis(input, design, spreads, readings).run();
}

} // namespace loomwright
