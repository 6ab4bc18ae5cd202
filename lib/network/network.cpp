// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/network.hpp"

#include "network/nodes.hpp"

#include <algorithm>

namespace loomwright {
namespace {

/// A resistor up to this lets 12 V drive 120 A: more than any wire that it might stand before as a
/// load does for good. Behind it a wire is fed as behind a connector.
constexpr double most_shunt_ohm = 0.1;

constexpr int positions_a_block = 64;

/// Adds the branches of all wires and devices to a network whose nodes are numbered.
class BranchMaker {
public:
    BranchMaker(const Vehicle& vehicle, const NodeMap& nodes, Network& network)
        : vehicle_(vehicle), nodes_(nodes), network_(network) {
        network_.device_branches.resize(vehicle.devices.size());
        network_.always_live.resize(vehicle.devices.size());
    }

    void make() {
        for (std::size_t i = 0; i < vehicle_.wires.size(); ++i) {
            network_.wire_branch.push_back(static_cast<int>(network_.branches.size()));
            network_.branches.push_back({.kind = BranchKind::wire,
                                         .from = nodes_.wire_from(WireId(i)),
                                         .to = nodes_.wire_to(WireId(i)),
                                         .wire = WireId(i)});
        }
        for (const LeadNodes& lead : nodes_.leads()) {
            add(lead.device, BranchKind::lead, lead.outer, lead.inner, lead.terminal);
        }
        for (const Joint& joint : nodes_.joints()) {
            add(joint.device, BranchKind::joint, joint.first, joint.second, joint.cavity);
            if (joint.mate.is_valid()) {
                network_.device_branches[joint.mate.index()].push_back(
                    static_cast<int>(network_.branches.size()) - 1);
            }
        }
        for (std::size_t i = 0; i < vehicle_.devices.size(); ++i) {
            id_ = DeviceId(i);
            std::visit([this](const auto& spec) { make(spec); }, device().spec);
            bond_case();
        }
        // What a feed of a controller hangs on is known only when all the rest is there.
        const std::vector<std::uint8_t> live = always_live_nodes();
        const std::vector<std::vector<std::uint8_t>> wired = wired_terminals(vehicle_);
        for (std::size_t i = 0; i < vehicle_.devices.size(); ++i) {
            id_ = DeviceId(i);
            if (const auto* controller = device().as<Controller>()) {
                make_controller(*controller, live, wired[i]);
            }
        }
    }

private:
    [[nodiscard]] const Device& device() const { return vehicle_.device(id_); }

    int add(DeviceId owner, BranchKind kind, int from, int to, int part = 0) {
        const auto index = static_cast<int>(network_.branches.size());
        network_.branches.push_back(
            {.kind = kind, .from = from, .to = to, .device = owner, .part = part});
        network_.device_branches[owner.index()].push_back(index);
        return index;
    }

    [[nodiscard]] int terminal(int index) const {
        const auto& own = network_.terminal_nodes[id_.index()];
        return index < 0 ? -1 : own[static_cast<std::size_t>(index)];
    }

    /// Adds a branch between two terminals of the device at hand; nothing where it lacks one.
    void between(BranchKind kind, std::string_view from, std::string_view to, int part = 0) {
        const int a = terminal(device().terminal(from));
        const int b = terminal(device().terminal(to));
        if (a >= 0 && b >= 0) {
            add(id_, kind, a, b, part);
        }
    }

    void bond_case() {
        const Device& here = device();
        if (here.case_body && here.case_terminal >= 0) {
            add(id_, BranchKind::bond, terminal(here.case_terminal), body(*here.case_body));
        }
    }
    [[nodiscard]] int body(int index) const {
        return network_.body_nodes[static_cast<std::size_t>(index)];
    }

