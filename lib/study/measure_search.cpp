// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Best subset of a regression. Each class k is first fitted alone; what it then does to the
// readings is its secant s_k (its tangent where it does nothing alone). A set S is ranked by
//
//   X_S = |y|^2 - max over a of (2 a^T S^T y - a^T S^T S a),   a_k >= 0 where k goes one way only,
//
// a system of as many equations as members, from products worked out once. The best of the ranking
// are then fitted with their true shape (measure_fit.cpp). All sets of a size are ranked while
// there are at most two million; beyond, those that add a member to the best of the size before.
#include "study/measure_search.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright {
namespace {

constexpr double finest = 0.3; ///< deviations
constexpr double most_sets = 2e6;
constexpr std::size_t most_kept = 300;
constexpr std::size_t most_fitted = 120;
constexpr std::size_t largest = 4;

/// What a small part of a suspect does to the readings of all states.
std::vector<double> tangent_of(const Response& response, std::size_t suspect) {
    std::vector<double> out(response.rows, 0.0);
    const bool is_joint = response.suspects[suspect].kind == Suspect::Kind::joint;
    for (std::size_t s = 0; s < response.states.size(); ++s) {
        const std::span<const double> effect = response.effect(s, suspect);
        const double drive = is_joint ? response.states[s].amps[suspect] : 1.0;
        for (std::size_t m = 0; m < out.size(); ++m) {
            out[m] += drive * effect[m];
        }
    }
    return out;
}

bool is_one_sided(Suspect::Kind kind) {
    return kind == Suspect::Kind::joint || kind == Suspect::Kind::load;
}

double combinations(std::size_t of, std::size_t take) {
    double out = 1.0;
    for (std::size_t i = 0; i < take; ++i) {
        out *= static_cast<double>(of - std::min(of, i)) / static_cast<double>(i + 1);
    }
    return out;
}

} // namespace

std::vector<SuspectClass> classify(const Response& response,
                                   std::span<const std::vector<int>> turns,
                                   std::span<const double> residual, double nominal_v) {
    const double whole = std::sqrt(dot(residual, residual)) + 1.0;
    std::vector<SuspectClass> out;
    std::vector<std::vector<double>> directions;
    for (std::size_t k = 0; k < response.suspects.size(); ++k) {
        std::vector<double> direction = tangent_of(response, k);
        const double length = std::sqrt(dot(direction, direction));
        if (!(length > 0.0)) {
            continue;
        }
        for (double& part : direction) {
            part /= length;
        }
        const Suspect::Kind kind = response.suspects[k].kind;
        // One that is here for the relay that it may turn: what it does to the readings until then
        // says nothing.
        const bool is_weak = kind == Suspect::Kind::joint &&
                             length * nominal_v / response.most_amps[k] < least_effect;
        const bool may_join = kind != Suspect::Kind::reading && !is_weak;
        std::size_t found = out.size();
        for (std::size_t c = 0; c < out.size() && may_join; ++c) {
            const std::size_t first = out[c].members.front();
            if (response.suspects[first].kind != kind || out[c].is_weak ||
                turns[first] != turns[k]) {
                continue;
            }
            double apart = 0.0;
            for (std::size_t m = 0; m < direction.size(); ++m) {
                apart += (direction[m] - directions[c][m]) * (direction[m] - directions[c][m]);
            }
            if (std::sqrt(apart) * whole < finest) {
                found = c;
                break;
            }
        }
        if (found == out.size()) {
            out.push_back({{}, kind == Suspect::Kind::reading, is_weak});
            directions.push_back(std::move(direction));
        }
        out[found].members.push_back(k);
    }
    return out;
}

SetSearch::SetSearch(const Response& response, const std::vector<SuspectClass>& classes,
                     std::span<const double> residual, double nominal_v)
    : classes_(classes), fitter_(response, residual, nominal_v), whole_(dot(residual, residual)) {
    std::vector<std::vector<double>> secants;
    for (std::size_t c = 0; c < classes.size(); ++c) {
        const std::size_t k = classes[c].members.front();
        (classes[c].is_reading ? readings_ : causes_).push_back(c);
        const Suspect::Kind kind = response.suspects[k].kind;
        is_one_sided_.push_back(is_one_sided(kind) ? 1 : 0);
        std::vector<double> secant = tangent_of(response, k);
        if (kind == Suspect::Kind::joint) {
            const std::array<std::size_t, 1> set{k};
            const SetFit alone = fitter_.fit(set);
            std::vector<double> there(response.rows);
            fitter_.moved(set, alone.value, there);
            if (dot(there, there) > 0.0) {
                secant = std::move(there);
            }
        }
        const double length = std::sqrt(dot(secant, secant));
        for (double& part : secant) {
            part /= length;
        }
        along_.push_back(dot(secant, residual));
        secants.push_back(std::move(secant));
    }
    products_.resize(secants.size() * secants.size());
    for (std::size_t a = 0; a < secants.size(); ++a) {
        for (std::size_t b = 0; b < secants.size(); ++b) {
            products_[a * secants.size() + b] = dot(secants[a], secants[b]);
        }
    }
}

