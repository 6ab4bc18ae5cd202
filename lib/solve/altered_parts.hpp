// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

// What altered_base.cpp and altered.cpp share.

#include "solve/altered.hpp"
#include "solve/factor.hpp"
#include "solve/islands.hpp"
#include "solve/laws.hpp"
#include "solve/pattern.hpp"
#include "solve/split_volts.hpp"

#include <span>
#include <vector>

namespace loomwright::solve {

/// A branch whose current is that of the base and a conductance times what its voltage moved.
struct StraightTerm {
    Index from = 0; ///< unknown
    Index to = 0;
    double siemens = 0.0; ///< 0: out of force, or a LawTerm speaks for it
};

/// A branch whose current is taken from its law each time: a law that bends, or a branch that is
/// not as in the base.
struct LawTerm {
    Law law = Law::conductance;
    bool in_force = false;
    bool is_altered = false; ///< its part of the matrix must be exact
    bool has_place = true;   ///< in the matrix; false: a bridge between two unknowns
    bool is_hold = false;    ///< no branch: keeps an island at 0 V
    Index from = 0;          ///< unknown
    Index to = 0;
    Index place = -1;  ///< off the diagonal of the matrix; -1: none
    Index update = -1; ///< its update of the matrix; -1: none
    double a = 0.0;
    double b = 0.0;
    double c = 0.0;
    double high = 0.0; ///< voltage across in the base
    double low = 0.0;
    double base_amps = 0.0;
    double kept = 0.0;     ///< siemens that it has in the factors
    double amps = 0.0;     ///< where the solver stands
    double expected = 0.0; ///< amperes that the last step was to lead to
    double siemens = 0.0;  ///< that it should have in the matrix there
};

/// What one ampere through each law of the base does to the base, worked out once where that does
/// not take too much memory.
struct PortTable {
    std::size_t count = 0;       ///< of laws; 0: not worked out
    std::size_t width = 0;       ///< unknowns, and one for the reference
    std::vector<double> columns; ///< by law: volts of every unknown
    std::vector<double> between; ///< by law: volts across every law

    [[nodiscard]] bool is_known() const { return count > 0; }
    [[nodiscard]] std::span<const double> column(std::size_t law) const {
        return std::span(columns).subspan(law * width, width);
    }
    [[nodiscard]] std::span<const double> row(std::size_t law) const {
        return std::span(between).subspan(law * count, count);
    }
    [[nodiscard]] double between_ports(std::size_t a, std::size_t b) const {
        return between[a * count + b];
    }
};

struct AlteredBase::Parts {
    Parts(Circuit whole, std::vector<std::uint8_t> which);

    [[nodiscard]] bool take_operating_point(std::span<const double> start);
    void place_terms();
    void lay_out_terms();
    [[nodiscard]] LawTerm law_term(std::size_t term) const;
    void hold_islands();
    void work_out_ports();
    /// Fills the matrix and factorises; false when that fails.
    [[nodiscard]] bool factorise(Factor& into, std::span<const StraightTerm> all_straight,
                                 std::span<const LawTerm> all_laws) const;
    /// Voltage across a pair of unknowns in the base.
    [[nodiscard]] SplitVolts across(Index from, Index to) const;

    Circuit circuit;
    std::vector<std::uint8_t> in_force; ///< by branch
    Meetings meetings;
    Pattern pattern;
    std::vector<Index> fixed; ///< nodes that are the reference of an island of the pattern
    Islands islands;
    std::vector<Index> pattern_island; ///< by node, as if every branch were in force
    Factor factor;
    std::vector<Index> place;           ///< in the factor, of each term; -1: none
    std::vector<Index> term_of_branch;  ///< -1: in no island with a source
    std::vector<StraightTerm> straight; ///< by term
    std::vector<double> straight_amps;  ///< by term: in the base
    std::vector<Index> law_of_term;     ///< into `laws`; -1: straight
    std::vector<LawTerm> laws;          ///< bent ones, then the held nodes
    PortTable ports;
    std::vector<double> high; ///< voltages, by unknown, and 0 for the reference
    std::vector<double> low;
    std::vector<double> steady; ///< by unknown: what straight terms of the base take away from it
    double emf = 1.0;           ///< the highest in the circuit
    double rounding_a = 0.0;    ///< current that rounding of voltages leaves over
    bool is_solved = false;
};

/// A node held at 0 V where no fixed one does it: no current flows there, so that any conductance
/// will do.
constexpr double hold_siemens = 1.0;

/// False for a law that carries nothing whatever its voltage.
[[nodiscard]] bool is_there(Law law, double a, double c);

} // namespace loomwright::solve
