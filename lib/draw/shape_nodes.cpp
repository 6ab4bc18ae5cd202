// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// Sizes of the nodes. A node on an axis has its name over the symbol, its title under it, and the
// labels of arriving wires at its left; a box has its name and title over the frame and a row for
// each wire that arrives or terminal that is left.
#include "draw/band_drawing.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright::draw {
namespace {

constexpr double row = 7.0;      // between two arriving wires: a label over and under each
constexpr double half_row = 3.6; // over the first and under the last
constexpr double axis_height = 7.6;
constexpr double title_line = 2.7;
constexpr double most_title = 26.0;
constexpr double least_cell = 13.0;
constexpr double symbol_room = 5.5; // half the room of a symbol in the middle of a box

double half_cell(double mm) {
    return std::ceil(mm * 2.0) / 2.0;
}

/// Room at the left for the labels of the wires that arrive: one for the whole band, so that
/// symbols of a column stand under each other.
double label_room(const BandInput& input, const Band& band) {
    double width = 0.0;
    for (const Link& link : band.links) {
        const std::string& number = input.vehicle.wire(link.wire).number;
        const std::string length = length_label(input, link.wire);
        width = std::max({width,
                          length.empty() ? text_width(number, label_size, true)
                                         : number_width(number) + text_width(length, label_size),
                          text_width(wire_label(input, link.wire), label_size)});
    }
    return half_cell(width + 3.0);
}

void wrap_title(Node& node, double least) {
    const std::string whole = node.title.empty() ? std::string() : node.title.front();
    const double width = std::max(least, std::min(most_title, text_width(whole, note_size) + 1.0));
    node.title = fit_text(whole, width, note_size, 2);
    for (const std::string& line : node.title) {
        node.cell = std::max(node.cell, half_cell(text_width(line, note_size) + 1.0));
    }
    for (const std::string& line : node.elsewhere) {
        node.title.push_back(line);
        node.cell = std::max(node.cell, half_cell(text_width(line, note_size) + 1.0));
    }
}

double name_width(const Node& node) {
    const double word = node.word.empty() ? 0.0 : 1.2 + text_width(node.word, note_size);
    return text_width(node.name, name_size, true) + word;
}

void shape_axis(Node& node) {
    node.axis = axis_height;
    node.cell = half_cell(std::max(least_cell, name_width(node) + 2.0));
    wrap_title(node, node.cell);
    const bool has_case = node.case_body >= 0;
    // Beside the texts: the housing's sign, and a line that comes up from under the symbol.
    const bool has_crossed = std::ranges::any_of(
        node.left, [&node](const Pin& pin) { return pin.terminal != node.entry; });
    node.cell += (has_case ? 4.0 : 0.0) + (has_crossed ? 2.0 : 0.0);
    node.height = node.axis + 3.6 + title_line * static_cast<double>(node.title.size()) + 0.6;
    int arrived = 0;
    for (Pin& pin : node.left) {
        if (pin.terminal == node.entry) {
            pin.y = node.axis + row * arrived++;
            node.height = std::max(node.height, pin.y + half_row);
        }
    }
    for (Pin& pin : node.left) {
        if (pin.terminal != node.entry) {
            pin.y = node.height + half_row;
            node.height = pin.y + half_row;
        }
    }
    for (Pin& pin : node.right) {
        if (pin.terminal == node.exit) {
            pin.y = node.axis;
        } else {
            pin.y = node.height + 1.5;
            node.height = pin.y + 1.5;
        }
    }
    node.height = half_cell(node.height);
}

void shape_ground(Node& node) {
    node.axis = half_row;
    node.height = 8.0;
    node.cell = half_cell(5.5 + name_width(node));
    for (Pin& pin : node.left) {
        pin.y = node.axis;
    }
}

void shape_reference(const BandInput& input, Node& node) {
    node.axis = 4.0;
    node.height = 8.0;
    const std::string place =
        group_name(input, node.target) + (input.is_alone ? "" : ", sheet 888");
    const double words = std::max(
        {name_width(node), text_width(place, note_size), text_width(here(input), note_size)});
    node.cell = half_cell(words + head_length + 3.0);
    for (Pin& pin : node.left) {
        pin.y = node.axis;
    }
    for (Pin& pin : node.right) {
        pin.y = node.axis;
    }
}

void shape_box(const BandInput& input, Node& node) {
    node.cell = 0.0;
    const BoxMeasures measures = box_measures(input, node);
    node.cell = half_cell(std::max(measures.frame_width, name_width(node) + 1.0));
    wrap_title(node, node.cell);
    node.axis = 3.8 + title_line * static_cast<double>(node.title.size());
    const double first = node.axis + half_row;
    double left = first;
    for (Pin& pin : node.left) {
        pin.y = left;
        left += row;
    }
    double right = first;
    for (Pin& pin : node.right) {
        pin.y = right;
        right += row;
    }
    const double case_room = node.case_body >= 0 ? 4.5 : 0.0;
    node.height = half_cell(std::max({left, right, first + row}) - row + half_row + case_room);
}

bool has_middle_symbol(Symbol symbol) {
    switch (symbol) {
    case Symbol::controller:
    case Symbol::unit:
    case Symbol::electronics:
        return false;
    default:
        return true;
    }
}

/// The inner device that is fed by this terminal of its unit, other than one.
DeviceId inner_fed_at(const Vehicle& vehicle, DeviceId unit, int terminal, DeviceId other = {}) {
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const Device& device = vehicle.devices[i];
        if (device.housing == unit && DeviceId(i) != other && !device.housing_terminal.empty() &&
            device.housing_terminal.front() == terminal) {
            return DeviceId(i);
        }
    }
    return {};
}

