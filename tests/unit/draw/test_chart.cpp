// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// Charts of many shapes of data: no text runs into another or off the sheet, no line leaves its
// field, ticks are round numbers, and the same chart gives the same bytes. The rules of round
// numbers (1, 2, 5) are common practice, no source.
#include "draw/chart.hpp"

#include "sheet_checks.hpp"

#include "draw/chart_labels.hpp"
#include "draw/chart_scale.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

using namespace loomwright;

namespace {

void check_sheet(const Chart& chart) {
    const draw::Drawing sheet = draw::chart_sheet(chart);
    check_texts_and_lines(sheet);
    std::string why_not;
    const auto svg = draw_chart(chart, DrawingFormat::svg, why_not);
    REQUIRE_MESSAGE(svg.has_value(), why_not);
    CHECK(svg == draw_chart(chart, DrawingFormat::svg, why_not));
    CHECK(svg->find("nan") == std::string::npos);
    CHECK(svg->find("inf") == std::string::npos);
}

std::vector<std::string> labels(const draw::Scale& scale, std::size_t most) {
    std::vector<std::string> out;
    for (const draw::Tick& tick : scale.ticks(most)) {
        out.push_back(tick.label);
    }
    return out;
}

ChartSeries series(std::string name, std::vector<double> x, std::vector<double> y,
                   ChartForm form = ChartForm::line) {
    return {std::move(name), std::move(x), std::move(y), form};
}

Chart drive(int phases, const std::string& name) {
    Chart chart{"A drive in " + std::to_string(phases) + " phases", {"Time", "h"}, {}, {}, {}};
    ChartSeries charge = series("state of charge", {}, {});
    ChartSeries current =
        series("battery current, positive when it is charged", {}, {}, ChartForm::steps);
    double at = 0.0;
    for (int i = 0; i < phases; ++i) {
        const double length = i % 3 == 0 ? 0.003 : 0.1 + 0.07 * (i % 5);
        chart.phases.push_back({fmt::format("{} {}", name, i % 7), at, at + length});
        charge.x.push_back(at);
        charge.y.push_back(80.0 + 5.0 * std::sin(i));
        current.x.push_back(at);
        current.y.push_back(i % 3 == 0 ? -160.0 : 20.0 * std::cos(i));
        at += length;
    }
    charge.x.push_back(at);
    charge.y.push_back(81.0);
    current.x.push_back(at);
    current.y.push_back(current.y.empty() ? 0.0 : current.y.back());
    chart.panels.push_back({{"State of charge", "%"}, {charge}, {{"no longer starts", 62.0}}});
    chart.panels.push_back({{"Battery current", "A"}, {current}, {}});
    chart.notes = {"Air at 20 C; battery 60 Ah at 80 % when the drive begins."};
    return chart;
}

std::vector<Chart> shapes_of_data() {
    std::vector<Chart> out;
    const auto one = [&](const std::string& title, std::vector<ChartSeries> all,
                         ChartAxis y = {"Voltage", "V"}, ChartAxis x = {"Time", "s"}) {
        out.push_back({title, std::move(x), {{std::move(y), std::move(all), {}}}, {}, {}});
    };
    one("nothing", {});
    out.push_back({"no panel", {"Time", "s"}, {}, {}, {}});
    one("one point", {series("the only one", {3.0}, {12.6})});
    one("one point at 0", {series("zero", {0.0}, {0.0})});
    one("constant", {series("held", {0.0, 10.0}, {14.2, 14.2})});
    one("constant and negative", {series("held", {0.0, 10.0}, {-7.0, -7.0})});
    one("steps", {series("steps", {0, 1, 2, 3, 4}, {1, 5, 2, 8, 8}, ChartForm::steps),
                  series("marks", {0, 1, 2, 3, 4}, {2, 3, 4, 5, 6}, ChartForm::marks)});
    std::vector<ChartSeries> many;
    many.reserve(25);
    for (int i = 0; i < 25; ++i) {
        many.push_back(series(fmt::format("conductor {} of a long bundle with a long name that "
                                          "goes on and on beyond its line and the next",
                                          i),
                              {1.0, 2.0, 3.0}, {5.0, 5.0 + 0.01 * i, 6.0 + 0.01 * i}));
    }
    one("twenty-five that end beside one another", many);
    one("far and near", {series("far", {0, 1}, {1e12, 1.1e12}), series("near", {0, 1}, {0, 5e-7})});
    one("small", {series("small", {0, 1e-6}, {0, 5e-7})});
    one("not numbers", {series("gaps", {0, 1, 2, 3, 4, 5},
                               {1, std::numeric_limits<double>::quiet_NaN(), 2, 3,
                                std::numeric_limits<double>::infinity(), 4}),
                        series("huge", {0, 1}, {1e300, -1e300}), series("short", {0, 1, 2}, {1})});
    ChartSeries fuse = series("15 A, longest", {}, {});
    for (double current = 1.35; current < 6.0; current *= 1.1) {
        fuse.x.push_back(15.0 * current);
        fuse.y.push_back(600.0 * std::pow(1.35 / current, 6.0));
    }
    one("logarithmic", {fuse, series("below 0", {20.0, 30.0, 90.0}, {1.0, -1.0, 0.1})},
        {"Time until it opens", "s", ChartScale::logarithmic},
        {"Current", "A", ChartScale::logarithmic});
    one("given ends", {series("leaves and comes back", {0, 1, 2, 3, 4, 5}, {0, 30, -30, 30, 5, 7})},
        {"Voltage", "V", ChartScale::linear, 0.0, 10.0},
        {"Time", "s", ChartScale::linear, 0.5, 4.5});
    one("given ends the wrong way round", {series("a", {0, 1}, {0, 1})},
        {"Voltage", "V", ChartScale::linear, 10.0, 0.0});
    for (const int phases : {1, 2, 4, 20, 300}) {
        out.push_back(drive(phases, "night drive with the heater on, rain, state"));
    }
    out.push_back(drive(4, "idle"));
    Chart hostile = drive(3, "<b>\x1b[1m \xff & \"quoted\" " +
                                 std::string{static_cast<char>(0xe2), static_cast<char>(0x80),
                                             static_cast<char>(0xae)});
    hostile.title = std::string(400, 'W') + " & <more>";
    hostile.panels[0].y.title = std::string(300, 'M');
    hostile.panels[0].series[0].name = std::string(200, 'Q');
    hostile.notes = {std::string(2000, 'n')};
    out.push_back(hostile);
    return out;
}

} // namespace

