// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/symbols.hpp"

#include <cmath>
#include <initializer_list>
#include <numbers>
#include <utility>

namespace loomwright::draw {
namespace {

/// Draws in the symbol's own measures round its middle.
class Pen {
public:
    Pen(Drawing& out, Spot centre, double scale, bool is_turned)
        : out_(out), centre_(centre), scale_(scale), across_(is_turned ? -scale : scale) {}

    [[nodiscard]] Spot at(double x, double y) const {
        return centre_ + Spot{x * across_, y * scale_};
    }
    void line(double x1, double y1, double x2, double y2, double width = symbol_line) {
        out_.line(at(x1, y1), at(x2, y2), width);
    }
    /// The parts of the axis at both sides of a symbol that reaches from -half to half.
    void leads(double half) {
        line(-symbol_half, 0, -half, 0);
        line(half, 0, symbol_half, 0);
    }
    void box(double half_width, double half_height, Fill fill = Fill::white) {
        out_.box(centre_ + Spot{-half_width * scale_, -half_height * scale_},
                 2 * half_width * scale_, 2 * half_height * scale_, symbol_line, fill);
    }
    void circle(double radius, Fill fill = Fill::white) {
        out_.circle(at(0, 0), radius * scale_, symbol_line, fill);
    }
    void stroke(std::initializer_list<std::pair<double, double>> spots, bool is_closed = false,
                Fill fill = Fill::none) {
        Stroke stroke;
        for (const auto& [x, y] : spots) {
            stroke.spots.push_back(at(x, y));
        }
        stroke.width = symbol_line;
        stroke.is_closed = is_closed;
        stroke.fill = fill;
        out_.shapes.emplace_back(std::move(stroke));
    }
    void dashed(double x1, double y1, double x2, double y2) {
        out_.shapes.emplace_back(
            Stroke{{at(x1, y1), at(x2, y2)}, symbol_line, false, Fill::none, Dash::dashed});
    }
    /// Part of a circle, angles in degrees clockwise from the right.
    void arc(double x, double y, double radius, double from, double to) {
        Stroke stroke;
        stroke.width = symbol_line;
        constexpr int steps = 12;
        for (int i = 0; i <= steps; ++i) {
            const double angle = (from + (to - from) * i / steps) * std::numbers::pi / 180.0;
            stroke.spots.push_back(at(x + radius * std::cos(angle), y + radius * std::sin(angle)));
        }
        out_.shapes.emplace_back(std::move(stroke));
    }
    void letter(const char* text, double size = 3.2) {
        out_.text(at(0, size * 0.36), text, size * scale_, Anchor::middle);
    }

private:
    Drawing& out_;
    Spot centre_;
    double scale_;
    double across_; ///< the scale along the axis, from left to right
};

void fuse(Pen& pen) {
    pen.box(4.0, 1.6);
    pen.line(-symbol_half, 0, symbol_half, 0);
}

void fusible_link(Pen& pen) {
    pen.leads(4.0);
    pen.box(4.0, 1.1);
    pen.stroke({{-4, 0}, {-2, -0.7}, {0, 0.7}, {2, -0.7}, {4, 0}});
}

void contact(Pen& pen) {
    pen.leads(2.5);
    pen.line(-2.5, 0, 2.2, -2.6);
}

void breaker(Pen& pen) {
    contact(pen);
    pen.line(1.8, -0.7, 3.2, 0.7);
    pen.line(1.8, 0.7, 3.2, -0.7);
}

void hand_contact(Pen& pen) {
    contact(pen);
    pen.dashed(-0.2, -1.4, -0.2, -3.2);
    pen.line(-1.2, -3.3, 0.8, -3.3);
}

void change_over(Pen& pen) {
    pen.line(-symbol_half, 0, -2.5, 0);
    pen.line(-2.5, 0, 2.5, -1.9);
    pen.line(2.5, -2.2, symbol_half, -2.2);
    pen.line(2.5, 2.2, symbol_half, 2.2);
    pen.line(2.5, 2.2, 2.5, 1.0);
}

void flasher(Pen& pen) {
    pen.box(3.6, 2.6);
    pen.stroke({{-2.6, 1.2},
                {-1.6, 1.2},
                {-1.6, -1.2},
                {0, -1.2},
                {0, 1.2},
                {1.6, 1.2},
                {1.6, -1.2},
                {2.6, -1.2}});
}

void lamp(Pen& pen) {
    pen.leads(3.0);
    pen.circle(3.0);
    const double r = 3.0 * std::numbers::sqrt2 / 2.0;
    pen.line(-r, -r, r, r);
    pen.line(-r, r, r, -r);
}

void diode(Pen& pen) {
    pen.leads(2.0);
    pen.stroke({{-2, -2}, {2, 0}, {-2, 2}}, true, Fill::white);
    pen.line(2, -2, 2, 2);
    pen.line(-2, 0, 2, 0);
}

void led_lamp(Pen& pen) {
    diode(pen);
    for (const double x : {-0.2, 1.4}) {
        pen.line(x, -1.9, x + 1.4, -3.4);
        pen.stroke({{x + 1.4, -3.4}, {x + 0.6, -3.2}, {x + 1.1, -2.6}}, true, Fill::black);
    }
}

void machine(Pen& pen, const char* letter) {
    pen.leads(3.2);
    pen.circle(3.2);
    pen.letter(letter);
}

void heater(Pen& pen) {
    pen.leads(4.0);
    pen.box(4.0, 1.6);
    for (const double x : {-2.0, 0.0, 2.0}) {
        pen.line(x, -1.6, x, 1.6);
    }
}

void resistor(Pen& pen) {
    pen.leads(4.0);
    pen.box(4.0, 1.4);
}

void solenoid(Pen& pen) {
    pen.leads(4.0);
    for (const double x : {-3.0, -1.0, 1.0, 3.0}) {
        pen.arc(x, 0, 1.0, 180, 360);
    }
}

void relay_coil(Pen& pen) {
    pen.leads(1.8);
    pen.box(1.8, 3.0);
}

void square(Pen& pen, const char* letter) {
    pen.leads(3.2);
    pen.box(3.2, 2.8);
    pen.letter(letter, 2.6);
}

void battery(Pen& pen) {
    pen.leads(2.1);
    for (const double x : {-2.1, 0.7}) {
        pen.line(x, -3.0, x, 3.0);
        pen.line(x + 1.4, -1.6, x + 1.4, 1.6, 0.7);
    }
}

void connector(Pen& pen) {
    pen.line(-symbol_half, 0, -1.0, 0);
    pen.stroke({{-1.0, -0.6}, {1.6, -0.6}, {1.6, 0.6}, {-1.0, 0.6}}, true, Fill::black);
    pen.arc(1.2, 0, 1.7, -75, 75);
    pen.line(2.9, 0, symbol_half, 0);
}

void joint(Pen& pen, Fill fill, double radius) {
    pen.line(-symbol_half, 0, symbol_half, 0);
    pen.circle(radius, fill);
}

} // namespace

void draw_symbol(Drawing& out, Symbol symbol, Spot centre, double scale, bool is_turned) {
    Pen pen(out, centre, scale, is_turned);
    switch (symbol) {
    case Symbol::battery:
        return battery(pen);
    case Symbol::generator:
        return machine(pen, "G");
    case Symbol::charger:
        return square(pen, "~/=");
    case Symbol::starter:
    case Symbol::motor:
        return machine(pen, "M");
    case Symbol::fuse:
        return fuse(pen);
    case Symbol::breaker:
        return breaker(pen);
    case Symbol::fusible_link:
        return fusible_link(pen);
    case Symbol::make_contact:
        return contact(pen);
    case Symbol::change_over:
        return change_over(pen);
    case Symbol::relay_coil:
        return relay_coil(pen);
    case Symbol::flasher:
        return flasher(pen);
    case Symbol::switch_contact:
        return hand_contact(pen);
    case Symbol::lamp:
        return lamp(pen);
    case Symbol::led_lamp:
        return led_lamp(pen);
    case Symbol::heater:
        return heater(pen);
    case Symbol::solenoid:
        return solenoid(pen);
    case Symbol::electronics:
        return square(pen, "");
    case Symbol::sensor:
        return square(pen, "B");
    case Symbol::splice:
        return joint(pen, Fill::black, 1.0);
    case Symbol::stud:
        return joint(pen, Fill::white, 1.3);
    case Symbol::connector:
        return connector(pen);
    case Symbol::diode:
        return diode(pen);
    case Symbol::resistor:
        return resistor(pen);
    case Symbol::ground:
        return draw_ground(out, centre, scale);
    case Symbol::controller:
    case Symbol::unit:
    case Symbol::reference:
        return;
    }
}

void draw_ground(Drawing& out, Spot at, double scale) {
    const auto line = [&](double x1, double y1, double x2, double y2, double width) {
        out.line(at + Spot{x1 * scale, y1 * scale}, at + Spot{x2 * scale, y2 * scale}, width);
    };
    // Frame or chassis: a bar with three short strokes from it.
    line(0, 0, 0, 2.0, symbol_line);
    line(-2.0, 2.0, 2.0, 2.0, 0.5);
    for (const double x : {-2.0, 0.0, 2.0}) {
        line(x, 2.0, x - 1.0, 3.6, symbol_line);
    }
}

} // namespace loomwright::draw
