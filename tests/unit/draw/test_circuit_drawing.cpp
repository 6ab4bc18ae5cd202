// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "board_checks.hpp"
#include "draw/circuit_drawing.hpp"
#include "draw/circuit_groups.hpp"
#include "sheet_checks.hpp"
#include "sheets/loaded.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

using namespace loomwright;

namespace {

using test::example;

std::size_t texts(const draw::Drawing& sheet, const std::string& text) {
    const std::vector<Box> boxes = text_boxes(sheet);
    return static_cast<std::size_t>(std::ranges::count(boxes, text, &Box::text));
}

/// A line of the sheet begins with these words: longer notes go on in a line under it.
bool has_words(const draw::Drawing& sheet, const std::string& words) {
    const std::vector<Box> boxes = text_boxes(sheet);
    return std::ranges::any_of(boxes, [&](const Box& box) { return box.text.starts_with(words); });
}

/// A relay whose coil is in a circuit of its own, a stud that feeds others, and a lamp beside it.
constexpr const char* relay_car = R"(loomwright: 1
points: {box: {}, dash: {}, front: {}}
runs:
  one: {from: box, to: dash, length: 1 m}
  two: {from: box, to: front, length: 2 m}
devices:
  G1: {is: battery, at: box, capacity: 45 Ah, cranking-amps: 400 A}
  F1: {is: fuse, at: box, family: blade, rating: 20 A}
  F2: {is: fuse, at: box, family: blade, rating: 5 A}
  K1: {is: relay, at: box, contact: 30 A, coil: 85 ohm, suppression: resistor}
  S1: {is: switch, at: dash, positions: {off: [], on: [1-2]}, contact: 5 A}
  M1: {is: motor, at: front, draws: 10 A at 13 V, title: Radiator fan}
  GND1: {is: ground, at: front, body: chassis}
  GND2: {is: ground, at: box, body: chassis}
circuits:
  feed: {number: 1, size: 6 mm2, colour: RD, paths: [G1 > F1, G1 > F2, G1.- > GND2]}
  fan: {number: 12, size: 2.5 mm2, colour: GN, paths: [F1 > K1 > M1 > GND1]}
  control: {number: 13, size: 0.75 mm2, colour: BU, paths: [F2 > S1.1, S1.2 > K1.86, K1.85 > GND2]}
)";

} // namespace

TEST_CASE(
    "every circuit of every example: its wires by number, on one page, no text upon another") {
    std::vector<std::string> names = examples_to_draw();
    names.emplace_back("one-lamp");
    for (const std::string& name : names) {
        const auto project = example(name);
        const StudyInput study = project->study();
        for (std::size_t i = 0; i < project->vehicle.circuits.size(); ++i) {
            CAPTURE(name);
            CAPTURE(project->vehicle.circuits[i].name);
            std::string why_not;
            const auto sheet =
                draw::circuit_sheet(study, project->sizing, CircuitId(i), draw::a4_sheet, why_not);
            REQUIRE_MESSAGE(sheet, why_not);
            check_texts_and_lines(*sheet);
            // ISO 216: each size up is twice the one before, with sides as 1 to root 2.
            CHECK(sheet->width > sheet->height);
            CHECK(sheet->width / sheet->height == doctest::Approx(std::sqrt(2.0)).epsilon(0.01));
            for (const WireId wire : project->vehicle.circuits[i].wires) {
                CHECK(texts(*sheet, project->vehicle.wire(wire).number) == 1);
            }
        }
    }
}

TEST_CASE("a relay's contact names the circuit of its coil, and the coil that of its contact") {
    const auto project = load_project("relay.yaml", relay_car, {});
    REQUIRE_FALSE(project->findings.has_input_fault());
    size_project(*project);
    const StudyInput study = project->study();
    std::string why_not;
    const auto fan =
        draw::circuit_sheet(study, project->sizing, CircuitId(1), draw::a4_sheet, why_not);
    REQUIRE_MESSAGE(fan, why_not);
    CHECK(texts(*fan, "K1") == 1);
    CHECK(has_words(*fan, "coil in circuit 13"));
    CHECK(texts(*fan, "circuit 1 feed") == 1); // where F1 is fed from
    CHECK(texts(*fan, "1.1") == 1);
    CHECK(texts(*fan, "12.2") == 1);
    CHECK(texts(*fan, "Radiator fan") == 1);
    CHECK(texts(*fan, "13.2") == 0);
    // What is cut stands on the wire: the run of 2 m, and what both ends take.
    const WireId to_motor = project->vehicle.find_wire("12.2");
    const double length = project->sizing.design.wires[to_motor.index()].length.value();
    CHECK(length > 2.0);
    CHECK(texts(*fan, fmt::format("{:.2f} m", length)) >= 1);
    const auto control =
        draw::circuit_sheet(study, project->sizing, CircuitId(2), draw::letter_sheet, why_not);
    REQUIRE_MESSAGE(control, why_not);
    CHECK(has_words(*control, "contact in circuit"));
    CHECK(control->width == 279.4); // Letter, lying
    CHECK(control->height == 215.9);
}

TEST_CASE("of many wires that leave one stud for other circuits the circuits alone are named") {
    std::string text = R"(loomwright: 1
points: {box: {}}
devices:
  G1: {is: battery, at: box, capacity: 45 Ah, cranking-amps: 400 A}
  ST1: {is: stud, at: box}
  GND1: {is: ground, at: box, body: chassis}
)";
    constexpr int lamps = 9;
    std::string circuits = "circuits:\n  feed: {number: 1, size: 6 mm2, paths: [G1 > ST1, G1.- > "
                           "GND1]}\n";
    for (int i = 1; i <= lamps; ++i) {
        text += fmt::format("  E{}: {{is: lamp, at: box, draws: 5 W at 13.5 V}}\n", i);
        circuits += fmt::format(
            "  lamp-{0}: {{number: {1}, size: 1 mm2, paths: [ST1 > E{0} > GND1]}}\n", i, 10 + i);
    }
    const auto project = load_project("stud.yaml", text + circuits, {});
    REQUIRE_FALSE(project->findings.has_input_fault());
    const draw::CircuitGroups groups = draw::group_circuits(project->vehicle, CircuitId(1));
    // Its own two and the feed of the stud; the other eight leave at the same terminal.
    CHECK(groups.groups.groups[1].wires.size() == 3);
    const DeviceId stud = project->vehicle.find_device("ST1");
    REQUIRE(groups.not_drawn.contains(stud));
    CHECK(groups.not_drawn.at(stud).size() == lamps - 1);
}

TEST_CASE("a circuit comes as SVG, PDF and PNG, the same bytes each time, and in no other format") {
    const auto project = example("relay-fan");
    const StudyInput study = project->study();
    std::string why_not;
    for (const DrawingFormat format :
         {DrawingFormat::svg, DrawingFormat::pdf, DrawingFormat::png}) {
        const auto once =
            draw_circuit(study, project->sizing, CircuitId(0), draw::a4_sheet, format, why_not);
        REQUIRE_MESSAGE(once, why_not);
        CHECK(once ==
              draw_circuit(study, project->sizing, CircuitId(0), draw::a4_sheet, format, why_not));
    }
    CHECK_FALSE(draw_circuit(study, project->sizing, CircuitId(0), draw::a4_sheet,
                             DrawingFormat::dot, why_not));
}
