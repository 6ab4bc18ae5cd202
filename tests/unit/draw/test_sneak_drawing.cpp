// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/sneak_drawing.hpp"
#include "engine/engine.hpp"
#include "sheet_checks.hpp"
#include "sheets/loaded.hpp"
#include "study/branch_names.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <utility>

using namespace loomwright;

namespace {

struct Swept {
    explicit Swept(std::unique_ptr<Project> made) : project(std::move(made)) {
        REQUIRE_FALSE(project->findings.has_input_fault());
        size_project(*project);
        sweep = sweep_faults(project->study(), project->sizing, {});
        zones = source_zones(project->vehicle, project->network, {});
    }
    std::unique_ptr<Project> project;
    FaultSweep sweep;
    std::vector<SourceZone> zones;
};

/// GND2, the ground of E1 and E2, is lost: E1's current goes backwards through E2 and on through
/// E3.
const std::string three_lamps = R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: 5 mohm}
  F1: {is: fuse, rating: 10 A}
  S2: {is: switch, positions: {off: [], on: [1-2]}}
  E1: {is: lamp, draws: 21 W at 13.5 V}
  E2: {is: lamp, draws: 21 W at 13.5 V}
  E3: {is: lamp, draws: 21 W at 13.5 V}
  GND1: {is: ground, body: chassis}
  GND2: {is: ground, body: chassis}
  GND3: {is: ground, body: chassis}
  SP1: {is: splice}
  SP2: {is: splice}
circuits:
  all:
    number: 1
    size: 2.5 mm2
    paths:
      - G1 > F1 > E1 > SP1
      - G1 > S2 > SP2 > E2 > SP1
      - SP2 > E3 > GND3
      - SP1 > GND2
      - G1.- > GND1
)";

} // namespace

TEST_CASE("a sneak path is drawn in the order of the current, with what is open crossed out") {
    const Swept car(load_project("car.yaml", three_lamps, {}));
    const StudyInput study = car.project->study();
    const FaultAnswer answer{study, car.sweep, car.zones};
    std::vector<SneakWay> sneaks = fault_sneaks(answer);
    std::erase_if(sneaks, [&](const SneakWay& sneak) {
        return std::ranges::none_of(sneak.opened,
                                    [&](int b) { return branch_name(study, b) == "GND2"; });
    });
    REQUIRE(sneaks.size() == 2); // E2 the wrong way round, and E3
    const std::vector<draw::Drawing> sheets = draw::sneak_sheets(study, sneaks);
    REQUIRE(sheets.size() == 1);
    check_texts_and_lines(sheets.front());
    std::vector<std::string> texts;
    for (const Box& box : text_boxes(sheets.front())) {
        texts.push_back(box.text);
    }
    auto place = texts.begin();
    for (const char* name : {"G1.+", "F1", "E1", "E2", "E3", "GND3", "GND1", "G1.-"}) {
        CAPTURE(name);
        place = std::find(place, texts.end(), name);
        REQUIRE(place != texts.end());
    }
    const auto is_crossed = [](const std::string& text) { return text.ends_with(" open"); };
    // The title, and the stub of each of both ways.
    CHECK(std::ranges::count_if(texts, is_crossed) == 3);
    // The woken lamp alone stands in a heavy box, once for each way.
    const auto is_heavy = [](const draw::Shape& shape) {
        const auto* stroke = std::get_if<draw::Stroke>(&shape);
        return stroke != nullptr && stroke->is_closed && stroke->fill == draw::Fill::pale;
    };
    CHECK(std::ranges::count_if(sheets.front().shapes, is_heavy) == 2);
}

TEST_CASE("no text of a sneak path runs into another, whatever is opened") {
    const std::string folder = std::string(LOOMWRIGHT_SOURCE_DIR) + "/examples/marlow-as-found/";
    const IncludeReader include = [&](const std::string& name,
                                      std::string&) -> std::optional<std::string> {
        return test::file_text(folder + name);
    };
    const Swept car(load_project(
        "marlow-as-found.yaml", test::file_text(folder + "marlow-as-found.yaml").value(), include));
    const StudyInput study = car.project->study();
    const FaultAnswer answer{study, car.sweep, car.zones};
    std::vector<SneakWay> sneaks = state_sneaks(study, car.project->sizing);
    CHECK(sneaks.size() >= 3); // planted in it
    for (SneakWay& sneak : fault_sneaks(answer)) {
        sneaks.push_back(std::move(sneak));
    }
    CHECK(sneaks.size() > 10);
    const std::vector<draw::Drawing> sheets = draw::sneak_sheets(study, sneaks);
    for (const draw::Drawing& sheet : sheets) {
        check_texts_and_lines(sheet);
        CHECK(sheet.height < 420.0); // of an A3 sheet
    }
    std::string why_not;
    const auto pdf = draw_sneaks(study, sneaks, DrawingFormat::pdf, why_not);
    REQUIRE(pdf.has_value());
    CHECK(pdf->starts_with("%PDF"));
    CHECK(draw_sneaks(study, sneaks, DrawingFormat::svg, why_not) ==
          draw_sneaks(study, sneaks, DrawingFormat::svg, why_not));
}

TEST_CASE("a fan that the wind turns is where the way of its current begins") {
    const std::string fan = R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: 5 mohm}
  F1: {is: fuse, rating: 20 A}
  S1: {is: switch, positions: {off: [], on: [1-2]}}
  SP1: {is: splice}
  M1: {is: motor, draws: 5 A at 13 V, inrush: 20 A for 0.2 s}
  E1: {is: heater, draws: 1 A at 12 V}
  GND1: {is: ground, body: chassis}
circuits:
  keyed:
    number: 1
    size: 2.5 mm2
    paths: [G1 > F1 > S1 > SP1, SP1 > M1 > GND1, SP1 > E1 > GND1, G1.- > GND1]
states:
  off: {turning: {M1: 90 %}, expect: {off: [E1]}}
)";
    const Swept car(load_project("car.yaml", fan, {}));
    const StudyInput study = car.project->study();
    const std::vector<SneakWay> sneaks = state_sneaks(study, car.project->sizing);
    REQUIRE(sneaks.size() == 1);
    CHECK(sneaks[0].opened.empty());
    CHECK(study.vehicle.device(sneaks[0].device).name == "E1");
    // 0.9 (13 - 5 x 13 / 20) V behind 0.65 ohm, into 12 ohm and a little wire.
    CHECK(sneaks[0].amps == doctest::Approx(0.9 * 9.75 / 12.65).epsilon(0.01));
    const std::vector<std::string> way = way_names(study, sneaks[0].way);
    REQUIRE(way.size() >= 3);
    CHECK(way.front() == "M1");
    CHECK(std::ranges::find(way, "E1") != way.end());
    const std::vector<draw::Drawing> sheets = draw::sneak_sheets(study, sneaks);
    REQUIRE(sheets.size() == 1);
    check_texts_and_lines(sheets.front());
}
