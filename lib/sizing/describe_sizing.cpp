// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/describe_sizing.hpp"

#include "base/display.hpp"
#include "sizing/feeds.hpp"
#include "sizing/grow_for_drop.hpp"
#include "sizing/joint_starts.hpp"
#include "sizing/limits.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomwright {
namespace {

double area_of(const WireChoice& choice, std::size_t option) {
    return option < choice.options.size() ? choice.options[option]->area.value() : 0.0;
}

std::string name_of(const StudyInput& input, DeviceId device) {
    return device.is_valid() ? input.vehicle.device(device).name : std::string();
}

std::string say_ampacity(const StudyInput& input, const WireSizing& wire) {
    const Ampacity& at = wire.ampacity;
    const std::string place = place_words(input.vehicle, at);
    if (wire.is_short_time) {
        return fmt::format("carries {} in {}, may carry {} for as long as cranking lasts ({})",
                           show(Amps(wire.worst_amps)), state_name(input.vehicle, wire.worst_state),
                           show(Amps(wire.short_time_a)), place);
    }
    return fmt::format("carries {} in {}, may carry {} ({})", show(Amps(wire.worst_amps)),
                       state_name(input.vehicle, wire.worst_state), show(Amps(at.amps)), place);
}

/// Why a wire is thicker than its load asks: no smaller rating of its fuse rides the start, and the
/// size for the load is not protected by the one that does. Empty where the start did not decide.
std::string say_start(const StudyInput& input, const FuseSizing* fuse, const WireSizing& wire) {
    if (fuse == nullptr || fuse->decided_by != Reason::inrush || !fuse->pulse ||
        wire.area_for_ampacity_m2 <= 0.0) {
        return {};
    }
    const PulseStage& first = fuse->pulse->first.front();
    return fmt::format("; a smaller one may open when {} start{} ({} for {}), and {} mm2, enough "
                       "for the load, is not protected by this one",
                       loads_of(input.vehicle, *fuse->pulse),
                       fuse->pulse->loads.size() > 1 ? "" : "s", show(Amps(first.amps)),
                       show(Seconds(first.seconds)), wire.area_for_ampacity_m2 * 1e6);
}

/// What the ampacity of a wire behind a protective device is chosen for, with its amperes.
std::string say_feeds(const StudyInput& input, const FuseSizing* fuse, const WireSizing& wire) {
    const std::string name = name_of(input, wire.fuse);
    const std::string passed = show(Amps(wire.fuse_rating_a + wire.beside_a));
    if (fuse != nullptr && wire.fuse_rating_a > fuse->rating_a) {
        return fmt::format("{} and what feeds it beside pass {}", name, passed);
    }
    const std::string rating = show(Amps(wire.fuse_rating_a));
    if (wire.beside_a > 0.0) {
        return fmt::format("{} of {} and a source beside it that limits itself pass {}", name,
                           rating, passed);
    }
    if (wire.self_limited_a > wire.fuse_rating_a) {
        return fmt::format(
            "{} of {} protects it, and a source that limits itself may send {} into it", name,
            rating, show(Amps(wire.self_limited_a)));
    }
    return fmt::format("{} of {} protects it", name, rating);
}

std::string say_fuse(const StudyInput& input, const FuseSizing* fuse, const WireSizing& wire) {
    if (!wire.fuse.is_valid()) {
        return fmt::format("a source that limits itself may send {} into it; {}",
                           show(Amps(wire.fuse_rating_a)), say_ampacity(input, wire));
    }
    if (wire.link != nullptr && wire.fuse_rating_a <= 0.0 && wire.link_a2s > 0.0) {
        return fmt::format("{} of {} protects it: {} or more stands the {} A2s that the link lets "
                           "through in a short",
                           name_of(input, wire.fuse), show(wire.link->size),
                           show(SquareMetres(wire.area_for_fuse_m2)), show_number(wire.link_a2s));
    }
    if (wire.link != nullptr && wire.fuse_rating_a <= 0.0) {
        return fmt::format("{} of {} protects it: four AWG numbers thicker than the link",
                           name_of(input, wire.fuse), show(wire.link->size));
    }
    return fmt::format("{}: ampacity {} in {} air{}", say_feeds(input, fuse, wire),
                       show(Amps(wire.ampacity.amps)), show(Celsius(wire.ampacity.air_c)),
                       say_start(input, fuse, wire));
}

/// What the judged paths over one wire say of it.
struct OverWire {
    const LoadDrop* tightest = nullptr; ///< path that is nearest to its limit
    double tightest_v = 0.0;            ///< of it in this wire
    double allowed_ohm_per_m =
        std::numeric_limits<double>::infinity(); ///< r20, all else as settled
};

std::vector<OverWire> paths_over_wires(const StudyInput& input, const Sizing& sizing) {
    std::vector<OverWire> out(sizing.design.wires.size());
    for (const LoadDrop& drop : sizing.drops) {
        if (!is_drop_judged(input.vehicle, drop)) {
            continue;
        }
        for (const auto* parts : {&drop.feed, &drop.back}) {
            for (const PathPart& part : *parts) {
                const WireId wire =
                    input.network.branches[static_cast<std::size_t>(part.branch)].wire;
                if (!wire.is_valid()) {
                    continue;
                }
                OverWire& row = out[wire.index()];
                if (row.tightest == nullptr ||
                    drop.drop_v / drop.limit_v > row.tightest->drop_v / row.tightest->limit_v) {
                    row.tightest = &drop;
                    row.tightest_v = part.volts;
                }
                if (part.volts > 0.0) {
                    const double now = sizing.design.wires[wire.index()].conductor->r20_ohm_per_m;
                    const double left = drop.limit_v - (drop.drop_v - part.volts);
                    row.allowed_ohm_per_m =
                        std::min(row.allowed_ohm_per_m, now * left / part.volts);
                }
            }
        }
    }
    return out;
}

std::string say_drop(const StudyInput& input, const OverWire& over, const WireSizing& wire) {
    const LoadDrop* drop = over.tightest;
    if (drop == nullptr) {
        return fmt::format("loses {}", show(Volts(wire.worst_drop_v)));
    }
    return fmt::format("the path to {} loses {} of {} in {}, {} of it here",
                       path_end(input.vehicle, *drop), show(Volts(drop->drop_v)),
                       show(Volts(drop->limit_v)), state_name(input.vehicle, drop->state),
                       show(Volts(over.tightest_v)));
}

std::string say_why(const StudyInput& input, const FuseSizing* fuse, const OverWire& over,
                    const WireSizing& wire) {
    switch (wire.decided_by) {
    case Reason::ampacity:
        return say_ampacity(input, wire);
    case Reason::fuse:
        return say_fuse(input, fuse, wire);
    case Reason::drop:
        return say_drop(input, over, wire);
    case Reason::least_size:
        return fmt::format("least size for strength {}; {}",
                           show(SquareMetres(wire.area_for_least_m2)), say_ampacity(input, wire));
    case Reason::not_found:
        return wire.ampacity.is_cooked()
                   ? fmt::format("its insulation is good for {} and its place alone is hotter ({} "
                                 "air{}): no size carries anything there, the rest of the demands "
                                 "decides",
                                 show(Celsius(wire.ampacity.limit_c)),
                                 show(Celsius(wire.ampacity.air_c)),
                                 wire.ampacity.fullest.is_valid()
                                     ? ", heated further by the other wires of " +
                                           input.vehicle.run(wire.ampacity.fullest).name
                                     : "")
                   : "no size of its standard will do; the largest stands in";
    case Reason::frozen:
        return "frozen: it is cut already";
    default:
        return "given in the file";
    }
}

void fill_loads(const StudyInput& input, const WireLoads& loads, const Sizing& sizing,
                WireSizing& wire) {
    const std::size_t at = wire.wire.index();
    const WireDesign& made = sizing.design.wires[at];
    wire.worst_amps = loads.steady_a[at];
    wire.worst_state = loads.steady_state[at];
    if (loads.cranking_a[at] > loads.steady_a[at]) {
        const double seconds = cranking_time(input, loads.cranking_state[at]).value;
        wire.worst_amps = loads.cranking_a[at];
        wire.worst_state = loads.cranking_state[at];
        wire.short_time_a = std::max(wire.ampacity.amps,
                                     short_time_ampacity(*made.conductor, wire.ampacity.air_c,
                                                         made.insulation->limit.value(), seconds));
        wire.is_short_time = wire.worst_amps > wire.ampacity.amps;
    }
    for (std::size_t i = 0; i < sizing.states.size(); ++i) {
        wire.worst_drop_v =
            std::max(wire.worst_drop_v, std::abs(sizing.judged(i).wires[at].drop_v));
    }
}

void fill_areas(const WireChoice& choice, const OverWire& over, WireSizing& wire) {
    if (!choice.is_auto()) {
        return;
    }
    wire.area_for_ampacity_m2 = area_of(choice, choice.by_ampacity);
    wire.area_for_fuse_m2 = area_of(choice, choice.by_fuse);
    wire.area_for_least_m2 = area_of(choice, choice.by_least);
    const auto fits = [&](const Conductor* option) {
        return option->r20_ohm_per_m <= over.allowed_ohm_per_m;
    };
    const auto found = std::ranges::find_if(choice.options, fits);
    wire.area_for_drop_m2 = found == choice.options.end() ? 0.0 : (*found)->area.value();
}

/// What a link lets through in a short, where one size less is four AWG numbers thicker than the
/// link and does not stand it; else 0.
double asked_by_short(const WireChoice& choice, const FeedDemand& demand,
                      const Insulation& insulation) {
    if (!choice.is_auto() || demand.link == nullptr || choice.by_fuse == 0) {
        return 0.0;
    }
    const Conductor& less = *choice.options[choice.by_fuse - 1];
    const bool by_short = suits_link(less, *demand.link) && !demand.link_suits(less, insulation);
    return by_short ? demand.link_passes->a2s : 0.0;
}

/// The sizings of protective devices by DeviceId; nullptr for anything else.
std::vector<FuseSizing*> fuses_by_device(const StudyInput& input, Sizing& sizing) {
    std::vector<FuseSizing*> out(input.vehicle.devices.size(), nullptr);
    for (FuseSizing& fuse : sizing.fuses) {
        out[fuse.device.index()] = &fuse;
    }
    return out;
}

void list_protected(const std::vector<FuseSizing*>& fuses, Sizing& sizing) {
    for (std::size_t i = 0; i < sizing.feeds.size(); ++i) {
        const WireFeed& feed = sizing.feeds[i];
        for (std::size_t k = 0; k < feed.devices.size(); ++k) {
            FuseSizing* const fuse = fuses[least_in_row(sizing.design, feed, k).index()];
            const bool is_listed = fuse != nullptr && !fuse->protects.empty() &&
                                   fuse->protects.back() == WireId(i); // of another row
            if (fuse == nullptr || is_listed) {
                continue;
            }
            fuse->protects.emplace_back(i);
            const double here = sizing.wires[i].ampacity.amps;
            if (!fuse->thinnest.is_valid() ||
                here < sizing.wires[fuse->thinnest.index()].ampacity.amps) {
                fuse->thinnest = WireId(i);
            }
        }
    }
}

} // namespace

