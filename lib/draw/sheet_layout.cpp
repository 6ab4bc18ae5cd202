// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/sheet_layout.hpp"

#include "draw/symbols.hpp"
#include "sheets/cautions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace loomwright::draw {
namespace {

constexpr double margin = 10.0;       // paper's edge to frame
constexpr double inset = 3.0;         // frame to content
constexpr double block_height = 13.0; // title block along the bottom
constexpr double gap = 4.0;           // between bands

struct PaperSize {
    double width;
    double height;
};
// ISO 216, lying.
constexpr std::array papers = {PaperSize{420, 297}, PaperSize{594, 420}, PaperSize{841, 594},
                               PaperSize{1189, 841}};

Spot room_on(const PaperSize& paper) {
    return {paper.width - 2.0 * (margin + inset),
            paper.height - 2.0 * (margin + inset) - block_height};
}

/// The smallest paper that holds every band; a band beyond the largest gets a sheet cut to it.
PaperSize paper_for(const std::vector<Band>& bands) {
    Spot most{0.0, 0.0};
    for (const Band& band : bands) {
        const Spot size = band_size(band);
        most = {std::max(most.x, size.x), std::max(most.y, size.y)};
    }
    for (const PaperSize& paper : papers) {
        const Spot room = room_on(paper);
        if (most.x <= room.x && most.y <= room.y) {
            return paper;
        }
    }
    const double extra = 2.0 * (margin + inset);
    return {std::max(papers.back().width, most.x + extra),
            std::max(papers.back().height, most.y + extra + block_height)};
}

struct Placed {
    std::size_t band = 0;
    std::size_t sheet = 0;
    Spot at;
};

/// Rows of bands from the top left, in order; a band that does not fit beside the last begins a new
/// row, one that does not fit under it a new sheet.
std::vector<Placed> place(const std::vector<Band>& bands, const PaperSize& paper,
                          double first_top) {
    const Spot room = room_on(paper);
    std::vector<Placed> out;
    std::size_t sheet = 0;
    double x = 0.0;
    double top = first_top;
    double row = 0.0;
    for (std::size_t i = 0; i < bands.size(); ++i) {
        const Spot size = band_size(bands[i]);
        if (x > 0.0 && (x + size.x > room.x || top + size.y > room.y)) {
            x = 0.0;
            top += row + gap;
            row = 0.0;
        }
        if (x == 0.0 && top > 0.0 && top + size.y > room.y) {
            ++sheet;
            top = 0.0;
        }
        out.push_back({i, sheet, {x, top}});
        x += size.x + gap;
        row = std::max(row, size.y);
    }
    return out;
}

struct LegendEntry {
    Symbol symbol;
    const char* text;
};
constexpr std::array legend = {
    LegendEntry{Symbol::fuse, "fuse"},
    LegendEntry{Symbol::breaker, "circuit breaker"},
    LegendEntry{Symbol::fusible_link, "fusible link"},
    LegendEntry{Symbol::make_contact, "contact of a relay"},
    LegendEntry{Symbol::relay_coil, "coil of a relay"},
    LegendEntry{Symbol::switch_contact, "switch"},
    LegendEntry{Symbol::lamp, "lamp"},
    LegendEntry{Symbol::led_lamp, "LED lamp"},
    LegendEntry{Symbol::motor, "motor"},
    LegendEntry{Symbol::heater, "heater"},
    LegendEntry{Symbol::solenoid, "coil, solenoid"},
    LegendEntry{Symbol::electronics, "electronics"},
    LegendEntry{Symbol::resistor, "resistor"},
    LegendEntry{Symbol::diode, "diode"},
    LegendEntry{Symbol::connector, "cavity of a connector"},
    LegendEntry{Symbol::splice, "splice"},
    LegendEntry{Symbol::stud, "stud"},
    LegendEntry{Symbol::ground, "the car's metal"},
};
constexpr std::size_t legend_columns = 3;
constexpr double legend_row = 8.0;
constexpr double legend_column = 46.0;

constexpr std::array<const char*, 6> reading = {
    "Each frame is what stands behind one fuse (or before any); current flows from left to right.",
    "On a wire: its number above; size and colour below (IEC 60757, first the wire's, then the",
    "tracer's). The line is thicker for a thicker wire. A dot joins, a crossing does not.",
    "An arrow names where the wire goes on or comes from; the wire that feeds a fuse is drawn "
    "twice.",
    "Contact and coil of a relay stand apart under one name. A ground is drawn once for each wire.",
    "Symbols after IEC 60617.",
};

/// Cautions at the left, then how to read the sheets, then the symbols.
double draw_front(Drawing& out, Spot corner, double width) {
    constexpr double line = 3.9;
    const double legend_width = legend_column * legend_columns;
    const double text_room = width - legend_width - 12.0;
    double y = corner.y + 6.0;
    out.text({corner.x + 4.0, y}, "Before anything is touched", 3.6, Anchor::start, true);
    for (const std::string_view caution : cautions()) {
        for (const std::string& part : fit_text(caution, text_room, 2.6, 2)) {
            y += line;
            out.text({corner.x + 4.0, y}, part, 2.6, Anchor::start, false, text_room);
        }
    }
    y += 2.0 * line;
    out.text({corner.x + 4.0, y}, "How to read", 3.6, Anchor::start, true);
    for (const char* part : reading) {
        y += line;
        out.text({corner.x + 4.0, y}, part, 2.6, Anchor::start, false, text_room);
    }
    const double left = corner.x + width - legend_width - 2.0;
    const std::size_t rows = (legend.size() + legend_columns - 1) / legend_columns;
    for (std::size_t i = 0; i < legend.size(); ++i) {
        const Spot at{left + legend_column * static_cast<double>(i / rows) + 7.0,
                      corner.y + 7.0 + legend_row * static_cast<double>(i % rows)};
        const bool is_ground = legend[i].symbol == Symbol::ground;
        draw_symbol(out, legend[i].symbol, is_ground ? at + Spot{0.0, -1.5} : at);
        out.text(at + Spot{7.0, 0.9}, legend[i].text, 2.6, Anchor::start, false,
                 legend_column - 15.0);
    }
    const double bottom = std::max(y, corner.y + legend_row * static_cast<double>(rows)) + 4.0;
    out.box(corner, width, bottom - corner.y, 0.5);
    return bottom - corner.y;
}

void draw_title_block(Drawing& out, const TitleBlock& block, std::size_t sheet, std::size_t count) {
    const double left = margin;
    const double right = out.width - margin;
    const double top = out.height - margin - block_height;
    out.line({left, top}, {right, top}, 0.5);
    const double width = right - left;
    struct Field {
        const char* label;
        std::string text;
        double share;
    };
    const std::array fields = {
        Field{"vehicle", block.title.empty() ? "without a title" : block.title, 0.40},
        Field{"drawing", block.subject, 0.30},
        Field{"revision", block.revision.empty() ? "-" : block.revision, 0.18},
        Field{"sheet", fmt::format("{} of {}", sheet + 1, count), 0.12}};
    double x = left;
    for (const Field& field : fields) {
        const double room = width * field.share - 4.0;
        if (x > left) {
            out.line({x, top}, {x, out.height - margin}, 0.25);
        }
        out.text({x + 2.0, top + 3.6}, field.label, 2.2);
        const auto lines = fit_text(field.text, room, 4.0, 1, true);
        out.text({x + 2.0, top + 9.6}, lines.empty() ? "" : lines.front(), 4.0, Anchor::start, true,
                 room);
        x += width * field.share;
    }
}

Drawing empty_sheet(const PaperSize& paper) {
    Drawing sheet{paper.width, paper.height, {}};
    sheet.box({margin, margin}, paper.width - 2.0 * margin, paper.height - 2.0 * margin, 0.5);
    return sheet;
}

} // namespace

