// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// fuse-over-wire and fuse-loading: does each protective device suit its wires and its load.
#include "base/display.hpp"
#include "checks/guards.hpp"
#include "checks/unfused.hpp"
#include "checks/wording.hpp"
#include "sizing/choose_wires.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/feeds.hpp"
#include "sizing/limits.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

/// A wire and what stands over it.
struct Guarded {
    WireId wire;
    FeedDemand demand;
    ProtectionProof proof;
};

/// Those whose ratings stand against the wire: all that feed it at its worse end; of a way home the
/// largest, or those that feed one load together, of a row in it the least.
std::vector<std::string> names_over_wire(const CheckInput& input, const Guarded& guarded) {
    const WireFeed& feed = input.sizing.feeds[guarded.wire.index()];
    const Vehicle& vehicle = input.study.vehicle;
    const FeedShare share = worst_share(input.sizing.design, feed);
    if (share.devices.size() < 2 || !share.is_sum) {
        return {vehicle.device(guarded.demand.device).name};
    }
    std::vector<std::string> names;
    for (const DeviceId device : share.devices) {
        names.push_back(vehicle.device(device).name);
    }
    return names;
}

/// "F1 of 30 A does not protect"; the largest of several that a way home serves, the sum of several
/// that feed a wire, or a load that it serves, together.
std::string failing_head(const CheckInput& input, const Guarded& guarded) {
    const std::string rating = show(Amps(guarded.proof.rating_a));
    const std::vector<std::string> names = names_over_wire(input, guarded);
    return names.size() < 2
               ? fmt::format("{} of {} does not protect", names.front(), rating)
               : fmt::format("{}, {} together, do not protect", list_of(names), rating);
}

std::string say_relation(const CheckInput& input, const Guarded& guarded) {
    const WireFeed& feed = input.sizing.feeds[guarded.wire.index()];
    const std::string& fuse = input.study.vehicle.device(guarded.demand.device).name;
    if (!feed.is_return) {
        return fuse + ", which feeds it";
    }
    if (std::ranges::find(feed.devices, guarded.demand.device) == feed.devices.end()) {
        return fuse + ", in a row with it in the way home";
    }
    return feed.devices.size() < 2 || names_over_wire(input, guarded).size() > 1
               ? fuse + ", whose current it takes home"
               : fmt::format("{}, the largest of the {} whose current it takes home", fuse,
                             feed.devices.size());
}

/// Largest standard rating that the wire as it is would be protected by; 0 for none.
double largest_rating(const CheckInput& input, const Guarded& guarded) {
    const WireDesign& made = input.sizing.design.wires[guarded.wire.index()];
    const Ampacity& ampacity = input.sizing.wires[guarded.wire.index()].ampacity;
    double best = 0.0;
    for (const FuseRating& row : guarded.demand.family->ratings) {
        const double rating = row.rating.value();
        if (rating <= best || rating + guarded.demand.beside_a > ampacity.amps) {
            continue;
        }
        const DeviceBand band = band_before_wires(input.study, guarded.demand.device, rating);
        if (band.is_known() &&
            is_protected(input.study, band, *made.conductor, *made.insulation, ampacity)) {
            best = rating;
        }
    }
    return best;
}

/// What another size of the wire's own standard could do.
struct OtherSizes {
    std::string smallest; ///< that the demand is met by; "" for none
    double most_a = 0.0;  ///< that any of those before it carries, or of all
};

OtherSizes try_sizes(const CheckInput& input, WirePlaces& places, const Guarded& guarded) {
    OtherSizes out;
    const WireDesign& made = input.sizing.design.wires[guarded.wire.index()];
    for (const Conductor& conductor :
         input.study.catalogue.conductors(made.conductor->size.standard)) {
        if (!conductor.is_standard_size) {
            continue;
        }
        const Ampacity ampacity = ampacity_of(input.study, places, guarded.wire, conductor,
                                              *made.insulation, input.sizing.runs);
        out.most_a = std::max(out.most_a, ampacity.amps);
        if (meets_feed(input.study, guarded.demand, conductor, *made.insulation, ampacity)) {
            out.smallest = show(conductor.size);
            break;
        }
    }
    return out;
}

