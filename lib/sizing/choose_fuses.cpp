// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The smallest standard rating that carries the load hot and rides every start pulse.
//
//   least rating = I / (a f)          I largest current of any state that lasts; a permitted
//   loading;
//                                     f = 1 - slope (air - from): what the rating keeps in hot air
//                = I / f              of a cranking state, which is too short to age the element
//   start pulse  t_pulse < t_shortest(I_pulse / rating); I_pulse = I - I_load + I_inrush: one load
//   starts
//                while the others run; the pulse is taken at its peak for all the time that is
//                written. The gates hold at 23 C and are not moved for hot air: a larger rating for
//                the sake of the pulse would protect its wires less.
#include "sizing/choose_fuses.hpp"

#include "base/display.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// What one load's start asks of the device.
struct Pulse {
    DeviceId load;
    double amps = 0.0;
    double seconds = 0.0;
};

std::optional<Inrush> inrush_of(const Device& device) {
    if (const auto* load = device.as<Load>()) {
        return load->inrush;
    }
    if (const auto* starter = device.as<Starter>()) {
        return starter->inrush;
    }
    return std::nullopt;
}

bool passes(const Network& network, const LoadDrop& drop, DeviceId device) {
    const auto is_device = [&](const PathPart& part) {
        return network.branches[static_cast<std::size_t>(part.branch)].device == device;
    };
    return std::ranges::any_of(drop.feed, is_device) || std::ranges::any_of(drop.back, is_device);
}

std::vector<Pulse> pulses_through(const StudyInput& input, const Sizing& sizing, DeviceId device) {
    std::vector<Pulse> out;
    for (const LoadDrop& drop : sizing.drops) {
        const auto inrush = inrush_of(input.vehicle.device(drop.load));
        if (!inrush || !passes(input.network, drop, device)) {
            continue;
        }
        const auto state = std::ranges::find(sizing.states, drop.state, &StateSolution::state);
        const StateSolution& judged =
            sizing.judged(static_cast<std::size_t>(state - sizing.states.begin()));
        const double running = std::abs(judged.devices[device.index()].amps);
        out.push_back({drop.load, std::max(0.0, running - drop.amps) + inrush->current.value(),
                       inrush->duration.value()});
    }
    return out;
}

bool rides(const FuseFamily& family, double rating_a, const Pulse& pulse) {
    const auto opens = shortest_opening_s(family, rating_a, pulse.amps);
    return !opens || *opens > pulse.seconds;
}

/// The load side: fills load_a, worst_state, air, factor and least rating.
void judge_load(const StudyInput& input, const Sizing& sizing, const FuseFamily& family,
                FuseSizing& fuse) {
    for (std::size_t i = 0; i < sizing.states.size(); ++i) {
        const StateSolution& state = sizing.judged(i);
        if (!state.converged) {
            continue;
        }
        const bool cranking = is_cranking(input.vehicle, state.state);
        const double amps = std::abs(state.devices[fuse.device.index()].amps);
        const Celsius air = device_air(input, fuse.device, state_of(input.vehicle, state.state));
        const double factor = temperature_factor(family, air);
        const double least = amps / ((cranking ? 1.0 : fuse.loading) * factor);
        if (i == 0 || least > fuse.least_rating_a) {
            fuse.load_a = amps;
            fuse.worst_state = state.state;
            fuse.is_short_time = cranking;
            fuse.air_c = air.value();
            fuse.temperature_factor = factor;
            fuse.least_rating_a = least;
        }
    }
}

std::string explain_choice(const StudyInput& input, const FuseSizing& fuse) {
    std::string load = fmt::format(
        "{} in {}; {} air leaves {} of a rating, and {} of that may be used{}: {} or more",
        show(Amps(fuse.load_a)), state_name(input.vehicle, fuse.worst_state),
        show(Celsius(fuse.air_c)), show_percent(std::round(fuse.temperature_factor * 1e3) / 1e3),
        show_percent(fuse.is_short_time ? 1.0 : fuse.loading),
        fuse.is_short_time ? " for so short a time" : "", show(Amps(fuse.least_rating_a)));
    if (fuse.decided_by == Reason::inrush) {
        return fmt::format("{} starts with {} through it for {}; the load alone is {}",
                           input.vehicle.device(fuse.pulse_load).name, show(Amps(fuse.pulse_a)),
                           show(Seconds(fuse.pulse_s)), load);
    }
    return load;
}

