// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/layered_layout.hpp"

#include "draw/channel.hpp"
#include "draw/drawing_library.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace loomwright::draw {
namespace {

constexpr double through_height = 4.0; // room of a line that passes a column
// Beyond this the search for few crossings takes longer than anyone waits; boxes are then stacked.
constexpr std::size_t most_boxes = 1500;

/// Column of each box: the longest way from a box that nothing leads to.
std::vector<int> columns_of(std::size_t count, const std::vector<LayoutEdge>& edges) {
    std::vector<int> column(count, 0);
    std::vector<int> open_in(count, 0);
    std::vector<std::vector<int>> next(count);
    for (const LayoutEdge& edge : edges) {
        ++open_in[static_cast<std::size_t>(edge.to)];
        next[static_cast<std::size_t>(edge.from)].push_back(edge.to);
    }
    std::vector<int> ready;
    for (std::size_t i = count; i-- > 0;) {
        if (open_in[i] == 0) {
            ready.push_back(static_cast<int>(i));
        }
    }
    while (!ready.empty()) {
        const auto box = static_cast<std::size_t>(ready.back());
        ready.pop_back();
        for (const int to : next[box]) {
            const auto target = static_cast<std::size_t>(to);
            column[target] = std::max(column[target], column[box] + 1);
            if (--open_in[target] == 0) {
                ready.push_back(to);
            }
        }
    }
    return column;
}

/// The graph with a small box wherever a line passes a column, so that every edge goes one on.
struct Layered {
    std::vector<LayoutBox> boxes; ///< the real ones, then those of passing lines
    std::vector<LayoutEdge> edges;
    std::vector<int> column;
    int columns = 0;
};

Layered make_layered(const std::vector<LayoutBox>& boxes, const std::vector<LayoutEdge>& edges) {
    Layered out;
    out.boxes = boxes;
    out.column = columns_of(boxes.size(), edges);
    for (const LayoutEdge& edge : edges) {
        const int last = out.column[static_cast<std::size_t>(edge.to)];
        LayoutEdge piece = edge;
        for (int c = out.column[static_cast<std::size_t>(edge.from)] + 1; c < last; ++c) {
            out.boxes.push_back(
                {0.0, through_height, {through_height / 2.0}, {through_height / 2.0}});
            out.column.push_back(c);
            piece.to = static_cast<int>(out.boxes.size()) - 1;
            piece.to_pin = 0;
            out.edges.push_back(piece);
            piece.from = piece.to;
            piece.from_pin = 0;
        }
        piece.to = edge.to;
        piece.to_pin = edge.to_pin;
        out.edges.push_back(piece);
    }
    for (const int column : out.column) {
        out.columns = std::max(out.columns, column + 1);
    }
    return out;
}

/// Boxes of each column from the top down, pushed apart where they would touch.
void settle_columns(const Layered& graph, std::vector<double>& middle) {
    for (int c = 0; c < graph.columns; ++c) {
        std::vector<std::size_t> column;
        for (std::size_t i = 0; i < graph.boxes.size(); ++i) {
            if (graph.column[i] == c) {
                column.push_back(i);
            }
        }
        std::ranges::stable_sort(column, {}, [&](std::size_t i) { return middle[i]; });
        double free_from = -1e9;
        for (const std::size_t i : column) {
            const double half = graph.boxes[i].height / 2.0;
            middle[i] = std::max(middle[i], free_from + half);
            free_from = middle[i] + half + (graph.boxes[i].width > 0.0 ? row_gap : 0.0);
        }
    }
}

void start_at_top(const Layered& graph, std::vector<double>& middle) {
    double top = 1e9;
    for (std::size_t i = 0; i < graph.boxes.size(); ++i) {
        top = std::min(top, middle[i] - graph.boxes[i].height / 2.0);
    }
    for (double& y : middle) {
        y -= top;
    }
}

/// Takes small steps out of lines: a box moves up or down to stand level with the pin that it is
/// joined to, where the boxes over and under it leave room. What is level already stays.
class Straightener {
public:
    Straightener(const Layered& graph, std::vector<double>& middle)
        : graph_(graph), middle_(middle), edges_at_(graph.boxes.size()),
          over_(graph.boxes.size(), -1), under_(graph.boxes.size(), -1) {
        for (std::size_t i = 0; i < graph.edges.size(); ++i) {
            edges_at_[static_cast<std::size_t>(graph.edges[i].from)].push_back(i);
            edges_at_[static_cast<std::size_t>(graph.edges[i].to)].push_back(i);
        }
        for (int c = 0; c < graph.columns; ++c) {
            columns_.push_back(column_of(c));
        }
    }

