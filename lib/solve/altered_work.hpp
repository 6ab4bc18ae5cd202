// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

// The inside of AlteredSolver: altered.cpp alters, altered_rounds.cpp and altered_ports.cpp solve.

#include "solve/altered_parts.hpp"
#include "solve/rank_updates.hpp"

#include <cstddef>
#include <limits>
#include <span>
#include <vector>

namespace loomwright::solve {

/// What both searches go by.
constexpr std::size_t most_updates = 24;
constexpr double step_cap = 1e3;          ///< of the emf: farther is nonsense
constexpr double far = 1.5;               ///< of the emf: no voltage of a circuit moves so far
constexpr double volts_tolerance = 1e-11; ///< of the emf
constexpr double amps_tolerance = 1e-12;  ///< of the source current
constexpr double bend_volts = 0.05;       ///< laws are straight over less than this
constexpr int chord_limit = 2;

struct AlteredSolver::Work {
    explicit Work(const AlteredBase::Parts& parts)
        : base(parts), islands(parts.islands), updates(parts.high.size() - 1),
          port_ohm(parts.laws.size(), std::numeric_limits<double>::quiet_NaN()) {
        reset();
    }

    void reset();
    LawTerm& law_of(std::size_t term);
    void hold(const std::vector<Islands::Change>& nodes);
    void open(Index branch);
    void put(Index branch, Law law, double a, double b, double c);
    void bridge(Index from, Index to, double siemens);

    void evaluate();
    [[nodiscard]] bool is_far_off(const LawTerm& law) const;
    [[nodiscard]] double ohm_of(std::size_t law);
    [[nodiscard]] Index add_update(std::size_t law);
    [[nodiscard]] bool is_slow(std::size_t law, double changed);
    [[nodiscard]] bool choose_updates();
    [[nodiscard]] bool refactor();
    [[nodiscard]] bool step_from_columns();
    [[nodiscard]] double find_step();
    [[nodiscard]] bool take_chords(double greatest);
    void go(double share);
    void move(double greatest);
    [[nodiscard]] bool is_balanced(double share) const;
    [[nodiscard]] bool may_come_on();
    [[nodiscard]] bool may_fall();
    [[nodiscard]] bool iterate();
    [[nodiscard]] bool search();
    [[nodiscard]] bool start_anew();

    // altered_ports.cpp
    [[nodiscard]] bool search_ports();
    [[nodiscard]] bool list_live_ports();
    void table_base_ports();
    void table_other_ports();
    void add_port_amps(std::size_t port, double amps, std::vector<double>& volts) const;
    [[nodiscard]] double port_excess(std::size_t port);
    void begin_ports();
    void choose_ports();
    [[nodiscard]] bool find_port_step();
    [[nodiscard]] double greatest_port_step() const;
    [[nodiscard]] bool take_port_chords(double greatest);
    void move_ports();
    [[nodiscard]] bool leave_ports();

    [[nodiscard]] double source_amps() const;
    void note_balance();
    [[nodiscard]] Circuit present() const;

    [[nodiscard]] Index unknown(Index node) const {
        return base.pattern.unknown_of_node[static_cast<std::size_t>(node)];
    }
    [[nodiscard]] bool floats(Index node) const {
        return unknown(node) < 0 || !islands.is_fed(node);
    }

    /// Scratch of a search by ports, each by its number among the live ones.
    struct PortSearch {
        std::vector<std::size_t> live;   ///< laws that carry an excess or may
        std::vector<std::size_t> tabled; ///< of `live` at the last search, those of the base
        std::size_t stride = 0;          ///< of `table`
        std::vector<double> table;  ///< by port: volts at every port from one ampere through it
        std::vector<double> moved;  ///< volts across, from the base
        std::vector<double> excess; ///< amps beyond those of the base's straight lines
        std::vector<double> answer; ///< volts that the excess of all makes
        std::vector<double> change; ///< siemens beyond those in the factors
        std::vector<double> step;
        std::vector<std::size_t> chosen; ///< those whose change the step counts with
        SmallSystem system;
        std::vector<double> right;

        [[nodiscard]] double between(std::size_t a, std::size_t b) const {
            return table[a * stride + b];
        }
    };
    struct Bridge {
        Index from = 0; ///< node
        Index to = 0;
        double siemens = 0.0;
        Index law = -1; ///< into laws; -1: it carries nothing
    };

    const AlteredBase::Parts& base;
    std::vector<std::uint8_t> in_force;
    std::vector<StraightTerm> straight;
    std::vector<Index> law_of_term;
    std::vector<LawTerm> laws;
    std::vector<double> steady;
    Islands islands;
    std::vector<Bridge> bridges;
    bool is_as_base = false; ///< nothing was altered since the reset
    bool is_at_base = false; ///< voltages are those of the base

    std::vector<double> moved;     ///< by unknown, volts from the base
    std::vector<double> imbalance; ///< amperes leaving each unknown; the reference's is put to 0
    std::vector<double> step;
    RankUpdates updates;
    std::vector<double> port_ohm; ///< by law of the base; NaN: not yet known
    Factor own;                   ///< made anew on the way
    bool is_own_analysed = false;
    const Factor* factor = nullptr;
    std::vector<Islands::Change> changes;
    PortSearch ports;
    bool is_creeping = false; ///< the last round gained little
    double greatest_imbalance = 0.0;
    double supplied = 0.0;
    AlteredCounts counts;
};

/// What a load or a source that is flat where it stands looks like from its point of rest, siemens.
[[nodiscard]] double chord_from_rest(const LawTerm& law, double volts);

} // namespace loomwright::solve
