// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

#include <vector>

namespace loomwright {

/// A mated pair of contacts: a cavity with both its sides, or the same cavity of two halves.
struct Joint {
    DeviceId device; ///< owner of the first side
    DeviceId mate;   ///< owner of the second side; invalid: the same device
    int cavity = 0;
    int first = 0;
    int second = 0;
};

/// A lead of a supplied harness, in series with the terminal it is made on to.
struct LeadNodes {
    DeviceId device;
    int terminal = 0;
    int outer = 0; ///< where the car's wire meets it
    int inner = 0;
};

/// Numbers the places of one potential and says at which of them each wire ends.
class NodeMap {
public:
    /// Fills the node names, terminal nodes and body nodes of `network`.
    NodeMap(const Vehicle& vehicle, Network& network);

    [[nodiscard]] int wire_from(WireId wire) const { return wire_from_[wire.index()]; }
    [[nodiscard]] int wire_to(WireId wire) const { return wire_to_[wire.index()]; }
    [[nodiscard]] const std::vector<Joint>& joints() const { return joints_; }
    [[nodiscard]] const std::vector<LeadNodes>& leads() const { return leads_; }
    /// A controller's ground inside: its ground terminals, else its case; -1: it has neither.
    [[nodiscard]] int controller_ground(DeviceId device) const;
    /// The inner node between a starter's contact and its motor.
    [[nodiscard]] int starter_motor(DeviceId device) const;

private:
    int add(std::string name);
    void number_device(DeviceId id);
    void number_terminals(DeviceId id);
    void share_housings();
    void number_leads();
    void number_joints();
    void land_wires();
    void balance_cavities();

    const Vehicle& vehicle_;
    Network& network_;
    std::vector<int> inner_; ///< by DeviceId: a controller's ground or a starter's motor; -1: none
    std::vector<Joint> joints_;
    std::vector<LeadNodes> leads_;
    std::vector<std::vector<int>> landing_; ///< by DeviceId, by terminal: node that wires arrive at
    std::vector<std::vector<int>> leaving_; ///< and that they leave from; empty: the same
    std::vector<int> wire_from_;
    std::vector<int> wire_to_;
};

} // namespace loomwright
