// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// sneak-path, where the current of others comes home through a device.
//
// A device that is grounded at two bodies of metal joins them. What flows through its terminal is,
// by Kirchhoff's current law, the lesser of what comes in and what goes out over the copper at it,
// I_through = min(sum I_in, sum I_out); the difference of the two is its own current. Where no
// strap joins the bodies, that is all that the other loads of one body draw: a starter's, through
// the ground of a sensor. Found in each solved state; valid wherever the state is.
#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/wording.hpp"
#include "network/branch_kinds.hpp"
#include "network/ground.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace loomwright {
namespace {

/// Below this a way through a device does no harm that anyone would find (common practice, no
/// source).
constexpr double least_stray_a = 1.0;

/// Devices whose terminals are not there to join the metal of the car.
bool is_no_ground_point(const Device& device) {
    return device.as<Ground>() == nullptr && device.as<Strap>() == nullptr &&
           device.as<Splice>() == nullptr && device.as<Stud>() == nullptr &&
           device.as<Connector>() == nullptr && device.as<Battery>() == nullptr &&
           device.as<Alternator>() == nullptr && device.as<Charger>() == nullptr &&
           device.as<Starter>() == nullptr && device.as<Switch>() == nullptr &&
           device.as<Relay>() == nullptr && device.as<Protection>() == nullptr;
}

/// What flows through one terminal of a device in one state.
struct Stray {
    int node = -1;
    double through_a = 0.0;
    const StateSolution* state = nullptr;
};

/// The copper at each node, and the ways that currents take over it to the bodies of metal.
class CopperWays {
public:
    explicit CopperWays(const Network& network)
        : network_(network), at_(static_cast<std::size_t>(network.node_count())) {
        for (std::size_t i = 0; i < network.branches.size(); ++i) {
            const Branch& branch = network.branches[i];
            if (is_copper(branch.kind) || branch.kind == BranchKind::bond) {
                at_[static_cast<std::size_t>(branch.from)].push_back(static_cast<int>(i));
                at_[static_cast<std::size_t>(branch.to)].push_back(static_cast<int>(i));
            }
        }
        find_bodies();
    }

    [[nodiscard]] Stray at(int node, const StateSolution& state) const {
        double in_a = 0.0;
        double out_a = 0.0;
        for (const int index : at_[static_cast<std::size_t>(node)]) {
            const double into = into_node(index, node, state);
            (into > 0.0 ? in_a : out_a) += std::abs(into);
        }
        return {node, std::min(in_a, out_a), &state};
    }

    /// The branches from a node to a body of metal, along (or against) the largest current; empty
    /// when the way ends elsewhere.
    [[nodiscard]] std::vector<int> to_body(int node, bool along, const StateSolution& state) const {
        std::vector<int> way;
        std::set<int> met{node};
        do {
            int best = -1;
            double most = 0.0;
            for (const int index : at_[static_cast<std::size_t>(node)]) {
                const double into = into_node(index, node, state);
                const double amps = along ? -into : into;
                if (amps > most && !met.contains(other_end(index, node))) {
                    best = index;
                    most = amps;
                }
            }
            if (best < 0) {
                return {};
            }
            way.push_back(best);
            node = other_end(best, node);
            met.insert(node);
        } while (body_at(node) < 0);
        return way;
    }

    /// The body of metal that a node stands on, or the post that currents of a source come home to;
    /// -1: none.
    [[nodiscard]] int body_at(int node) const { return body_at_[static_cast<std::size_t>(node)]; }

    [[nodiscard]] int other_end(int index, int node) const {
        return network_.branches[static_cast<std::size_t>(index)].other_end(node);
    }

private:
    void find_bodies() {
        body_at_.assign(at_.size(), -1);
        for (const int node : network_.body_nodes) {
            if (node >= 0) {
                body_at_[static_cast<std::size_t>(node)] = node;
            }
        }
        for (const Branch& branch : network_.branches) {
            if (branch.kind == BranchKind::bond) {
                body_at_[static_cast<std::size_t>(branch.from)] = branch.to;
            }
        }
        const std::vector<int> points = body_at_;
        const std::vector<std::uint8_t> ground = ground_nodes(network_);
        for (const Branch& branch : network_.branches) {
            if (is_source(branch.kind)) {
                const int home = home_post(branch, ground);
                body_at_[static_cast<std::size_t>(home)] = nearest(home, points);
            }
        }
    }

    /// The body whose ground point copper leads to on the shortest way.
    [[nodiscard]] int nearest(int node, const std::vector<int>& points) const {
        std::set<int> met{node};
        std::vector<int> open{node};
        for (std::size_t k = 0; k < open.size(); ++k) {
            const int here = open[k];
            if (points[static_cast<std::size_t>(here)] >= 0) {
                return points[static_cast<std::size_t>(here)];
            }
            for (const int index : at_[static_cast<std::size_t>(here)]) {
                if (met.insert(other_end(index, here)).second) {
                    open.push_back(other_end(index, here));
                }
            }
        }
        return -1;
    }

    [[nodiscard]] double into_node(int index, int node, const StateSolution& state) const {
        const double amps = state.branch_amps[static_cast<std::size_t>(index)];
        return network_.branches[static_cast<std::size_t>(index)].to == node ? amps : -amps;
    }

