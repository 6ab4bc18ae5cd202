// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"
#include "draw/formats.hpp"
#include "sizing/plug_halves.hpp"
#include "sizing/sizing.hpp"

#include <optional>
#include <string>

namespace loomwright {

/// The faces of a connector, or of another device's plug, with the name, wire number and colour in
/// every cavity: of each housing the mating face, and beside it the side that the wires come out
/// of, which is its mirror. SVG, PDF or PNG. Nothing, with the reason in `why_not`, for another
/// format or when the renderer fails. The device must have a plug.
[[nodiscard]] std::optional<std::string> draw_mating_view(const StudyInput& study,
                                                          const Sizing& sizing, DeviceId device,
                                                          DrawingFormat format,
                                                          std::string& why_not);

/// The view of one housing as an SVG document, to stand beside its table.
[[nodiscard]] std::string mating_view_svg(const StudyInput& study, const PlugHalf& half);

namespace draw {

/// The sheet of one housing.
[[nodiscard]] Drawing mating_view_sheet(const StudyInput& study, const PlugHalf& half);

} // namespace draw
} // namespace loomwright
