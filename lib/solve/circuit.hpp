// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

namespace loomwright::solve {

class PatternShelf;

using Index = std::int32_t;

/// The law of a two-terminal branch. v is the voltage from `from` to `to`; the current i flows
/// through the branch from `from` to `to`. All laws pass through their end points continuously.
///
/// | law              | a              | b            | c              | i(v)                   |
/// |------------------|----------------|--------------|----------------|------------------------|
/// | conductance      | siemens > 0    |              |                | a v                    |
/// | source           | emf, V         | siemens > 0  |                | b (v - a); from = plus |
/// | limited_source   | set voltage, V | siemens > 0  | limit, A >= 0  | -clamp(b (a - v), 0, c)|
/// | constant_current | A >= 0         | knee, V > 0  |                | a clamp(v / b, -1, 1)  |
/// | constant_power   | W >= 0         | least, V > 0 |                | a / v; see 1           |
/// | lamp             | rated, A >= 0  | rated, V > 0 | cold / hot > 1 | see 2                  |
/// | diode            | saturation, A  | n k T / q, V |                | a (exp(v/b) - 1); see 3|
///
/// 1. Under its least voltage, |v| < b, the load is a resistor: a v / b^2. Odd in v.
/// 2. a min(x^0.55, c x) with x = v / b; c is the ratio of the filament's conductances. Odd in v.
/// 3. Goes on as a straight line beyond 40 b.
///
/// A load of 0 A or 0 W and a source limited to 0 A are not there: they join nothing.
enum class Law : std::uint8_t {
    conductance,
    source,
    limited_source,
    constant_current,
    constant_power,
    lamp,
    diode,
};

/// A circuit as flat arrays, one entry for each branch that conducts; open contacts are absent.
struct Circuit {
    Index node_count = 0;
    Index reference = -1; ///< node at 0 V in its island (the chassis); -1 for none
    std::vector<Index> from;
    std::vector<Index> to;
    std::vector<Law> law;
    std::vector<double> a;
    std::vector<double> b;
    std::vector<double> c;

    [[nodiscard]] std::size_t branch_count() const { return law.size(); }
    void add(Law kind, Index from_node, Index to_node, double pa, double pb = 0.0,
             double pc = 0.0) {
        law.push_back(kind);
        from.push_back(from_node);
        to.push_back(to_node);
        a.push_back(pa);
        b.push_back(pb);
        c.push_back(pc);
    }
};

enum class Status : std::uint8_t {
    solved,
    /// Voltage collapse: a load of constant power would be fed at its least voltage or better while
    /// it takes but a thousandth of its power there, and has its full power at no voltage, all
    /// others following their laws; `worst_branch` is the load, `worst_node` its plus. Or, with
    /// worst_branch -1, the numbers did not come to balance. A load that merely lacks its least
    /// voltage has dropped out by its law, and the circuit is solved.
    no_solution,
    bad_input, ///< a parameter is not possible; `worst_branch` says which
};

/// Node voltages and branch currents, with the proof that they balance.
struct OperatingPoint {
    Status status = Status::bad_input;
    std::vector<double> volts; ///< one a node; 0 where floating
    /// What double precision leaves over: the true value is volts + volts_low. The voltage between
    /// two nodes is (volts[a] - volts[b]) + (volts_low[a] - volts_low[b]).
    std::vector<double> volts_low;
    std::vector<std::uint8_t> floating; ///< 1: joined to no source, the voltage is undefined
    std::vector<double> amps;           ///< one a branch, from `from` to `to`
    double source_current_a = 0.0;      ///< sum of what sources deliver
    double imbalance_a = 0.0;           ///< largest current imbalance of any node
    double power_error = 0.0;           ///< |sources - rest| / sources; 0 when none delivers
    int iterations = 0;
    Index worst_node = -1;
    Index worst_branch = -1;
};

/// Solves circuits of one pattern (same node_count, from and to) again and again: the fill-reducing
/// order is found once. A changed pattern is noticed and analysed anew.
class Solver {
public:
    /// Patterns come from the shelf, which must outlive the solver, where there is one.
    explicit Solver(PatternShelf* shelf = nullptr);
    ~Solver();
    Solver(Solver&&) noexcept;
    Solver& operator=(Solver&&) noexcept;
    Solver(const Solver&) = delete;
    Solver& operator=(const Solver&) = delete;

    /// The operating point, by Newton's method with a line search, from `start` (node voltages;
    /// empty for a cold start). Never returns NaN; never throws for what the arrays hold.
    [[nodiscard]] OperatingPoint solve(const Circuit& circuit, std::span<const double> start = {});

    /// How many times a pattern was analysed so far.
    [[nodiscard]] int analyses() const;

private:
    struct Work;
    std::unique_ptr<Work> work_;
};

/// i(v) and di/dv of one branch: the table above.
struct BranchCurrent {
    double amps = 0.0;
    double siemens = 0.0;
};
[[nodiscard]] BranchCurrent branch_current(Law law, double a, double b, double c, double volts);

} // namespace loomwright::solve