    void make(const Battery&) { between(BranchKind::battery, "+", "-"); }
    void make(const Alternator&) {
        between(BranchKind::alternator, "B+", "-");
        between(BranchKind::resistor, "B+", "D+", 1);
        between(BranchKind::resistor, "D+", "-", 2);
    }
    void make(const Charger&) { between(BranchKind::charger, "+", "-"); }
    /// Across a coil fed at `plus`; a diode there blocks while the coil is fed.
    void suppress(Suppression suppression, std::string_view plus, std::string_view minus) {
        if (suppression == Suppression::resistor) {
            between(BranchKind::suppressor, plus, minus);
        } else if (suppression == Suppression::diode) {
            between(BranchKind::suppressor, minus, plus);
        }
    }
    void make(const Starter& starter) {
        between(BranchKind::coil, "50", "31");
        suppress(starter.suppression, "50", "31");
        const int motor = nodes_.starter_motor(id_);
        const int feed = terminal(device().terminal("30"));
        const int ground = terminal(device().terminal("31"));
        if (feed >= 0 && ground >= 0) {
            add(id_, BranchKind::contact, feed, motor);
            add(id_, BranchKind::load, motor, ground);
        }
    }
    void make(const Protection&) { between(BranchKind::protection, "in", "out"); }
    void make(const Relay& relay) {
        between(BranchKind::contact, "30", "87", 0);
        if (relay.has_break_contact) {
            between(BranchKind::contact, "30", "87a", 1);
        }
        between(BranchKind::coil, "86", "85");
        suppress(relay.suppression, "86", "85");
    }
    void make(const Flasher&) { between(BranchKind::contact, "49", "49a"); }
    void make(const Switch& made) {
        struct Contact {
            int low;
            int high;
            int block;
            int branch;
        };
        std::vector<Contact> seen;
        for (std::size_t p = 0; p < made.positions.size(); ++p) {
            const int block = static_cast<int>(p) / positions_a_block;
            const std::uint64_t bit = std::uint64_t{1} << (p % positions_a_block);
            for (const ContactPair& pair : made.positions[p].closed) {
                const int low = std::min(pair.from, pair.to);
                const int high = std::max(pair.from, pair.to);
                auto found = std::ranges::find_if(seen, [&](const Contact& contact) {
                    return contact.low == low && contact.high == high && contact.block == block;
                });
                if (found == seen.end()) {
                    const int branch = add(id_, BranchKind::contact, terminal(pair.from),
                                           terminal(pair.to), block);
                    found = seen.insert(seen.end(), {low, high, block, branch});
                }
                network_.branches[static_cast<std::size_t>(found->branch)].positions |= bit;
            }
        }
    }
    void make(const Load& load) {
        between(BranchKind::load, "+", "-");
        suppress(load.suppression, "+", "-");
    }
    void make(const Sensor& sensor) {
        if (sensor.draws) {
            between(BranchKind::load, "+", "-");
        }
    }
    void make(const Ground& ground) { add(id_, BranchKind::bond, terminal(0), body(ground.body)); }
    void make(const Strap& strap) {
        add(id_, BranchKind::strap, body(strap.body_a), body(strap.body_b));
    }
    void make(const Diode&) { between(BranchKind::diode, "a", "k"); }
    void make(const Resistor& resistor) {
        const bool limits = resistor.resistance.value() > most_shunt_ohm;
        between(limits ? BranchKind::resistor : BranchKind::shunt, "1", "2");
    }
    void make(const Splice&) {}
    void make(const Stud&) {}
    void make(const Connector&) {}
    void make(const Unit&) {}
    void make(const Controller&) {}

    /// Nodes that a battery holds live whatever the contacts do.
    [[nodiscard]] std::vector<std::uint8_t> always_live_nodes() const {
        const auto count = static_cast<std::size_t>(network_.node_count());
        std::vector<std::vector<int>> joined(count);
        std::vector<std::uint8_t> live(count, 0);
        std::vector<int> open;
        for (const Branch& branch : network_.branches) {
            switch (branch.kind) {
            case BranchKind::wire:
            case BranchKind::lead:
            case BranchKind::joint:
            case BranchKind::shunt:
            case BranchKind::protection:
                joined[static_cast<std::size_t>(branch.from)].push_back(branch.to);
                joined[static_cast<std::size_t>(branch.to)].push_back(branch.from);
                break;
            case BranchKind::diode:
                joined[static_cast<std::size_t>(branch.from)].push_back(branch.to);
                break;
            case BranchKind::battery:
                open.push_back(branch.from);
                break;
            default:
                break;
            }
        }
        while (!open.empty()) {
            const auto here = static_cast<std::size_t>(open.back());
            open.pop_back();
            if (live[here] == 0) {
                live[here] = 1;
                open.insert(open.end(), joined[here].begin(), joined[here].end());
            }
        }
        return live;
    }

