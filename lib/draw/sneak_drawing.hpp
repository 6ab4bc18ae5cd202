// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/fault_dangers.hpp"
#include "draw/drawing.hpp"
#include "draw/formats.hpp"

#include <optional>
#include <span>
#include <string>

namespace loomwright {

/// The ways that currents take when something is opened: for each of `dangers` a row from the
/// source through what it wakes and home, with what is open crossed out where it hung. A sheet for
/// each thing opened. SVG, PDF or PNG; the same answer gives the same bytes. Nothing, with the
/// reason in `why_not`, for another format or when the renderer fails.
[[nodiscard]] std::optional<std::string> draw_sneaks(const FaultAnswer& answer,
                                                     std::span<const SneakDanger> dangers,
                                                     DrawingFormat format, std::string& why_not);

namespace draw {

/// The sheets of draw_sneaks.
[[nodiscard]] std::vector<Drawing> sneak_sheets(const FaultAnswer& answer,
                                                std::span<const SneakDanger> dangers);

} // namespace draw
} // namespace loomwright
