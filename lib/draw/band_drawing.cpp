// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/band_drawing.hpp"

#include "draw/symbols.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright::draw {
namespace {

constexpr double heading_height = 8.0;
constexpr double padding = 3.5;
constexpr double dot_radius = 0.7;
constexpr double head_half = 0.9; // of an arrow's head, beside its line

class NodePainter {
public:
    NodePainter(const BandInput& input, const Band& band, const PlaceOfGroup& place_of,
                Drawing& out)
        : in_(input), band_(band), place_of_(place_of), out_(out) {}

    void paint(const Node& node) {
        for (const Pin& pin : node.left) {
            wire_label_at(node, pin);
        }
        if (node.symbol == Symbol::ground) {
            ground(node);
        } else if (node.symbol == Symbol::reference) {
            reference(node);
        } else if (node.is_box) {
            box(node);
        } else {
            axis(node);
        }
    }

private:
    /// The wire's own last stretch with its number over the line and size and colour under it.
    void wire_label_at(const Node& node, const Pin& pin) {
        const Spot start = node.at + Spot{0.0, pin.y};
        out_.line(start, start + Spot{node.label, 0.0}, pin.line);
        const double room = node.label - 1.5;
        const double above = pin.line / 2.0 + 0.6;
        const std::string& number = in_.vehicle.wire(pin.wire).number;
        out_.text(start + Spot{1.0, -above}, number, label_size, Anchor::start, true, room);
        out_.mark(wire_mark(pin.wire));
        out_.text(start + Spot{1.0 + number_width(number), -above}, length_label(in_, pin.wire),
                  label_size);
        out_.text(start + Spot{1.0, pin.line / 2.0 + 2.2}, wire_label(in_, pin.wire), label_size,
                  Anchor::start, false, room);
    }

    void name(const Node& node, Spot at) {
        out_.text(at, node.name, name_size, Anchor::start, true);
        if (node.symbol != Symbol::reference && node.part.device.is_valid()) {
            out_.mark(device_mark(node.part.device));
        }
        const double width = text_width(node.name, name_size, true);
        out_.text(at + Spot{width + 1.2, 0.0}, node.word, note_size);
    }

    void title(const Node& node, Spot at) {
        for (const std::string& line : node.title) {
            out_.text(at, line, note_size);
            at.y += 2.7;
        }
    }

    static double widest(const std::vector<Pin>& pins, int terminal) {
        double width = 0.0;
        for (const Pin& pin : pins) {
            width = pin.terminal == terminal ? std::max(width, pin.line) : width;
        }
        return width;
    }

    void axis(const Node& node) {
        const Spot left = node.at + Spot{node.label, node.axis};
        const double case_room = node.case_body >= 0 ? 4.0 : 0.0;
        const double length = node.cell - case_room;
        const Spot centre = left + Spot{length / 2.0, 0.0};
        const bool is_one = node.entry == node.exit;
        const double in = widest(node.left, node.entry);
        const double through = widest(node.right, node.exit);
        if (in > 0.0 || is_one || node.left.empty()) {
            out_.line(left, centre + Spot{-symbol_half, 0.0}, std::max(in, symbol_line));
        }
        const bool has_exit = widest(node.right, node.exit) > 0.0;
        const bool has_crossed = std::ranges::any_of(
            node.left, [&](const Pin& pin) { return pin.terminal != node.entry; });
        if (has_exit || has_crossed || case_room > 0.0) {
            out_.line(centre + Spot{symbol_half, 0.0}, left + Spot{length, 0.0},
                      std::max(through, symbol_line));
        }
        if (case_room > 0.0) {
            const Spot end = left + Spot{length + 1.0, 0.0};
            out_.line(left + Spot{length, 0.0}, end, symbol_line);
            draw_ground(out_, end, 0.8);
            if (has_exit) {
                out_.line(end, left + Spot{node.cell, 0.0}, through);
            }
        }
        if (is_one && in > 0.0) {
            // What is only joined keeps the weight of its wires up to the joint.
            out_.line(centre + Spot{-symbol_half, 0.0}, centre + Spot{-1.0, 0.0}, in);
            if (has_exit) {
                const double from = node.symbol == Symbol::connector ? 2.9 : 1.0;
                out_.line(centre + Spot{from, 0.0}, centre + Spot{symbol_half, 0.0}, through);
            }
        }
        draw_symbol(out_, node.symbol, centre, 1.0, node.is_turned);
        if (node.is_turned) {
            pole_names(node, centre);
        }
        side_rows(node, left, length);
        name(node, left + Spot{0.5, -4.2});
        // Clear of the upright that joins further wires.
        title(node, left + Spot{node.left.size() > 1 ? 1.2 : 0.5, 3.6 + 2.2});
    }