void describe_sizing(const StudyInput& input, WirePlaces& places,
                     const std::vector<WireChoice>& choices, Sizing& sizing) {
    const WireLoads loads = wire_loads(input, judged_states(sizing));
    const std::vector<OverWire> over = paths_over_wires(input, sizing);
    const std::vector<FuseSizing*> fuses = fuses_by_device(input, sizing);
    sizing.wires.clear();
    sizing.copper_kg = 0.0;
    FeedDemands demands(input);
    const double density = input.catalogue.default_value("copper-density").value;
    for (std::size_t i = 0; i < choices.size(); ++i) {
        const WireDesign& made = sizing.design.wires[i];
        WireSizing wire;
        wire.wire = WireId(i);
        wire.was_auto = choices[i].is_auto();
        wire.decided_by =
            input.vehicle.wires[i].size_is_frozen ? Reason::frozen : deciding_reason(choices[i]);
        wire.ampacity =
            ampacity_of(input, places, wire.wire, *made.conductor, *made.insulation, sizing.runs);
        fill_loads(input, loads, sizing, wire);
        const FeedDemand demand = demands.of(sizing.design, sizing.feeds[i]);
        wire.fuse = demand.device;
        wire.link = demand.link;
        wire.fuse_rating_a = demand.device.is_valid() ? demand.rating_a : demand.self_limited_a;
        wire.beside_a = demand.device.is_valid() ? demand.beside_a : 0.0;
        wire.self_limited_a = demand.self_limited_a;
        fill_areas(choices[i], over[i], wire);
        wire.link_a2s = asked_by_short(choices[i], demand, *made.insulation);
        const FuseSizing* const fuse = wire.fuse.is_valid() ? fuses[wire.fuse.index()] : nullptr;
        wire.why = say_why(input, fuse, over[i], wire);
        sizing.copper_kg += made.conductor->area.value() * made.length.value() * density;
        sizing.wires.push_back(std::move(wire));
    }
    list_protected(fuses, sizing);
}

