// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Faces of connectors: what lies on the left of one half lies on the right of the other, for the
// two are pushed together face to face.
#include "draw/mating_view.hpp"
#include "sheet_checks.hpp"
#include "sheets/connector_tables.hpp"
#include "sheets/loaded.hpp"

#include <fmt/format.h>

#include <algorithm>

using namespace loomwright;

namespace {

std::string car(const std::string& connectors, const std::string& cavity) {
    return fmt::format(R"(loomwright: 1
devices:
  G1: {{is: battery, capacity: 60 Ah}}
  F1: {{is: fuse, rating: 10 A}}
  E1: {{is: lamp, draws: 10 W at 13 V}}
  GND1: {{is: ground, body: chassis}}
{}
circuits:
  lamp: {{number: 1, colour: BK/RD, paths: [G1 > F1 > {} > E1 > GND1, G1.- > GND1]}}
)",
                       connectors, cavity);
}

/// Where a text stands on a sheet, all of them, from left to right.
std::vector<double> places(const draw::Drawing& sheet, const std::string& text) {
    std::vector<double> out;
    for (const Box& box : text_boxes(sheet)) {
        if (box.text == text) {
            out.push_back(box.left);
        }
    }
    std::ranges::sort(out);
    return out;
}

} // namespace

TEST_CASE("mating face and wire side are mirrors, and so are the two halves") {
    const auto project =
        test::sized(car("  X1: {is: connector, cavities: [A, B, C, D, E], rows: 2}", "X1.A"));
    const std::vector<PlugHalf> halves = wired_halves(project->study(), project->sizing);
    REQUIRE(halves.size() == 2);
    for (const PlugHalf& half : halves) {
        const draw::Drawing sheet = draw::mating_view_sheet(project->study(), half);
        check_texts_and_lines(sheet);
        const std::vector<double> a = places(sheet, "A");
        const std::vector<double> c = places(sheet, "C");
        REQUIRE(a.size() == 2); // the mating face stands left of the wire side
        REQUIRE(c.size() == 2);
        CHECK((a[0] < c[0]) == !half.is_mirrored);
        CHECK((a[1] > c[1]) == !half.is_mirrored);
        // D of the second row lies under A, in the mirror too.
        const std::vector<double> d = places(sheet, "D");
        CHECK(a[0] == doctest::Approx(d[0]));
        CHECK(a[1] == doctest::Approx(d[1]));
    }
    CHECK_FALSE(halves[0].is_mirrored);
    CHECK(halves[1].is_mirrored);
}

TEST_CASE("of two mates the later one is laid as the first, so that cavity meets cavity") {
    const auto project =
        test::sized(car("  X1: {is: connector, cavities: [A, B, C, D], rows: 2, mate: X2}\n"
                        "  X2: {is: connector, cavities: [D, C, B, A]}",
                        "X1.A"));
    const std::vector<PlugHalf> halves = wired_halves(project->study(), project->sizing);
    REQUIRE(halves.size() == 2);
    CHECK(halves[1].name == "X2");
    CHECK(halves[1].rows == 2);
    CHECK(halves[1].is_mirrored);
    CHECK(halves[1].cavities[0].name == "A");
    CHECK(halves[1].cavities[0].wires.size() == 1);
    CHECK(halves[1].cavities[3].wires.empty());
}

TEST_CASE("a long row goes on in the next line, and nothing runs into anything") {
    for (const int count : {1, 7, 40, 61}) {
        const auto project = test::sized(
            car(fmt::format("  X1: {{is: connector, cavities: {}, sealed: yes, part: \"H <&> 1\", "
                            "title: \"A title that is longer than any row of cavities could be\"}}",
                            count),
                "X1.1"));
        for (const PlugHalf& half : wired_halves(project->study(), project->sizing)) {
            check_texts_and_lines(draw::mating_view_sheet(project->study(), half));
            const std::string svg = mating_view_svg(project->study(), half);
            CHECK(svg == mating_view_svg(project->study(), half));
            CHECK(svg.find("BK/RD") != std::string::npos);
            CHECK(svg.find("H &lt;&amp;&gt; 1") != std::string::npos);
        }
    }
}
