// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Round an operating point a suspect k is a drive d_k that leads c_k d_k amperes into the `from` of
// its branch and out of its `to`:
//
//   joint of R ohm more    d = R i (V), i the current that is left, c = g, the branch's slope (S)
//   source, dU volts more  d = dU (V),                              c = g
//   load, a share p less   d = (p - p0) / (1 - p0),                 c = i, its current (A)
//                                                with the share p0 that it takes less at that point
//
//   reading m     v_m = v_m0 + sum_k H_mk d_k     H_mk = c_k (e_node - e_against)^T G^-1 u_k
//   current of j  i_j = i_j0 + sum_k D_jk d_k     D_jk = g_j u_j^T G^-1 u_k c_k - [same branch] g_j
//
// which for joints closes to (1 - R D) d = R (i_0 + D_others d_others), a system as small as the
// set. For a linear car it is exact for any R, an open joint included. (Superposition and
// Thevenin's theorem: a resistance in series is a source of the voltage that it drops.)
#include "study/measure_response.hpp"

#include "base/at.hpp"
#include "network/branch_kinds.hpp"
#include "solve/tangent.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace loomwright {
namespace {

constexpr double idle_joint_a = 1e-6;
/// A joint that can take so much of the voltage that a relay or a load stands by may turn it.
constexpr double turning_share = 0.2;
constexpr std::size_t most_suspects = 1000;
constexpr std::size_t most_looked_at = 5000;

double difference(std::span<const double> volts, int from, int to) {
    return volts[at(from)] - volts[at(to)];
}

/// What one unit of drive leads into a branch, A.
double drive_amps(Suspect::Kind kind, double siemens, double amps) {
    return kind == Suspect::Kind::load ? amps : siemens;
}

/// A suspect's branch in the circuit of a state; -1: not there.
int place_of(const ChangedState& state, const Suspect& suspect) {
    return suspect.kind == Suspect::Kind::reading || !state.is_solved
               ? -1
               : state.place[at(suspect.index)];
}

/// Amperes through the branch; those of a joint that carries none count as none.
double amps_of(const ChangedState& state, int place) {
    const double amps = state.point.amps[at(place)];
    return std::abs(amps) < idle_joint_a ? 0.0 : amps;
}

/// One state's part of a response, a suspect after the other.
class StateResponse {
public:
    StateResponse(const MeasuredCar& car, const ChangedState& state, std::size_t index,
                  const Comparison& comparison)
        : car_(car), state_(state), index_(index), comparison_(comparison),
          tangent_(state.circuit, state.point.volts) {}

    [[nodiscard]] bool is_solved() const { return tangent_.is_solved(); }

    /// Node voltages for each unit of drive of a suspect; empty: it is not in the circuit.
    [[nodiscard]] std::vector<double> node_volts(const Suspect& suspect) const {
        const int place = place_of(state_, suspect);
        if (place < 0) {
            return {};
        }
        const double amps = amps_of(state_, place);
        if (amps == 0.0 && suspect.kind != Suspect::Kind::source) {
            return {};
        }
        const Branch& branch = branch_of(suspect);
        std::vector<double> out = tangent_.respond(branch.from, branch.to);
        const double drive = drive_amps(suspect.kind, tangent_.siemens(place), amps);
        for (double& volts : out) {
            volts *= drive;
        }
        return out;
    }

    /// What node voltages say of the readings of this state, whitened.
    void whiten(std::span<const double> node_volts, std::span<double> out) const {
        std::ranges::fill(out, 0.0);
        for (std::size_t m = 0; m < out.size(); ++m) {
            const ProbePair& probe = car_.probes()[comparison_.reading_of_row[m]];
            if (probe.state == index_) {
                out[m] = difference(node_volts, probe.node, probe.against);
            }
        }
        comparison_.whitening.apply(out);
    }

    /// A through one suspect for each unit of drive that makes these node voltages.
    [[nodiscard]] double coupling(const Suspect& of, const Suspect& by,
                                  std::span<const double> node_volts) const {
        const int place = place_of(state_, of);
        if (place < 0) {
            return 0.0;
        }
        const Branch& branch = branch_of(of);
        const double siemens = tangent_.siemens(place);
        const bool is_own = of.index == by.index && by.kind != Suspect::Kind::load;
        return siemens * (difference(node_volts, branch.from, branch.to) - (is_own ? 1.0 : 0.0));
    }

