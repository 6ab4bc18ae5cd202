// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/loom_figure.hpp"

#include "draw/label_places.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright::draw {
namespace {

// All in millimetres of paper.
constexpr double edge_mm = 0.25;   ///< of a run that is wide enough to have an inside
constexpr double middle_mm = 0.13; ///< its middle line
constexpr double least_line = 0.35;
constexpr double least_inside = 1.0; ///< a run thinner than this is one line
constexpr double leader_mm = 0.1;
constexpr double point_radius = 0.9;
constexpr double end_radius = 1.3;
constexpr double widest_text = 46.0;
constexpr double beyond = 3.0; ///< the window: where the edges of a run are cut

/// Lines of text that stand together.
struct Block {
    std::vector<std::pair<std::string, bool>> lines; ///< text, bold
};

class FigureMaker {
public:
    FigureMaker(Drawing& out, const StudyInput& study, const LoomPlan& plan, const BoardView& view,
                const FigureTexts& texts)
        : out_(out), study_(study), plan_(plan), view_(view), texts_(texts),
          line_(1.35 * texts.size) {}

    void make() {
        draw_runs();
        draw_marks();
        if (texts_.has_points) {
            gather_points();
            gather_ends();
        }
        if (texts_.has_runs) {
            gather_runs();
        }
        gather_edges();
        draw_blocks();
    }

private:
    [[nodiscard]] double thickness(const PlannedRun& run) const {
        return std::max(least_line, view_.scale * run.diameter);
    }
    [[nodiscard]] static bool has_inside(double thickness) {
        return thickness >= least_inside + 2.0 * edge_mm;
    }

    [[nodiscard]] std::vector<std::vector<Spot>> lines_in(const PlannedRun& run,
                                                          double around) const {
        const Extent& w = view_.window;
        std::vector<std::vector<Spot>> out = clip_line(
            run.line, {w.left - around, w.top - around, w.right + around, w.bottom + around});
        for (std::vector<Spot>& line : out) {
            std::ranges::transform(line, line.begin(),
                                   [&](Spot spot) { return view_.on_paper(spot); });
        }
        return out;
    }

    void draw_lines(const PlannedRun& run, double around, double width, bool is_white) {
        for (std::vector<Spot>& line : lines_in(run, around)) {
            out_.shapes.emplace_back(Stroke{.spots = std::move(line),
                                            .width = width,
                                            .dash = Dash::none,
                                            .is_white = is_white});
        }
    }

    /// All edges, then all insides, so that runs open into one another; then the middle lines.
    void draw_runs() {
        for (const PlannedRun& run : plan_.runs) {
            if (has_inside(thickness(run))) {
                draw_lines(run, beyond / view_.scale, thickness(run), false);
            }
        }
        for (const PlannedRun& run : plan_.runs) {
            if (has_inside(thickness(run))) {
                draw_lines(run, beyond / view_.scale, thickness(run) - 2.0 * edge_mm, true);
            }
        }
        for (const PlannedRun& run : plan_.runs) {
            draw_lines(run, 0.0, has_inside(thickness(run)) ? middle_mm : thickness(run), false);
        }
    }

    void draw_marks() {
        for (const PlannedPoint& point : plan_.points) {
            if (view_.window.holds(point.at)) {
                const bool is_end = point.runs == 1;
                out_.circle(view_.on_paper(point.at), is_end ? end_radius : point_radius,
                            is_end ? edge_mm : 0.0, is_end ? Fill::white : Fill::black);
            }
        }
        for (const PlannedRun& run : plan_.runs) {
            if (!run.twin.empty() && !run.line.empty() && view_.window.holds(run.line.back())) {
                draw_cut(run);
            }
        }
    }

    /// A bar across the end.
    void draw_cut(const PlannedRun& run) {
        const Spot end = run.line.back();
        const Spot before = run.line[run.line.size() - 2];
        const double length = distance(before, end);
        const double half = 0.5 * thickness(run) + 1.5;
        const Spot across{half * (end.y - before.y) / length, half * (before.x - end.x) / length};
        const Spot at = view_.on_paper(end);
        out_.line(at + across, {at.x - across.x, at.y - across.y}, 0.6);
    }

    /// One block for all points that are one on the board.
    void gather_points() {
        std::vector<bool> is_told(plan_.points.size(), false);
        for (std::size_t i = 0; i < plan_.points.size(); ++i) {
            if (is_told[i] || !view_.window.holds(plan_.points[i].at)) {
                continue;
            }
            std::vector<std::string> names;
            std::vector<std::string> things;
            std::vector<std::string> twins;
            for (std::size_t k = i; k < plan_.points.size(); ++k) {
                const PlannedPoint& other = plan_.points[k];
                if (other.at.x == plan_.points[i].at.x && other.at.y == plan_.points[i].at.y) {
                    is_told[k] = true;
                    names.push_back(study_.vehicle.point(other.point).name);
                    things.insert(things.end(), other.things.begin(), other.things.end());
                    twins.insert(twins.end(), other.twins.begin(), other.twins.end());
                }
            }
            Block block;
            add(block, fmt::format("{}", fmt::join(names, " = ")), true, 2);
            add(block, fmt::format("{}", fmt::join(things, ", ")), false, texts_.most_lines);
            if (!twins.empty()) {
                add(block, fmt::format("joined by {}", fmt::join(twins, ", ")), true, 2);
            }
            const Spot at = view_.on_paper(plan_.points[i].at);
            place(block, {at, at}, 0.5);
        }
    }

