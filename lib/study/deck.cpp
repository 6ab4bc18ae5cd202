// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A state as a deck that a general circuit simulator of the SPICE family can solve by itself: no
// voltage of ours is in it. The laws are those of solve/circuit.hpp. Diodes are the simulator's
// own, whose search knows how to treat them; what it has no device for is spelt out in B sources.
// The set voltage of an alternator stands in a V source, so that a search that brings the sources
// up by degrees brings it up too.
#include "network/battery_rows.hpp"
#include "study/deck_labels.hpp"
#include "study/operating.hpp"
#include "yaml/written_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numeric>

namespace loomwright {
namespace {

/// k T / q at the 27 C that a deck stands at, which is what a diode's N counts in (SI 2019:
/// k = 1.380649e-23 J/K and q = 1.602176634e-19 C, exact). Simulators with older values of k are
/// 4e-7 away, less than half a microvolt in a diode's drop.
constexpr double thermal_v = 1.380649e-23 * (27.0 + 273.15) / 1.602176634e-19;

/// Writes one deck.
class DeckWriter {
public:
    DeckWriter(const StudyInput& input, const Design& design, const StateSolution& solution)
        : input_(input), design_(design), solution_(solution), circuit_(solution.circuit) {}

    [[nodiscard]] std::string write() {
        write_head();
        write_nodes();
        for (const DeckPart part : {DeckPart::sources, DeckPart::metal, DeckPart::protection,
                                    DeckPart::contacts, DeckPart::wires, DeckPart::loads}) {
            write_part(part);
        }
        write_anchors();
        write_starts();
        write_tail();
        return std::move(deck_);
    }

private:
    template <typename... Args> void line(fmt::format_string<Args...> format, Args&&... args) {
        fmt::format_to(std::back_inserter(deck_), format, std::forward<Args>(args)...);
        deck_ += '\n';
    }

    [[nodiscard]] bool is_floating(solve::Index node) const {
        return solution_.floating[static_cast<std::size_t>(node)] != 0;
    }

    [[nodiscard]] std::string node(solve::Index index) const {
        return index == circuit_.reference ? "0" : fmt::format("n{}", index);
    }

    void write_head() {
        const Vehicle& vehicle = input_.vehicle;
        line("* {}, state {}", comment_text(vehicle.title),
             comment_text(state_name(vehicle, solution_)));
        line("* {}", comment_text(deck_state(input_, solution_)));
        line("* Volts, amperes, ohms. Each wire stands at the temperature in its comment; open "
             "contacts and what");
        line("* draws nothing are left out. Element k of the deck is branch k of the network.");
        line("* Node n<k> is place k of the network, listed next; node 0 is {}.",
             circuit_.reference >= 0 ? comment_text(name(circuit_.reference)) : "held by RG");
        write_junction();
    }

    /// The law of a diode. The simulator's own device is used for the sake of its search; in
    /// reverse it has a cubic in place of the exponential (as SPICE3 had), which shows in
    /// millivolts where a place is held by leakage alone.
    void write_junction() {
        const auto& laws = circuit_.law;
        if (std::ranges::find(laws, solve::Law::diode) == laws.end()) {
            return;
        }
        line("*");
        line("* Diodes: is (exp(v / slope) - 1). The device counts its slope in N k T / q, at the "
             "27 C "
             "of a deck;");
        line("* B1 puts back the exponential where the device has a cubic instead, below -3 "
             "slopes.");
        line(".subckt junction a k is=1e-9 slope=0.05");
        line("D1 a k law");
        line(".model law D(IS={{is}} N={{slope/{:.17g}}})", thermal_v);
        line("B1 a k I=V(a,k)<-3*{{slope}} ? "
             "{{is}}*(exp(V(a,k)/{{slope}})-(3*{{slope}}/(2.718281828459045*abs(V(a,k))))^3) : 0");
        line(".ends");
    }

    [[nodiscard]] const std::string& name(solve::Index index) const {
        return input_.network.node_names[static_cast<std::size_t>(index)];
    }

    void write_nodes() {
        line("*");
        line("* Places");
        for (solve::Index k = 0; k < circuit_.node_count; ++k) {
            if (!is_floating(k)) {
                line("* {} = {}", node(k), comment_text(name(k)));
            }
        }
    }

    [[nodiscard]] const Branch& branch(std::size_t k) const {
        return input_.network.branches[static_cast<std::size_t>(solution_.circuit_branch[k])];
    }

    void write_part(DeckPart part) {
        bool has_title = false;
        for (std::size_t k = 0; k < circuit_.branch_count(); ++k) {
            if (is_floating(circuit_.from[k]) || deck_part(branch(k).kind) != part) {
                continue;
            }
            if (!has_title) {
                line("*");
                line("* ---- {} ----", deck_title(part));
                has_title = true;
            }
            write_branch(k);
        }
    }