std::string say_remedy(const CheckInput& input, WirePlaces& places, const Guarded& guarded) {
    const OtherSizes sizes = try_sizes(input, places, guarded);
    const double rating = largest_rating(input, guarded);
    const std::vector<std::string> names = names_over_wire(input, guarded);
    const std::string_view together = names.size() < 2 ? "" : " together";
    std::string out;
    if (!sizes.smallest.empty()) {
        out = fmt::format("use {} or more", sizes.smallest);
    }
    if (rating > 0.0) {
        out += fmt::format("{}{} at {} or less{}", out.empty() ? "use " : ", or ", list_of(names),
                           show(Amps(rating)), together);
    }
    if (!out.empty()) {
        return out;
    }
    if (guarded.demand.rating_a + guarded.demand.beside_a <= sizes.most_a) {
        return "use a faster family of fuse, or insulation of a higher temperature class";
    }
    // No speed helps where the rating is over all that any size carries.
    const double left_a =
        input.sizing.wires[guarded.wire.index()].ampacity.amps - guarded.demand.beside_a;
    const std::string smaller = left_a > 0.0
                                    ? fmt::format("use another family with {} at {} or less{}, or ",
                                                  list_of(names), show(Amps(left_a)), together)
                                    : "";
    return fmt::format("no size carries that: {}share the load between wires with a fuse each",
                       smaller);
}

/// The devices alone suit the wire, but not with what a source that limits itself adds at their
/// end.
bool is_too_much(const FeedDemand& demand, const Ampacity& ampacity) {
    return demand.beside_a > 0.0 && demand.band.rating_a + demand.beside_a > ampacity.amps;
}

/// The first condition that fails, as message and figures.
void describe_failure(const CheckInput& input, const Guarded& guarded, Finding& finding) {
    const ProtectionProof& proof = guarded.proof;
    const WireDesign& made = input.sizing.design.wires[guarded.wire.index()];
    const Ampacity& ampacity = input.sizing.wires[guarded.wire.index()].ampacity;
    const std::string head =
        fmt::format("{} {}", failing_head(input, guarded), show(made.conductor->size));
    if (proof.carries && is_too_much(guarded.demand, ampacity)) {
        const double sum = proof.rating_a + guarded.demand.beside_a;
        finding.message = fmt::format("{}: a source gives up to {} beside it, {} in all, and it "
                                      "carries {} in {} air",
                                      head, show(Amps(guarded.demand.beside_a)), show(Amps(sum)),
                                      show(Amps(proof.ampacity_a)), show(Celsius(ampacity.air_c)));
        finding.figures = {seen("fuse and source", sum, "A"),
                           limit_of("ampacity in its place", proof.ampacity_a, "A"),
                           given("fuse rating", proof.rating_a, "A"),
                           given("source beside it", guarded.demand.beside_a, "A"),
                           given("air", ampacity.air_c, "C")};
        return;
    }
    if (!proof.carries) {
        finding.message = fmt::format("{}: it carries {} in {} air", head,
                                      show(Amps(proof.ampacity_a)), show(Celsius(ampacity.air_c)));
        finding.figures = {seen("fuse rating", proof.rating_a, "A"),
                           limit_of("ampacity in its place", proof.ampacity_a, "A"),
                           given("air", ampacity.air_c, "C")};
        return;
    }
    if (proof.has_band && !proof.opens_in_time) {
        finding.message =
            fmt::format("{}: it is sure to open only at {}, over {} x the wire's {}", head,
                        show(Amps(proof.sure_a)), show_number(conventional_factor),
                        show(Amps(proof.ampacity_a)));
        finding.figures = {
            seen("sure to open at", proof.sure_a, "A"),
            limit_of("1.45 x ampacity", conventional_factor * proof.ampacity_a, "A")};
    } else if (!proof.stands_short) {
        finding.message = fmt::format("{}: a short heats it beyond {} before the device opens",
                                      head, show(made.insulation->short_time));
        finding.figures = {
            seen("let through within 5 s", proof.let_through ? proof.let_through->a2s : 0.0, "A2s"),
            limit_of("withstand k2S2", proof.withstand_a2s, "A2s"), given("k", proof.k, ""),
            given("copper", made.conductor->copper_area.value(), "m2")};
        finding.source = "IEC 60364-5-54, adiabatic equation of IEC 60949";
    } else {
        const auto hottest = std::ranges::max_element(proof.slow_gates, {}, &GateHeat::peak_c);
        finding.message =
            fmt::format("{}: {} for {} heats it to {}", head, show(Amps(hottest->amps)),
                        show(Seconds(hottest->seconds)), show(Celsius(hottest->peak_c)));
        finding.figures = {seen("peak", hottest->peak_c, "C"),
                           limit_of("short-time limit", proof.short_time_c, "C")};
        finding.source = "heat balance over time, docs/method/protection.md";
    }
    finding.figures.push_back(given("fuse rating", proof.rating_a, "A"));
    finding.figures.push_back(given("ampacity in its place", proof.ampacity_a, "A"));
    finding.figures.push_back(given("air", ampacity.air_c, "C"));
}

