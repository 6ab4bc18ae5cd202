// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"
#include "draw/formats.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace loomwright {

enum class ChartScale : std::uint8_t { linear, logarithmic };

/// One axis: what it shows, in which unit, and from where to where; the ends are chosen from the
/// values where they are not given.
struct ChartAxis {
    std::string title;
    std::string unit;
    ChartScale scale = ChartScale::linear;
    std::optional<double> low;
    std::optional<double> high;
};

/// How the points of a series are joined; steps hold each value until the next point.
enum class ChartForm : std::uint8_t { line, steps, marks };

/// Points in the order in which they are joined; a point that is not a number, or not above 0 on a
/// logarithmic axis, breaks the line. Of x and y with different lengths the shorter one counts.
struct ChartSeries {
    std::string name;
    std::vector<double> x;
    std::vector<double> y;
    ChartForm form = ChartForm::line;
};

/// A value to compare with, drawn as a thin line across the whole panel.
struct ChartLevel {
    std::string name;
    double y = 0.0;
};

struct ChartPanel {
    ChartAxis y;
    std::vector<ChartSeries> series;
    std::vector<ChartLevel> levels;
};

/// A stretch of x with a name: a state of a drive. Drawn behind all panels.
struct ChartPhase {
    std::string name;
    double from = 0.0;
    double to = 0.0;
};

/// Curves over one x, in panels one below the other.
struct Chart {
    std::string title;
    ChartAxis x;
    std::vector<ChartPanel> panels;
    std::vector<ChartPhase> phases;
    std::vector<std::string> notes; ///< under the panels: sources, conditions
};

/// The chart as SVG, PDF or PNG in black and white; the same chart gives the same bytes. Nothing,
/// with the reason in `why_not`, for another format or when the renderer fails.
[[nodiscard]] std::optional<std::string> draw_chart(const Chart& chart, DrawingFormat format,
                                                    std::string& why_not);

namespace draw {

/// The chart as one sheet, as high as it needs to be.
[[nodiscard]] Drawing chart_sheet(const Chart& chart);

} // namespace draw
} // namespace loomwright
