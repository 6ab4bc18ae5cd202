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

/// The page of a car's first circuit.
draw::Drawing first_circuit(const std::string& car) {
    const auto project = test::sized(car);
    std::string why_not;
    auto sheet = draw::circuit_sheet(project->study(), project->sizing, CircuitId(0),
                                     draw::a4_sheet, why_not);
    REQUIRE_MESSAGE(sheet, why_not);
    check_texts_and_lines(*sheet);
    return std::move(*sheet);
}

/// Where a text begins that is on the sheet once.
draw::Spot place_of_text(const draw::Drawing& sheet, const std::string& text) {
    const std::vector<Box> boxes = text_boxes(sheet);
    const auto found = std::ranges::find(boxes, text, &Box::text);
    REQUIRE_MESSAGE(found != boxes.end(), text);
    CHECK_MESSAGE(std::ranges::count(boxes, text, &Box::text) == 1, text);
    return {found->left, found->bottom};
}

/// The triangle of a diode as it is drawn: its base, and the point with the bar across.
struct DrawnDiode {
    double base_x = 0.0;
    double bar_x = 0.0;
    double y = 0.0;
};

/// The one nearest to its name.
DrawnDiode diode_named(const draw::Drawing& sheet, const std::string& name) {
    const auto is_same = [](double a, double b) { return std::abs(a - b) < 1e-6; };
    std::vector<DrawnDiode> all;
    for (const draw::Shape& shape : sheet.shapes) {
        const auto* triangle = std::get_if<draw::Stroke>(&shape);
        if (triangle == nullptr || triangle->spots.size() != 3 || !triangle->is_closed ||
            triangle->fill != draw::Fill::white) {
            continue; // heads of arrows are black
        }
        const auto& spots = triangle->spots;
        for (std::size_t i = 0; i < 3; ++i) {
            if (is_same(spots[(i + 1) % 3].x, spots[(i + 2) % 3].x)) {
                all.push_back({spots[(i + 1) % 3].x, spots[i].x, spots[i].y});
            }
        }
    }
    REQUIRE_FALSE(all.empty());
    const draw::Spot at = place_of_text(sheet, name);
    const DrawnDiode out = *std::ranges::min_element(all, {}, [at](const DrawnDiode& one) {
        return std::hypot(one.base_x - at.x, one.y - at.y);
    });
    const auto is_bar = [&](const draw::Shape& shape) {
        const auto* bar = std::get_if<draw::Stroke>(&shape);
        return bar != nullptr && bar->spots.size() == 2 && is_same(bar->spots[0].x, out.bar_x) &&
               is_same(bar->spots[1].x, out.bar_x) &&
               is_same((bar->spots[0].y + bar->spots[1].y) / 2.0, out.y) &&
               !is_same(bar->spots[0].y, bar->spots[1].y);
    };
    CHECK(std::ranges::count_if(sheet.shapes, is_bar) == 1);
    return out;
}

/// Names of terminals that stand behind (right of) the number of a wire, from left to right.
std::string ends_named(const draw::Drawing& sheet, const std::string& wire) {
    const double from = place_of_text(sheet, wire).x;
    std::vector<Box> named;
    for (const Box& box : text_boxes(sheet)) {
        const bool is_terminal =
            box.text == "+" || box.text == "-" || box.text == "85" || box.text == "86";
        if (is_terminal && box.left > from) {
            named.push_back(box);
        }
    }
    std::ranges::sort(named, {}, &Box::left);
    std::string out;
    for (const Box& box : named) {
        out += (out.empty() ? "" : " ") + box.text;
    }
    return out;
}

/// A battery, a fuse, a switch and what else is said; 1.1 to 1.3 are wires of the feed.
std::string switched_car(const std::string& devices, const std::string& paths) {
    return "loomwright: 1\ndevices:\n"
           "  G1: {is: battery, capacity: 45 Ah, cranking-amps: 400 A}\n"
           "  GND1: {is: ground, body: chassis}\n"
           "  F1: {is: fuse, family: blade, rating: 10 A}\n"
           "  S1: {is: switch, positions: {off: [], on: [1-2]}, contact: 10 A}\n" +
           devices +
           "circuits:\n  c:\n    number: 1\n    size: 1.5 mm2\n    paths:\n"
           "      - G1.- > GND1\n      - G1 > F1 > S1.1\n" +
           paths;
}

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

