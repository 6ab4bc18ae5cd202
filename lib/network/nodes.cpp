// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/nodes.hpp"

#include <algorithm>

namespace loomwright {
namespace {

bool is_one_node(const Device& device) {
    return device.as<Splice>() != nullptr || device.as<Stud>() != nullptr ||
           device.as<Ground>() != nullptr;
}

bool is_ground_part(const Controller& controller, std::size_t terminal) {
    return terminal < controller.parts.size() &&
           controller.parts[terminal].part == TerminalPart::ground;
}

} // namespace

NodeMap::NodeMap(const Vehicle& vehicle, Network& network)
    : vehicle_(vehicle), network_(network), inner_(vehicle.devices.size(), -1),
      leaving_(vehicle.devices.size()) {
    for (const std::string& body : vehicle.bodies) {
        network_.body_nodes.push_back(add(body));
    }
    network_.terminal_nodes.resize(vehicle.devices.size());
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        if (!vehicle.devices[i].housing.is_valid()) {
            number_device(DeviceId(i));
        }
    }
    share_housings();
    landing_ = network_.terminal_nodes;
    number_joints();
    number_leads();
    land_wires();
    balance_cavities();
}

int NodeMap::add(std::string name) {
    network_.node_names.push_back(std::move(name));
    return network_.node_count() - 1;
}

void NodeMap::number_device(DeviceId id) {
    const Device& device = vehicle_.device(id);
    auto& nodes = network_.terminal_nodes[id.index()];
    if (const auto* strap = device.as<Strap>()) {
        nodes = {network_.body_nodes[static_cast<std::size_t>(strap->body_a)],
                 network_.body_nodes[static_cast<std::size_t>(strap->body_b)]};
        nodes.resize(std::max<std::size_t>(device.terminals.size(), 2), nodes.front());
        return;
    }
    if (is_one_node(device)) {
        nodes.assign(std::max<std::size_t>(device.terminals.size(), 1), add(device.name));
        return;
    }
    number_terminals(id);
}

void NodeMap::number_terminals(DeviceId id) {
    const Device& device = vehicle_.device(id);
    const auto* controller = device.as<Controller>();
    auto& nodes = network_.terminal_nodes[id.index()];
    for (std::size_t t = 0; t < device.terminals.size(); ++t) {
        // The grounds of a controller are one conductor inside it.
        const bool is_ground = controller != nullptr && is_ground_part(*controller, t);
        if (is_ground && inner_[id.index()] >= 0) {
            nodes.push_back(inner_[id.index()]);
            continue;
        }
        nodes.push_back(add(device.name + "." + device.terminals[t]));
        if (is_ground) {
            inner_[id.index()] = nodes.back();
        }
    }
    if (controller != nullptr && inner_[id.index()] < 0 && device.case_body) {
        inner_[id.index()] = add(device.name + ".case");
    }
    if (device.as<Starter>() != nullptr) {
        inner_[id.index()] = add(device.name + ".motor");
    }
}

void NodeMap::share_housings() {
    for (std::size_t i = 0; i < vehicle_.devices.size(); ++i) {
        const Device& device = vehicle_.devices[i];
        if (!device.housing.is_valid()) {
            continue;
        }
        auto& nodes = network_.terminal_nodes[i];
        nodes.assign(device.terminals.size(), -1);
        const auto& shared = network_.terminal_nodes[device.housing.index()];
        for (std::size_t t = 0; t < nodes.size(); ++t) {
            const int outer = t < device.housing_terminal.size() ? device.housing_terminal[t] : -1;
            if (outer >= 0 && static_cast<std::size_t>(outer) < shared.size()) {
                nodes[t] = shared[static_cast<std::size_t>(outer)];
            } else {
                nodes[t] = add(device.name + "." + device.terminals[t]);
            }
        }
        if (device.as<Starter>() != nullptr) {
            inner_[i] = add(device.name + ".motor");
        }
    }
}

