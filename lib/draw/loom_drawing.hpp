// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/board_layout.hpp"
#include "draw/formats.hpp"
#include "sizing/sizing.hpp"

#include <optional>
#include <string>

namespace loomwright {

/// The loom flattened on a board and drawn to scale: the runs that new wires lie in, each as long
/// and as thick as it is, with the points and what is at them, and tables of both. SVG, PDF or PNG;
/// the same design gives the same bytes. Nothing, with the reason in `why_not`, for another format,
/// a car without such a run, or when the renderer fails.
[[nodiscard]] std::optional<std::string> draw_loom(const StudyInput& study, const Sizing& sizing,
                                                   const draw::BoardSize& board,
                                                   DrawingFormat format, std::string& why_not);

namespace draw {

struct LoomPlan;

/// "1:5", "1:1".
[[nodiscard]] std::string scale_name(double scale);
/// The largest common scale (ISO 5455) at which something of this size, mm, fits into that.
[[nodiscard]] double fitting_scale(Spot size, Spot room);

/// The sheet of draw_loom.
[[nodiscard]] Drawing loom_sheet(const StudyInput& study, const LoomPlan& plan);

} // namespace draw
} // namespace loomwright
