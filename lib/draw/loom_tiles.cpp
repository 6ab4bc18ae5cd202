// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/loom_tiles.hpp"

#include "draw/loom_drawing.hpp"
#include "draw/loom_figure.hpp"
#include "draw/loom_plan.hpp"
#include "draw/sheet_letters.hpp"
#include "draw/tile_grid.hpp"
#include "draw/write_sheets.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace draw {
namespace {

// All in millimetres of paper.
constexpr double tile_title_size = 3.4;
constexpr double tile_name_size = 4.6;
constexpr double small_size = 2.2;
constexpr double bar_length = 100.0; ///< what a ruler is laid to
constexpr double bar_y = page_margin + 11.0;
constexpr double cross_arm = 4.0;
constexpr double thin_mm = 0.15;

class TilePageMaker {
public:
    TilePageMaker(const StudyInput& study, const LoomPlan& plan, const PaperSheet& paper)
        : study_(study), plan_(plan), paper_(paper), grid_(tile_grid(plan.layout, paper)) {}

    std::vector<Drawing> make() {
        std::vector<Drawing> out = {overview()};
        for (const Tile tile : grid_.tiles) {
            out.push_back(page(tile));
        }
        return out;
    }

private:
    [[nodiscard]] Drawing blank() const { return {grid_.page_width, grid_.page_height, {}}; }

    /// Title, revision and the page's name, and under them the bar.
    void draw_head(Drawing& page, const std::string& name) const {
        const double right = grid_.page_width - page_margin;
        const double name_width = text_width(name, tile_name_size, true);
        page.text({right - name_width, page_margin + 5.0}, name, tile_name_size, Anchor::start,
                  true);
        const Vehicle& vehicle = study_.vehicle;
        const std::string title =
            fmt::format("{}{}{}", vehicle.title.empty() ? "Loom" : vehicle.title,
                        vehicle.revision.empty() ? "" : ", ", vehicle.revision);
        for (const std::string& line :
             fit_text(title, right - name_width - page_margin - 4.0, tile_title_size, 1, true)) {
            page.text({page_margin, page_margin + 5.0}, line, tile_title_size, Anchor::start, true);
        }
        page.line({page_margin, bar_y}, {page_margin + bar_length, bar_y}, 0.4);
        for (const double x : {page_margin, page_margin + bar_length}) {
            page.line({x, bar_y - 1.5}, {x, bar_y + 1.5}, thin_mm);
        }
        page.text({page_margin + bar_length + 2.5, bar_y + 0.35 * text_size},
                  "100 mm. Print at 100 %, measure the bar.", text_size);
    }

    /// White over all of the page but a window: what reaches over its edge.
    static void cover_outside(Drawing& page, const Extent& window) {
        constexpr double over = 30.0; // the page's edge, with what reaches so far
        const double left = -over;
        const double top = -over;
        const double right = page.width + over;
        const double bottom = page.height + over;
        const auto cover = [&](double x1, double y1, double x2, double y2) {
            page.box({x1, y1}, x2 - x1, y2 - y1, 0.0, Fill::white);
        };
        cover(left, top, right, window.top);
        cover(left, window.bottom, right, bottom);
        cover(left, top, window.left, bottom);
        cover(window.right, top, right, bottom);
    }

    /// A small text over whatever lies there.
    static void draw_over(Drawing& page, Spot middle, const std::string& text) {
        const double width = text_width(text, small_size);
        page.box({middle.x - 0.5 * width - 0.3, middle.y - 0.6 * small_size}, width + 0.6,
                 1.2 * small_size, 0.0, Fill::white);
        page.text({middle.x, middle.y + 0.35 * small_size}, text, small_size, Anchor::middle);
    }

    [[nodiscard]] Drawing page(Tile tile) const {
        Drawing out = blank();
        const BoardView view{grid_.window(tile), {page_margin, page_margin + page_head}, 1.0};
        // Texts keep out of the strips, which have the marks.
        draw_loom_figure(out, study_, plan_, view, {.size = text_size, .room = -tile_overlap});
        const Extent window = view.on_paper();
        cover_outside(out, window);
        out.box({window.left, window.top}, window.width(), window.height(), thin_mm);
        for (const int down : {0, 1}) {
            for (const int across : {0, 1}) {
                draw_mark(out, view, grid_.mark(tile.row + down, tile.column + across),
                          across == 1);
            }
        }
        draw_neighbours(out, window, tile);
        draw_head(out, "Tile " + tile_name(tile));
        return out;
    }