TEST_CASE("no text of a chart runs into another, whatever its data") {
    for (const Chart& chart : shapes_of_data()) {
        CAPTURE(chart.title);
        check_sheet(chart);
    }
}

TEST_CASE("charts of random data keep their texts apart") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> value(-3.0, 3.0);
    for (int round = 0; round < 60; ++round) {
        Chart chart{"Random", {"Time", "s"}, {}, {}, {}};
        for (int p = 0; p <= round % 3; ++p) {
            ChartPanel panel{{"Value", "A"}, {}, {}};
            for (int s = 0; s <= round % 9; ++s) {
                ChartSeries made = series(std::string(static_cast<std::size_t>(1 + 9 * s), 'x'), {},
                                          {}, static_cast<ChartForm>(s % 3));
                const double size = std::pow(10.0, 3.0 * value(random));
                for (int i = 0; i < 1 + round % 5; ++i) {
                    made.x.push_back(i + value(random));
                    made.y.push_back(size * value(random));
                }
                panel.series.push_back(made);
            }
            panel.levels.push_back({"a level", value(random)});
            chart.panels.push_back(panel);
        }
        CAPTURE(round);
        check_sheet(chart);
    }
}

TEST_CASE("ticks stand at round numbers") {
    using Labels = std::vector<std::string>;
    const auto linear = [](double low, double high) {
        return draw::scale_for({"", ""}, {low, high}, true);
    };
    CHECK(labels(linear(0.0, 14.6), 7) == Labels{"0", "5", "10", "15"});
    CHECK(labels(linear(-160.0, 20.0), 7) == Labels{"-200", "-150", "-100", "-50", "0", "50"});
    CHECK(labels(linear(11.8, 12.6), 7) == Labels{"11.8", "12.0", "12.2", "12.4", "12.6"});
    const draw::Scale large = linear(0.0, 3.0e6);
    CHECK(large.power() == 6);
    CHECK(labels(large, 7) == Labels{"0.0", "0.5", "1.0", "1.5", "2.0", "2.5", "3.0"});
    CHECK(draw::axis_title({"Power", "W"}, large) == "Power, 10^6 W");
    const draw::Scale decades =
        draw::scale_for({"", "", ChartScale::logarithmic}, {0.01, 1000.0}, true);
    CHECK(labels(decades, 7) == Labels{"0.01", "0.1", "1", "10", "100", "1000"});
    CHECK(decades.share(1.0) == doctest::Approx(0.4)); // two of five decades
}

