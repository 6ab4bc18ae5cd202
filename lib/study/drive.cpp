// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The charge of the batteries over a row of states: the equations of energy.cpp, integrated by the
// midpoint rule with steps of at most a hundredth of the charge and a quarter of a leg. A state
// begins with its relays as the state itself says (at rest, or `after` another), and keeps them
// through its leg.
#include "study/charging.hpp"
#include "study/currents.hpp"
#include "study/energy.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>

namespace loomwright {
namespace {

constexpr double most_change = 0.01; ///< of charge, in one step
constexpr int least_steps = 4;       ///< in each leg
constexpr int most_steps = 2000;
constexpr double flat_charge = 1e-9;

/// Walks through a drive.
class DriveWalk {
public:
    DriveWalk(const StudyInput& input, const Design& design, const Drive& drive)
        : input_(input), design_(design), drive_(drive), rates_(input.vehicle, input.catalogue) {
        out_.drive = drive.name;
        out_.batteries = devices_of<Battery>(input.vehicle);
        for (const DeviceId id : out_.batteries) {
            charge_.push_back(drive.charge ? *drive.charge : battery_of(input.vehicle, id).charge);
        }
    }

    DriveCourse walk() {
        int number = 0;
        for (int round = 0; round < drive_.times; ++round) {
            for (const DriveLeg& leg : drive_.legs) {
                if (!walk_leg(leg, number++)) {
                    return std::move(out_);
                }
            }
        }
        return std::move(out_);
    }

private:
    struct Moment {
        std::vector<double> amps;
        std::vector<double> volts;
        std::vector<double> rate;
    };

    StateStudy& study_of(StateId state) {
        auto& found = studies_[state.index()];
        if (!found) {
            found = std::make_unique<StateStudy>(input_, std::vector<StateId>{state});
        }
        return *found;
    }

    std::optional<Moment> look(StateId state, const std::vector<double>& charge, bool is_first) {
        StateStudy& study = study_of(state);
        for (std::size_t k = 0; k < charge.size(); ++k) {
            study.set_charge(out_.batteries[k], charge[k]);
        }
        const auto solved = is_first ? study.solve(design_) : study.solve_on(design_);
        const StateSolution& solution = solved.front();
        if (!solution.converged) {
            out_.failure = input_.vehicle.state(state).name + ": " + solution.failure;
            out_.is_unsolved = true;
            return std::nullopt;
        }
        Moment out;
        for (const DeviceId id : out_.batteries) {
            const DeviceState& is = solution.devices[id.index()];
            out.amps.push_back(is.amps);
            out.volts.push_back(is.volts);
            out.rate.push_back(rates_.of(id, is.amps, is_stopped(input_.vehicle, state)));
        }
        return out;
    }

    void keep(const Moment& moment, StateId state, int leg) {
        out_.points.push_back({.time_s = time_s_,
                               .leg = leg,
                               .state = state,
                               .charge = charge_,
                               .amps = moment.amps,
                               .volts = moment.volts});
    }

    /// A battery at nothing that still gives: the drive is over.
    [[nodiscard]] bool is_flat(const Moment& moment) {
        for (std::size_t k = 0; k < charge_.size(); ++k) {
            if (charge_[k] <= flat_charge && moment.amps[k] > nothing_a) {
                out_.failure = input_.vehicle.device(out_.batteries[k]).name + " is flat";
                return true;
            }
        }
        return false;
    }

    [[nodiscard]] double step_for(const Moment& moment, double left, double whole) const {
        double step = std::min(left, whole / least_steps);
        for (std::size_t k = 0; k < charge_.size(); ++k) {
            const double rate = std::abs(moment.rate[k]);
            step = rate > 0.0 ? std::min(step, most_change / rate) : step;
        }
        step = std::min(std::max(step, whole / most_steps), left);
        for (std::size_t k = 0; k < charge_.size(); ++k) {
            if (moment.rate[k] < 0.0 && charge_[k] > flat_charge) { // lands on nothing, not beyond
                step = std::min(step, charge_[k] / -moment.rate[k]);
            }
        }
        return step;
    }

    bool walk_leg(const DriveLeg& leg, int number) {
        double left = leg.lasts.value();
        auto moment = look(leg.state, charge_, true);
        if (!moment) {
            return false;
        }
        keep(*moment, leg.state, number);
        while (left > 0.0) {
            if (is_flat(*moment)) {
                return false;
            }
            const double step = step_for(*moment, left, leg.lasts.value());
            const auto middle =
                look(leg.state, charge_after(charge_, moment->rate, 0.5 * step), false);
            if (!middle) {
                return false;
            }
            charge_ = charge_after(charge_, middle->rate, step);
            time_s_ += step;
            left = step >= left ? 0.0 : left - step;
            moment = look(leg.state, charge_, false);
            if (!moment) {
                return false;
            }
            keep(*moment, leg.state, number);
        }
        return true;
    }

    const StudyInput& input_;
    const Design& design_;
    const Drive& drive_;
    ChargeRate rates_;
    DriveCourse out_;
    std::vector<double> charge_;
    double time_s_ = 0.0;
    std::map<std::size_t, std::unique_ptr<StateStudy>> studies_;
};

} // namespace

DriveCourse drive_course(const StudyInput& input, const Design& design, const Drive& drive) {
    return DriveWalk(input, design, drive).walk();
}

} // namespace loomwright
