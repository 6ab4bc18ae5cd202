// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"
#include "solve/factor.hpp"
#include "solve/pattern_shelf.hpp"

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

namespace loomwright::solve {

/// Newton's method on the nodal equations of one circuit: the sum of the currents leaving each node
/// is zero. The matrix, sum of g over the branches, is the Hessian of the content function
///   W(v) = sum over branches of the integral of i(v),
/// whose gradient is the imbalance of the nodes; W is convex for every law but constant power, and
/// bounded below, so a search along each step for less W makes the method converge from any start.
///
/// (W. Millar, "Some general theorems for non-linear systems possessing resistance", Philosophical
/// Magazine 42 (1951): the stationary content of a resistive network. From memory.)
///
/// Node voltages are kept as unevaluated sums high + low, so that the drop of a 0.1 mohm cable
/// carrying 10 mA under 12 V is still known to 16 digits.
class Newton {
public:
    /// Takes the numbering of a new pattern, which must stay where it is.
    void analyse(const AnalysedPattern& pattern);
    /// Takes the parameters of a circuit of that pattern. They have been checked.
    void prepare(const Circuit& circuit);
    /// Voltages from a linear circuit in which every load is what it is at the source's voltage.
    void start_cold();
    /// Voltages as given by node.
    void start_from(std::span<const double> node_volts);
    /// Iterates to balance; false when the steps are used up. `iterations` counts factorisations.
    [[nodiscard]] bool run(int& iterations);

    struct Term {
        double a = 0.0;
        double b = 0.0;
        double c = 0.0;
        Index from = 0;
        Index to = 0;
        Index slot = -1; ///< place off the diagonal; -1: none
        Law law = Law::conductance;
    };

    std::vector<Term> terms;  ///< may be altered between runs (see collapse.cpp)
    std::vector<double> high; ///< by unknown, and 0 for the reference at the end
    std::vector<double> low;
    std::vector<double> term_amps; ///< at (high, low)

    /// Voltage across a term.
    [[nodiscard]] double volts(const Term& term) const;

private:
    /// What fills the matrix. Whichever it is, the step leads down the content.
    enum class Metric : std::uint8_t {
        slope, ///< the slopes of the laws: Newton's own
        chord, ///< chords that do not overshoot; none is negative
        /// Chords, and each node held back in proportion to its imbalance, so that no node goes
        /// farther than `step_cap` emfs: for nodes that next to nothing holds, as between two
        /// diodes that block. (The inverse of a matrix with no positive entry off its diagonal and
        /// row sums d_i > 0 takes f to no more than max |f_i| / d_i.)
        damped,
    };

    struct Step {
        double greatest = std::numeric_limits<double>::quiet_NaN(); ///< move of any node, volts
        double slope = std::numeric_limits<double>::quiet_NaN();    ///< of the content at the start
        bool is_convex = false; ///< the content bends upwards in every direction there
    };

    void evaluate(const std::vector<double>& low_part);
    void sum_exactly();
    void assemble(Metric metric);
    [[nodiscard]] bool factorise(Metric metric);
    [[nodiscard]] double find_step();
    void commit(double share);
    [[nodiscard]] double slope_at(double share);
    [[nodiscard]] double search_line(double cap, double slope_start);
    [[nodiscard]] Step step_by(Metric metric);
    void step_aside();
    [[nodiscard]] bool descend(double until, int& steps_left);
    [[nodiscard]] bool polish();
    [[nodiscard]] double source_amps() const;
    [[nodiscard]] double greatest_step(Metric metric) const;
    [[nodiscard]] bool solve_linear();
    void sharpen_diodes();

    const Pattern* pattern_ = nullptr;
    std::size_t unknown_count_ = 0;
    Factor factor_;
    std::vector<Index> place_; ///< in the factor, of each term
    std::vector<Index> source_terms_;
    double emf_ = 1.0; ///< the highest in the circuit: the scale of voltages
    bool has_diodes_ = false;
    std::vector<double> term_siemens_;
    std::vector<double> imbalance_; ///< amperes leaving each unknown, and the reference's rubbish
    std::vector<double> lost_;      ///< by rounding of the sums of `imbalance_`
    std::vector<double> step_;
    std::vector<double> trial_low_;
    std::vector<Term> true_terms_; ///< while the diodes are blunt
};

/// The chord from the law's point of rest to (volts, current): what the branch looks like from
/// afar. For a law that bends downwards it is steeper than the slope, so a step by it does not
/// overshoot.
[[nodiscard]] double chord_siemens(const Newton::Term& term, double volts, BranchCurrent now);

} // namespace loomwright::solve