namespace {

/// Not even the largest size stands what the link before it lets through.
void describe_weak_behind_link(const StudyInput& input, const Conductor& largest,
                               const WireSizing& sized, const Insulation& insulation,
                               Finding& finding) {
    finding.message =
        fmt::format("no size up to {} stands what link {} of {} lets through in a short",
                    show(largest.size), name_of(input, sized.fuse), show(sized.link->size));
    finding.figures = {{"let through within 5 s", sized.link_a2s, "A2s", FigureRole::observed},
                       {"withstand k2S2 of the largest size", withstand_a2s(largest, insulation),
                        "A2s", FigureRole::limit},
                       {"insulation class", insulation.limit.value(), "C", FigureRole::input}};
}

} // namespace

void report_wires_not_found(const StudyInput& input, const std::vector<WireChoice>& choices,
                            const Sizing& sizing, Findings& findings) {
    for (std::size_t i = 0; i < choices.size(); ++i) {
        const WireChoice& choice = choices[i];
        if (!choice.is_auto() || choice.is_found()) {
            continue;
        }
        const Wire& wire = input.vehicle.wires[i];
        const WireSizing& sized = sizing.wires[i];
        if (sized.ampacity.is_cooked()) {
            continue; // not a matter of size: rule insulation-heat speaks of it
        }
        const bool by_heat = choice.by_ampacity >= choice.options.size();
        const double asked =
            by_heat ? sized.worst_amps
                    : std::max(sized.fuse_rating_a + sized.beside_a, sized.self_limited_a);
        Finding& finding = findings.add(
            Rule::size_not_found, wire.number, wire.where,
            sized.link != nullptr && !by_heat && !suits_link(*choice.options.back(), *sized.link)
                ? fmt::format("no size up to {} is four AWG numbers thicker than link {} of {}",
                              show(choice.options.back()->size), name_of(input, sized.fuse),
                              show(sized.link->size))
                : fmt::format("no size up to {} {} {} in {} air with {} insulation",
                              show(choice.options.back()->size),
                              by_heat ? "carries" : "is protected at", show(Amps(asked)),
                              show(Celsius(sized.ampacity.air_c)),
                              sizing.design.wires[i].insulation->name),
            "share the load between two wires with a fuse each, or use insulation of a "
            "higher "
            "temperature class");
        finding.figures = {
            {by_heat ? "current" : "protective rating", asked, "A", FigureRole::observed},
            {"ampacity of the largest size", sized.ampacity.amps, "A", FigureRole::limit},
            {"air", sized.ampacity.air_c, "C", FigureRole::input},
            {"insulation class", sized.ampacity.limit_c, "C", FigureRole::input}};
        if (sized.link_a2s > 0.0 && choice.by_fuse >= choice.options.size() && !by_heat) {
            describe_weak_behind_link(input, *choice.options.back(), sized,
                                      *sizing.design.wires[i].insulation, finding);
        }
    }
}

} // namespace loomwright