    void run() {
        for (int round = 0; round < 4; ++round) {
            for (std::size_t c = 1; c < columns_.size(); ++c) {
                level_column(c, true);
            }
            for (std::size_t c = columns_.size(); c-- > 0;) {
                level_column(c, false);
            }
        }
    }

private:
    [[nodiscard]] std::vector<std::size_t> column_of(int c) {
        std::vector<std::size_t> column;
        for (std::size_t i = 0; i < graph_.boxes.size(); ++i) {
            if (graph_.column[i] == c) {
                column.push_back(i);
            }
        }
        std::ranges::stable_sort(column, {}, [&](std::size_t i) { return middle_[i]; });
        for (std::size_t k = 0; k + 1 < column.size(); ++k) {
            under_[column[k]] = static_cast<int>(column[k + 1]);
            over_[column[k + 1]] = static_cast<int>(column[k]);
        }
        return column;
    }

    /// How far the box must go down for this edge to be level.
    [[nodiscard]] double step_of(const LayoutEdge& edge, std::size_t box) const {
        const auto pin = [this](int at, const std::vector<double>& pins, int number) {
            const auto i = static_cast<std::size_t>(at);
            return middle_[i] - graph_.boxes[i].height / 2.0 +
                   pins[static_cast<std::size_t>(number)];
        };
        const double start =
            pin(edge.from, graph_.boxes[static_cast<std::size_t>(edge.from)].right, edge.from_pin);
        const double end =
            pin(edge.to, graph_.boxes[static_cast<std::size_t>(edge.to)].left, edge.to_pin);
        return static_cast<std::size_t>(edge.to) == box ? start - end : end - start;
    }

    [[nodiscard]] double gap_between(std::size_t a, std::size_t b) const {
        const double wanted =
            graph_.boxes[a].width > 0.0 && graph_.boxes[b].width > 0.0 ? row_gap : 0.0;
        return (middle_[b] - graph_.boxes[b].height / 2.0) -
               (middle_[a] + graph_.boxes[a].height / 2.0) - wanted;
    }

    [[nodiscard]] bool has_room(std::size_t box, double step) const {
        const int next = step > 0.0 ? under_[box] : over_[box];
        if (next < 0) {
            return true;
        }
        const auto other = static_cast<std::size_t>(next);
        const double room = step > 0.0 ? gap_between(box, other) : gap_between(other, box);
        return room + 1e-9 >= std::abs(step);
    }

    /// True when nothing that is level now would be bent by moving the box.
    [[nodiscard]] bool keeps_level(std::size_t box) const {
        return std::ranges::none_of(edges_at_[box], [&](std::size_t i) {
            return std::abs(step_of(graph_.edges[i], box)) < 1e-6;
        });
    }

    void level_column(std::size_t c, bool to_left) {
        for (const std::size_t box : columns_[c]) {
            if (!keeps_level(box)) {
                continue;
            }
            for (const std::size_t i : edges_at_[box]) {
                const LayoutEdge& edge = graph_.edges[i];
                const bool is_left = static_cast<std::size_t>(edge.to) == box;
                if (is_left != to_left) {
                    continue;
                }
                const double step = step_of(edge, box);
                if (std::abs(step) <= furthest && has_room(box, step)) {
                    middle_[box] += step;
                    break;
                }
            }
        }
    }

    static constexpr double furthest = 12.0;

    const Layered& graph_;
    std::vector<double>& middle_;
    std::vector<std::vector<std::size_t>> edges_at_; // by box
    std::vector<int> over_;                          // by box: its neighbour in the column
    std::vector<int> under_;
    std::vector<std::vector<std::size_t>> columns_;
};

class BoxPlacer {
public:
    BoxPlacer(const Layered& graph, std::vector<double> middle)
        : graph_(graph), middle_(std::move(middle)) {}

