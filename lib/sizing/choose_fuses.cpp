// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The smallest standard rating that carries the load hot and rides every start.
//
//   least rating = I / (a f)          I largest current of any state that lasts; a permitted
//                                     loading;
//                                     f = 1 - slope (air - from): what the rating keeps in hot air
//                = I / f              of a cranking state, which is too short to age the element
//   start        share of the shortest opening time < 1 (sizing/joint_starts.cpp), by the band in
//                the air of the start's state (sizing/device_bands.cpp): in hot air the element has
//                less far to go
#include "sizing/choose_fuses.hpp"

#include "base/display.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/joint_starts.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace loomwright {
namespace {

/// A start, and the air at the device in its state.
struct HotPulse {
    StartPulse pulse;
    double air_c = 0.0;
};

std::vector<HotPulse> pulses_through(const StudyInput& input, const JointStarts& pulses,
                                     DeviceId device) {
    std::vector<HotPulse> out;
    for (StartPulse& pulse : pulses.through(device)) {
        const Celsius air = device_air(input, device, state_of(input.vehicle, pulse.state));
        out.push_back({std::move(pulse), air.value()});
    }
    return out;
}

/// The start that takes most of a rating's shortest opening time goes into `fuse`.
void judge_pulses(const StudyInput& input, const std::vector<HotPulse>& pulses, double rating_a,
                  int starts, FuseSizing& fuse) {
    fuse.pulse.reset();
    fuse.pulse_share = 0.0;
    TimeCurrentBand band;
    double band_air_c = std::numeric_limits<double>::quiet_NaN();
    for (const HotPulse& hot : pulses) {
        if (hot.air_c != band_air_c) { // most states have the same
            band_air_c = hot.air_c;
            band = band_in_air(input, fuse.device, rating_a, band_air_c);
        }
        const double share = opening_share(band, hot.pulse, starts);
        if (!fuse.pulse || share > fuse.pulse_share) {
            fuse.pulse = hot.pulse;
            fuse.pulse_air_c = hot.air_c;
            fuse.pulse_share = share;
        }
    }
}

/// The load side: fills load_a, worst_state, air, factor and least rating.
void judge_load(const StudyInput& input, const Sizing& sizing, const FuseFamily& family,
                FuseSizing& fuse) {
    // Where no state has an answer: as the car stands.
    fuse.air_c = device_air(input, fuse.device, nullptr).value();
    fuse.temperature_factor = temperature_factor(family, Celsius(fuse.air_c));
    bool is_first = true;
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
        if (std::exchange(is_first, false) || is_clearly_more(least, fuse.least_rating_a)) {
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
    if (fuse.decided_by == Reason::inrush && fuse.pulse) {
        return fmt::format("{} {} with {} through it for {}; the load alone is {}",
                           loads_of(input.vehicle, *fuse.pulse),
                           fuse.pulse->loads.size() > 1 ? "start" : "starts",
                           show(Amps(fuse.pulse->first.front().amps)),
                           show(Seconds(fuse.pulse->first.front().seconds)), load);
    }
    return load;
}

/// Smallest rating for the load, then for the starts; Reason::not_found when the family has none.
void choose(const StudyInput& input, const FuseFamily& family, const std::vector<HotPulse>& pulses,
            int starts, double least, FuseSizing& fuse) {
    fuse.decided_by = Reason::not_found;
    bool is_for_pulse = false;
    for (const FuseRating& row : family.ratings) {
        const double rating = row.rating.value();
        if (rating < fuse.least_rating_a) {
            continue;
        }
        judge_pulses(input, pulses, rating, starts, fuse);
        if (fuse.pulse_share >= 1.0) {
            is_for_pulse = true;
            continue;
        }
        if (rating >= least) {
            fuse.rating_a = rating;
            fuse.decided_by = is_for_pulse ? Reason::inrush : Reason::load;
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
    const JointStarts pulses(input, sizing);
    const int starts = starts_in_a_row(input);
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
            const auto hot = pulses_through(input, pulses, fuse.device);
            if (fuse.was_auto) {
                choose(input, *family, hot, starts, least[i], fuse);
                sizing.design.ratings[i] = Amps(fuse.rating_a);
            }
            if (fuse.rating_a > 0.0) {
                judge_pulses(input, hot, fuse.rating_a, starts, fuse);
            }
            if (fuse.pulse) {
                fuse.pulse_factor =
                    moved_share(input, fuse.device, fuse.rating_a, fuse.pulse_air_c);
            }
        }
        if (protection->rating_is_frozen) {
            fuse.decided_by = Reason::frozen;
        }
        fuse.why = fuse.was_auto                  ? explain_choice(input, fuse)
                   : protection->rating_is_frozen ? "frozen: it is fitted already"
                                                  : "given in the file";
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
        const bool by_pulse = fuse.largest_carries && fuse.pulse_share >= 1.0;
        const std::string largest = show(Amps(fuse.rating_a));
        const std::string slower = slower_families(*family);
        Finding& finding = findings.add(
            Rule::size_not_found, device.name, device.spec_where,
            by_pulse
                ? fmt::format("no rating of the {} family rides the start of {}: {} through it "
                              "for {} may open even {}",
                              family->name, loads_of(input.vehicle, *fuse.pulse),
                              show(Amps(fuse.pulse->first.front().amps)),
                              show(Seconds(fuse.pulse->first.front().seconds)), largest)
                : fmt::format("no rating of the {} family carries {} hot: {} or more is needed, "
                              "the largest is {}",
                              family->name, show(Amps(fuse.load_a)),
                              show(Amps(fuse.least_rating_a)), largest),
            by_pulse ? (slower.empty() ? slower : fmt::format("use {}, or ", slower)) +
                           "feed this load from a fuse of its own"
                     : "use a family with larger ratings, or share the load between two fuses");
        finding.figures = {{by_pulse ? "start pulse" : "least rating",
                            by_pulse ? fuse.pulse->first.front().amps : fuse.least_rating_a, "A",
                            FigureRole::observed},
                           {"largest rating", fuse.rating_a, "A", FigureRole::limit},
                           {"load", fuse.load_a, "A", FigureRole::input},
                           {"air", fuse.air_c, "C", FigureRole::input}};
    }
}

} // namespace loomwright
