// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace loomwright {

enum class DrawingFormat : std::uint8_t { svg, pdf, png, dot };

/// The format of this name or file ending ("svg", ".pdf"); nothing for another.
[[nodiscard]] std::optional<DrawingFormat> drawing_format(std::string_view name);

} // namespace loomwright