std::vector<Drawing> sheets_of(const BandInput& input, const std::vector<Band>& bands,
                               const TitleBlock& block) {
    const PaperSize paper = paper_for(bands);
    const Spot content{margin + inset, margin + inset};
    std::vector<Drawing> sheets = {empty_sheet(paper)};
    const double front = draw_front(sheets.front(), content, room_on(paper).x);
    const std::vector<Placed> places = place(bands, paper, front + gap);
    std::vector<std::pair<int, std::size_t>> sheet_of_group;
    for (const Placed& placed : places) {
        while (sheets.size() <= placed.sheet) {
            sheets.push_back(empty_sheet(paper));
        }
        sheet_of_group.emplace_back(bands[placed.band].group, placed.sheet);
    }
    const PlaceOfGroup place_of = [&](int group) {
        const auto found =
            std::ranges::find(sheet_of_group, group, &std::pair<int, std::size_t>::first);
        const std::string name = group_name(input, group);
        return found == sheet_of_group.end() ? name
                                             : fmt::format("{}, sheet {}", name, found->second + 1);
    };
    for (const Placed& placed : places) {
        const Drawing drawn = draw_band(input, bands[placed.band], place_of);
        sheets[placed.sheet].add(drawn.shapes, content + placed.at);
    }
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        draw_title_block(sheets[i], block, i, sheets.size());
    }
    return sheets;
}

} // namespace loomwright::draw
