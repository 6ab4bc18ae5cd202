// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// An overload does not ask on which side of its fuse a wire lies. A stalled motor draws its current
// through the stretch ahead of the fuse and through its ground wire as well, so both must carry
// what the fuse lets pass for long:
//   ahead   the wires of a stretch without branches that ends at one protective device;
//   home    the wires from a load's outlet to the metal of the car, and from the metal to a
//   source's
//           minus. Where the currents of several fuses meet, one fault at a time is assumed: the
//           largest of them governs, not their sum.
#include "sizing/series_feeds.hpp"

#include "network/branch_kinds.hpp"
#include "network/ground.hpp"

#include <algorithm>
#include <map>

namespace loomwright {
namespace {

bool is_load(BranchKind kind) {
    return kind == BranchKind::load || kind == BranchKind::coil || kind == BranchKind::resistor;
}

class Series {
public:
    Series(const StudyInput& input, const BranchesByNode& branches,
           const std::vector<std::uint8_t>& closed, const std::vector<std::uint8_t>& ground,
           std::vector<WireFeed>& feeds)
        : network_(input.network), at_(branches), closed_(closed), ground_(ground), feeds_(feeds),
          fed_by_(at_.size(), nullptr),
          is_plus_grounded_(std::ranges::any_of(network_.branches, [&](const Branch& row) {
              return row.kind == BranchKind::battery && live_post(row, ground_) != row.from;
          })) {
        before_ = feeds_;
        for (std::size_t w = 0; w < before_.size(); ++w) {
            if (before_[w].is_fed) {
                const Branch& branch = branch_of(network_.wire_branch[w]);
                fed_by_[node_index(branch.from)] = &before_[w];
                fed_by_[node_index(branch.to)] = &before_[w];
            }
        }
    }

    void add_ahead() {
        for (std::size_t w = 0; w < feeds_.size(); ++w) {
            if (!feeds_[w].is_unprotected) {
                continue;
            }
            const int index = network_.wire_branch[w];
            const Branch& branch = branch_of(index);
            feeds_[w].devices.clear();
            for (const int node : {branch.to, branch.from}) {
                const DeviceId device = stretch_end(node, index);
                if (device.is_valid()) {
                    feeds_[w].devices = {device};
                    // In a row with the device it carries what that lets pass: a source that limits
                    // itself, at the battery, adds nothing to it.
                    feeds_[w].self_limited_a = 0.0;
                    feeds_[w].limited_rest_a = 0.0;
                    break;
                }
            }
        }
    }

    void add_home() {
        walk_from_metal();
        for (const Branch& branch : network_.branches) {
            if (!is_load(branch.kind)) {
                continue;
            }
            for (const auto& [inlet, outlet] :
                 {std::pair(branch.from, branch.to), std::pair(branch.to, branch.from)}) {
                const WireFeed* feed = fed_by_[node_index(inlet)];
                if (feed != nullptr && !feed->is_unprotected &&
                    fed_by_[node_index(outlet)] == nullptr) {
                    mark_way_home(outlet, *feed);
                }
            }
        }
        add_source_grounds();
    }

private:
    /// Whatever a device lets pass that anything but the metal joins to a source comes home through
    /// the ground of that source.
    void add_source_grounds() {
        const std::vector<int> part = parts_off_metal();
        std::map<int, WireFeed> by_part;
        for (const Branch& branch : network_.branches) {
            if (branch.kind == BranchKind::protection) {
                const bool begins_in_metal = ground_[node_index(branch.from)] != 0;
                const int node = begins_in_metal ? branch.to : branch.from;
                by_part[part[node_index(node)]].devices.push_back(branch.device);
            }
        }
        for (const Branch& branch : network_.branches) {
            if (is_source(branch.kind)) {
                const WireFeed& all = by_part[part[node_index(live_post(branch, ground_))]];
                mark_way_home(home_post(branch, ground_), all);
                mark_row(branch, all);
            }
        }
    }

    /// By node: the part of the car that it belongs to when the metal is taken away.
    [[nodiscard]] std::vector<int> parts_off_metal() const {
        std::vector<int> part(at_.size(), -1);
        for (int first = 0; first < network_.node_count(); ++first) {
            if (part[node_index(first)] >= 0) {
                continue;
            }
            part[node_index(first)] = first;
            std::vector<int> open{first};
            while (!open.empty() && ground_[node_index(first)] == 0) {
                const int node = open.back();
                open.pop_back();
                for (const int index : at_[node_index(node)]) {
                    const int far = branch_of(index).other_end(node);
                    if (part[node_index(far)] < 0 && ground_[node_index(far)] == 0) {
                        part[node_index(far)] = first;
                        open.push_back(far);
                    }
                }
            }
        }
        return part;
    }

    /// In a row of batteries the lead from one's minus to the next one's plus is a part of the way
    /// home.
    void mark_row(const Branch& battery, const WireFeed& all) {
        const int start = home_post(battery, ground_);
        if (ground_[node_index(start)] != 0) {
            return; // the first of its row
        }
        std::vector<int> open{start};
        std::vector<int> came_by(at_.size(), -1);
        for (std::size_t k = 0; k < open.size(); ++k) {
            const int node = open[k];
            for (const int index : at_[node_index(node)]) {
                const Branch& branch = branch_of(index);
                if (branch.kind == BranchKind::battery && live_post(branch, ground_) == node &&
                    branch.device != battery.device) {
                    mark_back(node, start, came_by, all);
                }
                const bool goes_on =
                    is_copper(branch.kind) || branch.kind == BranchKind::protection;
                const int far = branch.other_end(node);
                if (goes_on && far != start && came_by[node_index(far)] < 0 &&
                    ground_[node_index(far)] == 0) {
                    came_by[node_index(far)] = index;
                    open.push_back(far);
                }
            }
        }
    }

