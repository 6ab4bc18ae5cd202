// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/fault_dangers.hpp"

#include "base/display.hpp"
#include "sizing/opening_curves.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace loomwright {
namespace {

constexpr double most_told_c = 1000.0;

/// True when the worse of two events is the first.
bool is_worse(const ShortEvent& a, const ShortEvent& b) {
    if (a.outcome != b.outcome) {
        return a.outcome > b.outcome;
    }
    const auto soonest = [](const ShortEvent& event) {
        double least = OpeningCurve::never;
        for (const HotConductor& hot : event.overheated) {
            least = std::min(least, hot.too_hot_after_s);
        }
        return least;
    };
    return soonest(a) < soonest(b);
}

/// True when some way from a battery to the wire meets no protective device. Alternators and
/// chargers limit themselves.
bool is_bare(const FaultAnswer& answer, WireId wire) {
    const int branch = answer.study.network.wire_branch[wire.index()];
    return std::ranges::any_of(answer.zones, [&](const SourceZone& zone) {
        const FedBranch* const fed = zone.find(branch);
        return fed != nullptr && fed->is_bare &&
               answer.study.vehicle.device(zone.source).as<Battery>() != nullptr;
    });
}

/// All ends at one node, in the order of the file, of the first state that has them.
void take_ends(const FaultAnswer& answer, ShortDanger& danger) {
    const FaultSweep& sweep = answer.sweep;
    const std::size_t state = danger.states.front();
    for (std::size_t i = 0; i < sweep.shorts.size(); ++i) {
        const ShortEvent& event = sweep.event(sweep.shorts[i]);
        if (event.state == state && event.node == danger.node) {
            danger.cases.push_back(i);
        }
    }
    danger.is_before_protection = std::ranges::all_of(
        danger.cases, [&](std::size_t which) { return is_bare(answer, sweep.shorts[which].wire); });
}

} // namespace

FaultSweep sweep_faults(const StudyInput& study, const Sizing& sizing,
                        std::function<void(std::uint64_t, std::uint64_t)> progress) {
    std::vector<StateId> states;
    for (const StateSolution& solution : sizing.states) {
        states.push_back(solution.state);
    }
    FaultOrder order;
    order.curves = opening_curves(study, sizing.design);
    order.progress = std::move(progress);
    return FaultStudy(study, sizing.design, states).sweep(order);
}

bool burns(ShortOutcome outcome) {
    return outcome == ShortOutcome::too_late || outcome == ShortOutcome::overheats ||
           outcome == ShortOutcome::fire;
}

std::vector<ShortDanger> short_dangers(const FaultAnswer& answer) {
    std::vector<ShortDanger> out;
    std::map<int, std::size_t> of_node; ///< looked up only
    for (const ShortEvent& event : answer.sweep.events) {
        if (!event.is_solved || !burns(event.outcome)) {
            continue;
        }
        const auto [place, is_new] = of_node.try_emplace(event.node, out.size());
        if (is_new) {
            out.push_back({.node = event.node});
        }
        ShortDanger& danger = out[place->second];
        danger.states.push_back(event.state);
        if (danger.worst == nullptr || is_worse(event, *danger.worst)) {
            danger.worst = &event;
        }
    }
    for (ShortDanger& danger : out) {
        take_ends(answer, danger);
    }
    std::ranges::stable_sort(out, [](const ShortDanger& a, const ShortDanger& b) {
        return a.is_before_protection != b.is_before_protection ? b.is_before_protection
                                                                : is_worse(*a.worst, *b.worst);
    });
    return out;
}

std::vector<SneakDanger> sneak_dangers(const FaultAnswer& answer) {
    // First what each thing opened does to each device, at its worst; then what goes the same way.
    std::vector<SneakDanger> by_branch;
    std::map<std::pair<int, std::size_t>, std::size_t> known; ///< looked up only
    for (const OpenCase& open : answer.sweep.opens) {
        for (const UnexpectedDevice& device : open.unexpected) {
            const auto [place, is_new] =
                known.try_emplace({open.branch, device.device.index()}, by_branch.size());
            if (is_new) {
                by_branch.push_back({.branches = {open.branch}});
            }
            SneakDanger& danger = by_branch[place->second];
            danger.states.push_back(open.state);
            if (danger.worst == nullptr || std::abs(device.volts) > std::abs(danger.worst->volts)) {
                danger.worst = &device;
            }
        }
    }
    std::vector<SneakDanger> out;
    for (SneakDanger& danger : by_branch) {
        const auto same = std::ranges::find_if(out, [&](const SneakDanger& other) {
            return other.worst->device == danger.worst->device && other.states == danger.states &&
                   other.worst->way == danger.worst->way;
        });
        if (same == out.end()) {
            out.push_back(std::move(danger));
        } else {
            same->branches.push_back(danger.branches.front());
        }
    }
    return out;
}

const HotConductor& first_to_go(const std::vector<HotConductor>& hot) {
    return *std::ranges::min_element(hot, {}, &HotConductor::too_hot_after_s);
}

std::vector<OpenDanger> open_dangers(const FaultAnswer& answer) {
    std::vector<OpenDanger> out;
    const auto add = [](auto& list, const auto& one) {
        if (std::ranges::find(list, one) == list.end()) {
            list.push_back(one);
        }
    };
    for (const OpenCase& open : answer.sweep.opens) {
        if (!open.is_solved || open.overheated.empty()) {
            continue;
        }
        const HotConductor& hot = first_to_go(open.overheated);
        auto same = std::ranges::find_if(out, [&](const OpenDanger& other) {
            return first_to_go(other.worst->overheated).wire == hot.wire;
        });
        if (same == out.end()) {
            out.push_back({.worst = &open});
            same = out.end() - 1;
        }
        add(same->branches, open.branch);
        add(same->states, open.state);
        if (hot.peak_c > first_to_go(same->worst->overheated).peak_c) {
            same->worst = &open;
        }
    }
    for (OpenDanger& danger : out) {
        std::ranges::sort(danger.branches);
    }
    return out;
}

bool has_fault_danger(const FaultAnswer& answer) {
    const FaultSweep& sweep = answer.sweep;
    const auto burns_behind = [](const ShortDanger& danger) {
        return !danger.is_before_protection;
    };
    return !std::ranges::all_of(sweep.states, &FaultState::is_solved) ||
           !std::ranges::all_of(sweep.events, &ShortEvent::is_solved) ||
           !std::ranges::all_of(sweep.opens, &OpenCase::is_solved) ||
           std::ranges::any_of(short_dangers(answer), burns_behind);
}

double told_c(double celsius) {
    return std::min(celsius, most_told_c);
}

std::string openings_text(const StudyInput& study, const ShortEvent& event) {
    std::string out;
    for (const FaultOpening& opening : event.opens) {
        out += out.empty() ? "" : ", then ";
        out += study.vehicle.device(opening.device).name;
        for (const DeviceId other : opening.or_else) {
            out += " or " + study.vehicle.device(other).name;
        }
        out += " by " + show(Seconds(opening.after_s));
    }
    return out;
}

std::string sneak_text(const UnexpectedDevice& device) {
    if (device.is_on) {
        return device.is_reversed ? "work, with the current the wrong way" : "work";
    }
    return device.is_reversed ? "current, the wrong way" : "current";
}

} // namespace loomwright
