// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace loomwright {

/// Least number of insertions, deletions, substitutions and swaps of neighbours between two words.
[[nodiscard]] std::size_t edit_distance(std::string_view a, std::string_view b);

/// The candidate nearest to `word` (letter case set aside) if it is near enough to be a slip of
/// the pen: a third of the word's length, at least 1. The first of equals wins.
[[nodiscard]] std::optional<std::string> nearest_word(std::string_view word,
                                                      std::span<const std::string> candidates);
[[nodiscard]] std::optional<std::string> nearest_word(std::string_view word,
                                                      std::span<const std::string_view> candidates);

} // namespace loomwright
