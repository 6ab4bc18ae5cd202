// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// Plots on logarithmic axes: texts apart, lines in their field, the same bytes again; labels beside
// their lines; flags over their uprights. That curves stand where their numbers say is read back
// from the SVG by tests/cli/test_curves.py.
#include "draw/log_plot.hpp"

#include "draw/label_places.hpp"
#include "sheet_checks.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <random>

using namespace loomwright;

namespace {

PlotCurve falling(std::string name, double amps, double seconds, double slope) {
    PlotCurve out;
    out.name = std::move(name);
    for (int i = 0; i < 20; ++i) {
        out.x.push_back(amps * std::pow(1.3, i));
        out.y.push_back(seconds * std::pow(1.3, slope * i));
    }
    return out;
}

LogPlot plot_of(unsigned seed) {
    std::mt19937 dice(seed);
    std::uniform_real_distribution<double> share(0.0, 1.0);
    LogPlot out;
    out.title = "A plot of random curves";
    out.x = {.title = "current", .unit = "A", .scale = ChartScale::logarithmic};
    out.y = {.title = "time", .unit = "s", .scale = ChartScale::logarithmic};
    out.y.low = 1e-3;
    out.y.high = 1e4;
    const auto amps = [&] { return 2.0 * std::pow(200.0, share(dice)); };
    for (unsigned i = 0; i < seed % 3; ++i) {
        const double from = amps();
        PlotBand band{
            falling(fmt::format("device {} opens no sooner", i), from, 100.0, -3.0),
            falling(fmt::format("device {} is sure to have opened", i), 1.2 * from, 1e4, -2.5),
            i == 0 ? BandFill::pale : BandFill::hatched};
        band.lower.marks.push_back({from, 100.0, draw::Fill::black});
        out.bands.push_back(std::move(band));
    }
    for (unsigned i = 0; i < seed % 5; ++i) {
        out.curves.push_back(falling("a wire with a name that takes more than one line of text",
                                     amps(), 3e3, -2.0 - share(dice)));
    }
    for (unsigned i = 0; i < seed % 7; ++i) {
        out.uprights.push_back({fmt::format("upright {} of several", i), amps()});
    }
    out.notes = {"Where all this comes from."};
    return out;
}

} // namespace

TEST_CASE("no text of a plot runs into another, whatever its data") {
    // Under the sanitizers a few will do; the test draw_many_plots has them all.
    const unsigned count = std::getenv("LOOMWRIGHT_MANY_PLOTS") != nullptr ? 40 : 2;
    for (unsigned seed = 0; seed < count; ++seed) {
        CAPTURE(seed);
        const LogPlot plot = plot_of(seed);
        check_texts_and_lines(draw::plot_sheet(plot));
        std::string why_not;
        const auto svg = draw_plot(plot, DrawingFormat::svg, why_not);
        REQUIRE_MESSAGE(svg.has_value(), why_not);
        CHECK(svg == draw_plot(plot, DrawingFormat::svg, why_not));
        CHECK(svg->find("nan") == std::string::npos);
        CHECK(svg->find("inf") == std::string::npos);
    }
}

TEST_CASE("a plot of nothing, of one point, of values that no logarithm has") {
    LogPlot plot;
    plot.title = "Nothing";
    plot.x = {.title = "current", .unit = "A", .scale = ChartScale::logarithmic};
    plot.y = {.title = "time", .unit = "s", .scale = ChartScale::logarithmic};
    check_texts_and_lines(draw::plot_sheet(plot));
    plot.curves.push_back({"one", {10.0}, {1.0}});
    plot.curves.push_back({"none", {0.0, -1.0, std::nan("")}, {1.0, 0.0, 5.0}});
    plot.uprights.push_back({"nowhere", 0.0});
    check_texts_and_lines(draw::plot_sheet(plot));
}

TEST_CASE("labels stand in the field, apart, and near their lines") {
    const draw::Field field{0.0, 0.0, 100.0, 100.0};
    std::vector<draw::LineLabel> labels;
    for (int i = 0; i < 6; ++i) {
        const double at = 10.0 + 14.0 * i;
        labels.push_back({{{at, 0.0}, {at + 10.0, 100.0}}, 30.0, 7.0, 0.5});
    }
    labels.push_back({{}, 30.0, 7.0, 0.5}); // a line that is not seen has no label
    const auto places = draw::place_at_lines(labels, field);
    REQUIRE(places.size() == labels.size());
    CHECK_FALSE(places.back().has_value());
    for (std::size_t i = 0; i + 1 < labels.size(); ++i) {
        REQUIRE(places[i].has_value());
        const draw::Spot a = places[i]->corner;
        CHECK((a.x >= 0.0 && a.x + 30.0 <= 100.0 && a.y >= 0.0 && a.y + 7.0 <= 100.0));
        CHECK(std::hypot(places[i]->end.x - places[i]->anchor.x,
                         places[i]->end.y - places[i]->anchor.y) <= 30.0);
        for (std::size_t k = 0; k < i; ++k) {
            const draw::Spot b = places[k]->corner;
            CHECK((a.x + 30.0 <= b.x || b.x + 30.0 <= a.x || a.y + 7.0 <= b.y || b.y + 7.0 <= a.y));
        }
    }
}

TEST_CASE("flags go up where the next one to the right is in their way") {
    CHECK(draw::flag_rows({10.0, 50.0, 60.0}, {30.0, 30.0, 30.0}) == std::vector{0, 1, 0});
    CHECK(draw::flag_rows({10.0, 20.0, 30.0}, {30.0, 30.0, 30.0}) == std::vector{2, 1, 0});
    CHECK(draw::flag_rows({10.0, 10.0}, {5.0, 5.0}) == std::vector{1, 0});
    CHECK(draw::flag_rows({}, {}).empty());
}