    /// The names of both ends over the axis, beside the symbol: who looks for plus at the left, as
    /// it is everywhere else, is told.
    void pole_names(const Node& node, Spot centre) {
        const Device& device = in_.vehicle.device(node.part.device);
        const auto add = [&](int terminal, double x) {
            out_.text(centre + Spot{x, -1.0}, device.terminals[static_cast<std::size_t>(terminal)],
                      note_size, Anchor::middle);
        };
        add(node.entry, -symbol_half);
        add(node.exit, symbol_half);
    }

    /// Further wires at the entry, and those that pass under the symbol to the other end.
    void side_rows(const Node& node, Spot left, double length) {
        for (const Pin& pin : node.left) {
            const double drop = pin.y - node.axis;
            if (drop <= 0.0) {
                continue;
            }
            if (pin.terminal == node.entry) {
                out_.line(left + Spot{0.0, drop}, left, pin.line);
                out_.circle(left, dot_radius, 0.0, Fill::black);
            } else {
                const Spot corner = left + Spot{length - 0.5, drop};
                out_.line(left + Spot{0.0, drop}, corner, pin.line);
                out_.line(corner, left + Spot{length - 0.5, 0.0}, pin.line);
                out_.circle(left + Spot{length - 0.5, 0.0}, dot_radius, 0.0, Fill::black);
            }
        }
        for (const Pin& pin : node.right) {
            const double drop = pin.y - node.axis;
            if (drop > 0.0) {
                const Spot start = left + Spot{-0.5, 0.0};
                const Spot corner = start + Spot{0.0, drop};
                out_.line(start, corner, pin.line);
                out_.line(corner, node.at + Spot{node.width(), pin.y}, pin.line);
                out_.circle(start, dot_radius, 0.0, Fill::black);
            }
        }
    }

    void ground(const Node& node) {
        const Spot pin = node.at + Spot{node.label, node.axis};
        const double line = node.left.empty() ? symbol_line : node.left.front().line;
        out_.line(pin, pin + Spot{2.5, 0.0}, line);
        draw_ground(out_, pin + Spot{2.5, 0.0});
        name(node, pin + Spot{5.0, 1.0});
    }

    /// A line that begins or ends in a solid head: the name over it, where to find that under it.
    void reference(const Node& node) {
        const double line =
            node.comes_from ? widest(node.right, node.exit) : widest(node.left, node.entry);
        const Spot start = node.at + Spot{node.label, node.axis};
        const Spot head = start + Spot{node.comes_from ? 0.0 : node.cell - head_length, 0.0};
        const double half = head_half + line / 2.0;
        out_.line(start, start + Spot{node.cell - (node.comes_from ? 0.0 : head_length / 2.0), 0.0},
                  line);
        out_.shapes.emplace_back(
            Stroke{{head + Spot{0.0, -half}, head + Spot{head_length, 0.0}, head + Spot{0.0, half}},
                   0.0,
                   true,
                   Fill::black});
        const double left = node.comes_from ? head_length + 1.0 : 2.0;
        name(node, start + Spot{left, -line / 2.0 - 0.9});
        out_.text(start + Spot{left, line / 2.0 + 2.4},
                  node.target == band_.group ? here(in_) : place_of_(node.target), note_size,
                  Anchor::start, false, node.cell - head_length - 2.0);
    }