    void gather_ends() {
        for (const PlannedRun& run : plan_.runs) {
            if (!run.twin.empty() && !run.line.empty() && view_.window.holds(run.line.back())) {
                Block block;
                const Run& it = study_.vehicle.run(run.run);
                add(block, fmt::format("{}: to {}", run.twin, study_.vehicle.point(it.to).name),
                    true, 2);
                const Spot at = view_.on_paper(run.line.back());
                place(block, {at, at}, 0.5);
            }
        }
    }

    void gather_runs() {
        for (const PlannedRun& run : plan_.runs) {
            Block block;
            add(block, fmt::format("{} {:.0f} mm", study_.vehicle.run(run.run).name, run.length),
                false, 2);
            add(block,
                fmt::format("{:.1f} mm thick, {} {}{}{}", run.diameter, run.wires,
                            run.wires == 1 ? "wire" : "wires", run.cover.empty() ? "" : ", ",
                            run.cover),
                false, 2);
            for (std::vector<Spot>& line : lines_in(run, 0.0)) {
                place(block, std::move(line), 0.5);
            }
        }
    }

    void add(Block& block, const std::string& text, bool is_bold, std::size_t lines) const {
        for (std::string& line : fit_text(text, widest_text, texts_.size, lines, is_bold)) {
            block.lines.emplace_back(std::move(line), is_bold);
        }
    }

    void place(const Block& block, std::vector<Spot> line, double wanted) {
        double width = 0.0;
        for (const auto& [text, is_bold] : block.lines) {
            width = std::max(width, text_width(text, texts_.size, is_bold));
        }
        labels_.push_back({.line = std::move(line),
                           .width = width,
                           .height = line_ * static_cast<double>(block.lines.size()),
                           .wanted = wanted});
        blocks_.push_back(block);
    }

    /// Marks of points and edges of thick runs: no text of their own, and none upon them.
    void gather_edges() {
        for (const PlannedPoint& point : plan_.points) {
            if (view_.window.holds(point.at)) {
                add_mark(view_.on_paper(point.at));
            }
        }
        for (const PlannedRun& run : plan_.runs) {
            const double half = 0.5 * thickness(run);
            if (!has_inside(thickness(run))) {
                continue;
            }
            for (const std::vector<Spot>& line : lines_in(run, 0.0)) {
                for (std::size_t i = 1; i < line.size(); ++i) {
                    add_edges(line[i - 1], line[i], half);
                }
            }
            for (std::size_t i = 0; i < run.line.size(); ++i) {
                if (view_.window.holds(run.line[i])) {
                    add_round(run.line, i, half);
                }
            }
        }
    }

    /// The round end of a thick run, or what is round outside at one of its bends.
    void add_round(const std::vector<Spot>& line, std::size_t i, double half) {
        constexpr double apart = 1.0; // mm between the spots that stand for it
        constexpr double full = 6.283185307179586;
        const Spot at = view_.on_paper(line[i]);
        const int spots = static_cast<int>(std::ceil(full * half / apart));
        for (int k = 0; k < spots; ++k) {
            const double angle = full * k / spots;
            const Spot by{half * std::cos(angle), half * std::sin(angle)};
            const auto is_beyond = [&](const Spot& other) { // seen from where the line goes on
                return by.x * (other.x - line[i].x) + by.y * (other.y - line[i].y) <= 0.0;
            };
            if ((i == 0 || is_beyond(line[i - 1])) &&
                (i + 1 == line.size() || is_beyond(line[i + 1]))) {
                labels_.push_back({.line = {at + by}});
            }
        }
    }

    void add_mark(Spot at) {
        constexpr double r = end_radius;
        labels_.push_back({.line = {at + Spot{-r, -r}, at + Spot{r, -r}, at + Spot{r, r},
                                    at + Spot{-r, r}, at + Spot{-r, -r}}});
    }

    void add_edges(Spot a, Spot b, double half) {
        const double length = distance(a, b);
        if (length <= 0.0) {
            return;
        }
        const Spot across{half * (a.y - b.y) / length, half * (b.x - a.x) / length};
        for (const double side : {1.0, -1.0}) {
            const Spot by{side * across.x, side * across.y};
            labels_.push_back({.line = {a + by, b + by}});
        }
    }

    void draw_blocks() {
        const Extent paper = view_.on_paper();
        const double room = texts_.room;
        const Field field{paper.left - room, paper.top - room, paper.width() + 2.0 * room,
                          paper.height() + 2.0 * room};
        const auto places = place_at_lines(labels_, field);
        for (std::size_t i = 0; i < blocks_.size(); ++i) {
            if (places[i]) { // where there is no room but upon a run, it is read all the same
                out_.box(places[i]->corner, labels_[i].width, labels_[i].height, 0.0, Fill::white);
            }
        }
        for (std::size_t i = 0; i < blocks_.size(); ++i) {
            if (!places[i]) {
                continue;
            }
            out_.line(places[i]->anchor, places[i]->end, leader_mm);
            Spot at = places[i]->corner + Spot{0.0, 0.78 * line_};
            for (const auto& [text, is_bold] : blocks_[i].lines) {
                out_.text(at, text, texts_.size, Anchor::start, is_bold);
                at.y += line_;
            }
        }
    }

    Drawing& out_;
    const StudyInput& study_;
    const LoomPlan& plan_;
    const BoardView& view_;
    FigureTexts texts_;
    double line_; ///< from one line of text to the next
    std::vector<LineLabel> labels_;
    std::vector<Block> blocks_; ///< of the first labels
};

} // namespace

void draw_loom_figure(Drawing& out, const StudyInput& study, const LoomPlan& plan,
                      const BoardView& view, const FigureTexts& texts) {
    FigureMaker(out, study, plan, view, texts).make();
}

} // namespace loomwright::draw
