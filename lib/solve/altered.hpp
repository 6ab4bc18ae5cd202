// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

namespace loomwright::solve {

/// A circuit at its operating point, with the factors of its matrix there: what every altered
/// circuit starts from. Const once made, so that threads may share it.
class AlteredBase {
public:
    /// `circuit` holds every branch that may come into force; those with `in_force` 0 conduct
    /// nothing, whatever their parameters. `start`: node voltages near the answer; empty: none.
    AlteredBase(const Circuit& circuit, std::vector<std::uint8_t> in_force,
                std::span<const double> start = {});
    ~AlteredBase();
    AlteredBase(AlteredBase&&) noexcept;
    AlteredBase& operator=(AlteredBase&&) noexcept;
    AlteredBase(const AlteredBase&) = delete;
    AlteredBase& operator=(const AlteredBase&) = delete;

    /// False: a parameter is not possible, or the circuit has no answer.
    [[nodiscard]] bool is_solved() const;

private:
    friend class AlteredSolver;
    struct Parts;
    std::unique_ptr<const Parts> parts_;
};

/// How operating points were found.
struct AlteredCounts {
    std::uint64_t points = 0;       ///< asked for
    std::uint64_t rounds = 0;       ///< solutions with factors at hand
    std::uint64_t refactored = 0;   ///< points for which the factors were made anew on the way
    std::uint64_t from_nothing = 0; ///< points that were left to `Solver`
};

/// Operating points of a circuit after branches were opened, closed, changed or bridged, each from
/// the one before: see altered.cpp.
class AlteredSolver {
public:
    /// The base is solved, and outlives this.
    explicit AlteredSolver(const AlteredBase& base);
    ~AlteredSolver();
    AlteredSolver(AlteredSolver&&) noexcept;
    AlteredSolver& operator=(AlteredSolver&&) noexcept;
    AlteredSolver(const AlteredSolver&) = delete;
    AlteredSolver& operator=(const AlteredSolver&) = delete;

    /// The base again, with nothing altered.
    void reset();
    /// Takes a branch out of force.
    void open(Index branch);
    /// Puts a branch into force with these parameters, which are possible ones.
    void put(Index branch, Law law, double a, double b, double c);
    /// A conductor that the circuit does not have, until the next reset.
    void bridge(Index from, Index to, double siemens);

    /// The operating point of the circuit as it is now, with the proof of `Solver`: no node out of
    /// balance by more than 1e-9 of what the sources deliver. False when none is found; then the
    /// voltages mean nothing.
    [[nodiscard]] bool solve();

    // Of the last solve.
    /// Against the reference of its island; 0 where floating.
    [[nodiscard]] double volts(Index node) const;
    /// From `a` to `b`; 0 where one of them floats.
    [[nodiscard]] double volts_between(Index a, Index b) const;
    [[nodiscard]] bool is_floating(Index node) const;
    /// Through a branch, from `from` to `to`; 0 out of force.
    [[nodiscard]] double amps(Index branch) const;
    /// Through the bridge added last; 0 without one.
    [[nodiscard]] double bridge_amps() const;
    [[nodiscard]] double imbalance_a() const;
    [[nodiscard]] double source_current_a() const;
    [[nodiscard]] bool is_in_force(Index branch) const;

    [[nodiscard]] const AlteredCounts& counts() const;

private:
    struct Work;
    std::unique_ptr<Work> work_;
};

} // namespace loomwright::solve