/// Smallest rating for the load, then for the pulses; Reason::not_found when the family has none.
void choose(const FuseFamily& family, const std::vector<Pulse>& pulses, double least,
            FuseSizing& fuse) {
    fuse.decided_by = Reason::not_found;
    for (const FuseRating& row : family.ratings) {
        const double rating = row.rating.value();
        if (rating < fuse.least_rating_a) {
            continue;
        }
        const auto stopped = std::ranges::find_if_not(
            pulses, [&](const Pulse& pulse) { return rides(family, rating, pulse); });
        if (stopped != pulses.end()) {
            fuse.pulse_load = stopped->load;
            fuse.pulse_a = stopped->amps;
            fuse.pulse_s = stopped->seconds;
            continue;
        }
        if (rating >= least) {
            fuse.rating_a = rating;
            fuse.decided_by = fuse.pulse_load.is_valid() ? Reason::inrush : Reason::load;
            return;
        }
    }
    // Nothing will do: the largest stands in, so that the rest can be computed.
    fuse.rating_a = family.ratings.empty() ? 0.0 : family.ratings.back().rating.value();
    fuse.largest_carries = fuse.rating_a >= fuse.least_rating_a;
}

} // namespace

void choose_fuses(const StudyInput& input, const std::vector<double>& least, Sizing& sizing) {
    sizing.fuses.clear();
    const Limit loading = fuse_loading_limit(input);
    for (std::size_t i = 0; i < input.vehicle.devices.size(); ++i) {
        const auto* protection = input.vehicle.devices[i].as<Protection>();
        if (protection == nullptr) {
            continue;
        }
        FuseSizing fuse;
        fuse.device = DeviceId(i);
        fuse.loading = loading.value;
        fuse.was_auto = !protection->rating && protection->kind != ProtectionKind::fusible_link;
        fuse.rating_a = sizing.design.ratings[i].value_or(Amps(0.0)).value();
        const FuseFamily* family = family_of(input, fuse.device);
        if (family != nullptr) {
            judge_load(input, sizing, *family, fuse);
            if (fuse.was_auto) {
                choose(*family, pulses_through(input, sizing, fuse.device), least[i], fuse);
                sizing.design.ratings[i] = Amps(fuse.rating_a);
            }
        }
        fuse.why = fuse.was_auto ? explain_choice(input, fuse) : "given in the file";
        sizing.fuses.push_back(std::move(fuse));
    }
}

void report_fuses_not_found(const StudyInput& input, const Sizing& sizing, Findings& findings) {
    for (const FuseSizing& fuse : sizing.fuses) {
        if (!fuse.was_auto || fuse.decided_by != Reason::not_found) {
            continue;
        }
        const Device& device = input.vehicle.device(fuse.device);
        const FuseFamily* family = family_of(input, fuse.device);
        const bool by_pulse = fuse.largest_carries && fuse.pulse_load.is_valid();
        const std::string largest = show(Amps(fuse.rating_a));
        Finding& finding = findings.add(
            Rule::size_not_found, device.name, device.spec_where,
            by_pulse
                ? fmt::format("no rating of the {} family rides the start of {}: {} through it "
                              "for {} may open even {}",
                              family->name, input.vehicle.device(fuse.pulse_load).name,
                              show(Amps(fuse.pulse_a)), show(Seconds(fuse.pulse_s)), largest)
                : fmt::format("no rating of the {} family carries {} hot: {} or more is needed, "
                              "the largest is {}",
                              family->name, show(Amps(fuse.load_a)),
                              show(Amps(fuse.least_rating_a)), largest),
            by_pulse ? "use a slower family (maxi-blade, strip, breaker), or feed this load from a "
                       "fuse of its own"
                     : "use a family with larger ratings, or share the load between two fuses");
        finding.figures = {{by_pulse ? "start pulse" : "least rating",
                            by_pulse ? fuse.pulse_a : fuse.least_rating_a, "A",
                            FigureRole::observed},
                           {"largest rating", fuse.rating_a, "A", FigureRole::limit},
                           {"load", fuse.load_a, "A", FigureRole::input},
                           {"air", fuse.air_c, "C", FigureRole::input}};
    }
}

} // namespace loomwright
