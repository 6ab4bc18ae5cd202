// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "fold.hpp"

#include "sheets/characters.hpp"

#include <algorithm>
#include <optional>
#include <vector>

namespace loomwright::cli {
namespace {

/// Bytes of the colour (ESC [ ... m) or of the wiping of a line (ESC [ K) that starts here, or 0.
std::size_t colour_length(std::string_view text, std::size_t at) {
    if (!text.substr(at).starts_with("\x1b[")) {
        return 0;
    }
    const std::size_t end = text.find_first_of("mK", at);
    return end == std::string_view::npos ? 0 : end + 1 - at;
}

/// A character with the marks on it, or a colour: what is never parted.
struct Piece {
    std::size_t bytes = 1;
    int columns = 1;
};

Piece piece_at(std::string_view text, std::size_t at, int column) {
    if (const std::size_t colour = colour_length(text, at); colour > 0) {
        return {colour, 0};
    }
    constexpr int tab = 8;
    if (text[at] == '\r') {
        return {1, 0};
    }
    if (text[at] == '\t') {
        return {1, tab - column % tab};
    }
    const std::size_t bytes = code_point_at(text, at).bytes;
    return {bytes, display_width(text.substr(at, bytes))};
}

/// Where the text of a broken line goes on: under the second column of "name    what", else two
/// columns after the line's own indent.
int hanging_indent(std::string_view line, int width) {
    const std::size_t first = line.find_first_not_of(' ');
    const std::size_t gap = line.find("  ", std::min(first, line.size()));
    if (gap != std::string_view::npos) {
        const std::size_t second = line.find_first_not_of(' ', gap);
        if (second != std::string_view::npos && line_width(line.substr(0, second)) <= width / 2) {
            return line_width(line.substr(0, second));
        }
    }
    const int own = first == std::string_view::npos ? 0 : static_cast<int>(first);
    return std::min(own + 2, width / 2);
}

/// Bytes of `line` that fit into `room` columns, up to a blank where there is one. Blanks at the
/// start are no place to break.
std::size_t fitting_bytes(std::string_view line, int room) {
    int used = 0;
    std::size_t at = 0;
    std::size_t last_blank = 0;
    bool has_word = false;
    while (at < line.size()) {
        const Piece piece = piece_at(line, at, used);
        if (used + piece.columns > room) {
            const bool ends_word = line[at] == ' ' && has_word;
            return ends_word ? at : last_blank > 0 ? last_blank : std::max(at, piece.bytes);
        }
        if (line[at] == ' ' && has_word) {
            last_blank = at;
        }
        has_word = has_word || line[at] != ' ';
        used += piece.columns;
        at += piece.bytes;
    }
    return line.size();
}

void add_folded(std::string& out, std::string_view line, int width) {
    if (line_width(line) <= width) {
        out += line;
        return;
    }
    const int indent = hanging_indent(line, width);
    int room = width;
    while (true) {
        const std::size_t taken = fitting_bytes(line, room);
        const std::string_view part = line.substr(0, taken);
        out += part.substr(0, part.find_last_not_of(' ') + 1);
        line.remove_prefix(taken);
        line.remove_prefix(std::min(line.find_first_not_of(' '), line.size()));
        if (line.empty()) {
            return;
        }
        out += '\n';
        out.append(static_cast<std::size_t>(indent), ' ');
        room = std::max(width - indent, 1);
    }
}

/// Where the file's text begins in "  22 |   1.2: {...}"; nothing in another line.
std::optional<std::size_t> excerpt_start(std::string_view line) {
    const std::size_t number = line.find_first_not_of(' ');
    const std::size_t after = line.find_first_not_of("0123456789", number);
    const bool has_number = number != std::string_view::npos && after != number;
    return has_number && after != std::string_view::npos && line.substr(after).starts_with(" | ")
               ? std::optional(after + 3)
               : std::nullopt;
}

/// True for the line of carets under an excerpt whose text begins at `start`.
bool is_caret_line(std::string_view line, std::size_t start) {
    return line.size() > start && line.substr(0, start).find('|') == start - 2 &&
           line.find_first_not_of(" \t^", start) == std::string_view::npos &&
           line.find('^', start) != std::string_view::npos;
}

/// `text` from column `from` on, at most `room` columns of it.
std::string columns_of(std::string_view text, int from, int room) {
    std::string out;
    int column = 0;
    for (std::size_t at = 0; at < text.size();) {
        const Piece piece = piece_at(text, at, column);
        if (column >= from && column + piece.columns <= from + room) {
            out += text[at] == '\t' ? std::string(static_cast<std::size_t>(piece.columns), ' ')
                                    : std::string(text.substr(at, piece.bytes));
        }
        column += piece.columns;
        at += piece.bytes;
    }
    return out;
}

/// The part of a line of the file round its caret, both cut alike.
void add_excerpt(std::string& out, std::string_view line, std::string_view carets,
                 std::size_t start, int width) {
    const std::string_view text = line.substr(start);
    const std::string_view marks = carets.substr(start);
    const int room = std::max(width - static_cast<int>(start), 1);
    const int first = line_width(marks.substr(0, marks.find('^')));
    const int end = std::min(line_width(marks), line_width(text));
    // All of what is pointed at where it fits, with some of what stands before it.
    const int from = end <= room ? 0 : std::max(0, std::min(first, end - room + 4));
    const auto add = [&](std::string_view head, std::string_view whole) {
        const std::string part = columns_of(whole, from, room);
        out += head;
        out += part.substr(0, part.find_last_not_of(' ') + 1);
    };
    add(line.substr(0, start), text);
    out += '\n';
    add(carets.substr(0, start), marks);
}

} // namespace

int line_width(std::string_view line) {
    int width = 0;
    for (std::size_t at = 0; at < line.size();) {
        const Piece piece = piece_at(line, at, width);
        width += piece.columns;
        at += piece.bytes;
    }
    return width;
}

std::string folded(std::string_view text, int width) {
    std::string out;
    out.reserve(text.size());
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        const std::string_view next = text.substr(0, text.find('\n'));
        const auto start = excerpt_start(line);
        if (start && is_caret_line(next, *start) &&
            std::max(line_width(line), line_width(next)) > width) {
            add_excerpt(out, line, next, *start, width);
            out += '\n';
            text.remove_prefix(std::min(next.size() + 1, text.size()));
            continue;
        }
        add_folded(out, line, width);
        if (end != std::string_view::npos) {
            out += '\n';
        }
    }
    return out;
}

} // namespace loomwright::cli
