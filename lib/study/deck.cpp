// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A state as a deck that a general circuit simulator of the SPICE family can solve by itself: no
// voltage of ours is in it. The laws are those of solve/circuit.hpp, spelt out in B sources.
#include "study/operating.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <numeric>

namespace loomwright {
namespace {

/// Writes one deck.
class DeckWriter {
public:
    DeckWriter(const StudyInput& input, const StateSolution& solution)
        : input_(input), solution_(solution), circuit_(solution.circuit) {}

    [[nodiscard]] std::string write() {
        write_head();
        write_nodes();
        for (std::size_t k = 0; k < circuit_.branch_count(); ++k) {
            if (!is_floating(circuit_.from[k])) {
                write_branch(k);
            }
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

    /// Text from the vehicle file on one line of comment.
    [[nodiscard]] static std::string in_comment(std::string text) {
        for (char& letter : text) {
            letter = static_cast<unsigned char>(letter) < ' ' ? ' ' : letter;
        }
        return text;
    }

    void write_head() {
        const Vehicle& vehicle = input_.vehicle;
        line("* {}, state {}", in_comment(vehicle.title),
             in_comment(state_name(vehicle, solution_)));
        line("* Wires stand at their settled temperature; open contacts and what draws nothing are "
             "left out.");
        line("* Node n<k> is place k of the network, listed next; node 0 is {}.",
             circuit_.reference >= 0 ? in_comment(name(circuit_.reference)) : "held by RG");
    }

    [[nodiscard]] const std::string& name(solve::Index index) const {
        return input_.network.node_names[static_cast<std::size_t>(index)];
    }

    void write_nodes() {
        for (solve::Index k = 0; k < circuit_.node_count; ++k) {
            if (!is_floating(k)) {
                line("* {} = {}", node(k), in_comment(name(k)));
            }
        }
    }

    [[nodiscard]] std::string label(std::size_t k) const {
        const Branch& branch =
            input_.network.branches[static_cast<std::size_t>(solution_.circuit_branch[k])];
        return in_comment(branch.wire.is_valid() ? "wire " + input_.vehicle.wire(branch.wire).number
                                                 : input_.vehicle.device(branch.device).name);
    }

    void write_branch(std::size_t k) {
        const std::string from = node(circuit_.from[k]);
        const std::string to = node(circuit_.to[k]);
        const std::string v = fmt::format("V({},{})", from, to);
        const double a = circuit_.a[k];
        const double b = circuit_.b[k];
        const double c = circuit_.c[k];
        line("* {}", label(k));
        switch (circuit_.law[k]) {
        case solve::Law::conductance:
            line("R{} {} {} {:.17g}", k, from, to, 1.0 / a);
            break;
        case solve::Law::source:
            line("V{0} e{0} {1} DC {2:.17g}", k, to, a);
            line("R{0} e{0} {1} {2:.17g}", k, from, 1.0 / b);
            break;
        case solve::Law::limited_source:
            line("B{} {} {} I=-min(max({:.17g}*({:.17g}-{}),0),{:.17g})", k, from, to, b, a, v, c);
            // Where nothing is drawn from it the law is flat, and a simulator's matrix would be
            // singular: 14 nA through its own milliohms moves no voltage that anyone could print.
            line("Rq{} {} {} 1e9", k, from, to);
            break;
        case solve::Law::constant_current:
            line("B{} {} {} I={:.17g}*max(-1,min(1,{}/{:.17g}))", k, from, to, a, v, b);
            break;
        case solve::Law::constant_power:
            line("B{} {} {} I=abs({})>={:.17g} ? {:.17g}/{} : {:.17g}*{}", k, from, to, v, b, a, v,
                 a / (b * b), v);
            break;
        case solve::Law::lamp: {
            // c x and x^0.55 meet at x = c^(-1 / 0.45): below it the filament is cold.
            const double cold_below = std::pow(c, -1.0 / 0.45) * b;
            line("B{} {} {} I=abs({})<={:.17g} ? {:.17g}*{} : "
                 "{:.17g}*sgn({})*pow(abs({})/{:.17g},0.55)",
                 k, from, to, v, cold_below, a * c / b, v, a, v, v, b);
            break;
        }
        case solve::Law::diode:
            line("B{} {} {} I={:.17g}*(exp(min({}/{:.17g},40))-1)", k, from, to, a, v, b);
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
                     in_comment(name(k)));
                line("RG{} {} 0 1", k, node(k));
            }
        }
    }

    /// A place to start from: the plus of every source at its voltage without load.
    void write_starts() {
        for (std::size_t k = 0; k < circuit_.branch_count(); ++k) {
            const bool is_source = circuit_.law[k] == solve::Law::source ||
                                   circuit_.law[k] == solve::Law::limited_source;
            if (is_source && !is_floating(circuit_.from[k]) &&
                circuit_.from[k] != circuit_.reference) {
                line(".nodeset v({})={:.17g}", node(circuit_.from[k]), circuit_.a[k]);
            }
        }
    }

    void write_tail() {
        line(".options reltol=1e-9 abstol=1e-14 vntol=1e-11 gmin=1e-15 itl1=500 itl2=500");
        line(".control");
        line("set numdgt=15");
        line("op");
        line("print all");
        line(".endc");
        line(".end");
    }

    const StudyInput& input_;
    const StateSolution& solution_;
    const solve::Circuit& circuit_;
    std::string deck_;
};

} // namespace

std::string spice_deck(const StudyInput& input, const StateSolution& solution) {
    return DeckWriter(input, solution).write();
}

} // namespace loomwright
