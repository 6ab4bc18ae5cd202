// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"
#include "draw/formats.hpp"
#include "loom/bundle.hpp"
#include "sizing/sizing.hpp"

#include <optional>
#include <string>

namespace loomwright {

/// The cross-section of a run to a scale that is stated on it: every wire with its number, twisted
/// pairs, the cover, the holes at the run's ends, diameters, and a table of the wires. SVG, PDF or
/// PNG; the same run gives the same bytes. Nothing, with the reason in `why_not`, for another
/// format or when the renderer fails. The run must have wires.
[[nodiscard]] std::optional<std::string> draw_section(const StudyInput& study, const Sizing& sizing,
                                                      RunId run, DrawingFormat format,
                                                      std::string& why_not);

namespace draw {

/// The sheet of draw_section.
[[nodiscard]] Drawing section_sheet(const StudyInput& study, const Sizing& sizing,
                                    const RunBundle& bundle);

} // namespace draw
} // namespace loomwright
