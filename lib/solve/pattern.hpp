// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cstdint>
#include <vector>

namespace loomwright::solve {

/// What a branch does to the shape of the problem.
enum class Role : std::uint8_t {
    absent, ///< carries no current whatever its voltage (a load at 0 %): joins nothing
    joins,
    source,
};

/// Everything that depends only on who is joined to whom: islands, the numbering of the unknowns in
/// an order of little fill, and the places of the matrix that each branch adds to.
///
/// An unknown is a node's voltage against the reference of its island. References have the number
/// `unknown_count`, one past the last, so that inner loops need no test for them.
class Pattern {
public:
    /// True when the pattern was made from the same branches.
    [[nodiscard]] bool matches(const Circuit& circuit, const std::vector<Role>& roles) const;
    /// Analyses the circuit anew. Node numbers must have been checked.
    void build(const Circuit& circuit, const std::vector<Role>& roles);

    Index unknown_count = 0;
    std::vector<Index> unknown_of_node; ///< -1: floating
    std::vector<Index> branch;          ///< circuit branch of each term: those with a voltage
    std::vector<Index> from;            ///< unknown at the plus end of each term
    std::vector<Index> to;              ///< unknown at the minus end of each term
    std::vector<Index> slot;            ///< entry of each term in the triangle; -1: none
    std::vector<Index> column_start;    ///< strict upper triangle by columns, rows ascending
    std::vector<Index> row;
    std::vector<std::uint8_t> island_is_fed; ///< by island root (a node): has a source

private:
    void find_islands(const Circuit& circuit);
    void choose_references(const Circuit& circuit);
    void number_unknowns(const Circuit& circuit);
    void lay_out_matrix();
    void renumber(const std::vector<Index>& order);
    void fill_triangle();
    [[nodiscard]] Index root(Index node);

    Index node_count_ = -1;
    Index reference_ = -1;
    std::vector<Index> made_from_;
    std::vector<Index> made_to_;
    std::vector<Role> roles_;
    std::vector<Index> parent_;
    std::vector<Index> island_reference_; ///< by island root
    std::vector<Index> bucket_;           ///< scratch of the counting sorts
    std::vector<Index> by_row_;
    std::vector<Index> by_column_;
};

} // namespace loomwright::solve
