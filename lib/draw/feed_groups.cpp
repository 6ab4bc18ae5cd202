// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/feed_groups.hpp"

#include "draw/passages.hpp"

#include <algorithm>
#include <cstddef>
#include <deque>

namespace loomwright::draw {
namespace {

/// Which wires the walk may take from a terminal.
enum class Wires : std::uint8_t { any, as_written, any_left };

class Walk {
public:
    explicit Walk(const Vehicle& vehicle) : vehicle_(vehicle), passages_(vehicle) {
        out_.of_wire.assign(vehicle.wires.size(), -1);
        out_.is_against.assign(vehicle.wires.size(), false);
        wires_at_.resize(vehicle.devices.size());
        for (const Device& device : vehicle.devices) {
            out_.of_terminal.emplace_back(device.terminals.size(), -1);
            out_.reached.emplace_back(device.terminals.size(), -1);
            through_.emplace_back(device.terminals.size());
        }
        for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
            wires_at_[i].resize(vehicle.devices[i].terminals.size());
        }
        for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
            for (const TerminalRef end : {vehicle.wires[i].from, vehicle.wires[i].to}) {
                const TerminalRef outer = outer_terminal(vehicle, end);
                wires_at_[outer.device.index()][static_cast<std::size_t>(outer.terminal)].push_back(
                    WireId(i));
            }
        }
    }

    FeedGroups run() {
        start_sources(true);
        spread(Wires::any, false);
        start_sources(false);
        spread(Wires::any, false);
        // Then through the loads: as the wires are written, so that a return splice is entered from
        // its loads; what is left, in any direction.
        for (const Wires wires : {Wires::as_written, Wires::any_left}) {
            restart();
            spread(wires, true);
        }
        collect_unfed();
        order_groups();
        return std::move(out_);
    }

private:
    int& group_of(TerminalRef ref) {
        return out_.of_terminal[ref.device.index()][static_cast<std::size_t>(ref.terminal)];
    }

    DeviceId& through_of(TerminalRef ref) {
        return through_[ref.device.index()][static_cast<std::size_t>(ref.terminal)];
    }

    void reach(TerminalRef ref, int group, DeviceId through = {}) {
        if (group_of(ref) < 0) {
            group_of(ref) = group;
            through_of(ref) = through;
            out_.reached[ref.device.index()][static_cast<std::size_t>(ref.terminal)] = count_++;
            queue_.push_back(ref);
        }
    }

    int new_group(DeviceId head, int parent) {
        out_.groups.push_back({head, parent, {}});
        return static_cast<int>(out_.groups.size()) - 1;
    }

    void start_sources(bool batteries) {
        for (std::size_t i = 0; i < vehicle_.devices.size(); ++i) {
            const Device& device = vehicle_.devices[i];
            const bool is_battery = device.as<Battery>() != nullptr;
            const bool is_other =
                device.as<Alternator>() != nullptr || device.as<Charger>() != nullptr;
            const int plus = device.terminal(device.as<Alternator>() != nullptr ? "B+" : "+");
            if ((batteries ? is_battery : is_other) && plus >= 0 &&
                group_of({DeviceId(i), plus}) < 0) {
                reach({DeviceId(i), plus}, new_group(DeviceId(i), -1));
            }
        }
    }

    /// Every terminal met so far is left once more, by the ways that are open now.
    void restart() {
        std::vector<std::pair<int, TerminalRef>> met;
        for (std::size_t d = 0; d < out_.reached.size(); ++d) {
            for (std::size_t t = 0; t < out_.reached[d].size(); ++t) {
                if (out_.reached[d][t] >= 0) {
                    met.push_back({out_.reached[d][t], {DeviceId(d), static_cast<int>(t)}});
                }
            }
        }
        std::ranges::sort(met, {}, &std::pair<int, TerminalRef>::first);
        for (const auto& [order, ref] : met) {
            queue_.push_back(ref);
        }
    }

    void spread(Wires wires, bool through_loads) {
        while (!queue_.empty()) {
            const TerminalRef here = queue_.front();
            queue_.pop_front();
            const int group = group_of(here);
            const Device& device = vehicle_.device(here.device);
            if (device.as<Ground>() != nullptr) {
                continue; // the metal of the car leads everywhere
            }
            const DeviceId came_through = through_of(here);
            for (const Passage& passage : passages_.from(here)) {
                // Through one device once: contacts that meet at a terminal need not close
                // together.
                const bool is_again = passage.through == came_through && wires != Wires::any_left;
                if ((passage.is_load && !through_loads) || is_again || group_of(passage.to) >= 0) {
                    continue;
                }
                reach(passage.to, passage.is_guarded ? new_group(passage.through, group) : group,
                      passage.through);
            }
            follow_wires(here, group, wires);
        }
    }