using PairEnd = int ContactPair::*;

/// The unit's terminal that an inner switch joins to this one in any position, `near` end of the
/// contact to `far` end; -1: none.
int beyond_switch(const Device& inner, int terminal, PairEnd near, PairEnd far) {
    const auto* one = inner.as<Switch>();
    if (one == nullptr) {
        return -1;
    }
    for (const SwitchPosition& position : one->positions) {
        for (const ContactPair& pair : position.closed) {
            if (inner.housing_terminal[static_cast<std::size_t>(pair.*near)] == terminal) {
                return inner.housing_terminal[static_cast<std::size_t>(pair.*far)];
            }
        }
    }
    return -1;
}

/// "tail" of "E7/tail".
std::string own_name(const Vehicle& vehicle, DeviceId inner) {
    const std::string& name = vehicle.device(inner).name;
    return name.substr(name.find('/') + 1);
}

/// A switch inside a unit with the terminal that its contact leads on to.
struct InnerSwitch {
    InnerPart part;
    int beyond = -1;
};

InnerSwitch inner_switch(const Vehicle& vehicle, DeviceId unit, int terminal, PairEnd near,
                         PairEnd far) {
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        if (vehicle.devices[i].housing != unit) {
            continue;
        }
        const int beyond = beyond_switch(vehicle.devices[i], terminal, near, far);
        if (beyond >= 0) {
            const DeviceId fed = inner_fed_at(vehicle, unit, beyond, DeviceId(i));
            const std::string name = own_name(vehicle, DeviceId(i));
            return {{DeviceId(i), fed.is_valid() ? name + ": " + own_name(vehicle, fed) : name},
                    beyond};
        }
    }
    return {};
}

InnerPart inner_part(const Vehicle& vehicle, DeviceId unit, int terminal) {
    const DeviceId first = inner_fed_at(vehicle, unit, terminal);
    if (first.is_valid() && vehicle.device(first).as<Switch>() == nullptr) {
        return {first, own_name(vehicle, first)};
    }
    InnerSwitch entered =
        inner_switch(vehicle, unit, terminal, &ContactPair::from, &ContactPair::to);
    if (entered.beyond >= 0) {
        return std::move(entered.part);
    }
    return {first, first.is_valid() ? own_name(vehicle, first) : std::string()};
}

} // namespace

std::vector<InnerPart> inner_parts(const Vehicle& vehicle, const Node& unit) {
    const std::vector<Pin>& pins = unit.left;
    std::vector<InnerPart> out(pins.size());
    const auto is_again = [&pins](std::size_t i) {
        return i > 0 && pins[i].terminal == pins[i - 1].terminal;
    };
    for (std::size_t i = 0; i < pins.size(); ++i) {
        if (!is_again(i)) {
            out[i] = inner_part(vehicle, unit.part.device, pins[i].terminal);
        }
    }
    // Then switches that current enters at the other end, if they do not stand at the first.
    for (std::size_t i = 0; i < pins.size(); ++i) {
        if (is_again(i) || out[i].device.is_valid()) {
            continue;
        }
        InnerSwitch entered = inner_switch(vehicle, unit.part.device, pins[i].terminal,
                                           &ContactPair::to, &ContactPair::from);
        bool is_drawn = false;
        for (std::size_t k = 0; k < pins.size(); ++k) {
            is_drawn = is_drawn ||
                       (pins[k].terminal == entered.beyond && out[k].device == entered.part.device);
        }
        if (!is_drawn) {
            out[i] = std::move(entered.part);
        }
    }
    return out;
}

BoxMeasures box_measures(const BandInput& input, const Node& node) {
    const Device& device = input.vehicle.device(node.part.device);
    const auto widest = [&device](const std::vector<Pin>& pins) {
        double width = 0.0;
        for (const Pin& pin : pins) {
            const std::string& name = device.terminals[static_cast<std::size_t>(pin.terminal)];
            width = std::max(width, text_width(name, note_size) + 2.0);
        }
        return width;
    };
    BoxMeasures out;
    out.frame_left = node.label;
    out.middle_from = widest(node.left);
    double middle = has_middle_symbol(node.symbol) ? 2.0 * symbol_room : 2.0;
    if (node.symbol == Symbol::unit) {
        for (const InnerPart& inner : inner_parts(input.vehicle, node)) {
            if (inner.device.is_valid()) {
                middle = std::max(middle, 9.0 + text_width(inner.text, note_size));
            }
        }
    }
    const double right = widest(node.right);
    const double housing =
        node.case_body < 0
            ? 0.0
            : 8.0 + 2.0 * text_width(input.vehicle.bodies[static_cast<std::size_t>(node.case_body)],
                                     note_size);
    out.frame_width =
        half_cell(std::max({out.middle_from + middle + right, 14.0, housing, node.cell}));
    out.middle_to = out.frame_width - right;
    return out;
}

void shape_nodes(const BandInput& input, Band& band) {
    const double label = label_room(input, band);
    for (Node& node : band.nodes) {
        node.label = node.left.empty() ? 0.0 : label;
        if (node.symbol == Symbol::ground) {
            shape_ground(node);
        } else if (node.symbol == Symbol::reference) {
            shape_reference(input, node);
        } else if (node.is_box) {
            shape_box(input, node);
        } else {
            shape_axis(node);
        }
    }
}

} // namespace loomwright::draw
