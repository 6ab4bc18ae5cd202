// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/altered_work.hpp"

#include <algorithm>
#include <cmath>

// The iteration by ports: see altered.cpp.
//
// Between the laws that bend, and what was altered, everything is straight lines, whose answer is
// known: of port j's amperes beyond the base's straight lines, q_j, each port k has the voltage
//
//   v_k = - sum over j of M_kj q_j(v_j),      M = U^T A^-1 U
//
// Newton's method on these few equations, with the slopes of those ports alone that would hold it
// up, costs a fraction of one solution with all unknowns. One such solution then gives the voltages
// everywhere, and the true balance of every node decides whether they are the answer.

namespace loomwright::solve {

namespace {

constexpr int round_limit = 12;
constexpr int rounds_to_gain = 3;
constexpr double slow = 0.003; ///< volts that a port's change of slope makes of each volt of a step

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

} // namespace

/// Works out the ports that the base has not: bridges, and branches that were straight there.
bool AlteredSolver::Work::add_outside_ports() {
    const std::size_t known = base.ports.count;
    const std::size_t count = laws.size();
    if (count - known > most_updates) {
        return false;
    }
    ports.outside.resize((count - known) * count);
    for (std::size_t k = known; k < count; ++k) {
        LawTerm& law = laws[k];
        law.update = law.update < 0 ? add_update(k) : law.update;
        const std::span<const double> column = updates.column(law.update);
        double* const row = ports.outside.data() + (k - known) * count;
        for (std::size_t j = 0; j < count; ++j) {
            row[j] = column[at(laws[j].from)] - column[at(laws[j].to)];
        }
    }
    return true;
}

/// Adds to the voltages of all ports what amperes through one of them make.
void AlteredSolver::Work::add_port_amps(std::size_t port, double amps,
                                        std::vector<double>& volts) const {
    const std::size_t known = base.ports.count;
    const std::size_t count = laws.size();
    if (port >= known) {
        const double* const row = ports.outside.data() + (port - known) * count;
        for (std::size_t j = 0; j < count; ++j) {
            volts[j] += amps * row[j];
        }
        return;
    }
    const double* const row = base.ports.row(port).data();
    for (std::size_t j = 0; j < known; ++j) {
        volts[j] += amps * row[j];
    }
    for (std::size_t j = known; j < count; ++j) {
        volts[j] += amps * ports.outside[(j - known) * count + port];
    }
}

/// Current and slope of a port where the search stands; its amperes beyond the straight line.
double AlteredSolver::Work::port_excess(std::size_t port) {
    LawTerm& law = laws[port];
    const double moved_v = ports.moved[port];
    law.amps = 0.0;
    law.siemens = 0.0;
    if (law.in_force) {
        const BranchCurrent now =
            law_current(law.law, law.a, law.b, law.c, law.high, law.low + moved_v);
        law.amps = now.amps;
        law.siemens = matrix_siemens(law.law, law.a, law.b, now.siemens);
    }
    ports.change[port] = law.siemens - law.kept;
    return law.amps - law.base_amps - law.kept * moved_v;
}

void AlteredSolver::Work::begin_ports() {
    const std::size_t count = laws.size();
    for (auto* by_port : {&ports.moved, &ports.excess, &ports.answer, &ports.change, &ports.step}) {
        by_port->assign(count, 0.0);
    }
    ports.live.clear();
    for (std::size_t k = 0; k < count; ++k) {
        const LawTerm& law = laws[k];
        if (!law.is_altered && (!law.in_force || law.is_hold)) {
            continue;
        }
        ports.live.push_back(k);
        ports.moved[k] = moved[at(law.from)] - moved[at(law.to)];
        ports.excess[k] = port_excess(k);
        if (ports.excess[k] != 0.0) {
            add_port_amps(k, ports.excess[k], ports.answer);
        }
    }
}

void AlteredSolver::Work::choose_ports() {
    ports.chosen.clear();
    for (const std::size_t k : ports.live) {
        const double ohm = k < base.ports.count
                               ? base.ports.between_ports(k, k)
                               : ports.outside[(k - base.ports.count) * laws.size() + k];
        if (ports.change[k] != 0.0 &&
            (laws[k].is_altered || std::abs(ports.change[k] * ohm) > slow)) {
            ports.chosen.push_back(k);
        }
    }
}

/// The step of Newton's method with the slopes chosen; false when they make no sense.
bool AlteredSolver::Work::find_port_step() {
    ++counts.rounds;
    const std::size_t count = ports.chosen.size();
    for (std::size_t k = 0; k < ports.step.size(); ++k) {
        ports.step[k] = -(ports.moved[k] + ports.answer[k]);
    }
    ports.system.resize(count);
    ports.right.resize(count);
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t row = ports.chosen[i];
        ports.right[i] = ports.step[row];
        for (std::size_t j = 0; j < count; ++j) {
            ports.system.at(i, j) = between(row, ports.chosen[j]) * ports.change[ports.chosen[j]];
        }
        ports.system.at(i, i) += 1.0;
    }
    if (!ports.system.factorise()) {
        return false;
    }
    ports.system.solve(ports.right);
    for (std::size_t j = 0; j < count; ++j) {
        const std::size_t port = ports.chosen[j];
        add_port_amps(port, -ports.change[port] * ports.right[j], ports.step);
    }
    return true;
}

