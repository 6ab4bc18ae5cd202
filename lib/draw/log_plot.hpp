// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/chart.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// A point of a curve that something is known of: filled by how well.
struct PlotMark {
    double x = 0.0;
    double y = 0.0;
    draw::Fill fill = draw::Fill::black;
};

/// One line of a plot with its name, which stands beside it. Log-log between its points; out of the
/// plot where it leaves it.
struct PlotCurve {
    std::string name;
    std::vector<double> x;
    std::vector<double> y;
    double width_mm = 0.35;
    draw::Dash dash = draw::Dash::none;
    std::vector<PlotMark> marks;
    double name_at = 0.5; ///< where along the line its name would best stand, 0 to 1
};

/// How the inside of a band is shown.
enum class BandFill : std::uint8_t { pale, hatched };

/// What lies between two curves, the lower and the upper; points as of PlotCurve, by rising x.
struct PlotBand {
    PlotCurve lower;
    PlotCurve upper;
    BandFill fill = BandFill::pale;
};

/// An upright line from the foot of the plot to its name over it.
struct PlotUpright {
    std::string name;
    double x = 0.0;
    double width_mm = 0.25;
    draw::Dash dash = draw::Dash::none;
};

/// Curves over logarithmic axes, in black and white.
struct LogPlot {
    std::string title;
    ChartAxis x;
    ChartAxis y;
    std::vector<PlotBand> bands;
    std::vector<PlotCurve> curves;
    std::vector<PlotUpright> uprights;
    std::vector<std::string> notes;
};

/// The plot as SVG, PDF or PNG; the same plot gives the same bytes. Nothing, with the reason in
/// `why_not`, for another format or when the renderer fails.
[[nodiscard]] std::optional<std::string> draw_plot(const LogPlot& plot, DrawingFormat format,
                                                   std::string& why_not);

namespace draw {

/// The plot as one sheet.
[[nodiscard]] Drawing plot_sheet(const LogPlot& plot);

} // namespace draw
} // namespace loomwright