void add_over_wire(const CheckInput& input, WirePlaces& places, const Guarded& guarded,
                   Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Wire& wire = vehicle.wire(guarded.wire);
    const Device& fuse = vehicle.device(guarded.demand.device);
    Finding& finding = findings.add(Rule::fuse_over_wire, wire.number,
                                    wire.size ? wire.size->where : wire.where, "");
    describe_failure(input, guarded, finding);
    finding.related.push_back({place_of(fuse), say_relation(input, guarded)});
    finding.remedy = say_remedy(input, places, guarded);
}

/// A source that limits itself sends more than the wire carries, with nothing between.
void add_self_limited(const CheckInput& input, WireId id, double source_a, Findings& findings) {
    const Wire& wire = input.study.vehicle.wire(id);
    const double ampacity = input.sizing.wires[id.index()].ampacity.amps;
    const Conductor& conductor = *input.sizing.design.wires[id.index()].conductor;
    Finding& finding =
        findings.add(Rule::fuse_over_wire, wire.number, wire.size ? wire.size->where : wire.where,
                     fmt::format("the source on it gives up to {} and {} carries {}",
                                 show(Amps(source_a)), show(conductor.size), show(Amps(ampacity))),
                     fmt::format("use a size that carries {}", show(Amps(source_a))));
    finding.figures = {seen("source limit", source_a, "A"),
                       limit_of("ampacity in its place", ampacity, "A")};
}

void check_wire(const CheckInput& input, WirePlaces& places, FeedDemands& demands, WireId id,
                Findings& findings) {
    const WireFeed& feed = input.sizing.feeds[id.index()];
    const Ampacity& ampacity = input.sizing.wires[id.index()].ampacity;
    if (ampacity.is_cooked()) {
        return; // conductors.cpp speaks of these
    }
    // What has no protective device at all is for unfused.cpp.
    if (!feed.is_unprotected && feed.self_limited_a > ampacity.amps) {
        add_self_limited(input, id, feed.self_limited_a, findings);
        return;
    }
    Guarded guarded{id, demands.of(input.sizing.design, feed), {}};
    if (guarded.demand.family == nullptr || guarded.demand.rating_a <= 0.0) {
        return;
    }
    const WireDesign& made = input.sizing.design.wires[id.index()];
    const DeviceBand& band = guarded.demand.band;
    if (is_too_much(guarded.demand, ampacity) ||
        !is_protected(input.study, band, *made.conductor, *made.insulation, ampacity)) {
        guarded.proof =
            prove_protection(input.study, band, *made.conductor, *made.insulation, ampacity);
        add_over_wire(input, places, guarded, findings);
    }
}

void check_link(const CheckInput& input, const FuseSizing& fuse, Findings& findings) {
    const Device& device = input.study.vehicle.device(fuse.device);
    const Conductor* thin = link_conductor(input.study, fuse.device);
    if (thin == nullptr) {
        return;
    }
    for (const WireId id : fuse.protects) {
        const Wire& wire = input.study.vehicle.wire(id);
        const Conductor& conductor = *input.sizing.design.wires[id.index()].conductor;
        const double needed = link_area_ratio * thin->area.value();
        if (suits_link(conductor, *thin)) {
            continue;
        }
        Finding& finding = findings.add(
            Rule::fuse_over_wire, wire.number, wire.size ? wire.size->where : wire.where,
            fmt::format("link {} of {} is not thin enough to protect {}", device.name,
                        show(thin->size), show(conductor.size)),
            fmt::format(
                "use a wire of {} or more, or a link four AWG numbers thinner than the wire",
                show(SquareMetres(needed))));
        finding.figures = {seen("area", conductor.area.value(), "m2"),
                           least_of("2.53 x area of the link", needed, "m2")};
        finding.source = "SAE J156 practice: link four AWG numbers thinner than its wire";
        finding.related.push_back({place_of(device), device.name + ", which feeds it"});
    }
}

