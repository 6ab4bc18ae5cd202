// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/chart_scale.hpp"

#include <optional>

namespace loomwright::draw {

/// The field of a panel on paper, in millimetres.
struct Field {
    double left = 0.0;
    double top = 0.0;
    double width = 0.0;
    double height = 0.0;
    [[nodiscard]] double right() const { return left + width; }
    [[nodiscard]] double bottom() const { return top + height; }
};

/// How the series at this place among its panel's is told from the others.
struct CurveStyle {
    double width = 0.35;
    Dash dash = Dash::none;
    Fill mark = Fill::black;
};
[[nodiscard]] CurveStyle curve_style(std::size_t index);

/// Draws a series into its field; lines end at the field's edge.
void draw_curve(Drawing& out, const ChartSeries& series, const Scale& x, const Scale& y,
                const Field& field, const CurveStyle& style);

/// The last point of the series that stands in the field, on paper.
[[nodiscard]] std::optional<Spot> end_of_curve(const ChartSeries& series, const Scale& x,
                                               const Scale& y, const Field& field);

/// Points of the series that its axes cannot show.
[[nodiscard]] std::size_t count_unshown(const ChartSeries& series, ChartScale x, ChartScale y);

} // namespace loomwright::draw
