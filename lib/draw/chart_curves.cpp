// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/chart_curves.hpp"

#include "draw/chart_paper.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright::draw {
namespace {

constexpr double column = 0.05; // mm: points nearer than that are one upright stroke on paper
constexpr double far_out = 1e4; // mm: as far as a line outside of its field is followed
constexpr std::size_t many_points = 2000; // of which a line is thinned

std::size_t point_count(const ChartSeries& series) {
    return std::min(series.x.size(), series.y.size());
}

Spot spot_of(double x, double y, const Scale& across, const Scale& up, const Field& field) {
    const auto held = [](double place) { return std::clamp(place, -far_out, far_out); };
    return {held(field.left + across.share(x) * field.width),
            held(field.bottom() - up.share(y) * field.height)};
}

bool is_inside(Spot spot, const Field& field) {
    constexpr double near = 1e-6;
    return spot.x >= field.left - near && spot.x <= field.right() + near &&
           spot.y >= field.top - near && spot.y <= field.bottom() + near;
}

/// Narrows the part from..to of a line that is inside one edge; false when nothing is left. `start`
/// is how far its first end is outside, `change` how much farther its other end is.
bool narrow(double start, double change, double& from, double& to) {
    if (change == 0.0) {
        return start <= 0.0;
    }
    const double crossing = -start / change;
    if (change > 0.0) {
        to = std::min(to, crossing);
    } else {
        from = std::max(from, crossing);
    }
    return from <= to;
}

/// The part of a line inside the field (the parametric method of Liang and Barsky).
std::optional<std::pair<Spot, Spot>> inside_part(Spot a, Spot b, const Field& field) {
    double from = 0.0;
    double to = 1.0;
    const Spot way{b.x - a.x, b.y - a.y};
    if (!narrow(field.left - a.x, -way.x, from, to) ||
        !narrow(a.x - field.right(), way.x, from, to) ||
        !narrow(field.top - a.y, -way.y, from, to) ||
        !narrow(a.y - field.bottom(), way.y, from, to)) {
        return std::nullopt;
    }
    return std::pair{a + Spot{way.x * from, way.y * from}, a + Spot{way.x * to, way.y * to}};
}

/// Of the points of one column of paper the first, the lowest, the highest and the last.
std::vector<Spot> thinned(const std::vector<Spot>& spots) {
    if (spots.size() <= many_points || !std::ranges::is_sorted(spots, {}, &Spot::x)) {
        return spots;
    }
    std::vector<Spot> out;
    for (std::size_t i = 0; i < spots.size();) {
        std::size_t end = i + 1;
        while (end < spots.size() && spots[end].x < spots[i].x + column) {
            ++end;
        }
        const auto first = spots.begin() + static_cast<std::ptrdiff_t>(i);
        const auto last = spots.begin() + static_cast<std::ptrdiff_t>(end);
        const auto [low, high] = std::minmax_element(
            first, last, [](const Spot& a, const Spot& b) { return a.y < b.y; });
        std::array kept = {first, low, high, last - 1};
        std::ranges::sort(kept);
        for (std::size_t k = 0; k < kept.size(); ++k) {
            if (k == 0 || kept[k] != kept[k - 1]) {
                out.push_back(*kept[k]);
            }
        }
        i = end;
    }
    return out;
}

/// Draws one unbroken line as strokes that end at the edge of the field.
void draw_run(Drawing& out, std::vector<Spot> spots, const Field& field, const CurveStyle& style) {
    if (spots.size() == 1) {
        if (is_inside(spots.front(), field)) {
            out.circle(spots.front(), mark_radius, 0.0, Fill::black);
        }
        return;
    }
    spots = thinned(spots);
    Stroke stroke{{}, style.width};
    stroke.dash = style.dash;
    const auto end_stroke = [&] {
        if (stroke.spots.size() > 1) {
            out.shapes.emplace_back(stroke);
        }
        stroke.spots.clear();
    };
    for (std::size_t i = 0; i + 1 < spots.size(); ++i) {
        const auto part = inside_part(spots[i], spots[i + 1], field);
        if (!part) {
            end_stroke();
            continue;
        }
        if (stroke.spots.empty()) {
            stroke.spots.push_back(part->first);
        }
        stroke.spots.push_back(part->second);
        if (!is_inside(spots[i + 1], field)) {
            end_stroke();
        }
    }
    end_stroke();
}

void draw_marks(Drawing& out, const std::vector<Spot>& spots, const Field& field,
                const CurveStyle& style) {
    for (const Spot& spot : spots) {
        if (is_inside(spot, field)) {
            out.circle(spot, mark_radius, 0.2, style.mark);
        }
    }
}

} // namespace

CurveStyle curve_style(std::size_t index) {
    constexpr std::array dashes = {Dash::none,     Dash::dashed,    Dash::dotted,
                                   Dash::dash_dot, Dash::long_dash, Dash::dash_dot_dot};
    constexpr std::array marks = {Fill::black, Fill::white, Fill::pale};
    constexpr std::array widths = {0.35, 0.6, 0.2};
    return {widths[index / dashes.size() % widths.size()], dashes[index % dashes.size()],
            marks[index % marks.size()]};
}

void draw_curve(Drawing& out, const ChartSeries& series, const Scale& x, const Scale& y,
                const Field& field, const CurveStyle& style) {
    std::vector<Spot> run;
    const auto end_run = [&] {
        if (series.form == ChartForm::marks) {
            draw_marks(out, run, field, style);
        } else if (!run.empty()) {
            draw_run(out, run, field, style);
        }
        run.clear();
    };
    for (std::size_t i = 0; i < point_count(series); ++i) {
        if (!x.can_show(series.x[i]) || !y.can_show(series.y[i])) {
            end_run();
            continue;
        }
        const Spot spot = spot_of(series.x[i], series.y[i], x, y, field);
        if (series.form == ChartForm::steps && !run.empty()) {
            run.push_back({spot.x, run.back().y});
        }
        run.push_back(spot);
    }
    end_run();
}

std::optional<Spot> end_of_curve(const ChartSeries& series, const Scale& x, const Scale& y,
                                 const Field& field) {
    for (std::size_t i = point_count(series); i-- > 0;) {
        if (x.can_show(series.x[i]) && y.can_show(series.y[i])) {
            const Spot spot = spot_of(series.x[i], series.y[i], x, y, field);
            if (is_inside(spot, field)) {
                return spot;
            }
        }
    }
    return std::nullopt;
}

std::size_t count_unshown(const ChartSeries& series, ChartScale x, ChartScale y) {
    std::size_t count = 0;
    for (std::size_t i = 0; i < point_count(series); ++i) {
        count += is_shown(x, series.x[i]) && is_shown(y, series.y[i]) ? 0 : 1;
    }
    return count;
}

} // namespace loomwright::draw