    void follow_wires(TerminalRef here, int group, Wires wires) {
        for (const WireId id :
             wires_at_[here.device.index()][static_cast<std::size_t>(here.terminal)]) {
            const Wire& wire = vehicle_.wire(id);
            const bool is_from = outer_terminal(vehicle_, wire.from) == here;
            if (out_.of_wire[id.index()] >= 0 || (wires == Wires::as_written && !is_from)) {
                continue;
            }
            out_.of_wire[id.index()] = group;
            out_.is_against[id.index()] = !is_from;
            out_.groups[static_cast<std::size_t>(group)].wires.push_back(id);
            reach(outer_terminal(vehicle_, is_from ? wire.to : wire.from), group);
        }
    }

    void collect_unfed() {
        int group = -1;
        for (std::size_t i = 0; i < vehicle_.wires.size(); ++i) {
            if (out_.of_wire[i] >= 0) {
                continue;
            }
            if (group < 0) {
                group = new_group(DeviceId(), -1);
            }
            out_.of_wire[i] = group;
            out_.groups[static_cast<std::size_t>(group)].wires.emplace_back(i);
            for (const TerminalRef end : {vehicle_.wires[i].from, vehicle_.wires[i].to}) {
                reach(outer_terminal(vehicle_, end), group);
            }
        }
        queue_.clear();
    }

    /// Parents before their children, children in the order of the file.
    void order_groups() {
        std::vector<std::vector<int>> children(out_.groups.size());
        std::vector<int> roots;
        for (std::size_t i = 0; i < out_.groups.size(); ++i) {
            const int parent = out_.groups[i].parent;
            (parent < 0 ? roots : children[static_cast<std::size_t>(parent)])
                .push_back(static_cast<int>(i));
        }
        const auto by_file = [this](int group) {
            const DeviceId head = out_.groups[static_cast<std::size_t>(group)].head;
            return head.is_valid() ? head.index() : vehicle_.devices.size();
        };
        std::vector<int> order;
        std::ranges::sort(roots, std::ranges::greater(), by_file);
        std::vector<int> open = roots;
        while (!open.empty()) {
            const int group = open.back();
            open.pop_back();
            order.push_back(group);
            auto& below = children[static_cast<std::size_t>(group)];
            std::ranges::sort(below, std::ranges::greater(), by_file);
            open.insert(open.end(), below.begin(), below.end());
        }
        renumber(order);
    }

    void renumber(const std::vector<int>& order) {
        std::vector<int> place(order.size());
        std::vector<FeedGroup> groups;
        for (std::size_t i = 0; i < order.size(); ++i) {
            place[static_cast<std::size_t>(order[i])] = static_cast<int>(i);
            groups.push_back(std::move(out_.groups[static_cast<std::size_t>(order[i])]));
        }
        const auto renumbered = [&place](int& group) {
            group = group < 0 ? group : place[static_cast<std::size_t>(group)];
        };
        for (FeedGroup& group : groups) {
            renumbered(group.parent);
        }
        out_.groups = std::move(groups);
        std::ranges::for_each(out_.of_wire, renumbered);
        for (auto& terminals : out_.of_terminal) {
            std::ranges::for_each(terminals, renumbered);
        }
    }

    const Vehicle& vehicle_;
    Passages passages_;
    FeedGroups out_;
    std::vector<std::vector<std::vector<WireId>>> wires_at_; // by device, by terminal
    std::vector<std::vector<DeviceId>> through_; // by device, by terminal: passed on the way to it
    std::deque<TerminalRef> queue_;
    int count_ = 0;
};

} // namespace

TerminalRef outer_terminal(const Vehicle& vehicle, TerminalRef ref) {
    const Device& device = vehicle.device(ref.device);
    if (!device.housing.is_valid() || ref.terminal < 0 ||
        static_cast<std::size_t>(ref.terminal) >= device.housing_terminal.size()) {
        return ref;
    }
    return {device.housing, device.housing_terminal[static_cast<std::size_t>(ref.terminal)]};
}

FeedGroups group_feeds(const Vehicle& vehicle) {
    return Walk(vehicle).run();
}

} // namespace loomwright::draw
