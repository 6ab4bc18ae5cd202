// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// A group as a tree: the wire that first reaches a device is the parent of those that leave it.
// From the leaves up, branches of a wire whose subtree is too large are cut off in order, some at a
// time, each time as a part of its own. A part then holds at most the limit, or one wire and its
// branches.
#include "draw/feed_groups.hpp"

#include <algorithm>
#include <numeric>

namespace loomwright::draw {
namespace {

class Splitter {
public:
    Splitter(const Vehicle& vehicle, const FeedGroups& groups, const FeedGroup& group,
             std::size_t most_wires)
        : vehicle_(vehicle), groups_(groups), wires_(group.wires), most_(most_wires),
          arrived_(vehicle.devices.size(), -1) {
        build_tree();
    }

    /// Part of each wire of the group, in its order; 0 is what stays.
    std::vector<int> run() {
        std::vector<std::size_t> size(wires_.size() + 1, 1);
        part_.assign(wires_.size(), 0);
        for (std::size_t i = wires_.size() + 1; i-- > 0;) {
            // The root of the tree comes last, after all wires.
            const std::size_t node = i == 0 ? wires_.size() : i - 1;
            const auto& children = children_[node];
            for (const std::size_t child : children) {
                size[node] += size[child];
            }
            cut_branches(node, size);
        }
        return part_;
    }

private:
    [[nodiscard]] std::size_t device_of(TerminalRef ref) const {
        const DeviceId device = outer_terminal(vehicle_, ref).device;
        const auto* connector = vehicle_.device(device).as<Connector>();
        const bool has_mate = connector != nullptr && connector->mate.is_valid();
        return has_mate ? std::min(device, connector->mate).index() : device.index();
    }

    void build_tree() {
        children_.resize(wires_.size() + 1);
        for (std::size_t i = 0; i < wires_.size(); ++i) {
            const Wire& wire = vehicle_.wire(wires_[i]);
            const bool is_against = groups_.is_against[wires_[i].index()];
            const std::size_t start = device_of(is_against ? wire.to : wire.from);
            const std::size_t end = device_of(is_against ? wire.from : wire.to);
            const int parent = arrived_[start];
            children_[parent < 0 ? wires_.size() : static_cast<std::size_t>(parent)].push_back(i);
            if (arrived_[end] < 0 && vehicle_.devices[end].as<Ground>() == nullptr) {
                arrived_[end] = static_cast<int>(i);
            }
        }
    }

    void cut_branches(std::size_t node, std::vector<std::size_t>& size) {
        auto& children = children_[node];
        std::size_t next = 0;
        while (size[node] > most_ && next < children.size()) {
            const int part = ++parts_;
            std::size_t taken = 0;
            while (next < children.size() &&
                   (taken == 0 || taken + size[children[next]] <= most_)) {
                taken += size[children[next]];
                mark(children[next++], part);
            }
            size[node] -= taken;
        }
        children.erase(children.begin(), children.begin() + static_cast<std::ptrdiff_t>(next));
    }

    /// The branch with all that was not cut off it before.
    void mark(std::size_t node, int part) {
        std::vector<std::size_t> open = {node};
        while (!open.empty()) {
            const std::size_t wire = open.back();
            open.pop_back();
            part_[wire] = part;
            open.insert(open.end(), children_[wire].begin(), children_[wire].end());
        }
    }

    const Vehicle& vehicle_;
    const FeedGroups& groups_;
    const std::vector<WireId>& wires_;
    std::size_t most_;
    std::vector<int> arrived_;                       // by device: the wire that reaches it first
    std::vector<std::vector<std::size_t>> children_; // by wire; at the end those of the head
    std::vector<int> part_;
    int parts_ = 0;
};

} // namespace

void split_large_groups(const Vehicle& vehicle, FeedGroups& groups, std::size_t most_wires) {
    std::vector<FeedGroup> out;
    std::vector<int> place;
    std::vector<int> new_of_wire(groups.of_wire.size(), -1);
    for (const FeedGroup& group : groups.groups) {
        place.push_back(static_cast<int>(out.size()));
        std::vector<int> part(group.wires.size(), 0);
        if (group.wires.size() > most_wires) {
            part = Splitter(vehicle, groups, group, most_wires).run();
        }
        const int parts = part.empty() ? 0 : *std::ranges::max_element(part);
        for (int k = 0; k <= parts; ++k) {
            FeedGroup piece{group.head, group.parent, {}, k};
            for (std::size_t i = 0; i < part.size(); ++i) {
                if (part[i] == k) {
                    piece.wires.push_back(group.wires[i]);
                    new_of_wire[group.wires[i].index()] = static_cast<int>(out.size());
                }
            }
            out.push_back(std::move(piece));
        }
    }
    const auto moved = [&place](int group) {
        return group < 0 ? group : place[static_cast<std::size_t>(group)];
    };
    for (FeedGroup& group : out) {
        group.parent = moved(group.parent);
    }
    for (auto& terminals : groups.of_terminal) {
        std::ranges::transform(terminals, terminals.begin(), moved);
    }
    groups.groups = std::move(out);
    groups.of_wire = std::move(new_of_wire);
    // What a wire of a part arrives at goes with it, if nothing that stays is there before.
    for (const FeedGroup& group : groups.groups) {
        const int number = static_cast<int>(&group - groups.groups.data());
        for (const WireId id : group.wires) {
            if (group.continues == 0) {
                continue;
            }
            const Wire& wire = vehicle.wire(id);
            const bool is_against = groups.is_against[id.index()];
            const TerminalRef end = outer_terminal(vehicle, is_against ? wire.from : wire.to);
            for (int& terminal : groups.of_terminal[end.device.index()]) {
                terminal = terminal == number - group.continues ? number : terminal;
            }
        }
    }
}

} // namespace loomwright::draw
