// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What the batteries live on (docs/method/energy.md).
//
//   dq/dt = -I / C          while a battery gives I
//   dq/dt = -eta I / C      while it takes (I < 0)
//   dq/dt = -s              by itself, engine stopped
//
//   q state of charge, 0..1; C capacity, A s; eta charge efficiency; s self-discharge a second.
//   I comes from the operating point at q: open-circuit voltage and acceptance follow q.
//
// Not counted: that a battery gives less charge when it is cold or drained fast (Peukert), and
// that it recovers. Valid for drains of hours and days.
#include "study/energy.hpp"

#include "network/battery_rows.hpp"
#include "study/charging.hpp"
#include "study/currents.hpp"
#include "study/values.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomwright {
namespace {

constexpr int parking_halvings = 40;
/// Of what the battery gives that gives most while cranking: one that gives less only helps (common
/// practice, no source).
constexpr double needed_share = 0.5;

/// Tries whether the car still starts with its batteries at given charges. A battery that the start
/// needs must have its least charge; of one that only helps no more is asked than that the engine
/// starts beside it.
class StartTrial {
public:
    StartTrial(const StudyInput& input, const Design& design) : input_(input), design_(design) {
        for (std::size_t i = 0; i < input.vehicle.states.size(); ++i) {
            if (input.vehicle.states[i].engine == EngineCondition::cranking) {
                state_ = StateId(i);
                study_.emplace(input, std::vector<StateId>{state_});
                return;
            }
        }
    }

    [[nodiscard]] StateId state() const { return state_; }

    /// Finds the batteries that the start needs, by what they give at these charges; all where that
    /// cannot be said.
    void begin(const std::vector<DeviceId>& batteries, const std::vector<double>& charge) {
        is_needed_.assign(batteries.size(), 1);
        if (!study_ || batteries.size() < 2) {
            return;
        }
        const StateSolution& solution = crank(batteries, charge);
        const auto amps = [&](std::size_t k) {
            return solution.devices[batteries[k].index()].amps;
        };
        double most = 0.0;
        for (std::size_t k = 0; solution.converged && k < batteries.size(); ++k) {
            most = std::max(most, amps(k));
        }
        for (std::size_t k = 0; most > nothing_a && k < batteries.size(); ++k) {
            is_needed_[k] = amps(k) >= needed_share * most ? 1 : 0;
        }
    }
    [[nodiscard]] bool is_needed(std::size_t battery) const { return is_needed_[battery] != 0; }
    [[nodiscard]] double least_charge() const {
        return input_.catalogue
            .default_value(study_ ? "battery-valid-charge" : "battery-least-charge")
            .value;
    }
    /// Of the batteries that the start needs.
    [[nodiscard]] double lowest(const std::vector<double>& charge) const {
        double out = 1.0;
        for (std::size_t k = 0; k < charge.size(); ++k) {
            out = is_needed(k) ? std::min(out, charge[k]) : out;
        }
        return out;
    }

    [[nodiscard]] bool starts(const std::vector<DeviceId>& batteries,
                              const std::vector<double>& charge) {
        if (lowest(charge) < least_charge()) {
            return false;
        }
        return !study_ || engine_starts(input_.vehicle, crank(batteries, charge));
    }

private:
    [[nodiscard]] const StateSolution& crank(const std::vector<DeviceId>& batteries,
                                             const std::vector<double>& charge) {
        if (!cranked_ || charge != cranked_at_) {
            for (std::size_t k = 0; k < batteries.size(); ++k) {
                study_->set_charge(batteries[k], charge[k]);
            }
            cranked_ = study_->solve(design_).front();
            cranked_at_ = charge;
        }
        return *cranked_;
    }

