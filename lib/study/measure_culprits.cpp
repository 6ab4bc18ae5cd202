// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Sets of as many members share the likelihood exp(-X / 2), each joint as likely as any other
// before: a class of m joints that no reading tells apart counts m times. (H. Akaike's weights, for
// models of one size; S. S. Wilks 1938 for the 3.84 within which another joint is not told apart in
// 95 % of cases; memory.)
#include "study/measure_culprits.hpp"

#include "base/at.hpp"
#include "study/measure_next.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::size_t most_runners_up = 3;
constexpr double least_runner_share = 0.001;

/// A set that explains the readings as well, and which of its members stands for the culprit.
struct Alternative {
    const TrueFit* fit = nullptr;
    std::size_t member = 0;
};

class Namer {
public:
    Namer(const MeasuredCar& car, std::span<const ChangedState> predicted,
          const Comparison& comparison, const std::vector<Suspect>& suspects,
          const std::vector<SuspectClass>& classes, const std::vector<TrueFit>& fits)
        : car_(car), predicted_(predicted), comparison_(comparison), suspects_(suspects),
          classes_(classes), fits_(fits), best_(fits.front()), alternatives_(best_.fit.set.size()) {
        double whole = 0.0;
        for (const TrueFit& fit : fits_) {
            shares_.push_back(likelihood(fit));
            whole += shares_.back();
        }
        for (double& share : shares_) {
            share /= whole;
        }
        find_alternatives();
    }

    void name(MeasureAnswer& answer) const {
        std::vector<std::vector<TrueFit>> fits(alternatives_.size());
        for (std::size_t i = 0; i < alternatives_.size(); ++i) {
            answer.culprits.push_back(culprit(i, fits[i]));
        }
        add_runners_up(answer);
        answer.next = next_reading(car_, answer.culprits, fits);
    }

private:
    [[nodiscard]] const SuspectClass& class_of(std::size_t suspect) const {
        return *std::ranges::find_if(classes_, [suspect](const SuspectClass& one) {
            return one.members.front() == suspect;
        });
    }

    [[nodiscard]] double likelihood(const TrueFit& fit) const {
        double out = std::exp(-(fit.chi_square - best_.chi_square) / 2.0);
        for (const std::size_t k : fit.fit.set) {
            out *= static_cast<double>(class_of(k).members.size());
        }
        return out;
    }

    /// Sets that are not told apart from the best and have another suspect in the place of one
    /// member, by member; the best itself first.
    void find_alternatives() {
        const std::vector<std::size_t>& set = best_.fit.set;
        for (std::size_t i = 0; i < set.size(); ++i) {
            alternatives_[i].push_back({&best_, i});
        }
        for (const TrueFit& fit : fits_) {
            if (fit.chi_square > best_.chi_square + told_apart) {
                continue;
            }
            const std::vector<std::size_t>& other = fit.fit.set;
            const auto is_missing = [&](std::size_t k) {
                return std::ranges::find(other, k) == other.end();
            };
            const auto is_new = [&](std::size_t k) {
                return std::ranges::find(set, k) == set.end();
            };
            if (std::ranges::count_if(set, is_missing) == 1) {
                const auto place = std::ranges::find_if(set, is_missing) - set.begin();
                const auto member = std::ranges::find_if(other, is_new) - other.begin();
                alternatives_[static_cast<std::size_t>(place)].push_back(
                    {&fit, static_cast<std::size_t>(member)});
            }
        }
    }

    [[nodiscard]] bool stands_in(std::size_t member, std::size_t suspect) const {
        return std::ranges::any_of(alternatives_[member], [suspect](const Alternative& other) {
            return other.fit->fit.set[other.member] == suspect;
        });
    }

    /// Greatest current of a joint in the prediction, A; 1 for what has no ohms.
    [[nodiscard]] double amps_of(const Suspect& suspect) const {
        double out = 0.0;
        for (const ChangedState& state : predicted_) {
            const int place = suspect.kind == Suspect::Kind::joint && state.is_solved
                                  ? state.place[at(suspect.index)]
                                  : -1;
            out = place < 0 ? out : std::max(out, std::abs(state.point.amps[at(place)]));
        }
        return out > 0.0 ? out : 1.0;
    }

    /// The set with another of its class in the place of the one that stood for it: the same drop
    /// at another current is another resistance.
    [[nodiscard]] TrueFit with_member(const Alternative& other, std::size_t suspect) const {
        const std::size_t before = other.fit->fit.set[other.member];
        if (suspect == before) {
            return *other.fit;
        }
        SetFit start = other.fit->fit;
        start.set[other.member] = suspect;
        start.value[other.member] *= amps_of(suspects_[before]) / amps_of(suspects_[suspect]);
        const TrueFitter fitter(car_, predicted_, comparison_, suspects_);
        TrueFit out = fitter.refine(start);
        if (out.is_solved) {
            fitter.find_least(out);
        }
        return out;
    }

