// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/pieces.hpp"

namespace loomwright {
namespace {

/// True where a line that begins so can begin an entry of a map.
bool begins_entry(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

/// Looks at a text line by line for places to cut.
class Cutter {
public:
    Cutter(std::string_view text, int groups) : text_(text), groups_(groups) {
        pieces_.push_back({text, 0, false, 0});
    }

    std::vector<Piece> cut() {
        int number = 0;
        for (std::size_t start = 0; start < text_.size(); ++number) {
            const std::size_t newline = text_.find('\n', start);
            const std::size_t end = newline == std::string_view::npos ? text_.size() : newline;
            if (!take_line(text_.substr(start, end - start), start, number)) {
                return {{text_, 0, false, 0}};
            }
            start = end + 1;
        }
        return std::move(pieces_);
    }

private:
    /// False where the text cannot be cut at all.
    bool take_line(std::string_view line, std::size_t start, int number) {
        const std::size_t indent = line.find_first_not_of(" \r");
        if (indent == std::string_view::npos || line[indent] == '#') {
            return true;
        }
        if (indent == 0) {
            return take_outermost(line, start, number);
        }
        if (inner_indent_ == 0) {
            inner_indent_ = indent; // the first line under a key of the topmost map
        } else if (indent == inner_indent_ && begins_entry(line[indent]) && is_due(start)) {
            begin_piece(start, number, true);
            ++pieces_.back().group;
        }
        return true;
    }

    bool take_outermost(std::string_view line, std::size_t start, int number) {
        const bool can_begin = begins_entry(line.front());
        if (line.starts_with("---") || line.starts_with("...") || line.front() == '%') {
            return false;
        }
        if (!has_entry_) {
            has_entry_ = can_begin; // no piece of comments alone
        } else if (pieces_.back().is_inner) {
            // What is no inner entry any more cannot stay in the piece of inner entries.
            if (!can_begin) {
                return false;
            }
            begin_piece(start, number, false);
        } else if (can_begin && is_due(start)) {
            begin_piece(start, number, false);
            ++pieces_.back().group;
        }
        inner_indent_ = 0;
        return true;
    }

    [[nodiscard]] bool is_due(std::size_t start) const {
        const auto next = static_cast<std::size_t>(pieces_.back().group) + 1;
        return next < static_cast<std::size_t>(groups_) &&
               start >= text_.size() * next / static_cast<std::size_t>(groups_);
    }

    void begin_piece(std::size_t start, int number, bool is_inner) {
        Piece& last = pieces_.back();
        const auto first = static_cast<std::size_t>(last.text.data() - text_.data());
        last.text = text_.substr(first, start - first);
        pieces_.push_back({text_.substr(start), number, is_inner, last.group});
    }

    std::string_view text_;
    int groups_;
    std::vector<Piece> pieces_;
    bool has_entry_ = false;
    std::size_t inner_indent_ = 0; ///< of entries under the topmost key at hand; 0: not known yet
};

} // namespace

std::vector<Piece> cut_into_pieces(std::string_view text, int groups) {
    return Cutter(text, groups).cut();
}

} // namespace loomwright
