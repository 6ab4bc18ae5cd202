// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/place_sheets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double mm = 1e3;
constexpr double grams = 1e3;

std::string name_of(const Vehicle& vehicle, PointId point) {
    return point.is_valid() ? vehicle.point(point).name : std::string();
}

} // namespace

Sheet place_sheet(const StudyInput& study, std::string_view name,
                  std::span<const PlaceChoice> choices) {
    Sheet sheet{.name = "places",
                .title = fmt::format("Places for {}, the best first", name),
                .columns = {text_column("place", "place"), text_column("now", "now"),
                            number_column("trunk_slack_m", "trunk slack", "mm", 0, mm),
                            number_column("leads_reaching", "leads reach", "", 0),
                            number_column("leads", "of", "", 0),
                            number_column("no_way", "no way", "", 0),
                            number_column("wire_m", "wire", "m", 2),
                            number_column("copper_kg", "copper", "g", 0, grams),
                            number_column("added_kg", "added", "g", 0, grams),
                            number_column("counted_kg", "counted", "g", 0, grams),
                            number_column("air_c", "air", "C", 0),
                            number_column("hottest_c", "hottest way", "C", 0),
                            text_column("wet", "wet"), number_column("seen_m", "in view", "m", 2)},
                .rows = {},
                .notes = {}};
    const double density = study.catalogue.default_value("copper-density").value;
    const auto now = std::ranges::find(choices, true, &PlaceChoice::is_now);
    for (const PlaceChoice& choice : choices) {
        Cell added;
        if (now != choices.end()) {
            added = density * (choice.copper_m3 - now->copper_m3);
        }
        Cell trunk;
        if (std::isfinite(choice.trunk_slack_m)) {
            trunk = choice.trunk_slack_m;
        }
        sheet.rows.push_back(
            {name_of(study.vehicle, choice.point),
             choice.is_now ? std::string("now") : std::string(), trunk,
             static_cast<double>(choice.leads_reaching), static_cast<double>(choice.leads),
             static_cast<double>(choice.unrouted), choice.wire_m, density * choice.copper_m3, added,
             density * choice.counted_m3, choice.air_c, choice.hottest_c,
             choice.is_wet ? std::string("wet") : std::string(), choice.seen_m});
    }
    sheet.notes.emplace_back(
        "Best: every wire has a way, the trunk of a supplied harness reaches, most leads reach, "
        "least copper counted. Counted: copper with "
        "what is set against hot, wet, moving and visible runs (docs/method/routes.md). Sizes are "
        "those chosen for the place it has now: size the car again after moving it.");
    return sheet;
}

Sheet lead_sheet(const StudyInput& study, std::span<const LeadReach> reaches) {
    Sheet sheet{.name = "leads",
                .title = "Leads of supplied harnesses",
                .columns = {text_column("harness", "supplied"), text_column("lead", "lead"),
                            text_column("from", "comes out at"), text_column("joined", "joined to"),
                            text_column("at", "at"), number_column("lead_m", "lead", "mm", 0, mm),
                            number_column("needed_m", "needed", "mm", 0, mm),
                            number_column("slack_m", "slack", "mm", 0, mm),
                            text_column("verdict", "verdict")},
                .rows = {},
                .notes = {}};
    for (const LeadReach& reach : reaches) {
        const SuppliedHarness& harness =
            study.vehicle.supplied[static_cast<std::size_t>(reach.harness)];
        const SuppliedLead& lead = harness.leads[static_cast<std::size_t>(reach.lead)];
        Cell needed;
        Cell slack;
        std::string verdict = "not joined";
        if (reach.is_joined() && std::isfinite(reach.needed_m)) {
            needed = reach.needed_m;
            slack = reach.slack_m();
            verdict = reach.reaches() ? "reaches" : "short: a wire goes on";
        } else if (reach.is_joined()) {
            verdict = "no way";
        } else if (!reach.joined.empty()) {
            verdict = "no place"; // of what it is joined to
        }
        sheet.rows.push_back({harness.name, lead.name, name_of(study.vehicle, reach.from),
                              reach.joined, name_of(study.vehicle, reach.to), reach.length_m,
                              needed, slack, verdict});
    }
    sheet.notes.emplace_back("Needed: the way through the runs and what one end takes to be made. "
                             "Leads are not cut; slack is laid in the loom.");
    return sheet;
}

} // namespace loomwright
