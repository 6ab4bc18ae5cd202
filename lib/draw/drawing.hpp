// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/ids.hpp"

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace loomwright::draw {

/// A point on paper in millimetres, y downward.
struct Spot {
    double x = 0.0;
    double y = 0.0;
    friend Spot operator+(Spot a, Spot b) { return {a.x + b.x, a.y + b.y}; }
};

enum class Fill : std::uint8_t { none, white, pale, black };

/// How a line is broken, so that lines are told apart without colour.
enum class Dash : std::uint8_t { none, dashed, dotted, dash_dot, long_dash, dash_dot_dot };

/// Lengths of line and gap by turns, in millimetres; empty: unbroken.
[[nodiscard]] std::span<const double> dash_lengths(Dash dash);

/// A line through several spots, closed or open, with an inside or without.
struct Stroke {
    std::vector<Spot> spots;
    double width = 0.25; ///< 0: no line, inside only
    bool is_closed = false;
    Fill fill = Fill::none;
    Dash dash = Dash::none;
    bool is_white = false; ///< the line itself: the inside of a thicker one under it
};

struct Circle {
    Spot centre;
    double radius = 1.0;
    double width = 0.25;
    Fill fill = Fill::none;
};

enum class Anchor : std::uint8_t { start, middle, end };

/// A line of text on its baseline; squeezed by the writers to `room` where that is more than 0.
struct Text {
    Spot at;
    std::string text;  ///< plain: safe for a drawing
    double size = 2.5; ///< height of the font
    Anchor anchor = Anchor::start;
    bool is_bold = false;
    double room = 0.0;
    std::string mark = {}; ///< what it names, for links to it: "w12" is WireId 12; "" for nothing
};

using Shape = std::variant<Stroke, Circle, Text>;

/// One sheet of paper as a list of shapes: the one form from which SVG, PDF and PNG are written.
struct Drawing {
    double width = 0.0;
    double height = 0.0;
    std::vector<Shape> shapes;

    void line(Spot a, Spot b, double width_mm = 0.25);
    void box(Spot corner, double w, double h, double width_mm = 0.25, Fill fill = Fill::none);
    void circle(Spot centre, double radius, double width_mm = 0.25, Fill fill = Fill::none);
    void text(Spot at, std::string_view text, double size, Anchor anchor = Anchor::start,
              bool is_bold = false, double room = 0.0);
    /// The text that was added last, if any was, names this.
    void mark(std::string name);
    /// Adds another list, made smaller by `scale` and then moved by `offset`.
    void add(const std::vector<Shape>& others, Spot offset, double scale = 1.0);
};

// What texts are marked with.
[[nodiscard]] std::string wire_mark(WireId wire);       ///< "w12"
[[nodiscard]] std::string device_mark(DeviceId device); ///< "d3"

/// Width of a text in a common sans-serif font, by the advance widths of a wide one: what is laid
/// out with it has room in any.
[[nodiscard]] double text_width(std::string_view text, double size, bool is_bold = false);

/// `text` in at most `lines` lines no wider than `width`; what does not fit ends with an ellipsis.
[[nodiscard]] std::vector<std::string> fit_text(std::string_view text, double width, double size,
                                                std::size_t lines, bool is_bold = false);

} // namespace loomwright::draw
