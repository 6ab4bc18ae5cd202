// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A sheet as text of a given width: columns that may wrap give way; what is still too wide is told
// in several tables one below the other, each with the first column.
#include "sheets/sheet.hpp"

#include "sheets/characters.hpp"

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <utility>

namespace loomwright {
namespace {

constexpr int gap = 2;            // columns between two columns
constexpr int least_wrapped = 14; // a wrapped column never gets narrower

/// Some columns of a sheet, side by side, with the width of each.
struct Band {
    std::vector<std::size_t> columns;
    std::vector<int> widths;
};

std::string padded(const std::string& text, int width, Alignment alignment) {
    const std::string fill(static_cast<std::size_t>(std::max(0, width - display_width(text))), ' ');
    return alignment == Alignment::right ? fill + text : text + fill;
}

void add_line(std::string& out, const std::string& line) {
    out.append(line, 0, line.find_last_not_of(' ') + 1);
    out += '\n';
}

/// Widest heading or cell of each column.
std::vector<int> widest_cells(const Sheet& sheet) {
    std::vector<int> widths;
    for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
        int widest = display_width(column_heading(sheet.columns[c]));
        for (const auto& row : sheet.rows) {
            widest = std::max(widest, display_width(cell_text(sheet.columns[c], row[c])));
        }
        widths.push_back(widest);
    }
    return widths;
}

int total_width(const std::vector<int>& widths) {
    const int gaps = gap * std::max(0, static_cast<int>(widths.size()) - 1);
    return std::accumulate(widths.begin(), widths.end(), gaps);
}

/// Columns that may wrap give way until all fit; false when they cannot.
bool give_way(const Sheet& sheet, std::vector<int>& widths, int width) {
    int total = total_width(widths);
    while (total > width) {
        std::size_t most = sheet.columns.size();
        for (std::size_t c = 0; c < widths.size(); ++c) {
            if (sheet.columns[c].may_wrap && widths[c] > least_wrapped &&
                (most == sheet.columns.size() || widths[c] > widths[most])) {
                most = c;
            }
        }
        if (most == sheet.columns.size()) {
            return false;
        }
        --widths[most];
        --total;
    }
    return true;
}

/// As many columns as fit beside the first, then the first again with the next of them. The first
/// takes a half of the width at most, and any other what is beside it.
std::vector<Band> split(const std::vector<int>& widest, int width) {
    const int first = std::min(widest.front(), (width - gap) / 2);
    const int room = std::max(width - first - gap, 1);
    std::vector<Band> bands;
    int used = room + 1;
    for (std::size_t c = 1; c < widest.size(); ++c) {
        const int own = std::min(widest[c], room);
        if (used + gap + own > room) {
            bands.push_back({{0}, {first}});
            used = -gap;
        }
        used += gap + own;
        bands.back().columns.push_back(c);
        bands.back().widths.push_back(own);
    }
    return bands;
}

std::vector<Band> bands_of(const Sheet& sheet, TextWidth width) {
    const std::vector<int> widest = widest_cells(sheet);
    std::vector<int> widths = widest;
    const bool fits = give_way(sheet, widths, width.columns);
    if (!fits && width.is_edge && widest.size() > 1) {
        return split(widest, width.columns);
    }
    Band all;
    all.columns.resize(widths.size());
    std::iota(all.columns.begin(), all.columns.end(), std::size_t{0});
    all.widths = std::move(widths);
    if (width.is_edge && !fits) {
        all.widths.front() = width.columns; // the only one
    }
    return {all};
}

void add_row(std::string& out, const Sheet& sheet, const Band& band,
             const std::vector<std::string>& texts) {
    std::vector<std::vector<std::string>> lines;
    std::size_t height = 1;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        lines.push_back(display_width(texts[i]) > band.widths[i] ? wrap(texts[i], band.widths[i])
                                                                 : std::vector{texts[i]});
        height = std::max(height, lines.back().size());
    }
    for (std::size_t k = 0; k < height; ++k) {
        std::string line;
        for (std::size_t i = 0; i < texts.size(); ++i) {
            const std::string part = k < lines[i].size() ? lines[i][k] : std::string();
            line += padded(part, band.widths[i], sheet.columns[band.columns[i]].alignment);
            line += i + 1 < texts.size() ? std::string(gap, ' ') : std::string();
        }
        add_line(out, line);
    }
}

void add_band(std::string& out, const Sheet& sheet, const Band& band) {
    std::vector<std::string> texts;
    std::vector<std::string> rule;
    for (std::size_t i = 0; i < band.columns.size(); ++i) {
        texts.push_back(column_heading(sheet.columns[band.columns[i]]));
        rule.emplace_back(static_cast<std::size_t>(band.widths[i]), '-');
    }
    add_row(out, sheet, band, texts);
    add_row(out, sheet, band, rule);
    for (const auto& row : sheet.rows) {
        texts.clear();
        for (const std::size_t column : band.columns) {
            texts.push_back(cell_text(sheet.columns[column], row[column]));
        }
        add_row(out, sheet, band, texts);
    }
}

} // namespace

std::string sheet_text(const Sheet& sheet, TextWidth width) {
    std::string out;
    if (!sheet.title.empty()) {
        add_line(out, plain_text(sheet.title));
    }
    bool is_first = true;
    for (const Band& band : bands_of(sheet, width)) {
        out += is_first ? "" : "\n";
        is_first = false;
        add_band(out, sheet, band);
    }
    for (const std::string& note : sheet.notes) {
        for (const std::string& line :
             wrap(plain_text(note), std::max(width.columns, least_wrapped))) {
            add_line(out, line);
        }
    }
    return out;
}

} // namespace loomwright
