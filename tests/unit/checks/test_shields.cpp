// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Where the screen of a sensor's cable may be drained: by the map of small cars, drawn beside each.
#include "checked.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>
#include <vector>

using namespace loomwright;

namespace {

/// A sensor, the controller that hears it and two grounds; `more` stands behind the devices.
std::string screened_car(std::string_view points, std::string_view places, std::string_view paths,
                         std::string_view shield, std::string_view more = {}) {
    const auto at = [places](std::string_view device) {
        const std::size_t found = places.find(fmt::format("{}=", device));
        if (found == std::string_view::npos) {
            return std::string();
        }
        const std::string_view rest = places.substr(found + device.size() + 1);
        return fmt::format(", at: {}", rest.substr(0, rest.find(' ')));
    };
    return fmt::format(
        "loomwright: 1\n{}"
        "devices:\n"
        "  G1: {{is: battery, capacity: 60 Ah{}}}\n"
        "  F1: {{is: fuse, rating: 5 A{}}}\n"
        "  A1: {{is: controller, draws: 1 A, terminals: {{30: feed, 31: ground, ne: signal, "
        "ne-return: signal}}{}}}\n"
        "  B1: {{is: sensor{}}}\n"
        "  GND1: {{is: ground, body: chassis{}}}\n"
        "  GND3: {{is: ground, body: chassis{}}}\n{}"
        "circuits:\n"
        "  feed:\n"
        "    number: 1\n"
        "    paths: [G1 > F1 > A1.30, A1.31 > GND1, G1.- > GND1, F1 > A1.30, A1.31 > GND3]\n"
        "    wires: {{1.1: {{length: 0.15 m}}}}\n"
        "  speed:\n"
        "    number: 2\n"
        "    paths: [{}]\n"
        "shields:\n"
        "  screen: {{{}}}\n",
        points, at("G1"), at("F1"), at("A1"), at("B1"), at("GND1"), at("GND3"), more, paths,
        shield);
}

std::vector<std::string> told(const std::string& text) {
    const auto car = check_text(text);
    INFO(car->text());
    REQUIRE(car->is_sized);
    std::vector<std::string> out;
    for (const Finding& finding : car->findings.all()) {
        if (finding.rule == Rule::shield_ends) {
            out.push_back(finding.message);
        }
    }
    return out;
}

using ShieldWords = std::vector<std::string>;

// engine ---- panel ---- shelf
constexpr std::string_view three_points =
    "points: {engine: {}, panel: {}, shelf: {}}\n"
    "runs:\n"
    "  front: {from: engine, to: panel, length: 1 m, cover: tape}\n"
    "  back: {from: panel, to: shelf, length: 1 m, cover: tape}\n";
constexpr std::string_view on_the_shelf =
    "G1=shelf F1=shelf A1=shelf B1=engine GND1=shelf GND3=panel ";
constexpr std::string_view through = "B1.signal > X1.1 > A1.ne, B1.- > X1.2 > A1.ne-return";
constexpr std::string_view all_four = "around: [2.1, 2.2, 2.3, 2.4]";

} // namespace

TEST_CASE("a cable through a connector goes from end to end, and is drained at one of the two") {
    const auto drained = [](std::string_view ground) {
        return told(screened_car(three_points, on_the_shelf, through,
                                 fmt::format("{}, drain: {}", all_four, ground),
                                 "  X1: {is: connector, at: panel, cavities: 2}\n"));
    };
    CHECK(drained("GND1").empty());
    CHECK(drained("GND3") ==
          ShieldWords{"its drain ends at GND3, where the cable does not: it goes from "
                      "engine to shelf"});
}

TEST_CASE("where nothing has a place, nobody knows that a ground is elsewhere") {
    const auto drained = [](std::string_view at) {
        return told(screened_car("", "", "B1.signal > A1.ne, B1.- > A1.ne-return",
                                 fmt::format("around: [2.1, 2.2], drain: {}", at)));
    };
    CHECK(drained("GND1").empty());
    CHECK(drained("A1.31").empty());
    CHECK(drained("A1.ne") == ShieldWords{"its drain ends at A1.ne, which is no ground"});
    // Two halves that are mated are one place, through which the cable goes on.
    CHECK(told(screened_car("", "",
                            "B1.signal > X1.1, X2.1 > A1.ne, B1.- > X1.2, X2.2 > A1.ne-return",
                            fmt::format("{}, drain: GND1", all_four),
                            "  X1: {is: connector, cavities: 2, mate: X2}\n"
                            "  X2: {is: connector, cavities: 2}\n"))
              .empty());
}

TEST_CASE("a drain at another lead of the harness that the cable comes from is at its end") {
    // A1 sits at the panel; its leads come out of the harness at the shelf, where the cable ends.
    const std::string_view harness =
        "supplied:\n"
        "  loom:\n"
        "    device: A1\n"
        "    from: shelf\n"
        "    leads:\n"
        "      one: {terminal: ne, size: 0.5 mm2, length: 0.3 m}\n"
        "      two: {terminal: ne-return, size: 0.5 mm2, length: 0.3 m}\n"
        "      three: {terminal: 31, size: 1 mm2, length: 0.3 m}\n";
    CHECK(told(screened_car(three_points,
                            "G1=shelf F1=shelf A1=panel B1=engine GND1=shelf GND3=panel ",
                            "B1.signal > A1.ne, B1.- > A1.ne-return",
                            "around: [2.1, 2.2], drain: A1.31", harness))
              .empty());
}

TEST_CASE("a wire of a screen that takes another way is named") {
    // Two runs between the same points: the second wire is sent by the longer.
    constexpr std::string_view two_ways =
        "points: {engine: {}, shelf: {}}\n"
        "runs:\n"
        "  short: {from: engine, to: shelf, length: 1 m, cover: tape}\n"
        "  long: {from: engine, to: shelf, length: 1.5 m, cover: tape}\n";
    const std::string text =
        screened_car(two_ways, "G1=shelf F1=shelf A1=shelf B1=engine GND1=shelf GND3=shelf ",
                     "B1.signal > A1.ne, B1.- > A1.ne-return", "around: [2.1, 2.2], drain: GND1");
    const std::string by_the_longer =
        std::string(text).replace(text.find("shields:"), 0, "    wires: {2.2: {via: [long]}}\n");
    CHECK(told(text).empty());
    CHECK(told(by_the_longer) == ShieldWords{"wire 2.2 does not go the way of the others in it"});
}

TEST_CASE("wires from one point to the same screen nothing, and are no ring") {
    const std::string text =
        screened_car(three_points, "G1=shelf F1=shelf A1=shelf B1=shelf GND1=shelf GND3=panel ",
                     "B1.signal > A1.ne, B1.- > A1.ne-return", "around: [2.1, 2.2], drain: GND1");
    CHECK(told(text) ==
          ShieldWords{"both ends of each of its wires are at one point: it lies in no run "
                      "and screens nothing"});
    const auto car = check_text(text);
    CHECK(car->find(Rule::shield_ends)->severity == Severity::caution);
}

TEST_CASE("wires in a ring make no cable") {
    // B1 -- X1 -- A1 and back to B1: at each of the three two of them end.
    CHECK(told(screened_car("", "", "B1.signal > X1.1 > A1.ne, B1.- > A1.ne-return",
                            "around: [2.1, 2.2, 2.3], drain: GND1",
                            "  X1: {is: connector, cavities: 2}\n")) ==
          ShieldWords{"its wires are a ring: the cable has no ends"});
}
