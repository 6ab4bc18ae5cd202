// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// fuse-inrush: what starts behind a protective device against the shortest time in which it may
// open. How much of that time a start takes is worked out in sizing/joint_starts.cpp.
#include "base/display.hpp"
#include "checks/guards.hpp"
#include "checks/wording.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/joint_starts.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

/// Smallest standard rating of the family that rides the start; 0 for none.
double riding_rating(const StudyInput& study, const FuseFamily& family, const FuseSizing& fuse,
                     int starts) {
    for (const FuseRating& row : family.ratings) {
        if (row.rating.value() > fuse.rating_a &&
            opening_share(band_in_air(study, fuse.device, row.rating.value(), fuse.pulse_air_c),
                          *fuse.pulse, starts) < 1.0) {
            return row.rating.value();
        }
    }
    return 0.0;
}

std::string say_remedy(const StudyInput& study, const FuseFamily& family, const FuseSizing& fuse,
                       int starts) {
    const double rating = riding_rating(study, family, fuse, starts);
    const std::string slower = slower_families(family);
    std::string out;
    if (rating > 0.0) {
        out = fmt::format("use {} with wires for it, or ", show(Amps(rating)));
    }
    if (!slower.empty()) {
        out += fmt::format("{}{}, or ", out.empty() ? "use " : "", slower);
    }
    return out + "feed these loads from fuses of their own";
}

/// What gives way first: the first start in cool air, the first in hot air, the starts in a row.
struct Verdict {
    double share = 0.0;
    std::string when;
    Severity severity = Severity::caution;
};

Verdict judge(const StudyInput& study, const FuseSizing& fuse, int starts) {
    const double cool = opening_share(band_in_air(study, fuse.device, fuse.rating_a, cool_air_c),
                                      fuse.pulse->first);
    if (cool >= 1.0) {
        return {cool, "", Severity::fault};
    }
    const double hot = opening_share(
        band_in_air(study, fuse.device, fuse.rating_a, fuse.pulse_air_c), fuse.pulse->first);
    if (hot >= 1.0) {
        return {hot, fmt::format(" in {} air", show(Celsius(fuse.pulse_air_c))), Severity::caution};
    }
    return {fuse.pulse_share,
            fmt::format(" after {} starts in a row{}", starts,
                        fuse.pulse_factor < 1.0
                            ? fmt::format(" in {} air", show(Celsius(fuse.pulse_air_c)))
                            : std::string()),
            Severity::caution};
}

void add_inrush(const CheckInput& input, const FuseFamily& family, const FuseSizing& fuse,
                Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Device& device = vehicle.device(fuse.device);
    const int starts = starts_in_a_row(input.study);
    const StartPulse& pulse = *fuse.pulse;
    const PulseStage& peak = pulse.first.front();
    const Verdict verdict = judge(input.study, fuse, starts);
    Finding& finding =
        findings.add(Rule::fuse_inrush, device.name, place_of(device),
                     fmt::format("{} {} with {} through it for {} in {}: a {} of {} may open{}",
                                 loads_of(vehicle, pulse),
                                 pulse.loads.size() > 1 ? "start" : "starts", show(Amps(peak.amps)),
                                 show(Seconds(peak.seconds)), state_name(vehicle, pulse.state),
                                 family.name, show(Amps(fuse.rating_a)), verdict.when),
                     say_remedy(input.study, family, fuse, starts));
    finding.severity = verdict.severity;
    finding.figures = {seen("share of its shortest opening time", verdict.share, ""),
                       limit_of("share that may be taken", 1.0, ""),
                       given("start current", peak.amps, "A"),
                       given("for", peak.seconds, "s"),
                       given("rating", fuse.rating_a, "A"),
                       given("opening currents in that air", fuse.pulse_factor, "")};
    if (const auto opens = shortest_opening_s(
            band_in_air(input.study, fuse.device, fuse.rating_a, fuse.pulse_air_c), peak.amps)) {
        finding.figures.push_back(given("may open after", *opens, "s"));
    }
    finding.source =
        fmt::format("tables fuse-gates; starts in a row: {}",
                    input.study.catalogue.default_value("starts-in-a-row").origin.source);
}

/// The short side of a family's band is not known where a start would need it.
void add_unknown(const CheckInput& input, const FuseFamily& family, const FuseSizing& fuse,
                 Findings& findings) {
    const Device& device = input.study.vehicle.device(fuse.device);
    const PulseStage& peak = fuse.pulse->first.front();
    Finding& finding = findings.add(
        Rule::outside_table, device.name, place_of(device),
        fmt::format("no shortest opening times of the {} family are known: whether it rides the "
                    "start of {}, {} for {}, cannot be said",
                    family.name, loads_of(input.study.vehicle, *fuse.pulse), show(Amps(peak.amps)),
                    show(Seconds(peak.seconds))),
        "use a family with known opening times, or compare the maker's curve by hand");
    finding.severity = Severity::note;
    finding.figures = {seen("start current", peak.amps, "A"),
                       limit_of("rating", fuse.rating_a, "A")};
    finding.source = "tables fuse-gates";
}

} // namespace

void check_fuse_starts(const CheckInput& input, Findings& findings) {
    for (const FuseSizing& fuse : input.sizing.fuses) {
        const FuseFamily* family = family_of(input.study, fuse.device);
        const bool is_told = fuse.was_auto && fuse.decided_by == Reason::not_found;
        if (family == nullptr || !fuse.pulse || fuse.rating_a <= 0.0 || is_told) {
            continue;
        }
        if (fuse.pulse_share >= 1.0) {
            add_inrush(input, *family, fuse, findings);
        } else if (family->sure_to_open() &&
                   !knows_short_side(
                       band_in_air(input.study, fuse.device, fuse.rating_a, fuse.pulse_air_c)) &&
                   fuse.pulse->first.front().amps > fuse.rating_a) {
            add_unknown(input, *family, fuse, findings);
        }
    }
}

} // namespace loomwright