    LayeredLayout run(std::size_t real_boxes) {
        LayeredLayout out;
        std::vector<double> left(static_cast<std::size_t>(graph_.columns), 0.0);
        double x = 0.0;
        for (int c = 0; c < graph_.columns; ++c) {
            left[static_cast<std::size_t>(c)] = x;
            const double width = column_width(c);
            extend_pins(out, c, x, width);
            x += width;
            const Channel channel = route_channel(nets_after(c));
            for (RoutedLine line : channel.lines) {
                line.a.x += x;
                line.b.x += x;
                out.lines.push_back(line);
            }
            for (const Spot& dot : channel.dots) {
                out.dots.push_back(dot + Spot{x, 0.0});
            }
            x += c + 1 < graph_.columns ? channel.width : 0.0;
        }
        out.width = x;
        for (std::size_t i = 0; i < graph_.boxes.size(); ++i) {
            const double top = middle_[i] - graph_.boxes[i].height / 2.0;
            out.height = std::max(out.height, top + graph_.boxes[i].height);
            if (i < real_boxes) {
                out.corners.push_back({left[static_cast<std::size_t>(graph_.column[i])], top});
            }
        }
        return out;
    }

private:
    [[nodiscard]] double pin_y(int box, const std::vector<double>& pins, int pin) const {
        const auto i = static_cast<std::size_t>(box);
        return middle_[i] - graph_.boxes[i].height / 2.0 + pins[static_cast<std::size_t>(pin)];
    }

    [[nodiscard]] double column_width(int c) const {
        double width = 0.0;
        for (std::size_t i = 0; i < graph_.boxes.size(); ++i) {
            width = graph_.column[i] == c ? std::max(width, graph_.boxes[i].width) : width;
        }
        return width;
    }

    /// From the right side of a box that is narrower than its column to the column's end.
    void extend_pins(LayeredLayout& out, int c, double x, double width) const {
        for (std::size_t i = 0; i < graph_.boxes.size(); ++i) {
            if (graph_.column[i] != c || graph_.boxes[i].width >= width) {
                continue;
            }
            for (std::size_t pin = 0; pin < graph_.boxes[i].right.size(); ++pin) {
                double line = 0.0;
                for (const LayoutEdge& edge : graph_.edges) {
                    if (edge.from == static_cast<int>(i) &&
                        edge.from_pin == static_cast<int>(pin)) {
                        line = std::max(line, edge.width);
                    }
                }
                const double y =
                    pin_y(static_cast<int>(i), graph_.boxes[i].right, static_cast<int>(pin));
                if (line > 0.0) {
                    out.lines.push_back({{x + graph_.boxes[i].width, y}, {x + width, y}, line});
                }
            }
        }
    }

    /// The lines between column c and the next, one net for each pin they start at.
    [[nodiscard]] std::vector<ChannelNet> nets_after(int c) const {
        std::vector<ChannelNet> nets;
        std::vector<std::pair<int, int>> starts;
        for (const LayoutEdge& edge : graph_.edges) {
            if (graph_.column[static_cast<std::size_t>(edge.from)] != c) {
                continue;
            }
            const std::pair start{edge.from, edge.from_pin};
            auto found = std::ranges::find(starts, start);
            if (found == starts.end()) {
                starts.push_back(start);
                found = std::prev(starts.end());
                const auto& pins = graph_.boxes[static_cast<std::size_t>(edge.from)].right;
                nets.push_back({pin_y(edge.from, pins, edge.from_pin), {}});
            }
            const auto& pins = graph_.boxes[static_cast<std::size_t>(edge.to)].left;
            nets[static_cast<std::size_t>(found - starts.begin())].targets.push_back(
                {pin_y(edge.to, pins, edge.to_pin), edge.width});
        }
        return nets;
    }

    const Layered& graph_;
    std::vector<double> middle_;
};

} // namespace

std::optional<LayeredLayout> lay_out(DotEngine& engine, const std::vector<LayoutBox>& boxes,
                                     const std::vector<LayoutEdge>& edges, std::string& why_not) {
    if (boxes.empty()) {
        return LayeredLayout{};
    }
    const Layered graph = make_layered(boxes, edges);
    std::vector<double> middle(graph.boxes.size(), 0.0);
    if (graph.boxes.size() <= most_boxes) {
        auto heights = engine.heights(graph.boxes, graph.edges, why_not);
        if (!heights) {
            return std::nullopt;
        }
        middle = std::move(*heights);
    }
    settle_columns(graph, middle);
    Straightener(graph, middle).run();
    start_at_top(graph, middle);
    return BoxPlacer(graph, std::move(middle)).run(boxes.size());
}

} // namespace loomwright::draw
