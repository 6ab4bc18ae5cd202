// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/sheet_layout.hpp"

#include "draw/paper_sheet.hpp"
#include "draw/symbols.hpp"
#include "sheets/cautions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <numeric>
#include <optional>
#include <utility>

namespace loomwright::draw {
namespace {

constexpr double inset = 3.0;         // frame to content
constexpr double block_height = 13.0; // title block along the bottom
constexpr double band_gap = 4.0;      // between bands

struct PaperSize {
    double width;
    double height;
};
// ISO 216, lying.
constexpr std::array papers = {PaperSize{420, 297}, PaperSize{594, 420}, PaperSize{841, 594},
                               PaperSize{1189, 841}};

Spot room_on(const PaperSize& paper) {
    return {paper.width - 2.0 * (page_margin + inset),
            paper.height - 2.0 * (page_margin + inset) - block_height};
}

// A band a little too large for its sheet is drawn smaller; letters of 2.2 mm are then 1.8 mm high.
constexpr double least_scale = 0.8;

double scale_on(Spot room, Spot size) {
    return std::min({1.0, room.x / size.x, room.y / size.y});
}

/// The paper that a band asks for: ordinary paper for most, a larger one for a large band, and a
/// sheet cut to it beyond the largest.
PaperSize paper_for(Spot size) {
    for (const PaperSize& paper : papers) {
        if (scale_on(room_on(paper), size) >= least_scale) {
            return paper;
        }
    }
    const double extra = 2.0 * (page_margin + inset);
    return {std::max(papers.back().width, size.x + extra),
            std::max(papers.back().height, size.y + extra + block_height)};
}

struct Placed {
    std::size_t band = 0;
    std::size_t sheet = 0;
    Spot at;
    double scale = 1.0;
};

/// The lower edge of what stands on a sheet so far, from left to right.
class Skyline {
public:
    Skyline(Spot room, double top) : room_(room), steps_{{0.0, top}} {}

    /// The highest place, then the leftmost, for a rectangle; nothing when there is none.
    [[nodiscard]] std::optional<Spot> find(Spot size) const {
        std::optional<Spot> best;
        for (const Spot& step : steps_) {
            if (step.x + size.x > room_.x + slack) {
                continue;
            }
            const double y = lowest(step.x, step.x + size.x);
            if (y + size.y <= room_.y + slack && (!best || y < best->y)) {
                best = Spot{step.x, y};
            }
        }
        return best;
    }

    void take(Spot at, Spot size) {
        const double end = at.x + size.x + band_gap;
        const double after = height_at(end);
        std::erase_if(steps_, [&](const Spot& step) { return step.x >= at.x && step.x <= end; });
        steps_.push_back({at.x, at.y + size.y + band_gap});
        if (end < room_.x) {
            steps_.push_back({end, after});
        }
        std::ranges::sort(steps_, {}, &Spot::x);
    }

private:
    static constexpr double slack = 1e-6;

    [[nodiscard]] double height_at(double x) const {
        double y = 0.0;
        for (const Spot& step : steps_) {
            y = step.x <= x ? step.y : y;
        }
        return y;
    }
    [[nodiscard]] double lowest(double from, double to) const {
        double y = height_at(from);
        for (const Spot& step : steps_) {
            y = step.x > from && step.x < to ? std::max(y, step.y) : y;
        }
        return y;
    }