    /// Through one that is in the circuit, A.
    [[nodiscard]] double amps(const Suspect& suspect) const {
        return amps_of(state_, place_of(state_, suspect));
    }

private:
    [[nodiscard]] const Branch& branch_of(const Suspect& suspect) const {
        return car_.plan().input.network.branches[at(suspect.index)];
    }

    const MeasuredCar& car_;
    const ChangedState& state_;
    std::size_t index_;
    const Comparison& comparison_;
    solve::Tangent tangent_;
};

} // namespace

Response respond(const MeasuredCar& car, std::span<const ChangedState> states,
                 const Comparison& comparison, std::vector<Suspect> suspects) {
    Response out;
    out.rows = comparison.reading_of_row.size();
    out.suspects = std::move(suspects);
    const std::size_t count = out.suspects.size();
    out.most_amps.assign(count, 0.0);
    for (std::size_t s = 0; s < states.size(); ++s) {
        Response::State& here = out.states.emplace_back();
        here.amps.assign(count, 0.0);
        here.coupling.assign(count * count, 0.0);
        here.effect.assign(count * out.rows, 0.0);
        if (!states[s].is_solved) {
            continue;
        }
        const StateResponse response(car, states[s], s, comparison);
        if (!response.is_solved()) {
            continue;
        }
        for (std::size_t k = 0; k < count; ++k) {
            const std::vector<double> volts = response.node_volts(out.suspects[k]);
            if (volts.empty()) {
                continue;
            }
            here.amps[k] = response.amps(out.suspects[k]);
            response.whiten(volts, std::span(here.effect).subspan(k * out.rows, out.rows));
            for (std::size_t j = 0; j < count; ++j) {
                here.coupling[j * count + k] =
                    response.coupling(out.suspects[j], out.suspects[k], volts);
            }
            out.most_amps[k] = std::max(out.most_amps[k], std::abs(here.amps[k]));
        }
    }
    for (std::size_t k = 0; k < count; ++k) { // of the meter, in whichever state it was
        if (out.suspects[k].kind != Suspect::Kind::reading) {
            continue;
        }
        const std::size_t reading = at(out.suspects[k].index);
        auto& effect = out.states[car.probes()[reading].state].effect;
        const std::span<double> column = std::span(effect).subspan(k * out.rows, out.rows);
        column[at(comparison.row_of_reading[reading])] = 1.0;
        comparison.whitening.apply(column);
    }
    return out;
}

namespace {

std::optional<Suspect::Kind> suspect_kind(BranchKind kind) {
    if (is_conductor(kind)) {
        return Suspect::Kind::joint;
    }
    return kind == BranchKind::load ? std::optional(Suspect::Kind::load) : std::nullopt;
}

/// Whatever a branch may be suspected of.
std::vector<Suspect> suspects_of(const Network& network) {
    std::vector<Suspect> out;
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const int index = static_cast<int>(i);
        if (is_source(network.branches[i].kind)) {
            out.push_back({Suspect::Kind::source, index});
        }
        if (network.branches[i].kind == BranchKind::battery) {
            out.push_back({Suspect::Kind::joint, index});
        }
        if (const auto kind = suspect_kind(network.branches[i].kind)) {
            out.push_back({*kind, index});
        }
    }
    return out;
}

/// A suspect with what it can do at most.
struct Strength {
    Suspect suspect;
    double most = 0.0;      ///< to all readings of a state together, in deviations
    std::vector<int> turns; ///< as FoundSuspects has it
};

/// The drive of a suspect at its greatest: an open joint, a load that takes nothing.
double full_drive(const Suspect& suspect, const MeasuredCar& car, const StateResponse& response,
                  std::span<const double> volts) {
    switch (suspect.kind) {
    case Suspect::Kind::joint:
        return std::abs(response.amps(suspect)) /
               std::max(-response.coupling(suspect, suspect, volts), 1e-12);
    case Suspect::Kind::source:
        return car.plan().input.vehicle.nominal.value();
    case Suspect::Kind::load:
    case Suspect::Kind::reading:
        break;
    }
    return 1.0;
}

