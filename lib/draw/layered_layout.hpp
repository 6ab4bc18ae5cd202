// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright::draw {

class DotEngine;

/// Least distance of two boxes in a column.
inline constexpr double row_gap = 3.0;

/// A rectangle with pins at its left and right side, heights from its top.
struct LayoutBox {
    double width = 0.0;
    double height = 0.0;
    std::vector<double> left;
    std::vector<double> right;
};

/// From a pin at the right of one box to a pin at the left of another.
struct LayoutEdge {
    int from = 0;
    int from_pin = 0;
    int to = 0;
    int to_pin = 0;
    double width = 0.25; ///< of its line
};

struct RoutedLine {
    Spot a;
    Spot b;
    double width = 0.25;
    int net = -1; ///< (in a channel) of the nets given
};

/// Boxes in columns from left to right and lines of right angles between them. Lines of different
/// pins cross but never run on one another; a dot marks where lines of one pin part.
struct LayeredLayout {
    std::vector<Spot> corners; ///< top left, by box
    std::vector<RoutedLine> lines;
    std::vector<Spot> dots;
    double width = 0.0;
    double height = 0.0;
};

/// Lays out a graph without cycles: columns by the longest way from the left, order and height in
/// each column by Graphviz's `dot` so that few lines cross. Nothing, with the reason, if that
/// fails.
[[nodiscard]] std::optional<LayeredLayout> lay_out(DotEngine& engine,
                                                   const std::vector<LayoutBox>& boxes,
                                                   const std::vector<LayoutEdge>& edges,
                                                   std::string& why_not);

} // namespace loomwright::draw