/// Chi-square by secants; infinite for a set of which a member would go the wrong way.
double SetSearch::by_secants(const Set& set) const {
    const std::size_t size = set.size();
    const std::size_t count = classes_.size();
    std::array<std::array<double, largest + 1>, largest> rows{};
    for (std::size_t i = 0; i < size; ++i) {
        for (std::size_t j = 0; j < size; ++j) {
            rows.at(i).at(j) = products_[set[i] * count + set[j]];
        }
        rows.at(i).at(size) = along_[set[i]];
    }
    for (std::size_t i = 0; i < size; ++i) { // the matrix is positive definite: no pivots to seek
        auto& pivot = rows[i];
        if (pivot[i] < 1e-9) {
            return HUGE_VAL; // two members do the same
        }
        for (std::size_t j = 0; j < size; ++j) {
            if (j == i) {
                continue;
            }
            const double share = rows[j][i] / pivot[i];
            for (std::size_t l = i; l <= size; ++l) {
                rows[j][l] -= share * pivot[l];
            }
        }
    }
    double explained = 0.0;
    for (std::size_t i = 0; i < size; ++i) {
        const double amplitude = rows[i][size] / rows[i][i];
        if (is_one_sided_[set[i]] != 0 && amplitude <= 0.0) {
            return HUGE_VAL;
        }
        explained += amplitude * along_[set[i]];
    }
    return whole_ - explained;
}

/// Keeps the best sets, equals in the order in which they came.
class SetSearch::Ranking {
public:
    void add(const Set& set, double chi_square) {
        if (chi_square >= worst_) {
            return;
        }
        kept_.push_back({set, chi_square});
        if (kept_.size() >= 4 * most_kept) {
            shorten();
        }
    }
    [[nodiscard]] std::vector<Ranked> take() {
        shorten();
        return std::move(kept_);
    }

private:
    void shorten() {
        std::ranges::stable_sort(kept_, {}, &Ranked::chi_square);
        if (kept_.size() > most_kept) {
            kept_.resize(most_kept);
            worst_ = kept_.back().chi_square;
        }
    }
    std::vector<Ranked> kept_;
    double worst_ = HUGE_VAL;
};

std::vector<SetSearch::Ranked> SetSearch::rank_all(std::size_t causes, std::size_t readings) const {
    Ranking ranking;
    std::vector<std::size_t> at(causes + readings);
    Set set(causes + readings);
    const auto pool = [&](std::size_t i) -> const std::vector<std::size_t>& {
        return i < causes ? causes_ : readings_;
    };
    std::size_t i = 0;
    at[0] = 0;
    for (;;) { // every choice of ascending places in each pool, like an odometer
        if (at[i] >= pool(i).size()) {
            if (i == 0) {
                break;
            }
            ++at[--i];
            continue;
        }
        set[i] = pool(i)[at[i]];
        if (i + 1 < set.size()) {
            ++i;
            at[i] = i == causes ? 0 : at[i - 1] + 1;
            continue;
        }
        ranking.add(set, by_secants(set));
        ++at[i];
    }
    return ranking.take();
}

std::vector<SetSearch::Ranked> SetSearch::rank_grown(std::size_t causes, std::size_t readings) {
    const bool adds_reading = causes == 0;
    const std::vector<Ranked>& before =
        adds_reading ? ranked(causes, readings - 1) : ranked(causes - 1, readings);
    std::vector<Set> grown;
    for (const Ranked& smaller : before) {
        for (const std::size_t added : adds_reading ? readings_ : causes_) {
            if (std::ranges::find(smaller.set, added) == smaller.set.end()) {
                Set set = smaller.set;
                set.push_back(added);
                std::ranges::sort(set);
                grown.push_back(std::move(set));
            }
        }
    }
    std::ranges::sort(grown);
    grown.erase(std::unique(grown.begin(), grown.end()), grown.end());
    Ranking ranking;
    for (const Set& set : grown) {
        ranking.add(set, by_secants(set));
    }
    return ranking.take();
}

const std::vector<SetSearch::Ranked>& SetSearch::ranked(std::size_t causes, std::size_t readings) {
    const auto key = std::pair(causes, readings);
    const auto found = known_.find(key);
    if (found != known_.end()) {
        return found->second;
    }
    const double sets =
        combinations(causes_.size(), causes) * combinations(readings_.size(), readings);
    const bool is_small = sets <= most_sets;
    is_exhausted_ = is_exhausted_ && is_small;
    std::vector<Ranked> made = is_small ? rank_all(causes, readings) : rank_grown(causes, readings);
    return known_.emplace(key, std::move(made)).first->second;
}

std::vector<SetFit> SetSearch::best(std::size_t causes, std::size_t readings) {
    const std::vector<Ranked>& sets = ranked(causes, readings);
    std::vector<SetFit> out;
    for (std::size_t i = 0; i < std::min(sets.size(), most_fitted); ++i) {
        std::vector<std::size_t> members;
        for (const std::size_t c : sets[i].set) {
            members.push_back(classes_[c].members.front());
        }
        out.push_back(fitter_.fit(members));
    }
    std::ranges::stable_sort(out, {}, &SetFit::chi_square);
    return out;
}

} // namespace loomwright
