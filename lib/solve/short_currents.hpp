// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"
#include "solve/factor.hpp"
#include "solve/pattern_shelf.hpp"

#include <memory>
#include <vector>

namespace loomwright::solve {

/// What two nodes, both shorted to the reference, draw from the rest of the circuit.
struct ShortPair {
    double a_amps = 0.0; ///< into the short at the first node
    double b_amps = 0.0; ///< and at the second
};

/// The currents of dead shorts to the reference of a circuit, all from one factorisation (equations
/// in short_currents.cpp). Conductances and sources count; a source that limits itself gives its
/// limit at any voltage; loads and diodes carry nothing.
class ShortCurrents {
public:
    explicit ShortCurrents(const Circuit& circuit, PatternShelf* shelf = nullptr);

    /// Nothing drives a current at the node, or it is not joined to the reference.
    [[nodiscard]] bool is_dead(Index node) const;
    /// Voltage of a node with no short anywhere, V.
    [[nodiscard]] double open_volts(Index node) const;
    /// Into one short at a node that is not dead, A.
    [[nodiscard]] double at_node(Index node);
    /// Into two shorts at once, at nodes that are not dead. The branches between the two carry
    /// nothing, so that each current is what comes from its own side.
    [[nodiscard]] ShortPair at_pair(Index a, Index b);

private:
    [[nodiscard]] Index unknown(Index node) const;
    void find_joined(const Circuit& circuit);
    void assemble(const Circuit& circuit);

    std::shared_ptr<const AnalysedPattern> pattern_;
    Factor factor_;
    std::vector<std::uint8_t> is_joined_; ///< by node: to the reference
    std::vector<double> volts_;           ///< by unknown
    bool is_solved_ = false;
};

} // namespace loomwright::solve
