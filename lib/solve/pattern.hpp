// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/chains.hpp"
#include "solve/circuit.hpp"

#include <cstdint>
#include <vector>

namespace loomwright::solve {

/// What a branch does to the shape of the problem.
enum class Role : std::uint8_t {
    absent, ///< carries no current whatever its voltage (a load at 0 %): joins nothing
    joins,
    conducts, ///< joins, and its current goes with its voltage
    source,
};

/// Which unknowns there are.
enum class Unknowns : std::uint8_t {
    all, ///< one for each node, and a term for each branch
    /// None for what follows from others: nodes that only branches without a current join share
    /// one (idle_branches.hpp), and a chain of conductances is one term (chains.hpp).
    needed,
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
    void build(const Circuit& circuit, const std::vector<Role>& roles,
               Unknowns wanted = Unknowns::all);

    static constexpr Index floating = -1;
    static constexpr Index in_chain = -2; ///< between the branches of a chain

    Index unknown_count = 0;
    std::vector<Index> unknown_of_node; ///< or `floating`, or `in_chain`
    std::vector<Index> node_of_unknown; ///< one of those that share it, with a term at it if any is
    std::vector<Index> level_of_node;   ///< one and the same of those that share an unknown
    Chains chains;                      ///< by term, where only needed unknowns are wanted
    std::vector<Index> branch;          ///< circuit branch of each term, the first of its chain
    std::vector<Index> from_node;       ///< at the plus end of each term
    std::vector<Index> to_node;         ///< at the minus end of each term
    std::vector<Index> from;            ///< unknown at the plus end of each term
    std::vector<Index> to;              ///< unknown at the minus end of each term
    std::vector<Index> slot;            ///< entry of each term in the triangle; -1: none
    std::vector<Index> column_start;    ///< strict upper triangle by columns, rows ascending
    std::vector<Index> row;
    std::vector<std::uint8_t> island_is_fed; ///< by island root (a node): has a source

private:
    void find_islands(const Circuit& circuit);
    void find_levels(const Circuit& circuit);
    void choose_references(const Circuit& circuit);
    [[nodiscard]] std::vector<Index> live_branches(const Circuit& circuit);
    void find_inner_levels(const Circuit& circuit);
    void number_unknowns();
    void list_terms(const Circuit& circuit, const std::vector<Index>& live);
    void add_term(const Circuit& circuit, const Link& first, const Link& last);
    void lay_out_matrix();
    void renumber(const std::vector<Index>& order);
    void fill_triangle();

    Index node_count_ = -1;
    Index reference_ = -1;
    std::vector<Index> made_from_;
    std::vector<Index> made_to_;
    std::vector<Role> roles_;
    std::vector<Index> parent_;           ///< towards the root of the island
    std::vector<Index> island_reference_; ///< by island root: the level at 0 V
    std::vector<std::uint8_t> is_idle_;   ///< by branch
    std::vector<std::uint8_t> is_inner_;  ///< by level: in a chain
    std::vector<Index> bucket_;           ///< scratch of the counting sorts
    std::vector<Index> by_row_;
    std::vector<Index> by_column_;
};

} // namespace loomwright::solve
