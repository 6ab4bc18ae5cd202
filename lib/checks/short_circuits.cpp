// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// source-shorted: a source whose plus and minus are joined by nothing but conductors and closed
// contacts in a state of the car. The way is the one of fewest parts between the two posts in the
// graph of the branches that conduct (breadth first).
#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/wording.hpp"
#include "network/branch_kinds.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

class ShortFinder {
public:
    explicit ShortFinder(const Network& network)
        : network_(network), at_(static_cast<std::size_t>(network.node_count())) {
        for (std::size_t i = 0; i < network.branches.size(); ++i) {
            const Branch& branch = network.branches[i];
            if (is_conductor(branch.kind)) {
                at_[static_cast<std::size_t>(branch.from)].push_back(static_cast<int>(i));
                at_[static_cast<std::size_t>(branch.to)].push_back(static_cast<int>(i));
            }
        }
    }

    /// The branches from one node to another in a state; empty when nothing joins them.
    [[nodiscard]] std::vector<int> way(int from, int to, const StateSolution& state) const {
        std::vector<int> came_by(at_.size(), -1);
        std::vector<int> open{from};
        for (std::size_t k = 0; k < open.size() && came_by[index(to)] < 0; ++k) {
            for (const int branch : at_[index(open[k])]) {
                const int next = network_.branches[index(branch)].other_end(open[k]);
                if (state.closed[index(branch)] != 0 && next != from && came_by[index(next)] < 0) {
                    came_by[index(next)] = branch;
                    open.push_back(next);
                }
            }
        }
        std::vector<int> out;
        for (int node = to; node != from && came_by[index(node)] >= 0;
             node = network_.branches[index(out.back())].other_end(node)) {
            out.push_back(came_by[index(node)]);
        }
        std::ranges::reverse(out);
        return out;
    }

private:
    [[nodiscard]] static std::size_t index(int number) { return static_cast<std::size_t>(number); }
    const Network& network_;
    std::vector<std::vector<int>> at_;
};

struct Shorted {
    const Branch* source = nullptr;
    std::vector<int> way;
    std::vector<std::string> states;
    double amps = 0.0;
};

void add_shorted(const CheckInput& input, const Shorted& row, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Device& device = vehicle.device(row.source->device);
    std::vector<std::string> parts;
    for (const int index : row.way) {
        const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
        std::string name = branch.wire.is_valid() ? vehicle.wire(branch.wire).number
                                                  : name_of(vehicle, branch.device);
        if (parts.empty() || parts.back() != name) {
            parts.push_back(std::move(name));
        }
    }
    Finding& finding =
        findings.add(Rule::source_shorted, device.name, device.where,
                     fmt::format("its plus and minus are joined by {} in {}, with no load between",
                                 list_of(parts), list_of(row.states)),
                     "take one of these parts off the other post, or put its load between");
    finding.figures = {given("current", row.amps, "A")};
    for (const int index : row.way) {
        const WireId wire = input.study.network.branches[static_cast<std::size_t>(index)].wire;
        if (wire.is_valid()) {
            finding.related.push_back(
                {vehicle.wire(wire).where, vehicle.wire(wire).number + " is on the way"});
        }
    }
}

} // namespace

void check_short_circuits(const CheckInput& input, Findings& findings) {
    const Network& network = input.study.network;
    const ShortFinder finder(network);
    std::vector<Shorted> rows;
    for (const StateSolution& solution : input.sizing.states) {
        // Of sources side by side the first is told: the others are shorted by the same way.
        for (const Branch& branch : network.branches) {
            if (!is_source(branch.kind)) {
                continue;
            }
            std::vector<int> way = finder.way(branch.from, branch.to, solution);
            if (way.empty()) {
                continue;
            }
            const auto same = [&](const Shorted& row) { return row.source == &branch; };
            auto row = std::ranges::find_if(rows, same);
            if (row == rows.end()) {
                rows.push_back({&branch, std::move(way), {}, 0.0});
                row = rows.end() - 1;
            }
            row->states.push_back(state_name(input.study.vehicle, solution));
            row->amps = std::max(row->amps, std::abs(solution.devices[branch.device.index()].amps));
            break;
        }
    }
    for (const Shorted& row : rows) {
        add_shorted(input, row, findings);
    }
}

} // namespace loomwright
