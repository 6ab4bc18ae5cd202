// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

namespace loomwright {

// A large text is read in pieces, side by side: yaml-cpp takes longer for the characters than
// everything else together. A piece begins at a line whose indentation says that it begins an entry
// of the topmost map, or of the map that is the value of a topmost key. Where that is not true
// after all (the line stands in a quoted text, in brackets, in a block of text), the piece before
// it is no YAML or no map, and the text is read again as a whole. So pieces change how long reading
// takes, never what is read.

/// A stretch of lines that is YAML by itself.
struct Piece {
    std::string_view text;
    int first_line = 0;    ///< from 0
    bool is_inner = false; ///< its entries belong to the value of the last key before it
    int group = 0;         ///< of about equal length; the last has what is left
};

/// Cuts a text into about `groups` equal groups of pieces; one piece where it cannot be cut.
[[nodiscard]] std::vector<Piece> cut_into_pieces(std::string_view text, int groups);

} // namespace loomwright
