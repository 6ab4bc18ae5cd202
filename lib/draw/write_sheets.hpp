// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"
#include "draw/formats.hpp"

#include <optional>
#include <span>
#include <string>

namespace loomwright::draw {

/// The bytes of a file of SVG, PDF or PNG with these sheets; nothing, with the reason in `why_not`,
/// for another format or when the renderer fails.
[[nodiscard]] std::optional<std::string> write_sheets(std::span<const Drawing> sheets,
                                                      DrawingFormat format,
                                                      const std::string& title,
                                                      std::string& why_not);

} // namespace loomwright::draw
