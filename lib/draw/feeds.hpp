// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

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

} // namespace loomwright
