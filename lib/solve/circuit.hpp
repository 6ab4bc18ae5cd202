// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

namespace loomwright::solve {

using Index = std::int32_t;

/// The law of a two-terminal branch. v is the voltage from `from` to `to`; the current i flows
/// through the branch from `from` to `to`. All laws pass through their end points continuously.
///
/// | law              | a                | b              | c               | i(v) |
/// |------------------|------------------|----------------|-----------------|-----------------------------------------|
/// | conductance      | siemens > 0      |                |                 | a v | | source | emf,
/// volts       | siemens > 0    |                 | b (v - a): from = plus                  | |
/// limited_source   | set, volts       | siemens > 0    | limit, ampere   | -clamp(b (a - v), 0, c)
/// | | constant_current | ampere >= 0      | knee, volts >0 |                 | a clamp(v / b, -1,
/// 1)                   | | constant_power   | watt >= 0        | least, volts>0 | | a/v for v >=
/// b, a v / b^2 for |v| < b, odd | | lamp             | ampere at rated  | rated, volts   | cold /
/// hot conductance, > 1 | min(x^0.55, c x) a, x = v/b, odd | | diode            | saturation, A | n
/// kT/q, volts  |                 | a (exp(v / b) - 1), linear beyond 40 b  |
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
    no_solution, ///< did not converge: voltage collapse; `worst_node` is where
    bad_input,   ///< a parameter is not possible; `worst_branch` says which
};

/// Node voltages and branch currents, with the proof that they balance.
struct OperatingPoint {
    Status status = Status::bad_input;
    std::vector<double> volts; ///< one a node; 0 where floating
    std::vector<double>
        volts_low; ///< what double precision leaves over: true value = volts + volts_low
    std::vector<std::uint8_t>
        floating;                  ///< 1: the node is joined to no source, its voltage is undefined
    std::vector<double> amps;      ///< one a branch, from `from` to `to`
    double source_current_a = 0.0; ///< sum of what sources deliver
    double imbalance_a = 0.0;      ///< largest current imbalance of any node
    double power_error = 0.0;      ///< |sources - rest| / sources
    int iterations = 0;
    Index worst_node = -1;
    Index worst_branch = -1;
};

/// Solves circuits of one pattern (same node_count, from and to) again and again: the fill-reducing
/// order is found once. A changed pattern is noticed and analysed anew.
class Solver {
public:
    Solver();
    ~Solver();
    Solver(Solver&&) noexcept;
    Solver& operator=(Solver&&) noexcept;

    /// The operating point, by Newton's method with a line search, from `start` (node voltages;
    /// empty for a cold start). Never returns NaN; never throws for what the arrays hold.
    [[nodiscard]] OperatingPoint solve(const Circuit& circuit, std::span<const double> start = {});

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
