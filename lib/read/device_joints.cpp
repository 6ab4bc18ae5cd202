// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What joins: ground, strap, splice, stud, connector; and the plain parts diode and resistor.

#include "read/kinds.hpp"

#include <fmt/format.h>

namespace loomwright {
namespace {

constexpr int most_cavities = 1000;
constexpr int most_lugs = 100;

void make_node(Device& device, DefaultPass& pass) {
    device.terminals.assign(1, "");
    pass.in = 0;
    pass.out = 0;
}

} // namespace

bool read_ground(const Fields& fields, Device& device, DefaultPass& pass) {
    make_node(device, pass);
    Ground ground;
    const Node node = fields.need("body");
    const auto body = node.is_valid() ? read_body(fields.reading(), node, fields.subject(), "body")
                                      : std::nullopt;
    ground.body = body.value_or(0);
    ground.bond = fields.quantity<Ohms>("bond", ranges::resistance);
    ground.lugs = fields.count("lugs", 1, most_lugs);
    device.spec_where = fields.where("body");
    device.spec = ground;
    return body.has_value();
}

bool read_strap(const Fields& fields, Device& device, DefaultPass&) {
    Reading& reading = fields.reading();
    Strap strap;
    strap.resistance = fields.quantity<Ohms>("resistance", ranges::resistance);
    strap.is_stray = fields.truth("stray").value_or(false);
    device.spec_where = fields.where("between");
    device.spec = strap;
    if (!fields.need("between").is_valid()) {
        return false;
    }
    const std::vector<Node> ends = fields.words("between");
    if (ends.size() != 2) {
        fields.complain(Rule::wrong_shape, "between",
                        fmt::format("a strap is between two bodies of metal, not {}", ends.size()),
                        "write `between: [engine, chassis]`");
        return false;
    }
    const auto a = read_body(reading, ends[0], fields.subject(), "between");
    const auto b = read_body(reading, ends[1], fields.subject(), "between");
    if (!a || !b) {
        return false;
    }
    if (*a == *b) {
        reading.complain(Rule::contradiction, fields.subject(), ends[1].where(),
                         "both ends of the strap are on the same body of metal", "name two bodies");
        return false;
    }
    strap.body_a = *a;
    strap.body_b = *b;
    device.spec = strap;
    return true;
}

bool read_splice(const Fields& fields, Device& device, DefaultPass& pass) {
    make_node(device, pass);
    device.spec = Splice{fields.given<Metres>("offset", ranges::allowance)};
    return true;
}

bool read_stud(const Fields& fields, Device& device, DefaultPass& pass) {
    make_node(device, pass);
    device.spec_where = fields.where("lugs");
    device.spec = Stud{fields.count("lugs", 1, most_lugs)};
    return true;
}

bool read_connector(const Fields& fields, Device& device, DefaultPass& pass) {
    Connector connector;
    connector.contact = fields.quantity<Amps>("contact", ranges::current);
    connector.is_bulkhead = fields.truth("bulkhead").value_or(false);
    device.spec_where = fields.where("contact");
    device.spec = connector;
    const Node cavities = fields.need("cavities");
    if (!cavities.is_valid()) {
        return false;
    }
    if (cavities.is_list()) {
        device.terminals = read_terminal_names(fields, "cavities");
    } else if (const auto count = fields.count("cavities", 1, most_cavities)) {
        for (int i = 1; i <= *count; ++i) {
            device.terminals.push_back(std::to_string(i));
        }
    }
    if (device.terminals.size() == 1) {
        pass.in = 0;
        pass.out = 0;
    }
    if (cavities.is_list() && cavities.size() == 0) {
        fields.complain(Rule::wrong_shape, "cavities", "a connector needs at least one cavity",
                        "write how many it has, or their names: `[A, B]`");
    }
    device.plug = read_plug_face(fields, device.terminals.size());
    return !device.terminals.empty();
}

bool read_diode(const Fields& fields, Device& device, DefaultPass&) {
    Reading& reading = fields.reading();
    Diode diode{Volts(reading.catalogue.default_value("diode-drop").value),
                Amps(reading.catalogue.default_value("diode-current").value)};
    device.spec_where = fields.where("drop");
    device.spec = diode;
    const Node node = fields.get("drop");
    if (!node.is_valid()) {
        return true;
    }
    const auto text = need_text(reading, node, fields.subject(), "drop");
    if (!text) {
        return false;
    }
    TextFault fault;
    const auto pair =
        read_pair(*text, "at", Dimension::voltage, Dimension::voltage, Dimension::current, fault);
    if (!pair) {
        complain_of_text(reading, node, fields.subject(), fault);
        return false;
    }
    bool is_good =
        check_range(reading, node, fields.subject(), node.where(), pair->first, ranges::drop);
    diode.drop = Volts(pair->first.value);
    if (pair->second) {
        is_good &= check_range(reading, node, fields.subject(),
                               node.where(pair->second_offset, text->size() - pair->second_offset),
                               *pair->second, ranges::current);
        diode.at = Amps(pair->second->value);
    }
    device.spec = diode;
    return is_good;
}

bool read_resistor(const Fields& fields, Device& device, DefaultPass&) {
    const auto resistance = fields.needed<Ohms>("resistance", ranges::some_resistance);
    device.spec_where = fields.where("resistance");
    device.spec = Resistor{resistance.value_or(Ohms())};
    return resistance.has_value();
}

} // namespace loomwright
