// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/chart_axes.hpp"

#include "draw/chart_paper.hpp"

#include <algorithm>

namespace loomwright::draw {
namespace {

constexpr double hairline = 0.07; // between the numbers

/// Decades that have room for the lines between them.
int most_decades(double length_mm) {
    constexpr double least_decade = 8.0; // mm
    return static_cast<int>(length_mm / least_decade);
}

void grid_line(Drawing& out, Spot a, Spot b, double width) {
    Stroke grid{{a, b}, width};
    grid.dash = Dash::dotted;
    out.shapes.emplace_back(grid);
}

} // namespace

double across(const Scale& x, double value, const Field& field) {
    return field.left + std::clamp(x.share(value), 0.0, 1.0) * field.width;
}

double up(const Scale& y, double value, const Field& field) {
    return field.bottom() - std::clamp(y.share(value), 0.0, 1.0) * field.height;
}

std::vector<Tick> ticks_with_room(const Scale& x, const Field& field) {
    for (std::size_t most = 12; most > 2; --most) {
        std::vector<Tick> ticks = x.ticks(most);
        double taken_to = -1e9;
        bool fits = true;
        for (const Tick& tick : ticks) {
            const double half = text_width(tick.label, chart_text_size) / 2.0;
            fits = fits && across(x, tick.value, field) - half >= taken_to;
            taken_to = across(x, tick.value, field) + half + 2.0;
        }
        if (fits) {
            return ticks;
        }
    }
    // The two ends alone.
    std::vector<Tick> ticks = x.ticks(2);
    if (ticks.size() > 2) {
        ticks = {ticks.front(), ticks.back()};
    }
    return ticks;
}

void draw_upright_axis(Drawing& out, const Scale& y, std::span<const Tick> ticks,
                       const Field& field, Grid grid) {
    for (const double value : y.minor_ticks(most_decades(field.height))) {
        const double place = up(y, value, field);
        out.line({field.left - tick_length / 2.0, place}, {field.left, place}, chart_thin);
        if (grid == Grid::and_between) {
            grid_line(out, {field.left, place}, {field.right(), place}, hairline);
        }
    }
    for (const Tick& tick : ticks) {
        const double place = up(y, tick.value, field);
        if (grid != Grid::none) {
            grid_line(out, {field.left, place}, {field.right(), place}, chart_thin);
        }
        out.line({field.left - tick_length, place}, {field.left, place}, chart_thin);
        out.text({field.left - tick_length - chart_gap / 2.0, place + 0.35 * chart_text_size},
                 tick.label, chart_text_size, Anchor::end);
    }
}

void draw_level_axis(Drawing& out, const Scale& x, std::span<const Tick> ticks, const Field& field,
                     Grid grid, bool is_numbered) {
    const double bottom = field.bottom();
    for (const double value : x.minor_ticks(most_decades(field.width))) {
        const double place = across(x, value, field);
        out.line({place, bottom}, {place, bottom + tick_length / 2.0}, chart_thin);
        if (grid == Grid::and_between) {
            grid_line(out, {place, field.top}, {place, bottom}, hairline);
        }
    }
    for (const Tick& tick : ticks) {
        const double place = across(x, tick.value, field);
        if (grid != Grid::none) {
            grid_line(out, {place, field.top}, {place, bottom}, chart_thin);
        }
        out.line({place, bottom}, {place, bottom + tick_length}, chart_thin);
        if (is_numbered) {
            out.text({place, bottom + tick_length + 2.6}, tick.label, chart_text_size,
                     Anchor::middle);
        }
    }
}

} // namespace loomwright::draw
