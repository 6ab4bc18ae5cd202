// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Screens round wires, and where their drain wires end.

#include "read/paths.hpp"
#include "read/steps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <unordered_map>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 4> shield_keys{"around", "drain", "title", "note"};

/// Wires by their numbers, and the shield that each has already.
struct ShieldedWires {
    explicit ShieldedWires(const Vehicle& vehicle) {
        for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
            by_number.emplace(vehicle.wires[i].number, WireId(i));
        }
        for (const Shield& shield : vehicle.shields) {
            for (const Given<WireId>& wire : shield.around) {
                taken.emplace(wire.value.index(), wire.where);
            }
        }
    }
    std::unordered_map<std::string_view, WireId> by_number;
    std::unordered_map<std::size_t, SourceRange> taken;
};

void add_wire(Reading& reading, const Node& node, ShieldedWires& wires, Shield& shield) {
    const auto found = wires.by_number.find(node.text());
    if (found == wires.by_number.end() &&
        (reading.wires.is_unread() || reading.wires.find(node.text()))) {
        return; // its ends, or all circuits, were complained of
    }
    if (found == wires.by_number.end()) {
        reading.complain(Rule::unknown_reference, shield.name, node.where(),
                         fmt::format("there is no wire {}", quoted(node.text())),
                         reading.suggest(node.text(), reading.wires.names()));
        return;
    }
    const auto [taken, is_free] = wires.taken.emplace(found->second.index(), node.where());
    if (!is_free) {
        reading
            .complain(Rule::contradiction, shield.name, node.where(),
                      fmt::format("wire {} lies in a shield already", node.text()),
                      "name a wire in one shield, and once")
            .related.push_back({taken->second, "it is named here"});
        return;
    }
    shield.around.push_back({found->second, node.where()});
}

void read_drains(const Fields& fields, Shield& shield) {
    Reading& reading = fields.reading();
    for (const Node& node : fields.words("drain")) {
        if (const auto end = read_wire_end(reading, node, shield.name, PathRole::ends)) {
            shield.drains.push_back({*end, node.where()});
        }
    }
}

void read_shield(Reading& reading, const Entry& entry, ShieldedWires& wires) {
    if (!reading.add_name(reading.shields, "shield", entry.key, reading.vehicle.shields.size())) {
        return;
    }
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), shield_keys);
    if (!fields.is_map()) {
        return;
    }
    Shield shield;
    shield.name = entry.key.text();
    shield.where = entry.key.where();
    (void)fields.text("title");
    (void)fields.text("note");
    if (fields.need("around").is_valid()) {
        const std::vector<Node> around = fields.words("around");
        for (const Node& node : around) {
            add_wire(reading, node, wires, shield);
        }
        if (fields.get("around").is_list() && fields.get("around").size() == 0) {
            fields.complain(Rule::wrong_shape, "around", "a shield lies around one wire at least",
                            "write the numbers of its wires: `around: [9.1, 9.2]`");
        }
    }
    read_drains(fields, shield);
    reading.vehicle.shields.push_back(std::move(shield));
}

} // namespace

void read_shields(Reading& reading, const Node& section) {
    if (!is_map_of_names(reading, section, "shields")) {
        return;
    }
    ShieldedWires wires(reading.vehicle);
    for (const Entry entry : section.entries()) {
        read_shield(reading, entry, wires);
    }
}

} // namespace loomwright
