// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/section_drawing.hpp"
#include "engine/engine.hpp"
#include "network/wire_bodies.hpp"
#include "sheet_checks.hpp"
#include "sheets/bundle_schedule.hpp"
#include "sheets/loaded.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

using namespace loomwright;

namespace {

/// Many wires of all thicknesses through one hole, two of them a pair, with long names.
std::string many_wires(int count) {
    std::string text = R"(loomwright: 1
points: {a: {opening: 60 mm}, b: {opening: 20 mm}}
runs:
  trunk: {from: a, to: b, length: 2 m, cover: conduit}
devices:
  X1: {is: connector, cavities: 400, at: a}
  X2-of-a-name-that-is-much-too-long-for-any-column: {is: connector, cavities: 400, at: b}
circuits:
  all:
    number: 1
    wires:
)";
    constexpr std::array sizes = {"0.5", "0.75", "1.5", "2.5", "6", "16"};
    for (int i = 1; i <= count; ++i) {
        text += fmt::format(
            "      1.{0}: {{from: X1.{0}, to: "
            "X2-of-a-name-that-is-much-too-long-for-any-column.{0}, size: {1} mm2{2}}}\n",
            i, sizes.at(static_cast<std::size_t>(i * i) % sizes.size()),
            i <= 2 ? ", twisted: can" : "");
    }
    return text;
}

/// Circles of the sheet with a number in or at them are true to the scale that the sheet states.
std::size_t circles_of_radius(const draw::Drawing& sheet, double radius) {
    return static_cast<std::size_t>(
        std::ranges::count_if(sheet.shapes, [&](const draw::Shape& shape) {
            const auto* circle = std::get_if<draw::Circle>(&shape);
            return circle != nullptr && std::abs(circle->radius - radius) < 1e-9;
        }));
}

} // namespace

TEST_CASE(
    "the section of every run of the Marlow: no text upon another, every wire by its number") {
    const auto project = test::example("marlow");
    const StudyInput study = project->study();
    for (const RunBundle& bundle : bundle_schedule(study, project->sizing)) {
        if (bundle.section.wires.empty()) {
            continue;
        }
        CAPTURE(project->vehicle.run(bundle.run).name);
        const draw::Drawing sheet = draw::section_sheet(study, project->sizing, bundle);
        check_texts_and_lines(sheet);
        const std::vector<Box> boxes = text_boxes(sheet);
        for (const SectionWire& wire : bundle.section.wires) {
            const std::string& number = project->vehicle.wire(wire.wire).number;
            // Once in the figure and once in the table.
            CHECK(std::ranges::count(boxes, number, &Box::text) == 2);
        }
    }
}

TEST_CASE("many wires: numbers without room in their wires stand beside, and nothing overlaps") {
    for (const int count : {1, 2, 7, 60, 150}) {
        const auto project = load_project("many.yaml", many_wires(count), {});
        REQUIRE_FALSE(project->findings.has_input_fault());
        size_project(*project);
        const StudyInput study = project->study();
        const RunBundle bundle = bundle_schedule(study, project->sizing).front();
        REQUIRE(bundle.section.wires.size() == static_cast<std::size_t>(count));
        const draw::Drawing sheet = draw::section_sheet(study, project->sizing, bundle);
        CAPTURE(count);
        check_texts_and_lines(sheet);
    }
}

TEST_CASE("a section is true to its scale") {
    // One wire of 2.5 mm2 alone: its circle on paper is its outside diameter times the scale.
    const auto project = load_project("one.yaml", R"(loomwright: 1
points: {a: {}, b: {}}
runs:
  trunk: {from: a, to: b, length: 2 m}
devices:
  SP1: {is: splice, at: a}
  SP2: {is: splice, at: b}
circuits:
  all: {number: 1, wires: {1.1: {from: SP1, to: SP2, size: 2.5 mm2}}}
)",
                                      {});
    REQUIRE_FALSE(project->findings.has_input_fault());
    size_project(*project);
    const StudyInput study = project->study();
    const RunBundle bundle = bundle_schedule(study, project->sizing).front();
    const draw::Drawing sheet = draw::section_sheet(study, project->sizing, bundle);
    const std::vector<Box> boxes = text_boxes(sheet);
    const auto scale = std::ranges::find_if(
        boxes, [](const Box& box) { return box.text.starts_with("Scale 20:1"); });
    REQUIRE(scale != boxes.end());
    const double outside_mm =
        1e3 * wire_bodies(study.catalogue, project->sizing.design).outside_m.front();
    CHECK(circles_of_radius(sheet, 10.0 * outside_mm) == 1);
}

TEST_CASE("a section comes as SVG, PDF and PNG, the same bytes each time, and in no other format") {
    const auto project = test::example("marlow");
    const StudyInput study = project->study();
    std::string why_not;
    for (const DrawingFormat format :
         {DrawingFormat::svg, DrawingFormat::pdf, DrawingFormat::png}) {
        const auto once = draw_section(study, project->sizing, RunId(0), format, why_not);
        REQUIRE_MESSAGE(once, why_not);
        CHECK(once == draw_section(study, project->sizing, RunId(0), format, why_not));
    }
    CHECK_FALSE(draw_section(study, project->sizing, RunId(0), DrawingFormat::dot, why_not));
    CHECK_FALSE(why_not.empty());
}