TEST_CASE("labels at one height are stacked around it and stay in their field") {
    const auto middles = draw::place_labels({{10.0, 4.0}, {10.0, 4.0}, {40.0, 4.0}}, 0.0, 50.0);
    CHECK(middles[0] == doctest::Approx(8.0));
    CHECK(middles[1] == doctest::Approx(12.0));
    CHECK(middles[2] == doctest::Approx(40.0));
    const auto low = draw::place_labels({{49.0, 4.0}, {50.0, 4.0}}, 0.0, 50.0);
    CHECK(low[0] == doctest::Approx(44.0));
    CHECK(low[1] == doctest::Approx(48.0));
    CHECK(draw::place_in_rows({{0, 3}, {2, 4}, {2.5, 5}, {3.5, 6}}, 2) ==
          std::vector<int>{0, 1, -1, 0});
}

TEST_CASE("a long line keeps its peaks when it is thinned") {
    ChartSeries noise = series("noise", {}, {});
    for (int i = 0; i < 100000; ++i) {
        noise.x.push_back(i);
        noise.y.push_back(i == 77777 ? 100.0 : i % 2);
    }
    const Chart chart{"Noise", {"Time", "s"}, {{{"Value", "A"}, {noise}, {}}}, {}, {}};
    const draw::Drawing sheet = draw::chart_sheet(chart);
    std::size_t spots = 0;
    double highest = 1e9;
    for (const draw::Shape& shape : sheet.shapes) {
        const auto* stroke = std::get_if<draw::Stroke>(&shape);
        if (stroke != nullptr && stroke->spots.size() > 100) {
            spots += stroke->spots.size();
            for (const draw::Spot& spot : stroke->spots) {
                highest = std::min(highest, spot.y);
            }
        }
    }
    CHECK(spots > 1000);
    CHECK(spots < 20000);
    // 100 is the top of its axis, which begins under the title lines.
    double frame_top = 1e9;
    for (const draw::Shape& shape : sheet.shapes) {
        const auto* stroke = std::get_if<draw::Stroke>(&shape);
        if (stroke != nullptr && stroke->is_closed) {
            frame_top = std::min(frame_top, stroke->spots.front().y);
        }
    }
    CHECK(highest == doctest::Approx(frame_top));
}

TEST_CASE("a chart is written as SVG, PDF and PNG with the same bytes each time, and not as DOT") {
    const Chart chart = drive(4, "idle");
    std::string why_not;
    for (const auto format : {DrawingFormat::svg, DrawingFormat::pdf, DrawingFormat::png}) {
        const auto bytes = draw_chart(chart, format, why_not);
        REQUIRE_MESSAGE(bytes.has_value(), why_not);
        CHECK(*bytes == *draw_chart(chart, format, why_not));
    }
    CHECK(draw_chart(chart, DrawingFormat::pdf, why_not)->starts_with("%PDF-"));
    CHECK_FALSE(draw_chart(chart, DrawingFormat::dot, why_not).has_value());
    CHECK_FALSE(why_not.empty());
}
