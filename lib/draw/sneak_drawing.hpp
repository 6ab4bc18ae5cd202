// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/sneak_ways.hpp"
#include "draw/drawing.hpp"
#include "draw/formats.hpp"

#include <optional>
#include <span>
#include <string>

namespace loomwright {

/// The ways of currents that are not meant: for each of `sneaks` a row from the source through what
/// it wakes and home, with what is open crossed out where it hung. A sheet for each thing opened,
/// one for the car as it is. SVG, PDF or PNG; the same answer gives the same bytes. Nothing, with
/// the reason in `why_not`, for another format or when the renderer fails.
[[nodiscard]] std::optional<std::string> draw_sneaks(const StudyInput& study,
                                                     std::span<const SneakWay> sneaks,
                                                     DrawingFormat format, std::string& why_not);

namespace draw {

/// The sheets of draw_sneaks.
[[nodiscard]] std::vector<Drawing> sneak_sheets(const StudyInput& study,
                                                std::span<const SneakWay> sneaks);

} // namespace draw
} // namespace loomwright