    [[nodiscard]] Culprit culprit(std::size_t member, std::vector<TrueFit>& fits) const {
        Culprit out;
        for (const Alternative& other : alternatives_[member]) {
            for (const std::size_t k : class_of(other.fit->fit.set[other.member]).members) {
                TrueFit fit = with_member(other, k);
                if (fit.is_solved) {
                    out.one_of.push_back(suspect_fit(fit, other.member, k));
                    fits.push_back(std::move(fit));
                }
            }
        }
        for (std::size_t f = 0; f < fits_.size(); ++f) {
            const bool has_one = std::ranges::any_of(
                fits_[f].fit.set, [&](std::size_t k) { return stands_in(member, k); });
            out.sure += has_one ? shares_[f] : 0.0;
        }
        out.sure = std::min(out.sure, 1.0);
        return out;
    }

    void add_runners_up(MeasureAnswer& answer) const {
        const auto is_named = [this](std::size_t k) {
            for (std::size_t i = 0; i < alternatives_.size(); ++i) {
                if (stands_in(i, k)) {
                    return true;
                }
            }
            return false;
        };
        for (std::size_t f = 0; f < fits_.size(); ++f) {
            if (answer.runners_up.size() >= most_runners_up || shares_[f] < least_runner_share ||
                std::ranges::all_of(fits_[f].fit.set, is_named)) {
                continue;
            }
            RunnerUp& runner = answer.runners_up.emplace_back();
            runner.chi_square = fits_[f].chi_square;
            runner.share = shares_[f];
            for (const std::size_t k : fits_[f].fit.set) {
                runner.set.push_back(suspects_[k]);
            }
        }
    }

    [[nodiscard]] SuspectFit suspect_fit(const TrueFit& fit, std::size_t member,
                                         std::size_t suspect) const {
        SuspectFit out;
        out.what = suspects_[suspect];
        out.value = fit.fit.value[member];
        out.low = fit.fit.low[member];
        out.high = fit.fit.high[member];
        out.is_open = fit.fit.is_open[member] != 0;
        if (out.what.kind == Suspect::Kind::reading) {
            out.nominal = comparison_.predicted_v[at(out.what.index)];
            out.state = car_.probes()[at(out.what.index)].state;
            return out;
        }
        for (std::size_t s = 0; s < fit.states.size(); ++s) {
            add_state(fit.states[s], s, out);
        }
        return out;
    }

    /// What the suspect does in a state, if it does most there.
    void add_state(const ChangedState& state, std::size_t index, SuspectFit& out) const {
        const ChangedState& before = predicted_[index];
        if (!state.is_solved || !before.is_solved) {
            return;
        }
        const int place = before.place[at(out.what.index)];
        const int now = state.place[at(out.what.index)];
        if (place < 0 || now < 0) {
            return;
        }
        const double nominal_a = std::abs(before.point.amps[at(place)]);
        const double amps = std::abs(state.point.amps[at(now)]);
        const bool is_first = out.nominal == 0.0;
        if (out.what.kind == Suspect::Kind::load ? nominal_a <= out.nominal
                                                 : !is_first && amps <= out.amps) {
            return;
        }
        out.state = index;
        out.amps = amps;
        out.nominal = nominal(before.circuit, at(place), out.what.kind, nominal_a);
        out.watts = out.what.kind == Suspect::Kind::joint ? amps * amps * out.value : 0.0;
    }

    static double nominal(const solve::Circuit& circuit, std::size_t place, Suspect::Kind kind,
                          double amps) {
        if (kind == Suspect::Kind::load) {
            return amps;
        }
        if (kind == Suspect::Kind::source) {
            return circuit.a[place];
        }
        const bool is_source = circuit.law[place] == solve::Law::source;
        return 1.0 / (is_source ? circuit.b : circuit.a)[place];
    }

    const MeasuredCar& car_;
    std::span<const ChangedState> predicted_;
    const Comparison& comparison_;
    const std::vector<Suspect>& suspects_;
    const std::vector<SuspectClass>& classes_;
    const std::vector<TrueFit>& fits_;
    const TrueFit& best_;
    std::vector<double> shares_; ///< by fit: of the likelihood of all
    std::vector<std::vector<Alternative>> alternatives_;
};

} // namespace

void name_culprits(const MeasuredCar& car, std::span<const ChangedState> predicted,
                   const Comparison& comparison, const std::vector<Suspect>& suspects,
                   const std::vector<SuspectClass>& classes, const std::vector<TrueFit>& fits,
                   MeasureAnswer& answer) {
    Namer(car, predicted, comparison, suspects, classes, fits).name(answer);
}

} // namespace loomwright