    void box(const Node& node) {
        const BoxMeasures measures = box_measures(in_, node);
        const Device& device = in_.vehicle.device(node.part.device);
        const Spot corner = node.at + Spot{measures.frame_left, node.axis};
        out_.box(corner, measures.frame_width, node.height - node.axis, 0.35, Fill::white);
        name(node, node.at + Spot{measures.frame_left + 0.3, 2.9});
        title(node, node.at + Spot{measures.frame_left + 0.3, 5.6});
        const auto terminal = [&device](const Pin& pin) {
            return device.terminals[static_cast<std::size_t>(pin.terminal)];
        };
        for (const Pin& pin : node.left) {
            out_.text(corner + Spot{1.0, pin.y - node.axis + 0.8}, terminal(pin), note_size);
        }
        for (const Pin& pin : node.right) {
            const Spot end = corner + Spot{measures.frame_width, pin.y - node.axis};
            out_.text(end + Spot{-1.0, 0.8}, terminal(pin), note_size, Anchor::end);
            if (measures.frame_left + measures.frame_width < node.width()) {
                out_.line(end, node.at + Spot{node.width(), pin.y}, pin.line);
            }
        }
        inside(node, measures, corner);
        if (node.case_body >= 0) {
            const Spot at =
                corner + Spot{measures.frame_width / 2.0, node.height - node.axis - 4.2};
            draw_ground(out_, at, 0.8);
            out_.text(at + Spot{2.4, 2.6},
                      in_.vehicle.bodies[static_cast<std::size_t>(node.case_body)], note_size);
        }
    }

    void inside(const Node& node, const BoxMeasures& measures, Spot corner) {
        const double middle = (measures.middle_from + measures.middle_to) / 2.0;
        const double case_room = node.case_body >= 0 ? 4.5 : 0.0;
        const double height = node.height - node.axis - case_room;
        if (node.symbol == Symbol::unit) {
            draw_inner_parts(node, measures, corner);
        } else if (node.symbol != Symbol::controller && node.symbol != Symbol::electronics) {
            draw_symbol(out_, node.symbol, corner + Spot{middle, height / 2.0}, 0.9);
        }
    }

    /// What stands behind each terminal of a unit, once for each.
    void draw_inner_parts(const Node& node, const BoxMeasures& measures, Spot corner) {
        const std::vector<InnerPart> parts = inner_parts(in_.vehicle, node);
        for (std::size_t i = 0; i < parts.size(); ++i) {
            const InnerPart& inner = parts[i];
            const Pin& pin = node.left[i];
            if (!inner.device.is_valid()) {
                continue;
            }
            const Device& device = in_.vehicle.device(inner.device);
            const double scale = 0.65;
            const Spot at =
                corner + Spot{measures.middle_from + symbol_half * scale, pin.y - node.axis};
            draw_symbol(out_, symbol_of(in_.vehicle, {inner.device, 0}, device.terminals.size()),
                        at, scale);
            out_.text(at + Spot{symbol_half * scale + 0.6, 0.8}, inner.text, note_size);
        }
    }

    const BandInput& in_;
    const Band& band_;
    const PlaceOfGroup& place_of_;
    Drawing& out_;
};

} // namespace

double number_width(const std::string& number) {
    return text_width(number, label_size, true) + 1.2;
}

std::string_view here(const BandInput& input) {
    return input.is_alone ? "in this circuit" : "in this frame";
}

std::string group_name(const BandInput& input, int group) {
    if (group < 0) {
        return "nowhere";
    }
    const FeedGroup& it = input.groups.groups[static_cast<std::size_t>(group)];
    if (!it.name.empty()) {
        return it.name;
    }
    const std::string name = it.head.is_valid() ? input.vehicle.device(it.head).name : "not fed";
    return it.continues == 0 ? name : fmt::format("{} ({})", name, it.continues + 1);
}

Spot band_size(const Band& band) {
    const double heading = text_width(band.name, 4.2, true) + 3.0 + text_width(band.heading, 3.0);
    return {std::max(band.width, heading) + 2.0 * padding, band.height + heading_height + padding};
}

Drawing draw_band(const BandInput& input, const Band& band, const PlaceOfGroup& place_of) {
    const Spot size = band_size(band);
    Drawing inside;
    for (const RoutedLine& line : band.lines) {
        inside.line(line.a, line.b, line.width);
    }
    for (const Spot& dot : band.dots) {
        inside.circle(dot, dot_radius, 0.0, Fill::black);
    }
    NodePainter painter(input, band, place_of, inside);
    for (const Node& node : band.nodes) {
        painter.paint(node);
    }
    Drawing out{size.x, size.y, {}};
    out.box({0.0, 0.0}, size.x, size.y, 0.18);
    out.text({padding, 5.2}, band.name, 4.2, Anchor::start, true);
    out.text({padding + text_width(band.name, 4.2, true) + 2.0, 5.2}, band.heading, 3.0);
    out.add(inside.shapes, {padding, heading_height});
    return out;
}

} // namespace loomwright::draw
