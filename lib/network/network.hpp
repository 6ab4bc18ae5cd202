// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace loomwright {

/// What a branch of the electrical graph is.
enum class BranchKind : std::uint8_t {
    wire,
    lead, ///< lead of a supplied harness
    bond, ///< ground stud or case to its body of metal
    strap,
    protection, ///< fuse, breaker, fusible link
    contact,    ///< of a relay, switch, starter solenoid, flasher
    output,     ///< of a controller: low side to ground, high side from feed
    joint,      ///< connector cavity
    coil,       ///< of a relay or a starter solenoid
    suppressor, ///< resistor or diode across a coil
    load,
    battery,
    alternator,
    charger,
    diode,
    resistor,
    shunt, ///< a resistor of so few ohms that it limits nothing: a meter's, in the feed
};

/// One two-terminal element that may conduct.
struct Branch {
    BranchKind kind = BranchKind::wire;
    int from = 0; ///< node; for a source its plus, for a load its inlet
    int to = 0;
    WireId wire;     ///< of a wire; else invalid
    DeviceId device; ///< that it belongs to; invalid for a wire
    /// Which of the device's: a relay's contact (0 = 30-87, 1 = 30-87a), a connector's cavity, the
    /// terminal of an output, of a lead, of a controller's feed, an alternator's exciter (1) or
    /// field (2); for a switch the block of 64 positions that `positions` speaks of.
    int part = 0;
    /// For a contact of a switch: bit p set = closed in position 64 part + p.
    std::uint64_t positions = 0;

    /// The node at the other end.
    [[nodiscard]] int other_end(int node) const { return from == node ? to : from; }
};

/// The electrical graph: terminals, wires, contacts, fuses, bodies of metal. Every branch that any
/// state may use is there; a study says which conduct.
struct Network {
    std::vector<std::string> node_names; ///< "F10.out", "chassis"; first terminal met names a node
    /// By DeviceId, by terminal: the device's own side of a supplied lead, and the side of a
    /// connector's cavity at which wires arrive.
    std::vector<std::vector<int>> terminal_nodes;
    std::vector<int> body_nodes; ///< by body
    int reference = -1; ///< chassis if anything is bonded to it; else the first battery's minus
    std::vector<Branch> branches;
    std::vector<int> wire_branch; ///< by WireId
    /// By DeviceId, indices into branches; a controller's switched feeds stand before the live
    /// ones.
    std::vector<std::vector<int>> device_branches;
    /// By DeviceId, by terminal: for a controller's feed, 1 = no contact stands between it and a
    /// battery; empty for other kinds.
    std::vector<std::vector<std::uint8_t>> always_live;

    [[nodiscard]] int node_count() const { return static_cast<int>(node_names.size()); }
    /// Node of a terminal; a wire may land on another side of it: see the wire's branch.
    [[nodiscard]] int node(TerminalRef ref) const {
        return terminal_nodes[ref.device.index()][static_cast<std::size_t>(ref.terminal)];
    }
};

[[nodiscard]] Network build_network(const Vehicle& vehicle);

} // namespace loomwright