    static void draw_mark(Drawing& page, const BoardView& view, Spot board, bool is_at_right) {
        const Spot at = view.on_paper(board);
        page.line({at.x - cross_arm, at.y}, {at.x + cross_arm, at.y}, thin_mm);
        page.line({at.x, at.y - cross_arm}, {at.x, at.y + cross_arm}, thin_mm);
        const std::string text = fmt::format("{:.0f}, {:.0f}", board.x, board.y);
        const double aside = cross_arm + 1.0 + 0.5 * text_width(text, small_size);
        draw_over(page, {at.x + (is_at_right ? -aside : aside), at.y}, text);
    }

    /// In the middle of each strip, the name of the tile that shares it.
    void draw_neighbours(Drawing& page, const Extent& window, Tile tile) const {
        constexpr double half = 0.5 * tile_overlap;
        const Spot middle{0.5 * (window.left + window.right), 0.5 * (window.top + window.bottom)};
        const auto tell = [&](int down, int across, Spot at) {
            const Tile other{tile.row + down, tile.column + across};
            if (grid_.has(other)) {
                draw_over(page, at, tile_name(other));
            }
        };
        tell(-1, 0, {middle.x, window.top + half});
        tell(1, 0, {middle.x, window.bottom - half});
        tell(0, -1, {window.left + half, middle.y});
        tell(0, 1, {window.right - half, middle.y});
    }

    [[nodiscard]] Extent whole() const {
        Extent out = grid_.window(grid_.tiles.front());
        for (const Tile tile : grid_.tiles) {
            const Extent window = grid_.window(tile);
            out = {std::min(out.left, window.left), std::min(out.top, window.top),
                   std::max(out.right, window.right), std::max(out.bottom, window.bottom)};
        }
        return out;
    }

    [[nodiscard]] std::vector<std::string> how_to() const {
        std::vector<std::string> out = {fmt::format(
            "Full size on {} {} of {}; pages with nothing on them are left out. Pages overlap by "
            "{:.0f} mm: lay each cross on the same cross of the page beside it, the figures beside "
            "a cross are its place on the board in mm.",
            grid_.tiles.size(), grid_.tiles.size() == 1 ? "page" : "pages", paper_.name,
            tile_overlap)};
        for (std::string& note : plan_notes(study_, plan_)) {
            out.push_back(std::move(note));
        }
        return out;
    }

    [[nodiscard]] Drawing overview() const {
        Drawing out = blank();
        draw_head(out, "Tiles");
        const double room = grid_.page_width - 2.0 * page_margin;
        double y = page_margin + page_head;
        const auto add = [&](const std::string& text, std::size_t most) {
            for (const std::string& line : fit_text(text, room, text_size, most)) {
                y += line_height;
                out.text({page_margin, y}, line, text_size);
            }
        };
        for (const std::string& text : how_to()) {
            add(text, 8);
        }
        const Extent board = whole();
        const double top = y + 2.0 * line_height;
        const double scale = fitting_scale({board.width(), board.height()},
                                           {room, grid_.page_height - page_margin - top});
        add(fmt::format("The grid of tiles at {}:", scale_name(scale)), 1);
        const BoardView view{board, {page_margin, top}, scale};
        draw_loom_figure(out, study_, plan_, view,
                         {.size = text_size, .has_points = false, .has_runs = false});
        for (const Tile tile : grid_.tiles) {
            draw_cell(out, view, tile);
        }
        return out;
    }

    void draw_cell(Drawing& page, const BoardView& view, Tile tile) const {
        const Spot corner = view.on_paper(grid_.mark(tile.row, tile.column));
        const double width = view.scale * grid_.pitch.x;
        const double height = view.scale * grid_.pitch.y;
        page.box(corner, width, height, thin_mm);
        const std::string name = tile_name(tile);
        const double size = std::min({3.0, 0.45 * height, 0.8 * width / text_width(name, 1.0)});
        // The name must read where a run lies under it.
        page.box(corner + Spot{0.2, 0.2}, text_width(name, size) + 0.4, size, 0.0, Fill::white);
        page.text(corner + Spot{0.4, 0.9 * size}, name, size);
    }

    const StudyInput& study_;
    const LoomPlan& plan_;
    PaperSheet paper_;
    TileGrid grid_;
};

} // namespace

std::vector<Drawing> loom_tiles(const StudyInput& study, const LoomPlan& plan,
                                const PaperSheet& paper) {
    return TilePageMaker(study, plan, paper).make();
}

} // namespace draw

std::optional<std::string> draw_loom_tiles(const StudyInput& study, const Sizing& sizing,
                                           const draw::PaperSheet& paper,
                                           const draw::BoardSize& board, std::string& why_not) {
    if (draw::laced_runs(study).empty()) {
        why_not = "no new wire lies in any run of the car";
        return std::nullopt;
    }
    const draw::LoomPlan plan = draw::loom_plan(study, sizing, board);
    return draw::write_sheets(draw::loom_tiles(study, plan, paper), DrawingFormat::pdf,
                              "Loom at full size", why_not);
}

} // namespace loomwright
