// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Each suspect of the culprit that is least told apart is put into the network alone in its place;
// every pair of places at the ends of these suspects is read there, in every state that was read.
// The best pair parts the most pairs of suspects by more than four standard deviations of a meter;
// of equals the one with the smallest voltage, which a meter shows finest.
#include "study/measure_next.hpp"

#include "base/at.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::size_t most_foretold = 16;
constexpr double parted = 4.0; ///< deviations of the meter

/// One suspect in its place.
struct Case {
    const SuspectFit& suspect;
    const TrueFit& there;
};

/// Nodes that a probe reaches: not the inside of a starter or a controller.
std::vector<std::uint8_t> reached(const Network& network) {
    std::vector<std::uint8_t> out(at(network.node_count()), 0);
    for (const auto& terminals : network.terminal_nodes) {
        for (const int node : terminals) {
            out[at(node)] = 1;
        }
    }
    for (const int node : network.body_nodes) {
        out[at(node)] = 1;
    }
    for (const int branch : network.wire_branch) {
        out[at(network.branches[at(branch)].from)] = 1;
        out[at(network.branches[at(branch)].to)] = 1;
    }
    return out;
}

std::vector<int> places_of(const MeasuredCar& car, std::span<const Case> cases) {
    const Network& network = car.plan().input.network;
    const std::vector<std::uint8_t> is_reached = reached(network);
    std::vector<int> out;
    const auto add = [&](int node) {
        if (node >= 0 && is_reached[at(node)] != 0 && std::ranges::find(out, node) == out.end()) {
            out.push_back(node);
        }
    };
    for (const Case& one : cases) {
        if (one.suspect.what.kind == Suspect::Kind::reading) {
            add(car.probes()[at(one.suspect.what.index)].node);
            continue;
        }
        const Branch& branch = network.branches[at(one.suspect.what.index)];
        add(branch.from);
        add(branch.to);
    }
    add(car.black_lead());
    return out;
}

/// A pair of places in a state, with how much it tells.
struct Telling {
    int node = 0;
    int against = 0;
    std::size_t state = 0;
    std::size_t pairs = 0;
    double most_v = 0.0;
};

Telling tell(std::span<const Case> cases, int node, int against, std::size_t state) {
    Telling out{.node = node, .against = against, .state = state};
    const MeterAccuracy meter;
    std::vector<double> volts;
    for (const Case& one : cases) {
        volts.push_back(one.there.states[state].volts(node, against));
        out.most_v = std::max(out.most_v, std::abs(volts.back()));
    }
    for (std::size_t a = 0; a < volts.size(); ++a) {
        for (std::size_t b = 0; b < a; ++b) {
            const double error =
                meter.at(Volts(std::max(std::abs(volts[a]), std::abs(volts[b])))).value();
            out.pairs += std::abs(volts[a] - volts[b]) > parted * error / std::sqrt(3.0) ? 1 : 0;
        }
    }
    return out;
}

} // namespace

std::optional<NextReading> next_reading(const MeasuredCar& car, std::span<const Culprit> culprits,
                                        const std::vector<std::vector<TrueFit>>& fits) {
    const auto least_told = std::ranges::max_element(
        culprits, {}, [](const Culprit& culprit) { return culprit.one_of.size(); });
    if (least_told == culprits.end() || least_told->one_of.size() < 2) {
        return std::nullopt;
    }
    const auto& choices = fits[static_cast<std::size_t>(least_told - culprits.begin())];
    std::vector<Case> cases;
    for (std::size_t i = 0; i < std::min(choices.size(), most_foretold); ++i) {
        cases.push_back({least_told->one_of[i], choices[i]});
    }
    const std::vector<int> places = places_of(car, cases);
    Telling most;
    for (std::size_t s = 0; s < car.state_count(); ++s) {
        if (!cases.front().there.states[s].is_solved) {
            continue;
        }
        for (std::size_t a = 0; a < places.size(); ++a) {
            for (std::size_t b = a + 1; b < places.size(); ++b) {
                const Telling here = tell(cases, places[a], places[b], s);
                if (here.pairs > most.pairs ||
                    (here.pairs == most.pairs && here.pairs > 0 && here.most_v < most.most_v)) {
                    most = here;
                }
            }
        }
    }
    if (most.pairs == 0) {
        return std::nullopt;
    }
    NextReading out{.node = most.node, .against = most.against, .state = most.state};
    double sum = 0.0;
    for (const Case& one : cases) {
        sum += one.there.states[most.state].volts(most.node, most.against);
    }
    if (sum < 0.0) {
        std::swap(out.node, out.against);
    }
    for (const Case& one : cases) {
        out.foretold.push_back(
            {one.suspect, one.there.states[most.state].volts(out.node, out.against)});
    }
    return out;
}

} // namespace loomwright
