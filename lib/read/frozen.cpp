// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What is cut and fitted already (`size --freeze`). A wire is meant by its number and its ends, in
// either order: a number that has passed on to another wire takes nothing with it. What the vehicle
// file itself writes goes before what is frozen; the rule frozen-differs tells where they differ.
#include "read/steps.hpp"

#include <array>
#include <unordered_map>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 2> frozen_keys{"wires", "fuses"};
constexpr std::array<std::string_view, 6> frozen_wire_keys{"size",   "insulation", "colour",
                                                           "length", "from",       "to"};

// What is cut was routed over many runs: longer than a length that is written may be.
constexpr Range cut_length{0.0, 10'000.0, true}; // m

using WireNumbers = std::unordered_map<std::string_view, std::size_t>;

WireNumbers wire_numbers(const Vehicle& vehicle) {
    WireNumbers out;
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        out.emplace(vehicle.wires[i].number, i);
    }
    return out;
}

bool has_ends(const Vehicle& vehicle, const Wire& wire, const FrozenWire& cut) {
    const std::string from = vehicle.show(wire.from);
    const std::string to = vehicle.show(wire.to);
    return (from == cut.from && to == cut.to) || (from == cut.to && to == cut.from);
}

/// What the file leaves open is as it was cut.
void put_into(const FrozenWire& cut, Wire& wire) {
    if (!wire.size) {
        wire.size = cut.size;
        wire.size_is_frozen = true;
    }
    if (wire.size->value != cut.size.value) {
        return; // another wire takes its place: nothing of the old one holds
    }
    if (wire.insulation.value.empty()) {
        wire.insulation = {cut.insulation, cut.where};
    }
    if (wire.colour.empty() && !cut.colour.empty()) {
        wire.colour = cut.colour;
        wire.colour_is_auto = false;
    }
}

void read_cut_wire(Reading& reading, const Entry& entry, const WireNumbers& numbers) {
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(),
                        frozen_wire_keys);
    if (!fields.is_map()) {
        return;
    }
    FrozenWire cut;
    cut.number = entry.key.text();
    cut.where = entry.key.where();
    const Node size_node = fields.need("size");
    const auto size = size_node.is_valid()
                          ? read_conductor_size(reading, size_node, fields.subject(), "size")
                          : std::nullopt;
    const auto length = fields.needed<Metres>("length", cut_length);
    cut.insulation = read_insulation(fields).value_or(Given<std::string>()).value;
    cut.colour = read_colour(fields).value_or("");
    const bool has_both = fields.need("from").is_valid() && fields.need("to").is_valid();
    cut.from = fields.text_or_empty("from");
    cut.to = fields.text_or_empty("to");
    if (!size || !length || !has_both) {
        return;
    }
    cut.size = {*size, size_node.where()};
    cut.length = *length;
    Vehicle& vehicle = reading.vehicle;
    const auto found = numbers.find(cut.number);
    if (found != numbers.end() && has_ends(vehicle, vehicle.wires[found->second], cut)) {
        cut.wire = WireId(found->second);
        if (!vehicle.wires[found->second].retained) {
            put_into(cut, vehicle.wires[found->second]);
        }
    }
    vehicle.frozen.wires.push_back(std::move(cut));
}

void read_fitted_fuse(Reading& reading, const Entry& entry) {
    const std::string_view name = entry.key.text();
    const auto rating =
        quantity_of(reading, entry.value, name, name, Dimension::current, ranges::current);
    if (!rating) {
        return;
    }
    FrozenFuse fitted{std::string(name), {}, Amps(*rating), entry.key.where()};
    const auto device = reading.devices.find(name);
    auto* protection =
        device ? std::get_if<Protection>(&reading.vehicle.devices[*device].spec) : nullptr;
    if (protection != nullptr) {
        fitted.device = DeviceId(*device);
        if (!protection->rating && protection->kind != ProtectionKind::fusible_link) {
            protection->rating = fitted.rating;
            protection->rating_is_frozen = true;
        }
    }
    reading.vehicle.frozen.fuses.push_back(std::move(fitted));
}

} // namespace

void read_frozen(Reading& reading, const Node& section) {
    const Fields fields(reading, section, "frozen", section.where(), frozen_keys);
    if (!fields.is_map()) {
        return;
    }
    if (const Node wires = fields.get("wires");
        wires.is_valid() && is_map_of_names(reading, wires, "wires")) {
        const WireNumbers numbers = wire_numbers(reading.vehicle);
        for (const Entry entry : wires.entries()) {
            read_cut_wire(reading, entry, numbers);
        }
    }
    if (const Node fuses = fields.get("fuses");
        fuses.is_valid() && is_map_of_names(reading, fuses, "fuses")) {
        for (const Entry entry : fuses.entries()) {
            read_fitted_fuse(reading, entry);
        }
    }
}

} // namespace loomwright