    const StudyInput& input_;
    const Design& design_;
    StateId state_;
    std::optional<StateStudy> study_;
    std::optional<StateSolution> cranked_; ///< the last one tried
    std::vector<double> cranked_at_;       ///< with these charges
    std::vector<std::uint8_t> is_needed_;  ///< by battery
};

/// The first of the batteries that the start does not need to come down to the least charge.
std::optional<LowBattery> first_low(const StartTrial& trial, const std::vector<DeviceId>& batteries,
                                    const StateSolution& solution, const std::vector<double>& full,
                                    const std::vector<double>& rate) {
    std::optional<LowBattery> out;
    const double least = trial.least_charge();
    for (std::size_t k = 0; k < batteries.size(); ++k) {
        if (trial.is_needed(k) || rate[k] >= 0.0 || full[k] <= least) {
            continue;
        }
        const double after_s = (full[k] - least) / -rate[k];
        if (!out || after_s < out->after_s) {
            out = {batteries[k], solution.devices[batteries[k].index()].amps, least, after_s};
        }
    }
    return out;
}

std::vector<double> charges_at_start(const Vehicle& vehicle, const std::vector<DeviceId>& batteries,
                                     const State* state) {
    std::vector<double> out;
    out.reserve(batteries.size());
    for (const DeviceId id : batteries) {
        out.push_back(battery_charge(battery_of(vehicle, id), state));
    }
    return out;
}

ParkedDrain drain_of(const StudyInput& input, const StateSolution& solution,
                     const std::vector<DeviceId>& batteries, const std::vector<int>& rows,
                     StartTrial& trial, ParkedTrial how_far) {
    ParkedDrain out;
    out.state = solution.state;
    out.cranked_by = trial.state();
    const State* state = state_of(input.vehicle, solution.state);
    if (state != nullptr && state->lasts) {
        out.lasts_s = state->lasts->value();
    }
    const ChargeRate rates(input.vehicle, input.catalogue);
    const std::vector<double> full = charges_at_start(input.vehicle, batteries, state);
    std::vector<double> rate;
    double flat_s = 0.0; // by then every battery is flat
    for (std::size_t k = 0; k < batteries.size(); ++k) {
        const double amps = solution.devices[batteries[k].index()].amps;
        out.drain_a += amps / rows[batteries[k].index()];
        rate.push_back(rates.of(batteries[k], amps, true));
        flat_s = std::max(flat_s, full[k] / -rate[k]); // before now, where it is charged
    }
    trial.begin(batteries, full);
    out.starts_at_all = trial.starts(batteries, full);
    out.least_charge = trial.lowest(full);
    if (!out.starts_at_all) {
        out.starts_until_s = 0.0;
        return out;
    }
    out.low = first_low(trial, batteries, solution, full, rate);
    double good = 0.0;
    double bad = flat_s;
    if (out.lasts_s && *out.lasts_s < flat_s &&
        trial.starts(batteries, charge_after(full, rate, *out.lasts_s))) {
        good = *out.lasts_s;
        if (how_far == ParkedTrial::for_its_time) {
            out.least_charge = trial.lowest(charge_after(full, rate, good));
            return out;
        }
    }
    if (flat_s <= 0.0 || trial.starts(batteries, charge_after(full, rate, flat_s))) {
        out.least_charge = trial.lowest(charge_after(full, rate, flat_s));
        return out; // even flat, by these laws, it starts
    }
    for (int k = 0; k < parking_halvings && bad - good > 60.0 && bad - good > 1e-3 * bad; ++k) {
        const double middle = 0.5 * (good + bad);
        (trial.starts(batteries, charge_after(full, rate, middle)) ? good : bad) = middle;
    }
    out.starts_until_s = good;
    out.least_charge = trial.lowest(charge_after(full, rate, good));
    return out;
}

} // namespace

std::vector<StateBalance> state_balances(const StudyInput& input,
                                         const std::vector<StateSolution>& states) {
    std::vector<StateBalance> out;
    const std::vector<int> rows = battery_rows(input.vehicle, input.network);
    for (const StateSolution& solution : states) {
        StateBalance balance;
        balance.state = solution.state;
        if (!solution.converged) {
            balance.failure = solution.failure;
            out.push_back(std::move(balance));
            continue;
        }
        double first_s = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < input.vehicle.devices.size(); ++i) {
            const Device& device = input.vehicle.devices[i];
            const DeviceState& is = solution.devices[i];
            const auto* charger = device.as<Charger>();
            const auto* store = device.as<Battery>();
            if (store == nullptr && charger == nullptr && device.as<Alternator>() == nullptr) {
                continue;
            }
            SourceLoad source{.device = DeviceId(i),
                              .amps = is.amps,
                              .most_a = charger != nullptr ? charger->limit.value() : is.most_a,
                              .volts = is.volts,
                              .lasts_s = {}};
            if (store != nullptr) {
                balance.battery_a += is.amps / rows[i];
                const State* state = state_of(input.vehicle, solution.state);
                if (is.amps > nothing_a) {
                    source.lasts_s =
                        store->capacity.value() * battery_charge(*store, state) / is.amps;
                    first_s = std::min(first_s, *source.lasts_s);
                }
            }
            balance.sources.push_back(source);
            balance.has_generator = balance.has_generator || is.most_a > 0.0;
        }
        if (balance.battery_a > nothing_a && std::isfinite(first_s)) {
            balance.lasts_s = first_s;
        }
        out.push_back(std::move(balance));
    }
    return out;
}

std::vector<ParkedDrain> parked_drains(const StudyInput& input, const Design& design,
                                       const std::vector<StateSolution>& states,
                                       ParkedTrial how_far) {
    const std::vector<DeviceId> batteries = devices_of<Battery>(input.vehicle);
    std::vector<ParkedDrain> out;
    if (batteries.empty()) {
        return out;
    }
    std::vector<const StateSolution*> parked;
    const StateSolution* first = nullptr;
    for (const StateSolution& solution : states) {
        if (!solution.converged || !is_stopped(input.vehicle, solution.state)) {
            continue;
        }
        first = first == nullptr ? &solution : first;
        if (solution.state.is_valid() && input.vehicle.state(solution.state).lasts) {
            parked.push_back(&solution);
        }
    }
    if (parked.empty() && first != nullptr) {
        parked.push_back(first);
    }
    if (parked.empty()) {
        return out;
    }
    StartTrial trial(input, design);
    const std::vector<int> rows = battery_rows(input.vehicle, input.network);
    for (const StateSolution* solution : parked) {
        out.push_back(drain_of(input, *solution, batteries, rows, trial, how_far));
    }
    return out;
}

} // namespace loomwright
