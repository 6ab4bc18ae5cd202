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
/// the pen: a third of the word's length, at least 1. Of equals the one that begins alike for
/// longer wins (`M2` is rather `M1` than `G2`: the letter says the kind), then the first.
[[nodiscard]] std::optional<std::string> nearest_word(std::string_view word,
                                                      std::span<const std::string> candidates);
[[nodiscard]] std::optional<std::string> nearest_word(std::string_view word,
                                                      std::span<const std::string_view> candidates);

/// True for two words that differ, and only by letters that look the same: a Cyrillic `а` for a
/// Latin `a`, a full-width `Ａ` for `A`.
[[nodiscard]] bool looks_alike(std::string_view a, std::string_view b);

/// "a fuse", "an alternator", "a unit".
[[nodiscard]] std::string with_article(std::string_view word);

} // namespace loomwright
