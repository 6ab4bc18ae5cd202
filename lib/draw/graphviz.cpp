// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/graphviz.hpp"

#include <fmt/format.h>

#include <graphviz/cgraph.h>
#include <graphviz/gvc.h>

#include <cmath>
#include <memory>

namespace loomwright::draw {
namespace {

// One point of Graphviz is this many millimetres here: cells of its tables are whole points.
constexpr double mm_per_point = 0.25;

struct GraphCloser {
    void operator()(Agraph_t* graph) const { agclose(graph); }
};
struct ContextCloser {
    void operator()(GVC_t* context) const { gvFreeContext(context); }
};
using Graph = std::unique_ptr<Agraph_t, GraphCloser>;
using Context = std::unique_ptr<GVC_t, ContextCloser>;

// The C interface takes char* for texts that it does not change.
char* text(const std::string& from) {
    return const_cast<char*>(from.c_str());
}

void set(void* object, const char* name, const std::string& value) {
    agsafeset(object, const_cast<char*>(name), text(value), const_cast<char*>(""));
}

int points(double mm) {
    return static_cast<int>(std::lround(mm / mm_per_point));
}

/// A column of a node's table: a small cell with a port at the height of each pin.
std::string pin_column(const std::vector<double>& pins, double height, char side) {
    constexpr int cell = 2; // points above and below the pin
    constexpr const char* row = R"(<TR><TD FIXEDSIZE="TRUE" WIDTH="4" HEIGHT="{}"{}></TD></TR>)";
    std::string out = R"(<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">)";
    int done = 0;
    for (std::size_t i = 0; i < pins.size(); ++i) {
        const int start = points(pins[i]) - cell;
        if (start > done) {
            out += fmt::format(fmt::runtime(row), start - done, "");
        }
        out += fmt::format(fmt::runtime(row), 2 * cell, fmt::format(" PORT=\"{}{}\"", side, i));
        done = std::max(start, done) + 2 * cell;
    }
    if (points(height) > done) {
        out += fmt::format(fmt::runtime(row), points(height) - done, "");
    }
    return out + "</TABLE>";
}

std::string node_table(const LayoutBox& box) {
    return fmt::format(
        "<TABLE BORDER=\"0\" CELLBORDER=\"0\" CELLSPACING=\"0\" CELLPADDING=\"0\"><TR>"
        "<TD>{}</TD><TD>{}</TD></TR></TABLE>",
        pin_column(box.left, box.height, 'l'), pin_column(box.right, box.height, 'r'));
}

Graph make_layout_graph(const std::vector<LayoutBox>& boxes, const std::vector<LayoutEdge>& edges,
                        std::vector<Agnode_t*>& nodes) {
    Graph graph(agopen(const_cast<char*>("layout"), Agdirected, nullptr));
    set(graph.get(), "rankdir", "LR");
    // The layout then keeps the heights, and only shifts what still touches.
    set(graph.get(), "nodesep", fmt::format("{}", row_gap / mm_per_point / 72.0));
    set(graph.get(), "ranksep", "0.3");
    set(graph.get(), "splines", "false");
    // Steps of the simplex searches for ranks and heights: a large group ends in bounded time.
    set(graph.get(), "nslimit", "20");
    set(graph.get(), "nslimit1", "20");
    agattr(graph.get(), AGNODE, const_cast<char*>("shape"), const_cast<char*>("plain"));
    agattr(graph.get(), AGNODE, const_cast<char*>("label"), const_cast<char*>(""));
    agattr(graph.get(), AGEDGE, const_cast<char*>("headport"), const_cast<char*>(""));
    agattr(graph.get(), AGEDGE, const_cast<char*>("tailport"), const_cast<char*>(""));
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        Agnode_t* node = agnode(graph.get(), text(fmt::format("n{}", i)), 1);
        char* label = agstrdup_html(graph.get(), text(node_table(boxes[i])));
        agset(node, const_cast<char*>("label"), label);
        agstrfree(graph.get(), label);
        nodes.push_back(node);
    }
    for (std::size_t i = 0; i < edges.size(); ++i) {
        Agedge_t* edge =
            agedge(graph.get(), nodes[static_cast<std::size_t>(edges[i].from)],
                   nodes[static_cast<std::size_t>(edges[i].to)], text(fmt::format("e{}", i)), 1);
        set(edge, "tailport", fmt::format("r{}:e", edges[i].from_pin));
        set(edge, "headport", fmt::format("l{}:w", edges[i].to_pin));
    }
    return graph;
}

class Dot : public DotEngine {
public:
    // What goes wrong is told by the result, not on standard error.
    Dot() : context_(gvContext()), level_before_(agseterr(AGMAX)) {}
    ~Dot() override { agseterr(level_before_); }
    Dot(const Dot&) = delete;
    Dot& operator=(const Dot&) = delete;
    Dot(Dot&&) = delete;
    Dot& operator=(Dot&&) = delete;

    std::optional<std::vector<double>> heights(const std::vector<LayoutBox>& boxes,
                                               const std::vector<LayoutEdge>& edges,
                                               std::string& why_not) override {
        GVC_t* context = context_.get();
        if (context == nullptr) {
            why_not = "Graphviz could not be started";
            return std::nullopt;
        }
        std::vector<Agnode_t*> nodes;
        const Graph graph = make_layout_graph(boxes, edges, nodes);
        if (gvLayout(context, graph.get(), "dot") != 0) {
            why_not = "Graphviz has no layout engine `dot`: its plugins are not installed";
            return std::nullopt;
        }
        std::vector<double> heights;
        heights.reserve(nodes.size());
        for (Agnode_t* node : nodes) {
            // Graphviz counts upward.
            heights.push_back(-ND_coord(node).y * mm_per_point);
        }
        gvFreeLayout(context, graph.get());
        return heights;
    }

private:
    Context context_;
    agerrlevel_t level_before_;
};

} // namespace

std::unique_ptr<DotEngine> start_dot() {
    return std::make_unique<Dot>();
}

} // namespace loomwright::draw
