// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"
#include "draw/layered_layout.hpp"
#include "model/vehicle.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace loomwright::draw {

/// What is drawn for a part of a device.
enum class Symbol : std::uint8_t {
    battery,
    generator,
    charger,
    starter,
    fuse,
    breaker,
    fusible_link,
    make_contact,
    change_over,
    relay_coil,
    flasher,
    switch_contact,
    lamp,
    led_lamp,
    motor,
    heater,
    solenoid,
    electronics,
    controller,
    sensor,
    ground,
    splice,
    stud,
    connector,
    diode,
    resistor,
    unit,
    reference, ///< the wire goes on in another group
};

/// A part of a device that has a symbol of its own: the contact or the coil of a relay, one pole of
/// a switch, one cavity of a connector.
struct Part {
    DeviceId device;
    int number = 0;
    friend auto operator<=>(const Part&, const Part&) = default;
};

/// Where a wire meets a symbol.
struct Pin {
    int terminal = 0;
    double y = 0.0;     ///< under the top of the node
    WireId wire;        ///< of a pin at the left: one wire each; invalid at the right: one for all
    double line = 0.25; ///< width of the line that meets it
};

/// A symbol with its texts and pins in a group, placed by the layout.
struct Node {
    Symbol symbol = Symbol::unit;
    Part part;
    std::string name;
    std::string word;                   ///< beside the name: "15 A", "40 A"
    std::vector<std::string> title;     ///< lines
    std::vector<std::string> elsewhere; ///< lines under the title: "coil in F35"
    bool is_box = false;     ///< a frame with named terminals; else an axis through the symbol
    bool comes_from = false; ///< (reference) the wire comes from there
    int target = -1;         ///< (reference) group in which that end is drawn
    int entry = 0;           ///< terminal at the left end of the axis
    int exit = 0;            ///< and at the right
    bool is_turned = false;  ///< (axis) entry and exit are not alike, and the entry is for minus
    int case_body = -1;      ///< the exit is the housing, on this body of metal
    std::vector<Pin> left;
    std::vector<Pin> right;
    double label = 0.0; ///< width of the room for the labels of the wires that arrive
    double cell = 0.0;  ///< width of the symbol with its texts
    double height = 0.0;
    double axis = 0.0; ///< height of the axis under the top
    Spot at;           ///< top left corner
    [[nodiscard]] double width() const { return label + cell; }
};

/// A wire between two nodes: from a pin at the right to a pin at the left.
struct Link {
    WireId wire;
    int from = 0;
    int from_pin = 0;
    int to = 0;
    int to_pin = 0;
};

/// One group laid out: nodes and lines in a frame of their own.
struct Band {
    int group = 0;
    std::string name;    ///< "F10"
    std::string heading; ///< "15 A blade, blue: Radiator fan"
    std::vector<Node> nodes;
    std::vector<Link> links;
    std::vector<RoutedLine> lines;
    std::vector<Spot> dots;
    double width = 0.0;
    double height = 0.0;
};

} // namespace loomwright::draw
