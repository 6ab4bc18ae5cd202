// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// The DOT language as its grammar has it: inside double quotes only \" is an escape of the
// language; in a label a backslash starts an escape of its own (\N, \G, \n), so that one from the
// user is doubled.
#include "draw/dot_writer.hpp"

#include "sheets/characters.hpp"

#include <fmt/format.h>

namespace loomwright::draw {
namespace {

/// A label of several lines, quoted.
std::string quoted(const std::string& label) {
    std::string out = "\"";
    for (std::size_t start = 0; start <= label.size();) {
        const std::size_t end = std::min(label.find('\n', start), label.size());
        out += start > 0 ? "\\n" : "";
        for (const char c : plain_text(std::string_view(label).substr(start, end - start))) {
            if (c == '"' || c == '\\') {
                out += '\\';
            }
            out += c;
        }
        start = end + 1;
    }
    return out + "\"";
}

void add_node(std::string& out, const DotNode& node, const char* indent) {
    out += fmt::format("{}\"{}\" [label={}, shape={}];\n", indent, node.id, quoted(node.label),
                       node.shape);
}

} // namespace

std::string write_dot(const DotGraph& graph) {
    std::string out = fmt::format("digraph feeds {{\n  graph [rankdir=LR, label={}, "
                                  "fontname=\"DejaVu Sans, Arial, Helvetica, sans-serif\"];\n",
                                  quoted(graph.title));
    std::vector<std::vector<const DotNode*>> members(graph.clusters.size());
    for (const DotNode& node : graph.nodes) {
        if (node.cluster >= 0) {
            members[static_cast<std::size_t>(node.cluster)].push_back(&node);
        } else {
            add_node(out, node, "  ");
        }
    }
    for (std::size_t c = 0; c < graph.clusters.size(); ++c) {
        out +=
            fmt::format("  subgraph cluster_{} {{\n    label={};\n", c, quoted(graph.clusters[c]));
        for (const DotNode* node : members[c]) {
            add_node(out, *node, "    ");
        }
        out += "  }\n";
    }
    for (const DotEdge& edge : graph.edges) {
        out += fmt::format("  \"{}\" -> \"{}\" [label={}, penwidth={}];\n", edge.from, edge.to,
                           quoted(edge.label), edge.width);
    }
    return out + "}\n";
}

} // namespace loomwright::draw