void check_loading(const CheckInput& input, const FuseSizing& fuse, Findings& findings) {
    const Device& device = input.study.vehicle.device(fuse.device);
    const double may =
        fuse.rating_a * (fuse.is_short_time ? 1.0 : fuse.loading) * fuse.temperature_factor;
    const bool is_told = fuse.was_auto && fuse.decided_by == Reason::not_found;
    if (fuse.rating_a <= 0.0 || fuse.load_a <= may || is_told) {
        return; // size-not-found speaks of an `auto` rating that no standard one can be
    }
    const FuseFamily* family = family_of(input.study, fuse.device);
    std::string remedy = "share the load between two fuses";
    for (const FuseRating& row : family->ratings) {
        if (row.rating.value() * may / fuse.rating_a >= fuse.load_a) {
            remedy = fmt::format("use a {} fuse with wires for it, or bring the load down to {}",
                                 show(row.rating), show(Amps(may)));
            break;
        }
    }
    Finding& finding = findings.add(
        Rule::fuse_loading, device.name, place_of(device),
        fmt::format("carries {} in {}; {} in {} air should carry {} or less",
                    show(Amps(fuse.load_a)), state_name(input.study.vehicle, fuse.worst_state),
                    show(Amps(fuse.rating_a)), show(Celsius(fuse.air_c)), show(Amps(may))),
        remedy);
    finding.figures = {seen("load", fuse.load_a, "A"),
                       limit_of("permitted load", may, "A"),
                       given("rating", fuse.rating_a, "A"),
                       given("permitted share", fuse.is_short_time ? 1.0 : fuse.loading, ""),
                       given("kept in hot air", fuse.temperature_factor, ""),
                       given("air", fuse.air_c, "C")};
    finding.source =
        fuse_loading_limit(input.study).source + "; hot air: " + family->derating_origin.source;
}

Finding& add_outside(const Device& device, std::string message, std::string remedy,
                     Findings& findings) {
    Finding& finding = findings.add(Rule::outside_table, device.name, place_of(device),
                                    std::move(message), std::move(remedy));
    finding.severity = Severity::caution;
    finding.source = "tables fuse-gates";
    return finding;
}

/// A rating that the family is not made in. One with a curve of its own is made.
bool check_standard_rating(const Device& device, const FuseFamily& family, Findings& findings) {
    const auto rating = device.as<Protection>()->rating;
    if (!rating || family.ratings.empty() || family.find(*rating) != nullptr) {
        return true;
    }
    const std::vector<FuseGate> gates = family.gates_of(*rating);
    if (!gates.empty() && gates.front().is_own) {
        return true;
    }
    Finding& finding =
        add_outside(device, fmt::format("no {} of {} is known", family.name, show(*rating)),
                    fmt::format("use {}, or give the part's opening times under `curves`",
                                family.show_next_ratings(*rating, *rating)),
                    findings);
    const Origin& origin = family.ratings.front().origin;
    finding.source = fmt::format("tables fuse-ratings: {} ({})", origin.source,
                                 provenance_name(origin.provenance));
    finding.figures = {seen("rating", rating->value(), "A")};
    // Between ratings that were read there is none; a list from memory may have gaps.
    const bool is_between =
        *rating > family.ratings.front().rating && *rating < family.ratings.back().rating;
    if (is_between && origin.provenance == Provenance::read) {
        finding.severity = Severity::fault;
    }
    return false;
}

/// What nobody has given opening times for cannot be proved to open in time. Those of a fusible
/// link of a known size are worked out.
void check_tables(const CheckInput& input, const FuseSizing& fuse, Findings& findings) {
    const FuseFamily* family = family_of(input.study, fuse.device);
    const Device& device = input.study.vehicle.device(fuse.device);
    if (family == nullptr || !check_standard_rating(device, *family, findings) ||
        link_conductor(input.study, fuse.device) != nullptr || fuse.protects.empty()) {
        return;
    }
    const std::string_view remedy =
        family->kind == ProtectionKind::fusible_link
            ? "give the `size` of its conductor, or the opening times of its data sheet under "
              "`curves`"
            : "use a family with known opening times, or give those of the data sheet under "
              "`curves`";
    if (!family->sure_to_open()) {
        add_outside(device,
                    fmt::format("no opening times of the {} family are known: only rating against "
                                "ampacity could be checked",
                                family->name),
                    std::string(remedy), findings);
    } else if (fuse.rating_a > 0.0 && family->gates_of(Amps(fuse.rating_a)).empty()) {
        add_outside(device,
                    fmt::format("no opening times of a {} of {} are known: those that hold for all "
                                "other ratings of the family were taken",
                                family->name, show(Amps(fuse.rating_a))),
                    std::string(remedy), findings);
    }
}

} // namespace

void check_protection(const CheckInput& input, Findings& findings) {
    const SourceZonesByState zones = zones_by_state(input);
    check_unfused(input, zones, findings);
    WirePlaces places(input.study);
    FeedDemands demands(input.study);
    for (std::size_t i = 0; i < input.sizing.feeds.size(); ++i) {
        check_wire(input, places, demands, WireId(i), findings);
    }
    for (const FuseSizing& fuse : input.sizing.fuses) {
        check_link(input, fuse, findings);
        check_loading(input, fuse, findings);
        check_tables(input, fuse, findings);
    }
    check_fuse_starts(input, findings);
    const std::vector<ProspectPair> prospects =
        prospective_currents(input.study, input.sizing.design, input.sizing.states);
    check_breaking(input, prospects, findings);
    check_selectivity(input, zones, prospects, findings);
}

} // namespace loomwright
