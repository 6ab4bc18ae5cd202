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

/// Which ports carry amperes beyond the base's straight lines, or may: those that the base has come
/// first. False when there are too many others.
bool AlteredSolver::Work::list_live_ports() {
    const std::size_t known = base.ports.count;
    ports.live.clear();
    for (std::size_t k = 0; k < known; ++k) {
        if (laws[k].is_altered || (laws[k].in_force && !laws[k].is_hold)) {
            ports.live.push_back(k);
        }
    }
    const std::size_t of_base = ports.live.size();
    for (std::size_t k = known; k < laws.size(); ++k) {
        ports.live.push_back(k);
    }
    if (ports.live.size() - of_base > most_updates) {
        return false;
    }
    if (!std::ranges::equal(std::span(ports.live).first(of_base), ports.tabled)) {
        ports.tabled.assign(ports.live.begin(),
                            ports.live.begin() + static_cast<std::ptrdiff_t>(of_base));
        table_base_ports();
    }
    return true;
}

/// The part of the table that lasts as long as the same ports of the base are live.
void AlteredSolver::Work::table_base_ports() {
    ports.stride = ports.tabled.size() + most_updates;
    ports.table.resize(ports.stride * ports.stride);
    for (std::size_t i = 0; i < ports.tabled.size(); ++i) {
        double* const row = ports.table.data() + i * ports.stride;
        const std::span<const double> from = base.ports.row(ports.tabled[i]);
        for (std::size_t j = 0; j < ports.tabled.size(); ++j) {
            row[j] = from[ports.tabled[j]];
        }
    }
}

/// And of the ports that the base has not: bridges, and branches that were straight there.
void AlteredSolver::Work::table_other_ports() {
    for (std::size_t i = ports.tabled.size(); i < ports.live.size(); ++i) {
        LawTerm& law = laws[ports.live[i]];
        law.update = law.update < 0 ? add_update(ports.live[i]) : law.update;
        const std::span<const double> column = updates.column(law.update);
        double* const row = ports.table.data() + i * ports.stride;
        for (std::size_t j = 0; j < ports.live.size(); ++j) {
            const LawTerm& other = laws[ports.live[j]];
            row[j] = column[at(other.from)] - column[at(other.to)];
            if (j < ports.tabled.size()) {
                ports.table[j * ports.stride + i] = row[j];
            }
        }
    }
}

/// Adds to the voltages of all live ports what amperes through one of them make.
void AlteredSolver::Work::add_port_amps(std::size_t port, double amps,
                                        std::vector<double>& volts) const {
    const double* const row = ports.table.data() + port * ports.stride;
    for (std::size_t j = 0; j < volts.size(); ++j) {
        volts[j] += amps * row[j];
    }
}

/// Current and slope of a port where the search stands; its amperes beyond the straight line.
double AlteredSolver::Work::port_excess(std::size_t port) {
    LawTerm& law = laws[ports.live[port]];
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
    const std::size_t count = ports.live.size();
    for (auto* by_port : {&ports.moved, &ports.excess, &ports.answer, &ports.change, &ports.step}) {
        by_port->assign(count, 0.0);
    }
    for (std::size_t k = 0; k < count; ++k) {
        const LawTerm& law = laws[ports.live[k]];
        ports.moved[k] = moved[at(law.from)] - moved[at(law.to)];
        ports.excess[k] = port_excess(k);
        if (ports.excess[k] != 0.0) {
            add_port_amps(k, ports.excess[k], ports.answer);
        }
    }
}

void AlteredSolver::Work::choose_ports() {
    ports.chosen.clear();
    for (std::size_t k = 0; k < ports.live.size(); ++k) {
        if (ports.change[k] != 0.0 && (laws[ports.live[k]].is_altered ||
                                       std::abs(ports.change[k] * ports.between(k, k)) > slow)) {
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
            const std::size_t column = ports.chosen[j];
            ports.system.at(i, j) = ports.between(row, column) * ports.change[column];
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

double AlteredSolver::Work::greatest_port_step() const {
    double greatest = 0.0;
    for (const double step_v : ports.step) {
        const double size = std::abs(step_v);
        greatest = size > greatest || std::isnan(size) ? size : greatest;
    }
    return greatest;
}

/// As take_chords.
bool AlteredSolver::Work::take_port_chords(double greatest) {
    const bool is_nonsense = greatest > far * base.emf;
    bool has_any = false;
    for (std::size_t k = 0; k < ports.live.size(); ++k) {
        const LawTerm& law = laws[ports.live[k]];
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
        }
    }
    return has_any;
}

void AlteredSolver::Work::move_ports() {
    for (std::size_t k = 0; k < ports.live.size(); ++k) {
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
    for (std::size_t k = 0; k < ports.live.size(); ++k) {
        const LawTerm& law = laws[ports.live[k]];
        step[at(law.from)] -= ports.excess[k];
        step[at(law.to)] += ports.excess[k];
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
    if (!base.ports.is_known() || factor != &base.factor || !list_live_ports()) {
        return false;
    }
    table_other_ports();
    begin_ports();
    double last = bend_volts;
    for (int round = 0; round < round_limit; ++round) {
        choose_ports();
        if (!find_port_step()) {
            return false;
        }
        double greatest = greatest_port_step();
        for (int k = 0; k < chord_limit && take_port_chords(greatest); ++k) {
            choose_ports();
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