void NodeMap::number_joints() {
    std::vector<DeviceId> mate(vehicle_.devices.size());
    for (std::size_t i = 0; i < vehicle_.devices.size(); ++i) {
        const auto* connector = vehicle_.devices[i].as<Connector>();
        if (connector != nullptr && connector->mate.is_valid()) {
            mate[i] = connector->mate;
            if (!mate[connector->mate.index()].is_valid()) {
                mate[connector->mate.index()] = DeviceId(i);
            }
        }
    }
    for (std::size_t i = 0; i < vehicle_.devices.size(); ++i) {
        const Device& device = vehicle_.devices[i];
        if (device.as<Connector>() == nullptr) {
            continue;
        }
        const auto& near = network_.terminal_nodes[i];
        for (std::size_t c = 0; c < device.terminals.size(); ++c) {
            if (!mate[i].is_valid()) {
                const int far = add(device.name + "." + device.terminals[c] + "'");
                leaving_[i].push_back(far);
                joints_.push_back({DeviceId(i), {}, static_cast<int>(c), near[c], far});
                continue;
            }
            const int other = vehicle_.device(mate[i]).terminal(device.terminals[c]);
            const bool is_first = mate[mate[i].index()] != DeviceId(i) || DeviceId(i) < mate[i];
            if (other >= 0 && is_first) {
                const int far =
                    network_.terminal_nodes[mate[i].index()][static_cast<std::size_t>(other)];
                joints_.push_back({DeviceId(i), mate[i], static_cast<int>(c), near[c], far});
            }
        }
    }
}

void NodeMap::number_leads() {
    for (const SuppliedHarness& harness : vehicle_.supplied) {
        if (!harness.device.is_valid()) {
            continue;
        }
        auto& landing = landing_[harness.device.index()];
        const auto& own = network_.terminal_nodes[harness.device.index()];
        for (const SuppliedLead& lead : harness.leads) {
            const auto t = static_cast<std::size_t>(lead.terminal);
            if (lead.terminal < 0 || t >= landing.size() || landing[t] != own[t]) {
                continue; // a second lead on one terminal runs beside the first
            }
            landing[t] = add(harness.name + "." + lead.name);
            leads_.push_back({harness.device, lead.terminal, landing[t], own[t]});
        }
    }
}

void NodeMap::land_wires() {
    for (const Wire& wire : vehicle_.wires) {
        const auto from = static_cast<std::size_t>(wire.from.terminal);
        const auto& leaving = leaving_[wire.from.device.index()];
        wire_from_.push_back(from < leaving.size() ? leaving[from]
                                                   : landing_[wire.from.device.index()][from]);
        wire_to_.push_back(
            landing_[wire.to.device.index()][static_cast<std::size_t>(wire.to.terminal)]);
    }
}

/// A cavity at which all wires arrive (or all leave) still joins two sides: the first wire has one
/// to itself. Written so, when both ends of a path stop at the connector.
void NodeMap::balance_cavities() {
    struct Landing {
        std::size_t wire;
        bool leaves;
    };
    std::vector<std::vector<Landing>> met(static_cast<std::size_t>(network_.node_count()));
    std::vector<int> across(met.size(), -1);
    for (const Joint& joint : joints_) {
        if (!joint.mate.is_valid()) {
            across[static_cast<std::size_t>(joint.first)] = joint.second;
            across[static_cast<std::size_t>(joint.second)] = joint.first;
        }
    }
    for (std::size_t w = 0; w < wire_from_.size(); ++w) {
        if (across[static_cast<std::size_t>(wire_from_[w])] >= 0) {
            met[static_cast<std::size_t>(wire_from_[w])].push_back({w, true});
        }
        if (across[static_cast<std::size_t>(wire_to_[w])] >= 0) {
            met[static_cast<std::size_t>(wire_to_[w])].push_back({w, false});
        }
    }
    for (std::size_t node = 0; node < met.size(); ++node) {
        const int far = across[node];
        if (far < 0 || !met[static_cast<std::size_t>(far)].empty()) {
            continue;
        }
        for (std::size_t k = 1; k < met[node].size(); ++k) {
            const Landing& landing = met[node][k];
            (landing.leaves ? wire_from_ : wire_to_)[landing.wire] = far;
        }
    }
}

int NodeMap::controller_ground(DeviceId device) const {
    return inner_[device.index()];
}

int NodeMap::starter_motor(DeviceId device) const {
    return inner_[device.index()];
}

} // namespace loomwright