TEST_CASE("a diode across a coil has its bar at plus, one in the feed has it at the far end") {
    const draw::Drawing sheet =
        first_circuit(switched_car("  T1: {is: coil, draws: 1 A at 12 V}\n"
                                   "  V1: {is: diode}\n  V2: {is: diode}\n"
                                   "  E1: {is: lamp, draws: 5 W at 13.5 V}\n",
                                   "      - S1.2 > T1.+\n      - T1.- > GND1\n"    // 1.4, 1.5
                                   "      - T1.+ > V1.k\n      - V1.a > T1.-\n"    // 1.6, 1.7
                                   "      - S1.2 > V2.a\n"                         // 1.8
                                   "      - V2.k > E1.+\n      - E1.- > GND1\n")); // 1.9, 1.10
    // By hand: 1.6 brings plus to k, so that the bar stands between it and the triangle; current
    // would have to pass V1 against its point. 1.7 goes on from a.
    const DrawnDiode across = diode_named(sheet, "V1");
    CHECK(place_of_text(sheet, "1.6").x < across.bar_x);
    CHECK(across.bar_x < across.base_x);
    CHECK(across.base_x < place_of_text(sheet, "1.7").x);
    // Its ends are named, since all else has plus at the left: k before the bar, a behind the base.
    CHECK(place_of_text(sheet, "k").x < across.bar_x);
    CHECK(across.base_x < place_of_text(sheet, "a").x);
    // 1.8 brings plus to a of V2, and 1.9 goes on from k.
    const DrawnDiode in_feed = diode_named(sheet, "V2");
    CHECK(place_of_text(sheet, "1.8").x < in_feed.base_x);
    CHECK(in_feed.base_x < in_feed.bar_x);
    CHECK(in_feed.bar_x < place_of_text(sheet, "1.9").x);
}

TEST_CASE("an LED lamp that the feed reaches at minus points back at the feed") {
    const draw::Drawing sheet =
        first_circuit(switched_car("  E1: {is: led-lamp, draws: 0.5 A at 13.5 V}\n"
                                   "  E2: {is: led-lamp, draws: 0.5 A at 13.5 V}\n",
                                   "      - S1.2 > E1.+\n      - E1.- > GND1\n"    // 1.4, 1.5
                                   "      - S1.2 > E2.-\n      - E2.+ > GND1\n")); // 1.6, 1.7
    // An LED lets current in at plus: its bar is at minus.
    const DrawnDiode as_usual = diode_named(sheet, "E1");
    CHECK(place_of_text(sheet, "1.4").x < as_usual.base_x);
    CHECK(as_usual.base_x < as_usual.bar_x);
    CHECK(as_usual.bar_x < place_of_text(sheet, "1.5").x);
    const DrawnDiode turned = diode_named(sheet, "E2");
    CHECK(place_of_text(sheet, "1.6").x < turned.bar_x);
    CHECK(turned.bar_x < turned.base_x);
    CHECK(turned.base_x < place_of_text(sheet, "1.7").x);
    CHECK(ends_named(sheet, "1.6") == "- +");
}

TEST_CASE("where minus is at the left both ends are named, of what is not alike at both") {
    const auto named = [](const std::string& device, const std::string& first,
                          const std::string& second) {
        CAPTURE(device);
        // 1.4 arrives at what is looked at, 1.5 leaves it.
        const draw::Drawing sheet = first_circuit(
            switched_car("  X1: " + device + "\n",
                         "      - S1.2 > X1." + first + "\n      - X1." + second + " > GND1\n"));
        return ends_named(sheet, "1.4");
    };
    for (const std::string kind : {"motor", "electronics", "led-lamp"}) {
        const std::string device = "{is: " + kind + ", draws: 1 A at 12 V}";
        CHECK(named(device, "-", "+") == "- +");
        CHECK(named(device, "+", "-").empty());
    }
    CHECK(named("{is: lamp, draws: 1 A at 12 V}", "-", "+").empty());
    // A coil is as good either way round, unless there is a diode inside (DIN 72552: 86 is plus).
    const std::string relay = "{is: relay, contact: 30 A, coil: 85 ohm, suppression: ";
    CHECK(named(relay + "diode}", "85", "86") == "85 86");
    CHECK(named(relay + "diode}", "86", "85").empty());
    CHECK(named(relay + "resistor}", "85", "86").empty());
    const std::string coil = "{is: coil, draws: 1 A at 12 V, suppression: ";
    CHECK(named(coil + "diode}", "-", "+") == "- +");
    CHECK(named(coil + "none}", "-", "+").empty());
}

TEST_CASE("a switch inside a unit stands at the end that is fed, with what is behind it") {
    const std::string unit =
        "  X1: {is: unit, terminals: [a, b, c, d, 31], inside: {\n"
        "    way: {is: switch, contact: 5 A, positions: {off: [], on: [b-a]}},\n"
        "    tail: {is: lamp, from: b, to: 31, draws: 5 W at 13.5 V},\n"
        "    park: {is: switch, contact: 5 A, positions: {off: [], on: [c-d]}}}}\n";
    const std::string ground = "      - X1.31 > GND1\n";
    // `way` joins b to a, and is fed at a.
    CHECK(texts(first_circuit(switched_car(unit, "      - S1.2 > X1.a\n" + ground)), "way: tail") ==
          1);
    for (const char* fed : {"      - S1.2 > X1.c\n", "      - S1.2 > X1.d\n",
                            "      - S1.2 > X1.c\n      - S1.2 > X1.d\n"}) {
        CAPTURE(std::string(fed));
        // Fed at both its ends it stands at the first alone.
        CHECK(texts(first_circuit(switched_car(unit, fed + ground)), "park") == 1);
    }
}
