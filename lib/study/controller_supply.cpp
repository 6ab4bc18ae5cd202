// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/controller_supply.hpp"

#include "network/ground.hpp"

#include <algorithm>
#include <limits>

namespace loomwright {
namespace {

constexpr double live_share = 0.5; ///< of the best feed
constexpr double no_ground_v = -std::numeric_limits<double>::infinity();

/// The voltages of a controller's terminals over its worst ground; over its case where no terminal
/// is one.
class Terminals {
public:
    Terminals(const Network& network, DeviceId id, const Controller& controller,
              const StateSolution& solution)
        : nodes_(network.terminal_nodes[id.index()]), parts_(controller.parts),
          solution_(solution) {
        bool has_terminal = false;
        for (std::size_t t = 0; t < parts_.size(); ++t) {
            if (parts_[t].part == TerminalPart::ground) {
                has_terminal = true;
                take_ground(nodes_[t]);
            }
        }
        if (const int at_case = case_node(network, id); !has_terminal && at_case >= 0) {
            take_ground(at_case);
        }
    }

    [[nodiscard]] bool has_ground() const { return ground_ > no_ground_v; }
    [[nodiscard]] bool is_feed(std::size_t terminal) const {
        return parts_[terminal].part == TerminalPart::feed;
    }
    /// 0 for what is joined to no source.
    [[nodiscard]] double volts(std::size_t terminal) const {
        return is_joined(terminal) ? solution_.node_volts[node(terminal)] - ground_ : 0.0;
    }

private:
    [[nodiscard]] std::size_t node(std::size_t terminal) const {
        return static_cast<std::size_t>(nodes_[terminal]);
    }
    [[nodiscard]] bool is_joined(std::size_t terminal) const {
        return solution_.floating[node(terminal)] == 0;
    }
    void take_ground(int at) {
        const auto place = static_cast<std::size_t>(at);
        if (solution_.floating[place] == 0) {
            ground_ = std::max(ground_, solution_.node_volts[place]);
        }
    }

    const std::vector<int>& nodes_;
    const std::vector<ControllerTerminal>& parts_;
    const StateSolution& solution_;
    double ground_ = no_ground_v;
};

} // namespace

ControllerSupply controller_supply(const Network& network, DeviceId id,
                                   const Controller& controller, const StateSolution& solution) {
    const Terminals terminals(network, id, controller, solution);
    const std::size_t count = controller.parts.size();
    double best = 0.0;
    for (std::size_t t = 0; terminals.has_ground() && t < count; ++t) {
        best = terminals.is_feed(t) ? std::max(best, terminals.volts(t)) : best;
    }
    if (best <= 0.0) {
        return {};
    }
    ControllerSupply out;
    bool has_switched = false;
    bool is_awake = false;
    for (std::size_t t = 0; t < count; ++t) {
        if (!terminals.is_feed(t)) {
            continue;
        }
        const bool is_switched = network.always_live[id.index()][t] == 0;
        const double volts = terminals.volts(t);
        const bool is_live = volts >= live_share * best;
        has_switched = has_switched || is_switched;
        is_awake = is_awake || (is_switched && is_live);
        if (is_live && (out.feed < 0 || volts < out.volts)) {
            out = {.volts = volts, .feed = static_cast<int>(t)};
        }
    }
    return has_switched && !is_awake ? ControllerSupply{} : out;
}

} // namespace loomwright