    const Network& network_;
    std::vector<std::vector<int>> at_; ///< copper by node
    std::vector<int> body_at_;         ///< by node: the node of a body; -1: none
};

/// The body of metal at the end of a way.
int body_of(const CopperWays& ways, int node, const std::vector<int>& way) {
    for (const int index : way) {
        node = ways.other_end(index, node);
    }
    return ways.body_at(node);
}

/// "3.5 from engine": the wires of a way and the body it ends at.
std::string say_way(const CheckInput& input, const CopperWays& ways, int node,
                    const std::vector<int>& way) {
    std::vector<std::string> numbers;
    for (const int index : way) {
        const WireId wire = input.study.network.branches[static_cast<std::size_t>(index)].wire;
        if (wire.is_valid()) {
            numbers.push_back(input.study.vehicle.wire(wire).number);
        }
    }
    const std::string& body =
        input.study.network.node_names[static_cast<std::size_t>(body_of(ways, node, way))];
    return numbers.empty() ? "its housing, at " + body
                           : fmt::format("{}, at {}", list_of(numbers), body);
}

void add_stray(const CheckInput& input, const CopperWays& ways, std::size_t place,
               const Stray& stray, Findings& findings) {
    const Device& device = input.study.vehicle.devices[place];
    const std::vector<int> from = ways.to_body(stray.node, false, *stray.state);
    const std::vector<int> to = ways.to_body(stray.node, true, *stray.state);
    const auto& names = input.study.network.node_names;
    const std::string& a = names[static_cast<std::size_t>(body_of(ways, stray.node, from))];
    const std::string& b = names[static_cast<std::size_t>(body_of(ways, stray.node, to))];
    Finding& finding = findings.add(
        Rule::sneak_path, device.name, place_of(device),
        fmt::format("{} of other loads comes home through it in {}: in by {}, out by {}",
                    show(Amps(stray.through_a)), state_name(input.study.vehicle, *stray.state),
                    say_way(input, ways, stray.node, from), say_way(input, ways, stray.node, to)),
        fmt::format(
            "join {} and {} by a strap (`is: strap`) of low resistance, or ground {} at one "
            "of the two alone",
            a, b, device.name));
    finding.figures = {seen("current through it", stray.through_a, "A"),
                       limit_of("harmless", least_stray_a, "A"),
                       given("its own current", std::abs(stray.state->devices[place].amps), "A")};
    for (const auto* way : {&from, &to}) {
        for (const int index : *way) {
            const WireId wire = input.study.network.branches[static_cast<std::size_t>(index)].wire;
            if (wire.is_valid()) {
                finding.related.push_back({input.study.vehicle.wire(wire).where,
                                           input.study.vehicle.wire(wire).number + " carries it"});
            }
        }
    }
    finding.source = "Kirchhoff's current law at its terminal, docs/method/operating-point.md";
}

/// A strap that nobody meant to be one carries current from body to body.
void check_stray_metal(const CheckInput& input, std::size_t place, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Device& device = vehicle.devices[place];
    const auto* strap = device.as<Strap>();
    if (strap == nullptr || !strap->is_stray) {
        return;
    }
    const StateSolution* worst = nullptr;
    double most = least_stray_a;
    for (const StateSolution& state : input.sizing.states) {
        const double amps = state.converged ? std::abs(state.devices[place].amps) : 0.0;
        if (amps > most) {
            most = amps;
            worst = &state;
        }
    }
    if (worst == nullptr) {
        return;
    }
    const auto body = [&](int index) { return vehicle.bodies[static_cast<std::size_t>(index)]; };
    const bool is_forward = worst->devices[place].amps > 0.0;
    const std::string from = body(is_forward ? strap->body_a : strap->body_b);
    const std::string to = body(is_forward ? strap->body_b : strap->body_a);
    const std::string title = device.title.empty() ? device.name : device.title;
    Finding& finding = findings.add(
        Rule::sneak_path, device.name, place_of(device),
        fmt::format(
            "{} comes home through {} in {}, from {} to {}, which is not meant to carry any",
            show(Amps(most)), title, state_name(vehicle, *worst), from, to),
        fmt::format("join {} and {} by a strap (`is: strap`) of low resistance", from, to));
    finding.figures = {seen("current through it", most, "A"),
                       limit_of("harmless", least_stray_a, "A"),
                       given("heat in it", std::abs(most * worst->devices[place].volts), "W")};
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const auto* other = vehicle.devices[i].as<Strap>();
        if (other != nullptr && !other->is_stray) {
            finding.related.push_back({vehicle.devices[i].where,
                                       fmt::format("{} carries {}", vehicle.devices[i].name,
                                                   show(Amps(std::abs(worst->devices[i].amps))))});
        }
    }
    finding.source = "Kirchhoff's current law between the bodies, docs/method/operating-point.md";
}

} // namespace

void check_stray_returns(const CheckInput& input, Findings& findings) {
    const Network& network = input.study.network;
    const CopperWays ways(network);
    for (std::size_t i = 0; i < network.terminal_nodes.size(); ++i) {
        const Device& device = input.study.vehicle.devices[i];
        check_stray_metal(input, i, findings);
        if (!is_no_ground_point(device)) {
            continue;
        }
        Stray worst;
        for (const StateSolution& state : input.sizing.states) {
            if (!state.converged) {
                continue;
            }
            for (const int node : network.terminal_nodes[i]) {
                const Stray here = node >= 0 ? ways.at(node, state) : Stray{};
                if (here.through_a <= std::max(worst.through_a, least_stray_a)) {
                    continue;
                }
                const auto from = ways.to_body(node, false, state);
                const auto to = ways.to_body(node, true, state);
                if (!from.empty() && !to.empty() &&
                    body_of(ways, node, from) != body_of(ways, node, to)) {
                    worst = here;
                }
            }
        }
        if (worst.state != nullptr) {
            add_stray(input, ways, i, worst, findings);
        }
    }
}

} // namespace loomwright
