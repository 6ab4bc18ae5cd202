// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"
#include "draw/formats.hpp"
#include "sizing/sizing.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace loomwright {

/// The feeds: from each source through its protective devices, contacts and loads to ground, a
/// group for each protective device, with number, size and colour on every wire. The same design
/// gives the same bytes. Nothing, with the reason in `why_not`, when the layout or the renderer
/// fails. SVG and PNG hold all sheets one under the other; PDF has a page for each; DOT is the bare
/// graph.
[[nodiscard]] std::optional<std::string> draw_feeds(const StudyInput& study, const Sizing& sizing,
                                                    DrawingFormat format, std::string& why_not);

/// The same in several formats, in the order asked for, laid out once.
[[nodiscard]] std::optional<std::vector<std::string>>
draw_feeds(const StudyInput& study, const Sizing& sizing, std::span<const DrawingFormat> formats,
           std::string& why_not);

namespace draw {

/// The sheets of draw_feeds; the number of each wire is marked "w" and its WireId, the name of each
/// device "d" and its DeviceId.
[[nodiscard]] std::optional<std::vector<Drawing>>
feeds_sheets(const StudyInput& study, const Sizing& sizing, std::string& why_not);

} // namespace draw
} // namespace loomwright