    /// `live`: nodes with no contact between them and a battery; `wired`: terminals with a wire.
    void make_controller(const Controller& controller, const std::vector<std::uint8_t>& live,
                         const std::vector<std::uint8_t>& wired) {
        const int ground = nodes_.controller_ground(id_);
        if (device().case_body && device().case_terminal < 0 && ground >= 0) {
            add(id_, BranchKind::bond, ground, body(*device().case_body));
        }
        auto& always = network_.always_live[id_.index()];
        always.assign(device().terminals.size(), 0);
        std::vector<int> feeds; // the switched ones first
        for (const bool is_live : {false, true}) {
            for (std::size_t t = 0; t < controller.parts.size(); ++t) {
                const int node = terminal(static_cast<int>(t));
                if (controller.parts[t].part == TerminalPart::feed &&
                    (live[static_cast<std::size_t>(node)] != 0) == is_live) {
                    always[t] = is_live ? 1 : 0;
                    feeds.push_back(static_cast<int>(t));
                }
            }
        }
        if (ground >= 0 && (controller.draws || controller.sleeps)) {
            for (const int feed : feeds) {
                add(id_, BranchKind::load, terminal(feed), ground, feed);
            }
        }
        // For outputs that name no feed: the first that has a wire.
        const auto usual = std::find_if(feeds.begin(), feeds.end(), [&wired](int feed) {
            return wired[static_cast<std::size_t>(feed)] != 0;
        });
        const int unnamed = usual != feeds.end() ? *usual : (feeds.empty() ? -1 : feeds.front());
        for (std::size_t t = 0; t < controller.parts.size(); ++t) {
            const auto part = static_cast<int>(t);
            if (controller.parts[t].part == TerminalPart::low_side && ground >= 0) {
                add(id_, BranchKind::output, terminal(part), ground, part);
            } else if (controller.parts[t].part == TerminalPart::high_side && unnamed >= 0) {
                const int named = controller.parts[t].feed;
                add(id_, BranchKind::output, terminal(named >= 0 ? named : unnamed), terminal(part),
                    part);
            }
        }
    }

    const Vehicle& vehicle_;
    const NodeMap& nodes_;
    Network& network_;
    DeviceId id_;
};

/// Chassis if anything is bonded to it, else the first body with a bond, else the first battery's
/// minus.
int choose_reference(const Vehicle& vehicle, const Network& network) {
    std::vector<std::uint8_t> bonded(static_cast<std::size_t>(network.node_count()), 0);
    int minus = -1;
    for (const Branch& branch : network.branches) {
        if (branch.kind == BranchKind::bond) {
            bonded[static_cast<std::size_t>(branch.to)] = 1;
        } else if (branch.kind == BranchKind::battery && minus < 0) {
            minus = branch.to;
        }
    }
    int first = -1;
    for (std::size_t i = 0; i < network.body_nodes.size(); ++i) {
        const int node = network.body_nodes[i];
        if (bonded[static_cast<std::size_t>(node)] == 0) {
            continue;
        }
        if (vehicle.bodies[i] == "chassis") {
            return node;
        }
        first = first < 0 ? node : first;
    }
    return first >= 0 ? first : minus;
}

} // namespace

Network build_network(const Vehicle& vehicle) {
    Network network;
    const NodeMap nodes(vehicle, network);
    BranchMaker(vehicle, nodes, network).make();
    network.reference = choose_reference(vehicle, network);
    return network;
}

} // namespace loomwright