double AlteredSolver::Work::between(std::size_t a, std::size_t b) const {
    const std::size_t known = base.ports.count;
    if (a >= known) {
        return ports.outside[(a - known) * laws.size() + b];
    }
    return b < known ? base.ports.between_ports(a, b)
                     : ports.outside[(b - known) * laws.size() + a];
}

double AlteredSolver::Work::greatest_port_step() const {
    double greatest = 0.0;
    for (const std::size_t k : ports.live) {
        const double size = std::abs(ports.step[k]);
        greatest = size > greatest || std::isnan(size) ? size : greatest;
    }
    return greatest;
}

/// As take_chords.
bool AlteredSolver::Work::take_port_chords(double greatest) {
    const bool is_nonsense = greatest > far * base.emf;
    bool has_any = false;
    for (const std::size_t k : ports.live) {
        const LawTerm& law = laws[k];
        const bool is_power = law.law == Law::constant_power;
        if (!law.in_force || !(is_power || is_nonsense)) {
            continue;
        }
        const double volts = law.high + (law.low + ports.moved[k]);
        const double change = chord_from_rest(law, volts) - law.kept;
        if (change > ports.change[k] &&
            std::abs(ports.step[k]) > (is_power ? 0.5 : 1.0) * std::abs(volts)) {
            ports.change[k] = change;
            has_any = true;
            if (std::ranges::find(ports.chosen, k) == ports.chosen.end()) {
                ports.chosen.push_back(k);
            }
        }
    }
    return has_any;
}

void AlteredSolver::Work::move_ports() {
    for (const std::size_t k : ports.live) {
        ports.moved[k] += ports.step[k];
        const double excess = port_excess(k);
        const double more = excess - ports.excess[k];
        if (more != 0.0) {
            ports.excess[k] = excess;
            add_port_amps(k, more, ports.answer);
        }
    }
}

/// From the ports to all unknowns; false when these are not in balance.
bool AlteredSolver::Work::leave_ports() {
    std::fill(step.begin(), step.end(), 0.0);
    for (const std::size_t k : ports.live) {
        step[at(laws[k].from)] -= ports.excess[k];
        step[at(laws[k].to)] += ports.excess[k];
    }
    step.back() = 0.0;
    base.factor.solve(std::span(step).first(step.size() - 1));
    std::swap(moved, step);
    is_at_base = false;
    evaluate();
    note_balance();
    return is_balanced(amps_tolerance);
}

bool AlteredSolver::Work::search_ports() {
    if (!base.ports.is_known() || factor != &base.factor || !add_outside_ports()) {
        return false;
    }
    begin_ports();
    double last = bend_volts;
    for (int round = 0; round < round_limit; ++round) {
        choose_ports();
        if (!find_port_step()) {
            return false;
        }
        double greatest = greatest_port_step();
        for (int k = 0; k < chord_limit && take_port_chords(greatest); ++k) {
            if (!find_port_step()) {
                return false;
            }
            greatest = greatest_port_step();
        }
        if (!(greatest <= step_cap * base.emf)) {
            return false;
        }
        move_ports();
        if (greatest * std::min(greatest / last, 1.0) <= volts_tolerance * base.emf) {
            return leave_ports();
        }
        if (round >= rounds_to_gain && greatest > 0.5 * last) {
            return false;
        }
        last = greatest;
    }
    return false;
}

} // namespace loomwright::solve
