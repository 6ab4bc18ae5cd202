// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/choose_wires.hpp"

#include "sizing/device_bands.hpp"
#include "sizing/feeds.hpp"
#include "sizing/limits.hpp"
#include "sizing/protect.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>

namespace loomwright {
namespace {

bool carries(const RoundInput& round, WireId wire, const Conductor& conductor,
             const Insulation& insulation, const Ampacity& ampacity) {
    const std::size_t at = wire.index();
    if (round.loads.steady_a[at] > ampacity.amps) {
        return false;
    }
    if (round.loads.cranking_a[at] <= ampacity.amps) {
        return true;
    }
    const double seconds = cranking_time(round.study, round.loads.cranking_state[at]).value;
    return round.loads.cranking_a[at] <=
           short_time_ampacity(conductor, ampacity.air_c, insulation.limit.value(), seconds);
}

/// Where wires heat one another past what any size would stand, the sizes of all of them are in
/// question, not those of one: each gets a share of the heat that the bundle may give off as large
/// as its share of the current, which takes the least copper.
///
///   I^2 r <= (P - P_given) I / sum I      P_given the heat, sum I without the current of wires
///                                         whose size is given
///
/// Ohm per metre at the insulation's limit; nothing where wires of given size leave no heat.
std::optional<double> shared_ohm_per_m(const RoundInput& round, WireId wire,
                                       const Insulation& insulation) {
    const StudyInput& input = round.study;
    std::optional<double> out;
    for (const RunId run : input.routing.wires[wire.index()].runs) {
        const RunLoading& loading = round.sizing.runs[run.index()];
        if (!loading.is_shared()) {
            continue;
        }
        const std::vector<WireId>& members = input.routing.run_wires[run.index()];
        double left = loading.budget(insulation.limit.value()).w_per_m;
        double amps = 0.0;
        for (std::size_t k = 0; k < members.size(); ++k) {
            const double heat = loading.wire_heat_w_per_m[k];
            if (input.vehicle.wires[members[k].index()].size) {
                left -= heat;
                continue;
            }
            const WireDesign& made = round.sizing.design.wires[members[k].index()];
            amps += std::sqrt(heat /
                              resistance_at(made.conductor->r20_ohm_per_m, made.insulation->limit));
        }
        if (left <= 0.0) {
            return std::nullopt;
        }
        const double product = amps * round.loads.steady_a[wire.index()];
        const double here =
            product > 0.0 ? left / product : std::numeric_limits<double>::infinity();
        out = std::min(out.value_or(here), here);
    }
    return out;
}

void choose_wire(const RoundInput& round, double least, WireId wire, WireChoice& choice) {
    const StudyInput& input = round.study;
    const Insulation& insulation = *round.sizing.design.wires[wire.index()].insulation;
    const FeedDemand& demand = round.demands[wire.index()];
    const std::size_t count = choice.options.size();
    choice.by_ampacity = choice.by_fuse = choice.by_least = count;
    for (std::size_t i = 0; i < count; ++i) {
        const Conductor& conductor = *choice.options[i];
        if (choice.by_least == count && conductor.area.value() >= least * (1.0 - 1e-9)) {
            choice.by_least = i;
        }
        const bool wants_ampacity = choice.by_ampacity == count;
        const bool wants_fuse = choice.by_fuse == count;
        if (wants_ampacity || wants_fuse) {
            const Ampacity ampacity =
                ampacity_of(input, round.places, wire, conductor, insulation, round.sizing.runs);
            if (wants_ampacity && carries(round, wire, conductor, insulation, ampacity)) {
                choice.by_ampacity = i;
            }
            if (wants_fuse && meets_feed(input, demand, conductor, insulation, ampacity)) {
                choice.by_fuse = i;
            }
        } else if (choice.by_least < count) {
            break;
        }
    }
    choice.by_drop = 0;
    choice.is_share = false;
    std::size_t picked = choice.floor;
    if (!choice.is_found()) {
        const Ampacity largest = ampacity_of(input, round.places, wire, *choice.options.back(),
                                             insulation, round.sizing.runs);
        const bool by_neighbours = largest.skin_a < largest.handbook_a;
        const std::optional<double> ohm_per_m =
            by_neighbours ? shared_ohm_per_m(round, wire, insulation) : std::nullopt;
        if (ohm_per_m) {
            const auto fits = [&](const Conductor* conductor) {
                return resistance_at(conductor->r20_ohm_per_m, insulation.limit) <= *ohm_per_m;
            };
            const auto found = std::ranges::find_if(choice.options, fits);
            picked = std::max(picked, static_cast<std::size_t>(found - choice.options.begin()));
            choice.is_share = true;
        } else if (!largest.is_cooked()) {
            choice.picked = count - 1; // the largest stands in
            return;
        }
    }
    // In a place as hot as the insulation's class no size carries anything: heat is left out.
    for (const std::size_t asked : {choice.by_ampacity, choice.by_fuse, choice.by_least}) {
        picked = asked < count ? std::max(picked, asked) : picked;
    }
    choice.picked = std::min(count - 1, picked);
}

} // namespace

std::vector<WireChoice> wire_options(const StudyInput& input) {
    std::vector<WireChoice> out(input.vehicle.wires.size());
    for (std::size_t i = 0; i < out.size(); ++i) {
        const Wire& wire = input.vehicle.wires[i];
        if (wire.size) {
            continue;
        }
        const Insulation* insulation = insulation_of(input, wire);
        for (const Conductor& conductor :
             input.catalogue.conductors(auto_standard(input, *insulation))) {
            if (conductor.is_standard_size) {
                out[i].options.push_back(&conductor);
            }
        }
    }
    return out;
}

const DeviceBand& FeedDemands::band_of(DeviceId device, double rating_a) {
    const std::pair key(device.index(), rating_a);
    auto found = bands_.find(key);
    if (found == bands_.end()) {
        found = bands_.emplace(key, band_before_wires(input_, device, rating_a)).first;
    }
    return found->second;
}

const std::optional<LetThrough>& FeedDemands::let_through_of(DeviceId link) {
    auto found = let_through_.find(link.index());
    if (found == let_through_.end()) {
        // A rating that the file gives counts where it has opening times for it; none is chosen.
        const std::optional<Amps> rating = input_.vehicle.device(link).as<Protection>()->rating;
        const TimeCurrentBand band =
            band_in_place(input_, link, rating.value_or(Amps(0.0)).value());
        found = let_through_.emplace(link.index(), worst_let_through(band)).first;
    }
    return found->second;
}

FeedDemand FeedDemands::of(const Design& design, const WireFeed& feed) {
    FeedDemand out;
    out.self_limited_a = feed.self_limited_a;
    const FeedShare share = worst_share(design, feed);
    out.rating_a = share.rating_a;
    out.beside_a = share.beside_a;
    double largest = -1.0;
    for (const DeviceId device : share.devices) {
        const double rating = design.ratings[device.index()].value_or(Amps(0.0)).value();
        if (rating > largest) {
            largest = rating;
            out.device = device;
            out.family = family_of(input_, device);
        }
    }
    for (std::size_t k = 0; k < feed.devices.size(); ++k) {
        const DeviceId device = least_in_row(design, feed, k);
        const Conductor* link = link_conductor(input_, device);
        if (link != nullptr && (out.link == nullptr || link->area > out.link->area)) {
            out.link = link;
            out.link_passes = let_through_of(device);
        }
    }
    if (out.family != nullptr && out.rating_a > 0.0) {
        out.band = band_of(out.device, out.rating_a);
    }
    return out;
}

bool FeedDemand::link_suits(const Conductor& conductor, const Insulation& insulation) const {
    return link == nullptr ||
           (suits_link(conductor, *link) &&
            (!link_passes || link_passes->a2s <= withstand_a2s(conductor, insulation)));
}

FeedDemand feed_demand(const StudyInput& input, const Design& design, const WireFeed& feed) {
    return FeedDemands(input).of(design, feed);
}

bool meets_feed(const StudyInput& input, const FeedDemand& demand, const Conductor& conductor,
                const Insulation& insulation, const Ampacity& ampacity) {
    if (demand.self_limited_a > ampacity.amps) {
        return false;
    }
    if (!demand.link_suits(conductor, insulation)) {
        return false;
    }
    if (demand.family == nullptr || demand.rating_a <= 0.0) {
        return true;
    }
    if (demand.rating_a + demand.beside_a > ampacity.amps) {
        return false;
    }
    return is_protected(input, demand.band, conductor, insulation, ampacity);
}

bool choose_wires(const RoundInput& round, ChosenBefore& before, std::vector<WireChoice>& choices) {
    const double least = least_area(round.study).value;
    const std::vector<RunLoading>& runs = round.sizing.runs;
    const bool is_first = before.choices.empty();
    std::vector<std::uint8_t> is_as_before(runs.size(), 0);
    for (std::size_t r = 0; r < runs.size() && !is_first; ++r) {
        is_as_before[r] = runs[r] == before.runs[r] ? 1 : 0;
    }
    bool all_grow_alike = !is_first;
    for (std::size_t i = 0; i < choices.size(); ++i) {
        if (!choices[i].is_auto()) {
            continue;
        }
        const bool stands =
            !is_first && std::ranges::all_of(round.study.routing.wires[i].runs, [&](RunId run) {
                return is_as_before[run.index()] != 0;
            });
        if (stands) {
            choices[i].take_picks(before.choices[i]);
        } else {
            choose_wire(round, least, WireId(i), choices[i]);
            all_grow_alike = all_grow_alike && choices[i].grows_as(before.choices[i]);
        }
    }
    before.runs = runs;
    before.choices = choices;
    return all_grow_alike;
}

Reason deciding_reason(const WireChoice& choice) {
    if (!choice.is_auto()) {
        return Reason::given;
    }
    if (!choice.is_found()) {
        return Reason::not_found;
    }
    const std::size_t others = std::max({choice.by_ampacity, choice.by_fuse, choice.by_least});
    if (choice.picked > std::max(others, choice.by_drop)) {
        return choice.floor_reason;
    }
    if (choice.by_drop > others) {
        return Reason::drop;
    }
    if (choice.by_least == others) {
        return Reason::least_size;
    }
    return choice.by_fuse > choice.by_ampacity ? Reason::fuse : Reason::ampacity;
}

Reason reason_of_floor(const WireChoice& choice) {
    return choice.is_share ? Reason::ampacity : deciding_reason(choice);
}

} // namespace loomwright