    void write_branch(std::size_t k) {
        const std::string label = comment_text(deck_label(input_, design_, solution_, branch(k)));
        const std::string from = node(circuit_.from[k]);
        const std::string to = node(circuit_.to[k]);
        const std::string v = fmt::format("V({},{})", from, to);
        const double a = circuit_.a[k];
        const double b = circuit_.b[k];
        const double c = circuit_.c[k];
        const int id = solution_.circuit_branch[k];
        switch (circuit_.law[k]) {
        case solve::Law::conductance:
            line("* {}", label);
            line("R{} {} {} {:.17g}", id, from, to, 1.0 / a);
            break;
        case solve::Law::source:
            line("* {}: {:.4g} V behind {:.4g} ohm", label, a, 1.0 / b);
            line("V{0} e{0} {1} DC {2:.17g}", id, to, a);
            line("R{0} e{0} {1} {2:.17g}", id, from, 1.0 / b);
            break;
        case solve::Law::limited_source:
            line("* {}: {:.4g} V behind {:.4g} ohm, 0 to {:.4g} A", label, a, 1.0 / b, c);
            line("V{0} e{0} {1} DC {2:.17g}", id, to, a);
            line("B{0} e{0} {1} I=max(min({2:.17g}*V(e{0},{1}),{3:.17g}),0)", id, from, b, c);
            // Where nothing is drawn from it the law is flat, and a simulator's matrix would be
            // singular: 14 nA through its own milliohms moves no voltage that anyone could print.
            line("Rq{} {} {} 1e9", id, from, to);
            break;
        case solve::Law::constant_current:
            line("* {}: {:.4g} A, a resistor below {:.4g} V", label, a, b);
            line("B{} {} {} I={:.17g}*max(-1,min(1,{}/{:.17g}))", id, from, to, a, v, b);
            break;
        case solve::Law::constant_power:
            line("* {}: {:.4g} W, a resistor below {:.4g} V", label, a, b);
            line("B{} {} {} I=abs({})>={:.17g} ? {:.17g}/{} : {:.17g}*{}", id, from, to, v, b, a, v,
                 a / (b * b), v);
            break;
        case solve::Law::lamp: {
            // c x and x^0.55 meet at x = c^(-1 / 0.45): below it the filament is cold.
            const double cold_below = std::pow(c, -1.0 / 0.45) * b;
            line("* {}: {:.4g} A at {:.4g} V, as V^0.55; {:.4g} times the conductance cold", label,
                 a, b, c);
            line("B{} {} {} I=abs({})<={:.17g} ? {:.17g}*{} : "
                 "{:.17g}*sgn({})*pow(abs({})/{:.17g},0.55)",
                 id, from, to, v, cold_below, a * c / b, v, a, v, v, b);
            break;
        }
        case solve::Law::diode:
            line("* {}: a factor of e in current each {:.4g} V", label, b);
            line("X{} {} {} junction is={:.17g} slope={:.17g}", id, from, to, a, b);
            break;
        }
    }

    /// An island that does not hold the reference is tied to node 0 at the place it is counted
    /// from.
    void write_anchors() {
        std::vector<solve::Index> root(static_cast<std::size_t>(circuit_.node_count));
        std::iota(root.begin(), root.end(), 0);
        const auto find = [&root](solve::Index k) {
            while (root[static_cast<std::size_t>(k)] != k) {
                auto& up = root[static_cast<std::size_t>(k)];
                up = root[static_cast<std::size_t>(up)];
                k = up;
            }
            return k;
        };
        for (std::size_t k = 0; k < circuit_.branch_count(); ++k) {
            root[static_cast<std::size_t>(find(circuit_.from[k]))] = find(circuit_.to[k]);
        }
        std::vector<std::uint8_t> held(root.size(), 0);
        if (circuit_.reference >= 0) {
            held[static_cast<std::size_t>(find(circuit_.reference))] = 1;
        }
        for (solve::Index k = 0; k < circuit_.node_count; ++k) {
            auto& is_held = held[static_cast<std::size_t>(find(k))];
            const bool is_zero = solution_.node_volts[static_cast<std::size_t>(k)] == 0.0;
            if (is_held == 0 && is_zero && !is_floating(k)) {
                is_held = 1;
                line("* no metal joins this part of the car to the rest: it is counted from {}",
                     comment_text(name(k)));
                line("RG{} {} 0 1", k, node(k));
            }
        }
    }

    /// Batteries in a row: none stands at its own voltage over the metal of the car but the lowest.
    [[nodiscard]] std::vector<std::uint8_t> find_row_batteries() const {
        const std::vector<int> rows = battery_rows(input_.vehicle, input_.network);
        std::vector<std::uint8_t> out(circuit_.branch_count(), 0);
        for (std::size_t k = 0; k < out.size(); ++k) {
            const Branch& here = branch(k);
            out[k] = here.kind == BranchKind::battery && rows[here.device.index()] > 1 ? 1 : 0;
        }
        return out;
    }

    /// A place to start from: the plus of every source at its voltage without load. Those of a row
    /// are left out: held up and then let go, they can leave a simulator at an answer that its own
    /// source does not agree with (ngspice 39: 13.7 V across a source of 12.6 V).
    void write_starts() {
        line("*");
        line("* Where a search may begin: sources at their voltage without load");
        const std::vector<std::uint8_t> in_row = find_row_batteries();
        for (std::size_t k = 0; k < circuit_.branch_count(); ++k) {
            const bool is_source = circuit_.law[k] == solve::Law::source ||
                                   circuit_.law[k] == solve::Law::limited_source;
            if (is_source && in_row[k] == 0 && !is_floating(circuit_.from[k]) &&
                circuit_.from[k] != circuit_.reference) {
                line(".nodeset v({})={:.17g}", node(circuit_.from[k]), circuit_.a[k]);
            }
        }
    }

    void write_tail() {
        line("*");
        line(".options reltol=1e-9 abstol=1e-14 vntol=1e-11 gmin=1e-15 itl1=500 itl2=500");
        line(".control");
        line("set numdgt=15");
        line("op");
        line("print all");
        line(".endc");
        line(".end");
    }

    const StudyInput& input_;
    const Design& design_;
    const StateSolution& solution_;
    const solve::Circuit& circuit_;
    std::string deck_;
};

} // namespace

std::string spice_deck(const StudyInput& input, const Design& design,
                       const StateSolution& solution) {
    return DeckWriter(input, design, solution).write();
}

} // namespace loomwright
