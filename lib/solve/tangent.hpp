// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"
#include "solve/factor.hpp"
#include "solve/pattern.hpp"

#include <span>
#include <vector>

namespace loomwright::solve {

/// The linear circuit that touches a solved one at its operating point: every branch by the slope
/// of its law (equations in tangent.cpp). What a small change anywhere does everywhere.
class Tangent {
public:
    /// `node_volts` are those of the operating point. The circuit holds no branch that joins
    /// nothing (a load of 0 A).
    Tangent(const Circuit& circuit, std::span<const double> node_volts);

    /// False: the slopes make no invertible matrix.
    [[nodiscard]] bool is_solved() const { return is_solved_; }
    /// Slope of a branch, S.
    [[nodiscard]] double siemens(Index branch) const {
        return siemens_[static_cast<std::size_t>(branch)];
    }
    /// What one ampere led into one node and out of another makes of the voltage of every node,
    /// ohm: by node, 0 at references and where floating. Also how the voltage between the two
    /// answers to one ampere into each node: the matrix is symmetric.
    [[nodiscard]] std::vector<double> respond(Index into, Index out_of) const;

private:
    Pattern pattern_;
    Factor factor_;
    std::vector<double> siemens_; ///< by branch
    bool is_solved_ = false;
};

} // namespace loomwright::solve
