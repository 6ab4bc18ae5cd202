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
//           largest of them governs, not their sum. Those that feed one load together are one:
//           what they let pass adds up. A device in the way home lies in a row with the one that
//           feeds the load, and of a row the least counts.
//
// Of several ways home each has to carry it all, for the day the others fail: every wire that lies
// on a way from the outlet to the metal which meets no place twice, so all of the meshes between.
#include "sizing/series_feeds.hpp"

#include "network/branch_kinds.hpp"
#include "network/ground.hpp"
#include "sizing/feed_ends.hpp"

#include <algorithm>
#include <deque>
#include <map>
#include <set>

namespace loomwright {
namespace {

bool is_load(BranchKind kind) {
    return kind == BranchKind::load || kind == BranchKind::coil || kind == BranchKind::resistor;
}

/// What comes home from a load, or by the ground of a source.
struct Homeward {
    int outlet = 0;
    const WireFeed* feed = nullptr;
    std::vector<DeviceId> row; ///< that all of it has to pass
};

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
                if (before_[w].devices.size() > 1) {
                    before_[w].together = {{before_[w].devices, {}}};
                }
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
        part_into_meshes();
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
                    for (const FeedGroup& group : feed->together) {
                        groups_.insert(group.devices);
                    }
                }
            }
        }
        add_source_grounds();
        mark_meshes();
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
                of_sources_.push_back(by_part[part[node_index(live_post(branch, ground_))]]);
                WireFeed& all = of_sources_.back();
                all.together = together_from(branch);
                mark_way_home(home_post(branch, ground_), all);
                mark_row(branch, all);
            }
        }
    }

    /// Devices on the copper of a source itself that feed one load together: what they let pass
    /// comes home by the ground of that source.
    [[nodiscard]] std::vector<FeedGroup> together_from(const Branch& source) const {
        std::vector<FeedGroup> out;
        if (groups_.empty()) {
            return out;
        }
        const std::set<DeviceId> own = devices_on_copper(live_post(source, ground_));
        for (const std::vector<DeviceId>& group : groups_) {
            FeedGroup here;
            std::ranges::copy_if(group, std::back_inserter(here.devices),
                                 [&](DeviceId device) { return own.contains(device); });
            if (here.devices.size() > 1) {
                out.push_back(std::move(here));
            }
        }
        return out;
    }

    /// Protective devices at the copper that a post of a source is on, past other batteries of its
    /// row.
    [[nodiscard]] std::set<DeviceId> devices_on_copper(int post) const {
        std::set<DeviceId> out;
        std::vector<std::uint8_t> seen(at_.size(), 0);
        std::vector<int> open{post};
        seen[node_index(post)] = 1;
        while (!open.empty()) {
            const int node = open.back();
            open.pop_back();
            for (const int index : at_[node_index(node)]) {
                const Branch& branch = branch_of(index);
                if (branch.kind == BranchKind::protection) {
                    out.insert(branch.device);
                }
                const bool is_row =
                    branch.kind == BranchKind::battery && home_post(branch, ground_) == node;
                const int far = branch.other_end(node);
                if ((is_way_of_copper(branch, index) || is_row) && seen[node_index(far)] == 0 &&
                    ground_[node_index(far)] == 0) {
                    seen[node_index(far)] = 1;
                    open.push_back(far);
                }
            }
        }
        return out;
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
                add_devices(feeds_[branch.wire.index()], all, {});
            }
            node = branch.other_end(node);
        }
    }

    /// `row`: the devices that the current of `more` passes on its way home, beside those that
    /// `more` itself names.
    static void add_devices(WireFeed& mine, const WireFeed& more,
                            const std::vector<DeviceId>& row) {
        for (std::size_t i = 0; i < more.devices.size(); ++i) {
            std::vector<DeviceId> here =
                i < more.in_way_home.size() ? joined(more.in_way_home[i], row) : row;
            const auto found = std::ranges::find(mine.devices, more.devices[i]);
            if (found == mine.devices.end()) {
                mine.devices.push_back(more.devices[i]);
                if (!here.empty()) {
                    mine.in_way_home.resize(mine.devices.size());
                    mine.in_way_home.back() = std::move(here);
                }
                continue;
            }
            const auto k = static_cast<std::size_t>(found - mine.devices.begin());
            if (k < mine.in_way_home.size()) {
                keep_common(mine.in_way_home[k], here);
            }
        }
        for (const FeedGroup& group : more.together) {
            std::vector<DeviceId> here = joined(group.in_way_home, row);
            const auto found = std::ranges::find(mine.together, group.devices, &FeedGroup::devices);
            if (found == mine.together.end()) {
                mine.together.push_back({group.devices, std::move(here)});
            } else {
                keep_common(found->in_way_home, here);
            }
        }
    }

    static std::vector<DeviceId> joined(std::vector<DeviceId> row,
                                        const std::vector<DeviceId>& more) {
        for (const DeviceId device : more) {
            if (std::ranges::find(row, device) == row.end()) {
                row.push_back(device);
            }
        }
        return row;
    }

    /// What feeds another load too: what is not in the way home of both does not count.
    static void keep_common(std::vector<DeviceId>& row, const std::vector<DeviceId>& other) {
        std::erase_if(
            row, [&](DeviceId known) { return std::ranges::find(other, known) == other.end(); });
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
        is_home_ = seen;
        // Past diodes and protective devices only what has no other way home.
        for (const bool past_devices : {false, true}) {
            for (std::size_t k = 0; k < open.size(); ++k) {
                for (const int index : at_[node_index(open[k])]) {
                    const Branch& branch = branch_of(index);
                    const int far = branch.other_end(open[k]);
                    const bool is_way = leads_home(branch, index, far) ||
                                        (past_devices && passes_home(branch, far));
                    if (seen[node_index(far)] == 0 && is_way) {
                        seen[node_index(far)] = 1;
                        home_[node_index(far)] = index;
                        open.push_back(far);
                    }
                }
            }
        }
        comes_home_ = std::move(seen);
    }

    [[nodiscard]] bool is_live(int node) const {
        return fed_by_[node_index(node)] != nullptr && ground_[node_index(node)] == 0;
    }

    /// A diode that lets what comes from `far` go home, or a protective device.
    [[nodiscard]] bool passes_home(const Branch& branch, int far) const {
        const bool is_diode_home = branch.kind == BranchKind::diode &&
                                   far == (is_plus_grounded_ ? branch.to : branch.from);
        return (is_diode_home || branch.kind == BranchKind::protection) && !is_live(far);
    }

    [[nodiscard]] bool leads_home(const Branch& branch, int index, int far) const {
        if (is_live(far)) {
            return false;
        }
        return is_copper_or_metal(branch.kind) || is_way_of_copper(branch, index);
    }

    [[nodiscard]] bool is_way_of_copper(const Branch& branch, int index) const {
        const bool may_open =
            branch.kind == BranchKind::contact || branch.kind == BranchKind::output;
        return is_copper(branch.kind) || (may_open && conducts(index));
    }

    /// The copper that leads home, with the metal and its studs as the one place to which it leads.
    /// A diode lets nothing go back from where it leads: seen from its upper side it ends there.
    void part_into_meshes() {
        const int root = network_.node_count();
        std::vector<int> places(at_.size());
        for (int node = 0; node < root; ++node) {
            const bool is_metal = is_home_[node_index(node)] != 0 || is_stud(node);
            places[node_index(node)] = is_metal ? root : node;
        }
        const auto place = [&](int node) { return places[node_index(node)]; };
        std::vector<PieceEdge> edges;
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const auto index = static_cast<int>(i);
            const Branch& branch = branch_of(index);
            if (comes_home_[node_index(branch.from)] == 0 ||
                comes_home_[node_index(branch.to)] == 0) {
                continue;
            }
            if (branch.kind == BranchKind::diode) {
                edges.push_back({place(diode_inlet(branch)), root});
            } else if (leads_home(branch, index, branch.from) ||
                       branch.kind == BranchKind::protection) {
                edges.push_back({place(branch.from), place(branch.to)});
                has_devices_home_ |= branch.kind == BranchKind::protection;
            } else {
                continue;
            }
            branch_of_edge_.push_back(index);
        }
        meshes_ = meshes_towards(root, edges);
        behind_diodes_.resize(meshes_.edges.size());
        for (std::size_t mesh = 0; mesh < meshes_.edges.size(); ++mesh) {
            for (const std::size_t edge : meshes_.edges[mesh]) {
                const Branch& branch = branch_of(branch_of_edge_[edge]);
                if (branch.kind == BranchKind::diode) {
                    behind_diodes_[mesh].push_back(branch.other_end(diode_inlet(branch)));
                }
            }
        }
    }

    /// A point of the metal where nothing but wires and metal meet: not the case of a device, which
    /// may be let down by its mounting while a wire beside it holds.
    [[nodiscard]] bool is_stud(int node) const {
        return is_metal_point_[node_index(node)] != 0 &&
               std::ranges::all_of(at_[node_index(node)], [&](int index) {
                   return is_copper_or_metal(branch_of(index).kind);
               });
    }

    /// Where what goes home comes into a diode.
    [[nodiscard]] int diode_inlet(const Branch& diode) const {
        return is_plus_grounded_ ? diode.to : diode.from;
    }

    /// The mesh by which a node's current leaves it; -1: it does not come home, or is there.
    [[nodiscard]] int first_mesh(int node) const {
        const auto found = meshes_.first.find(node);
        return found == meshes_.first.end() ? -1 : found->second;
    }

    /// What comes home by several ways. A mesh of one wire before any diode lies on all of them,
    /// and is marked.
    void mark_meshes() {
        std::map<int, WireFeed> by_mesh;
        std::vector<std::size_t> met(meshes_.edges.size(), 0);
        for (std::size_t k = 0; k < homeward_.size(); ++k) {
            const Homeward& home = homeward_[k];
            std::vector<int> open{home.outlet};
            for (std::size_t i = 0; i < open.size(); ++i) {
                for (int mesh = first_mesh(open[i]); mesh >= 0;) {
                    const auto here = static_cast<std::size_t>(mesh);
                    if (met[here] == k + 1) {
                        break;
                    }
                    met[here] = k + 1;
                    open.insert(open.end(), behind_diodes_[here].begin(),
                                behind_diodes_[here].end());
                    if (i > 0 || meshes_.edges[here].size() > 1) {
                        add_devices(by_mesh[mesh], *home.feed, home.row);
                    }
                    mesh = meshes_.next[here];
                }
            }
        }
        for (const auto& [mesh, feed] : by_mesh) {
            for (const std::size_t edge : meshes_.edges[static_cast<std::size_t>(mesh)]) {
                mark(branch_of_edge_[edge], feed, {});
            }
        }
    }

    void mark(int index, const WireFeed& feed, const std::vector<DeviceId>& row) {
        const Branch& branch = branch_of(index);
        if (branch.wire.is_valid()) {
            WireFeed& mine = feeds_[branch.wire.index()];
            mine.is_return = true;
            add_devices(mine, feed, has_devices_home_ ? joined(row, devices_at_ends(index)) : row);
        }
    }

    /// Those that alone go on from a wire, whatever other ways home there are.
    [[nodiscard]] std::vector<DeviceId> devices_at_ends(int index) const {
        std::vector<DeviceId> out;
        for (const int node : {branch_of(index).from, branch_of(index).to}) {
            const DeviceId device = stretch_end(node, index);
            if (device.is_valid()) {
                out.push_back(device);
            }
        }
        return out;
    }

    void mark_way_home(int node, const WireFeed& feed) {
        const std::vector<DeviceId> row = devices_home(node);
        homeward_.push_back({node, &feed, row});
        while (home_[node_index(node)] >= 0) {
            const int next = branch_of(home_[node_index(node)]).other_end(node);
            // A wire beside it, and one to another point of the metal, carry it all when the first
            // fails.
            for (const int index : at_[node_index(node)]) {
                const Branch& branch = branch_of(index);
                const int far = branch.other_end(node);
                if (far == next || is_metal_point_[node_index(far)] != 0) {
                    mark(index, feed, row);
                }
            }
            node = next;
        }
    }

    /// The protective devices that all that comes home from `outlet` has to pass.
    [[nodiscard]] std::vector<DeviceId> devices_home(int outlet) const {
        std::vector<DeviceId> out;
        std::set<int> met;
        for (int mesh = has_devices_home_ ? first_mesh(outlet) : -1; mesh >= 0;) {
            const auto here = static_cast<std::size_t>(mesh);
            mesh = meshes_.next[here];
            if (meshes_.edges[here].size() > 1) {
                continue; // another way leads round what lies in it
            }
            const Branch& branch = branch_of(branch_of_edge_[meshes_.edges[here].front()]);
            if (branch.kind == BranchKind::protection) {
                out.push_back(branch.device);
            } else if (branch.kind == BranchKind::diode &&
                       met.insert(static_cast<int>(here)).second) {
                mesh = first_mesh(behind_diodes_[here].front());
            }
        }
        return out;
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
    std::vector<std::uint8_t> is_home_;        ///< by node: where ways home end
    std::vector<std::uint8_t> comes_home_;     ///< by node: a way leads there
    std::vector<std::uint8_t> is_metal_point_; ///< by node: a body, or bonded to one
    Meshes meshes_;                            ///< of the copper that leads home
    std::vector<int> branch_of_edge_;
    std::vector<std::vector<int>> behind_diodes_; ///< by mesh: to where its diodes lead
    bool has_devices_home_ = false;               ///< a protective device lies in it
    std::vector<Homeward> homeward_;
    std::deque<WireFeed> of_sources_;        ///< what comes home by the ground of each
    std::set<std::vector<DeviceId>> groups_; ///< that feed one load together
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