/// Adds the relays and loads that stand in a state and lose so much of their voltage by these volts
/// that they may turn.
void add_turned(const MeasuredCar& car, const ChangedState& state, double full,
                std::span<const double> volts, std::vector<int>& turns) {
    for (std::size_t i = 0; i < car.plan().triggers.size(); ++i) {
        const Trigger& trigger = car.plan().triggers[i];
        const bool stands_by_size =
            trigger.kind == Trigger::Kind::coil || trigger.kind == Trigger::Kind::supply;
        if (!stands_by_size || state.stand[i] == 0) {
            continue;
        }
        const Branch& branch = car.plan().input.network.branches[at(trigger.branch)];
        const double has = std::abs(state.volts(branch.from, branch.to));
        const double loses = std::abs(full * difference(volts, branch.from, branch.to));
        const auto index = static_cast<int>(i);
        if (loses > turning_share * has && std::ranges::find(turns, index) == turns.end()) {
            turns.push_back(index);
        }
    }
}

/// Nothing less than `least_effect` for one that may turn something.
Strength strength(const Suspect& suspect, const MeasuredCar& car,
                  std::span<const ChangedState> states,
                  std::span<const std::unique_ptr<StateResponse>> responses,
                  std::vector<double>& scratch) {
    Strength out{.suspect = suspect};
    for (std::size_t s = 0; s < states.size(); ++s) {
        if (responses[s] == nullptr) {
            continue;
        }
        const std::vector<double> volts = responses[s]->node_volts(suspect);
        if (volts.empty()) {
            continue;
        }
        const double full = full_drive(suspect, car, *responses[s], volts);
        responses[s]->whiten(volts, scratch);
        const double length =
            std::sqrt(std::inner_product(scratch.begin(), scratch.end(), scratch.begin(), 0.0));
        out.most = std::max(out.most, full * length);
        if (suspect.kind == Suspect::Kind::joint) {
            add_turned(car, states[s], full, volts, out.turns);
        }
    }
    std::ranges::sort(out.turns);
    out.most = out.turns.empty() ? out.most : std::max(out.most, least_effect);
    return out;
}

} // namespace

FoundSuspects find_suspects(const MeasuredCar& car, std::span<const ChangedState> states,
                            const Comparison& comparison) {
    std::vector<std::unique_ptr<StateResponse>> responses(states.size());
    for (std::size_t s = 0; s < states.size(); ++s) {
        if (states[s].is_solved) {
            auto made = std::make_unique<StateResponse>(car, states[s], s, comparison);
            responses[s] = made->is_solved() ? std::move(made) : nullptr;
        }
    }
    std::vector<Suspect> wanted;
    for (const Suspect& suspect : suspects_of(car.plan().input.network)) {
        const bool carries = std::ranges::any_of(states, [&](const ChangedState& state) {
            const int place = place_of(state, suspect);
            return place >= 0 &&
                   (suspect.kind == Suspect::Kind::source || amps_of(state, place) != 0.0);
        });
        if (carries) {
            wanted.push_back(suspect);
        }
    }
    FoundSuspects out;
    out.is_whole = wanted.size() <= most_looked_at;
    wanted.resize(std::min(wanted.size(), most_looked_at));
    std::vector<Strength> found;
    std::vector<double> scratch(comparison.reading_of_row.size());
    for (const Suspect& suspect : wanted) {
        Strength one = strength(suspect, car, states, responses, scratch);
        if (one.most >= least_effect) {
            found.push_back(std::move(one));
        }
    }
    if (found.size() > most_suspects) {
        out.is_whole = false;
        std::ranges::stable_sort(found, std::greater<>(), &Strength::most);
        found.resize(most_suspects);
    }
    for (const Suspect& suspect : wanted) { // in the order of the branches again
        const auto one = std::ranges::find(found, suspect, &Strength::suspect);
        if (one != found.end()) {
            out.all.push_back(suspect);
            out.turns.push_back(std::move(one->turns));
        }
    }
    for (const std::size_t reading : comparison.reading_of_row) {
        out.all.push_back({Suspect::Kind::reading, static_cast<int>(reading)});
        out.turns.emplace_back();
    }
    return out;
}

} // namespace loomwright
