// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "board_checks.hpp"
#include "draw/loom_drawing.hpp"
#include "draw/loom_figure.hpp"
#include "draw/loom_plan.hpp"
#include "draw/loom_tiles.hpp"
#include "sheet_checks.hpp"
#include "sheets/loaded.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

using namespace loomwright;

namespace {

using test::example;

/// A ring of points with stubs, in two pieces, with names of any length.
std::string odd_car(int points, std::size_t name_length) {
    const auto name = [&](char first, int i) {
        std::string out = fmt::format("{}{}", first, i);
        out.resize(std::max(out.size(), name_length), 'x');
        return out;
    };
    std::string runs;
    std::string places;
    std::string devices;
    std::string wires;
    for (int i = 0; i < points; ++i) {
        places += fmt::format("  {}: {{}}\n", name('p', i));
        devices += fmt::format("  {}: {{is: connector, cavities: {}, at: {}}}\n", name('X', i),
                               points, name('p', i));
        const int half = points / 2;
        const int next = i < half ? (i + 1) % half : half + (i + 1 - half) % (points - half);
        runs += fmt::format("  {}: {{from: {}, to: {}, length: {} mm, cover: braid}}\n",
                            name('r', i), name('p', i), name('p', next), 120 + 37 * i);
        wires +=
            fmt::format("      1.{0}: {{from: {1}.{0}, to: {2}.{0}, size: 2.5 mm2, via: [{3}]}}\n",
                        i + 1, name('X', i), name('X', next), name('r', i));
    }
    return "loomwright: 1\ntitle: Odd car\npoints:\n" + places + "runs:\n" + runs + "devices:\n" +
           devices + "circuits:\n  all:\n    number: 1\n    wires:\n" + wires;
}

void check_texts(const draw::Drawing& sheet) {
    draw::Drawing texts{sheet.width, sheet.height, {}};
    for (const draw::Shape& shape : sheet.shapes) {
        if (std::holds_alternative<draw::Text>(shape)) {
            texts.shapes.push_back(shape);
        }
    }
    check_texts_and_lines(texts);
}

bool has_text(const draw::Drawing& sheet, const std::string& text) {
    return std::ranges::any_of(text_boxes(sheet), [&](const Box& box) { return box.text == text; });
}

} // namespace

TEST_CASE("the loom of every example: true lengths, nothing crosses, no text upon another") {
    for (const std::string& name : examples_to_draw()) {
        CAPTURE(name);
        const auto project = example(name);
        const StudyInput study = project->study();
        const draw::LoomPlan plan = draw::loom_plan(study, project->sizing, {});
        std::vector<std::vector<draw::Spot>> lines;
        for (const draw::PlannedRun& run : plan.runs) {
            const double mm = study.routing.run_lengths[run.run.index()].value() * 1e3;
            CHECK(length_of(run.line) == doctest::Approx(mm).epsilon(1e-9));
            lines.push_back(run.line);
        }
        CHECK(crossings(lines) == 0);
        const draw::Drawing sheet = draw::loom_sheet(study, plan);
        check_texts_and_lines(sheet);
        for (const draw::PlannedPoint& point : plan.points) {
            // In the figure and in the table.
            CHECK(has_text(sheet, study.vehicle.point(point.point).name));
        }
    }
}

TEST_CASE("the scale is said, and lines are as long as it says") {
    const auto project = example("marlow");
    const StudyInput study = project->study();
    const draw::LoomPlan plan = draw::loom_plan(study, project->sizing, {});
    const draw::Drawing sheet = draw::loom_sheet(study, plan);
    const std::vector<Box> boxes = text_boxes(sheet);
    const auto said = std::ranges::find_if(
        boxes, [](const Box& box) { return box.text.find("scale 1:5") != std::string::npos; });
    REQUIRE(said != boxes.end());
    for (const draw::PlannedRun& run : plan.runs) {
        const bool is_drawn = std::ranges::any_of(sheet.shapes, [&](const draw::Shape& shape) {
            const auto* stroke = std::get_if<draw::Stroke>(&shape);
            return stroke != nullptr && stroke->spots.size() == run.line.size() &&
                   std::abs(length_of(stroke->spots) - run.length / 5.0) < 1e-6;
        });
        CHECK_MESSAGE(is_drawn, study.vehicle.run(run.run).name);
    }
}

TEST_CASE("rings, two pieces, many points and long names") {
    struct Case {
        int points;
        std::size_t name_length;
    };
    std::vector<Case> cases = {{4, 0}, {9, 80}};
    if (with_large_looms()) {
        cases.insert(cases.end(), {{60, 0}, {200, 8}});
    }
    for (const Case& it : cases) {
        CAPTURE(it.points);
        const auto project = test::sized(odd_car(it.points, it.name_length));
        const StudyInput study = project->study();
        const draw::LoomPlan plan = draw::loom_plan(study, project->sizing, {});
        REQUIRE(plan.runs.size() == static_cast<std::size_t>(it.points));
        CHECK(plan.layout.cuts.size() == 2); // a ring has one loop
        CHECK(crossings(plan.layout.lines) == 0);
        check_texts_and_lines(draw::loom_sheet(study, plan));
        // Each cut has its letter at the free end and at the point that it joins.
        for (const draw::PlannedRun& run : plan.runs) {
            if (!run.twin.empty()) {
                const PointId to = study.vehicle.run(run.run).to;
                const auto joined = std::ranges::find(plan.points, to, &draw::PlannedPoint::point);
                REQUIRE(joined != plan.points.end());
                CHECK(std::ranges::count(joined->twins, run.twin) == 1);
            }
        }
    }
}