    Spot room_;
    std::vector<Spot> steps_; // x: where a step begins; y: how far down it is taken
};

struct Placement {
    std::vector<Placed> bands;
    std::vector<PaperSize> sheets;
};

/// Fills sheets of one paper, one after the other: each takes, in order, every band that still has
/// room on it. `top` is what the first of them has in use already.
void fill_sheets(Placement& out, const std::vector<Band>& bands, std::vector<std::size_t> waiting,
                 const PaperSize& paper, double top) {
    const Spot room = room_on(paper);
    do {
        Skyline skyline(room, std::exchange(top, 0.0));
        std::vector<std::size_t> next;
        for (const std::size_t band : waiting) {
            const Spot full = band_size(bands[band]);
            const double scale = scale_on(room, full);
            const Spot size{full.x * scale, full.y * scale};
            if (const auto at = skyline.find(size)) {
                skyline.take(*at, size);
                out.bands.push_back({band, out.sheets.size(), *at, scale});
            } else {
                next.push_back(band);
            }
        }
        out.sheets.push_back(paper);
        waiting = std::move(next);
    } while (!waiting.empty());
}

/// Ordinary paper first; bands too large for it follow together on a larger one.
Placement place(const std::vector<Band>& bands, double first_top) {
    const PaperSize ordinary = papers.front();
    Placement out;
    std::vector<std::size_t> small;
    std::vector<std::size_t> large;
    Spot most{0.0, 0.0};
    for (std::size_t i = 0; i < bands.size(); ++i) {
        const Spot size = band_size(bands[i]);
        const bool fits = scale_on(room_on(ordinary), size) >= least_scale;
        (fits ? small : large).push_back(i);
        most = fits ? most : Spot{std::max(most.x, size.x), std::max(most.y, size.y)};
    }
    fill_sheets(out, bands, std::move(small), ordinary, first_top);
    if (!large.empty()) {
        fill_sheets(out, bands, std::move(large), paper_for(most), 0.0);
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
    "A box shows those of its terminals that its frame reaches. Symbols after IEC 60617.",
};

double whole(std::size_t count) {
    return static_cast<double>(count);
}

constexpr double front_text = 2.6;
constexpr double front_line = 3.9;

/// A heading with lines under it; the height of the last line.
template <typename Lines>
double draw_lines(Drawing& out, Spot at, const char* heading, const Lines& lines, double room) {
    out.text(at, heading, 3.6, Anchor::start, true);
    for (const auto& line : lines) {
        at.y += front_line;
        out.text(at, line, front_text, Anchor::start, false, room);
    }
    return at.y;
}

double draw_legend(Drawing& out, Spot corner) {
    const std::size_t rows = (legend.size() + legend_columns - 1) / legend_columns;
    for (std::size_t i = 0; i < legend.size(); ++i) {
        const Spot at =
            corner + Spot{legend_column * whole(i / rows) + 7.0, legend_row * whole(i % rows)};
        const bool is_ground = legend[i].symbol == Symbol::ground;
        draw_symbol(out, legend[i].symbol, is_ground ? at + Spot{0.0, -1.5} : at);
        out.text(at + Spot{7.0, 0.9}, legend[i].text, front_text, Anchor::start, false,
                 legend_column - 15.0);
    }
    return corner.y + legend_row * static_cast<double>(rows);
}

/// How high the front is: cautions and how to read at the left, symbols at the right, the sheet of
/// each group under them.
struct Front {
    double width = 0.0;
    std::vector<std::string> caution_lines;
    std::size_t index_columns = 1;
    std::size_t index_rows = 0;
    double text_room = 0.0;
    double index_top = 0.0;
    double height = 0.0;
};

constexpr double index_column = 30.0;

Front measure_front(double width, std::size_t groups) {
    Front front;
    front.width = width;
    front.text_room = width - legend_column * static_cast<double>(legend_columns) - 12.0;
    for (const std::string_view caution : cautions()) {
        for (std::string& part : fit_text(caution, front.text_room, front_text, 3)) {
            front.caution_lines.push_back(std::move(part));
        }
    }
    const auto lines = static_cast<double>(front.caution_lines.size() + reading.size() + 2);
    const std::size_t rows = (legend.size() + legend_columns - 1) / legend_columns;
    front.index_top =
        std::max(8.0 + front_line * lines, 7.0 + legend_row * static_cast<double>(rows)) + 5.0;
    front.index_columns =
        std::max(std::size_t{1}, static_cast<std::size_t>((width - 8.0) / index_column));
    // As many as the first sheet has room for; a vehicle with more says how many are not listed.
    const double room = room_on(papers.front()).y - front.index_top - 2.0 * front_line;
    front.index_rows = std::min((groups + front.index_columns - 1) / front.index_columns,
                                static_cast<std::size_t>(room / front_line));
    front.height = front.index_top + front_line * static_cast<double>(front.index_rows + 1) + 3.0;
    return front;
}

void draw_front(Drawing& out, Spot corner, const Front& front,
                const std::vector<std::string>& index) {
    const double y = draw_lines(out, corner + Spot{4.0, 6.0}, "Before anything is touched",
                                front.caution_lines, front.text_room);
    draw_lines(out, {corner.x + 4.0, y + 2.0 * front_line}, "How to read", reading,
               front.text_room);
    const double legend_width = legend_column * static_cast<double>(legend_columns);
    draw_legend(out, corner + Spot{front.width - legend_width - 2.0, 7.0});
    const Spot at = corner + Spot{4.0, front.index_top};
    out.text(at, "Frames", 3.6, Anchor::start, true);
    const std::size_t listed = std::min(index.size(), front.index_rows * front.index_columns);
    for (std::size_t i = 0; i < listed; ++i) {
        const Spot entry = at + Spot{index_column * whole(i / front.index_rows),
                                     front_line * whole(i % front.index_rows + 1)};
        const bool is_cut = i + 1 == listed && listed < index.size();
        out.text(entry, is_cut ? fmt::format("and {} more", index.size() - i) : index[i],
                 front_text, Anchor::start, false, index_column - 2.0);
    }
    out.box(corner, front.width, front.height, 0.5);
}

void draw_title_block(Drawing& out, const TitleBlock& block, std::size_t sheet, std::size_t count) {
    const double left = page_margin;
    const double right = out.width - page_margin;
    const double top = out.height - page_margin - block_height;
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
            out.line({x, top}, {x, out.height - page_margin}, 0.25);
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
    sheet.box({page_margin, page_margin}, paper.width - 2.0 * page_margin,
              paper.height - 2.0 * page_margin, 0.5);
    return sheet;
}

} // namespace

std::vector<Drawing> sheets_of(const BandInput& input, const std::vector<Band>& bands,
                               const TitleBlock& block) {
    const Spot content{page_margin + inset, page_margin + inset};
    const Front front = measure_front(room_on(papers.front()).x, bands.size());
    const auto [places, papers_used] = place(bands, front.height + band_gap);
    std::vector<Drawing> sheets;
    sheets.reserve(papers_used.size());
    for (const PaperSize& paper : papers_used) {
        sheets.push_back(empty_sheet(paper));
    }
    std::map<int, std::size_t> sheet_of_group;
    for (const Placed& placed : places) {
        sheet_of_group.emplace(bands[placed.band].group, placed.sheet);
    }
    const PlaceOfGroup place_of = [&](int group) {
        const auto found = sheet_of_group.find(group);
        const std::string name = group_name(input, group);
        return found == sheet_of_group.end() ? name
                                             : fmt::format("{}, sheet {}", name, found->second + 1);
    };
    for (const Placed& placed : places) {
        const Drawing drawn = draw_band(input, bands[placed.band], place_of);
        sheets[placed.sheet].add(drawn.shapes, content + placed.at, placed.scale);
    }
    std::vector<std::string> index;
    index.reserve(bands.size());
    for (const Band& band : bands) {
        index.push_back(place_of(band.group));
    }
    draw_front(sheets.front(), content, front, index);
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        draw_title_block(sheets[i], block, i, sheets.size());
    }
    return sheets;
}

} // namespace loomwright::draw
