// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What the joint schedule says is crimped stands in the buying list, and the other way round.
#include "sheets/buying_list.hpp"
#include "sheets/joint_schedule.hpp"
#include "sheets/loaded.hpp"

#include <fmt/format.h>

#include <algorithm>

using namespace loomwright;

namespace {

/// A made-up lead at A1.feed, a fusible link, and a screen that is drained at `drain`.
std::string car_with_lead(const std::string& drain, const std::string& retained = "no") {
    return "loomwright: 1\n"
           "zones: {pan: {wet: yes}}\n"
           "points: {bay: {}, dash: {zone: pan}, tail: {}}\n"
           "runs:\n"
           "  loom: {from: bay, to: dash, length: 1 m}\n"
           "  back: {from: dash, to: tail, length: 1 m}\n"
           "devices:\n"
           "  G1: {is: battery, at: bay, capacity: 60 Ah}\n"
           "  F1: {is: fuse, at: bay, rating: 10 A}\n"
           "  F2: {is: fusible-link, at: bay, size: 0.5 mm2}\n"
           "  A1: {is: controller, at: dash, terminals: {feed: feed, gnd: ground, sig: signal}, "
           "draws: 0.1 A}\n"
           "  B1: {is: sensor, at: bay}\n"
           "  GND1: {is: ground, at: dash, body: chassis}\n"
           "  GND2: {is: ground, at: bay, body: chassis}\n"
           "  GND3: {is: ground, at: tail, body: chassis}\n"
           "circuits:\n"
           "  feed:\n"
           "    number: 1\n"
           "    size: 1 mm2\n"
           "    paths: [G1 > F2 > F1 > A1.feed, A1.gnd > GND1, G1.- > GND2]\n"
           "    wires: {1.3: {retained: " +
           retained +
           "}, 1.5: {size: 25 mm2}}\n"
           "  speed:\n"
           "    number: 2\n"
           "    size: 0.5 mm2\n"
           "    retained: " +
           retained +
           "\n"
           "    paths: [B1.signal > A1.sig]\n"
           "supplied:\n"
           "  box: {device: A1, from: dash, leads: {power: {terminal: feed, size: 2.5 mm2, "
           "length: 0.3 m}}}\n"
           "shields: {screen: {around: [2.1], drain: " +
           drain + "}}\n";
}

/// Cells of the rows of a joint: "splice dash 1.3 | crimp splice, ... ; ..."
std::string rows_of_joint(const Sheet& sheet, const std::string& joint) {
    std::string out;
    const auto cell = [&](const std::vector<Cell>& row, std::string_view key) {
        const auto column = std::ranges::find(sheet.columns, key, &Column::key);
        REQUIRE(column != sheet.columns.end());
        return cell_text(*column, row[static_cast<std::size_t>(column - sheet.columns.begin())]);
    };
    for (const auto& row : sheet.rows) {
        if (cell(row, "joint") == joint) {
            out += fmt::format("{} @{} {} > {}: {} | ", cell(row, "kind"), cell(row, "place"),
                               cell(row, "wire"), cell(row, "to"), cell(row, "made_with"));
        }
    }
    return out;
}

/// What is bought whose name has this in it: "1 x ring M6 for 0.5 mm2 drain wire at screen".
std::string bought_with(const Project& project, const std::string& word) {
    const BuyingList list =
        buying_list(project.study(), project.sizing, cut_list(project.study(), project.sizing));
    std::string out;
    for (const BuyPart& part : list.parts) {
        if (part.what.find(word) != std::string::npos) {
            out += fmt::format("{} x {} at {} | ", part.count, part.what, part.used_at);
        }
    }
    return out;
}

} // namespace

TEST_CASE("a splice to a supplied lead or to a link is scheduled and bought") {
    const auto project = test::sized(car_with_lead("GND1"));
    const Sheet sheet = joint_schedule(project->study(), project->sizing);
    for (const auto& row : sheet.rows) {
        CHECK(row.size() == sheet.columns.size());
    }
    // 1 mm2 and the lead's 2.5 mm2 in one barrel: 3.5 mm2 (tables fittings, 2.5 to 6 mm2).
    CHECK(rows_of_joint(sheet, "A1.feed") ==
          "splice @dash 1.3 > F1.out: crimp splice, 2.5 mm2 to 6 mm2 in all | "
          " @ supplied lead power > :  | ");
    CHECK(sheet.notes.back().starts_with("In the wet: A1.feed."));
    CHECK(rows_of_joint(sheet, "F2.in").starts_with("splice @bay 1.1 > G1.+: crimp splice, "));
    CHECK(rows_of_joint(sheet, "F2.out").starts_with("splice @bay 1.2 > F1.in: crimp splice, "));
    CHECK(bought_with(*project, "crimp splice for 2.5") ==
          "1 x crimp splice for 2.5 mm2 to 6 mm2 in all at A1.feed | ");
    CHECK(bought_with(*project, "crimp splice for 0.3").ends_with("at F2.in, F2.out | "));
    // Old wiring is spliced already.
    const auto old = test::sized(car_with_lead("GND1", "yes"));
    CHECK(rows_of_joint(joint_schedule(old->study(), old->sizing), "A1.feed").empty());
    CHECK(bought_with(*old, "crimp splice for 2.5").empty());
}

TEST_CASE("the terminal of a drain wire is scheduled and bought") {
    const auto told = [](const std::string& drain) {
        const auto project = test::sized(car_with_lead(drain));
        return rows_of_joint(joint_schedule(project->study(), project->sizing), "screen") + "\n" +
               bought_with(*project, "drain wire");
    };
    CHECK(told("GND1") == "screen @bay 2.1 > : none |  @dash 2.1 > GND1: ring M6 | \n"
                          "1 x ring M6 for 0.5 mm2 drain wire at screen | ");
    // One bolt, which the 25 mm2 of 1.5 decide: M8 (docs/method/joints.md).
    CHECK(told("GND2") == "screen @bay 2.1 > GND2: ring M8 |  @dash 2.1 > : none | \n"
                          "1 x ring M8 for 0.5 mm2 drain wire at screen | ");
    CHECK(told("[GND1, GND2]") ==
          "screen @bay 2.1 > GND2: ring M8 |  @dash 2.1 > GND1: ring M6 | \n"
          "1 x ring M6 for 0.5 mm2 drain wire at screen | "
          "1 x ring M8 for 0.5 mm2 drain wire at screen | ");
    // At neither end of the cable.
    CHECK(told("GND3") == "screen @bay 2.1 > : none |  @dash 2.1 > : none | "
                          " @tail 2.1 > GND3: ring M6 | \n"
                          "1 x ring M6 for 0.5 mm2 drain wire at screen | ");
    CHECK(bought_with(*test::sized(car_with_lead("GND1", "yes")), "drain wire").empty());
}