TEST_CASE("old wiring that is kept is not laced") {
    const auto project = test::sized(R"(loomwright: 1
points: {a: {}, b: {}, c: {}}
runs:
  new: {from: a, to: b, length: 500 mm}
  old: {from: b, to: c, length: 700 mm}
devices:
  SP1: {is: splice, at: a}
  SP2: {is: splice, at: b}
  SP3: {is: splice, at: c}
circuits:
  all:
    number: 1
    wires:
      1.1: {from: SP1, to: SP2, size: 2.5 mm2}
      1.2: {from: SP2, to: SP3, size: 2.5 mm2, retained: {since: 1961}}
)");
    const StudyInput study = project->study();
    const draw::LoomPlan plan = draw::loom_plan(study, project->sizing, {});
    REQUIRE(plan.runs.size() == 1);
    CHECK(study.vehicle.run(plan.runs.front().run).name == "new");
    CHECK(plan.left_out == 1);
    CHECK(plan.points.size() == 2);
}

TEST_CASE("no text stands upon the round ends of a thick run") {
    // One lead of 70 mm2, more than 10 mm thick, drawn at full size with room on all sides.
    const auto project = test::sized(R"(
loomwright: 1
points: {left-end: {}, right-end: {}}
runs: {main: {from: left-end, to: right-end, length: 300 mm}}
devices:
  ST1: {is: stud, at: left-end}
  ST2: {is: stud, at: right-end}
circuits:
  lead: {number: 1, wires: {1.1: {from: ST1, to: ST2, size: 70 mm2}}}
)");
    const StudyInput study = project->study();
    const draw::LoomPlan plan = draw::loom_plan(study, project->sizing, {});
    REQUIRE(plan.runs.size() == 1);
    const draw::PlannedRun& run = plan.runs.front();
    REQUIRE(run.line.size() == 2);
    REQUIRE(run.diameter > 10.0);
    const draw::Spot a = run.line.front();
    const draw::Spot b = run.line.back();
    constexpr double room = 80.0;
    const draw::BoardView view{{std::min(a.x, b.x) - room, std::min(a.y, b.y) - room,
                                std::max(a.x, b.x) + room, std::max(a.y, b.y) + room},
                               {0.0, 0.0},
                               1.0};
    draw::Drawing sheet{view.window.width(), view.window.height(), {}};
    draw::draw_loom_figure(sheet, study, plan, view, {});
    REQUIRE(has_text(sheet, "left-end"));
    REQUIRE(has_text(sheet, "right-end"));
    const auto is_hidden = [&](draw::Spot spot) {
        return std::ranges::any_of(sheet.shapes, [&](const draw::Shape& shape) {
            const auto* stroke = std::get_if<draw::Stroke>(&shape);
            if (stroke == nullptr || stroke->fill != draw::Fill::white || stroke->width != 0.0) {
                return false;
            }
            const auto [left, right] = std::ranges::minmax(stroke->spots, {}, &draw::Spot::x);
            const auto [top, bottom] = std::ranges::minmax(stroke->spots, {}, &draw::Spot::y);
            return spot.x > left.x && spot.x < right.x && spot.y > top.y && spot.y < bottom.y;
        });
    };
    // The half circle beyond each end, as far from the end as half the run is thick.
    for (const auto& [end, other] : {std::pair(a, b), std::pair(b, a)}) {
        const double away = std::atan2(end.y - other.y, end.x - other.x);
        for (int degrees = -90; degrees <= 90; degrees += 5) {
            const double angle = away + degrees * std::acos(-1.0) / 180.0;
            const draw::Spot spot =
                view.on_paper(end) + draw::Spot{0.5 * run.diameter * std::cos(angle),
                                                0.5 * run.diameter * std::sin(angle)};
            CHECK_MESSAGE(!is_hidden(spot), degrees);
        }
    }
}

TEST_CASE("pages at full size: the paper's size, a bar of 100 mm each, no text upon another") {
    const auto project = example(with_large_looms() ? "marlow" : "split-lights");
    const StudyInput study = project->study();
    const draw::LoomPlan plan = draw::loom_plan(study, project->sizing, {});
    for (const draw::PaperSheet& paper : {draw::a4_sheet, draw::letter_sheet}) {
        const std::vector<draw::Drawing> pages = draw::loom_tiles(study, plan, paper);
        REQUIRE(pages.size() > 2);
        CHECK(has_text(pages.front(), "Tiles"));
        for (const draw::Drawing& page : pages) {
            CHECK(std::min(page.width, page.height) == paper.width);
            CHECK(std::max(page.width, page.height) == paper.height);
            check_texts(page);
            CHECK(std::ranges::any_of(page.shapes, [](const draw::Shape& shape) {
                const auto* stroke = std::get_if<draw::Stroke>(&shape);
                return stroke != nullptr && stroke->width == 0.4 &&
                       std::abs(length_of(stroke->spots) - 100.0) < 1e-9;
            }));
        }
    }
}

TEST_CASE("the loom comes in every format but DOT, the same bytes each time") {
    const auto project = example("split-lights");
    const StudyInput study = project->study();
    std::string why_not;
    for (const DrawingFormat format :
         {DrawingFormat::svg, DrawingFormat::pdf, DrawingFormat::png}) {
        const auto once = draw_loom(study, project->sizing, {}, format, why_not);
        REQUIRE_MESSAGE(once, why_not);
        CHECK(once == draw_loom(study, project->sizing, {}, format, why_not));
    }
    CHECK_FALSE(draw_loom(study, project->sizing, {}, DrawingFormat::dot, why_not));
    const auto tiles = draw_loom_tiles(study, project->sizing, draw::a4_sheet, {}, why_not);
    REQUIRE_MESSAGE(tiles, why_not);
    CHECK(tiles == draw_loom_tiles(study, project->sizing, draw::a4_sheet, {}, why_not));
}