    void mark_back(int node, int start, const std::vector<int>& came_by, const WireFeed& all) {
        while (node != start) {
            const Branch& branch = branch_of(came_by[node_index(node)]);
            if (branch.wire.is_valid()) {
                feeds_[branch.wire.index()].is_return = true;
                add_devices(feeds_[branch.wire.index()], all);
            }
            node = branch.other_end(node);
        }
    }

    static void add_devices(WireFeed& mine, const WireFeed& more) {
        for (const DeviceId device : more.devices) {
            if (std::ranges::find(mine.devices, device) == mine.devices.end()) {
                mine.devices.push_back(device);
            }
        }
    }

    static std::size_t node_index(int node) { return static_cast<std::size_t>(node); }
    [[nodiscard]] const Branch& branch_of(int index) const {
        return network_.branches[static_cast<std::size_t>(index)];
    }
    [[nodiscard]] bool conducts(int index) const {
        return closed_.empty() || closed_[static_cast<std::size_t>(index)] != 0;
    }

    /// The protective device at the end of a stretch that goes on from `node` without branching.
    [[nodiscard]] DeviceId stretch_end(int node, int came_by) const {
        for (std::size_t steps = 0; steps < network_.branches.size(); ++steps) {
            const auto& here = at_[node_index(node)];
            if (here.size() != 2) {
                return {};
            }
            const int next = here[0] == came_by ? here[1] : here[0];
            const Branch& branch = branch_of(next);
            if (branch.kind == BranchKind::protection) {
                return branch.device;
            }
            if (!is_copper(branch.kind)) {
                return {};
            }
            node = branch.other_end(node);
            came_by = next;
        }
        return {};
    }

    /// The branch by which each node without a feed is reached from the metal of the car: the way
    /// home, the other way round.
    void walk_from_metal() {
        home_.assign(at_.size(), -1);
        is_metal_point_.assign(at_.size(), 0);
        for (const Branch& branch : network_.branches) {
            if (branch.kind == BranchKind::bond) {
                is_metal_point_[node_index(branch.from)] = 1;
                is_metal_point_[node_index(branch.to)] = 1;
            }
        }
        std::vector<std::uint8_t> seen(at_.size(), 0);
        std::vector<int> open = network_.body_nodes;
        if (network_.reference >= 0) {
            open.push_back(network_.reference);
        }
        for (const int node : open) {
            seen[node_index(node)] = 1;
        }
        // Past diodes only what has no other way home.
        for (const bool past_diodes : {false, true}) {
            for (std::size_t k = 0; k < open.size(); ++k) {
                for (const int index : at_[node_index(open[k])]) {
                    const Branch& branch = branch_of(index);
                    const int far = branch.other_end(open[k]);
                    const bool is_way = leads_home(branch, index, far) ||
                                        (past_diodes && passes_home(branch, far) && !is_live(far));
                    if (seen[node_index(far)] == 0 && is_way) {
                        seen[node_index(far)] = 1;
                        home_[node_index(far)] = index;
                        open.push_back(far);
                    }
                }
            }
        }
    }

    [[nodiscard]] bool is_live(int node) const {
        return fed_by_[node_index(node)] != nullptr && ground_[node_index(node)] == 0;
    }

    /// A diode that lets what comes from `far` go home.
    [[nodiscard]] bool passes_home(const Branch& branch, int far) const {
        return branch.kind == BranchKind::diode &&
               far == (is_plus_grounded_ ? branch.to : branch.from);
    }

    [[nodiscard]] bool leads_home(const Branch& branch, int index, int far) const {
        if (is_live(far)) {
            return false;
        }
        const bool may_open =
            branch.kind == BranchKind::contact || branch.kind == BranchKind::output;
        return is_copper_or_metal(branch.kind) || (may_open && conducts(index));
    }

    void mark_way_home(int node, const WireFeed& feed) {
        while (home_[node_index(node)] >= 0) {
            const int next = branch_of(home_[node_index(node)]).other_end(node);
            // A wire beside it, and one to another point of the metal, carry it all when the first
            // fails.
            for (const int index : at_[node_index(node)]) {
                const Branch& branch = branch_of(index);
                const int far = branch.other_end(node);
                if (branch.wire.is_valid() &&
                    (far == next || is_metal_point_[node_index(far)] != 0)) {
                    feeds_[branch.wire.index()].is_return = true;
                    add_devices(feeds_[branch.wire.index()], feed);
                }
            }
            node = next;
        }
    }

    const Network& network_;
    const BranchesByNode& at_;
    const std::vector<std::uint8_t>& closed_;
    const std::vector<std::uint8_t>& ground_;
    std::vector<WireFeed>& feeds_;
    std::vector<WireFeed> before_;
    std::vector<const WireFeed*> fed_by_; ///< by node: how a wire there is fed; nullptr: it is not
    bool is_plus_grounded_ = false;
    std::vector<int> home_;
    std::vector<std::uint8_t> is_metal_point_; ///< by node: a body, or bonded to one
};

} // namespace

BranchesByNode branches_by_node(const Network& network) {
    BranchesByNode out(static_cast<std::size_t>(network.node_count()));
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        out[static_cast<std::size_t>(network.branches[i].from)].push_back(static_cast<int>(i));
        out[static_cast<std::size_t>(network.branches[i].to)].push_back(static_cast<int>(i));
    }
    return out;
}

void add_series_devices(const StudyInput& input, const BranchesByNode& branches,
                        const std::vector<std::uint8_t>& closed,
                        const std::vector<std::uint8_t>& ground, std::vector<WireFeed>& feeds) {
    Series series(input, branches, closed, ground, feeds);
    series.add_ahead();
    series.add_home();
}

} // namespace loomwright
