// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/circuit_groups.hpp"

#include "draw/drawing.hpp"
#include "draw/parts_of_devices.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace loomwright::draw {
namespace {

constexpr double widest_circuit_name = 30.0; // mm, of a circuit beside an arrow
constexpr double name_height = 2.2;
constexpr std::size_t many_terminals = 6;

class Grouper {
public:
    Grouper(const Vehicle& vehicle, CircuitId circuit)
        : vehicle_(vehicle), circuit_(circuit), feeds_(group_feeds(vehicle)) {}

    CircuitGroups make() {
        add_groups();
        add_terminals();
        const Parts parts(vehicle_, groups());
        for (const WireId wire : vehicle_.circuit(circuit_).wires) {
            touched_.insert(parts.of(start_of(wire)));
            touched_.insert(parts.of(end_of(wire)));
        }
        take_touched(parts);
        add_foreign_wires(parts);
        order_wires();
        return std::move(out_);
    }

private:
    FeedGroups& groups() { return out_.groups; }
    [[nodiscard]] int own() const { return static_cast<int>(circuit_.index()); }

    [[nodiscard]] TerminalRef start_of(WireId id) const {
        const Wire& wire = vehicle_.wire(id);
        return outer_terminal(vehicle_, feeds_.is_against[id.index()] ? wire.to : wire.from);
    }
    [[nodiscard]] TerminalRef end_of(WireId id) const {
        const Wire& wire = vehicle_.wire(id);
        return outer_terminal(vehicle_, feeds_.is_against[id.index()] ? wire.from : wire.to);
    }

    void add_groups() {
        for (const Circuit& circuit : vehicle_.circuits) {
            const auto lines = fit_text(fmt::format("circuit {} {}", circuit.number, circuit.name),
                                        widest_circuit_name, name_height, 1);
            FeedGroup group;
            group.wires = circuit.wires;
            group.name = lines.empty() ? "circuit" : lines.front();
            groups().groups.push_back(std::move(group));
        }
        groups().is_against = feeds_.is_against;
        for (const Wire& wire : vehicle_.wires) {
            groups().of_wire.push_back(static_cast<int>(wire.circuit.index()));
        }
    }

    /// Each terminal with a wire is in the circuit of its first; what no current reaches comes
    /// last.
    void add_terminals() {
        int unreached = 0;
        for (std::size_t d = 0; d < vehicle_.devices.size(); ++d) {
            const std::size_t count = vehicle_.devices[d].terminals.size();
            groups().of_terminal.emplace_back(count, -1);
            groups().reached.emplace_back(count, -1);
            for (const int reached : feeds_.reached[d]) {
                unreached = std::max(unreached, reached + 1);
            }
        }
        for (std::size_t i = 0; i < vehicle_.wires.size(); ++i) {
            for (const TerminalRef ref : {start_of(WireId(i)), end_of(WireId(i))}) {
                int& group =
                    groups()
                        .of_terminal[ref.device.index()][static_cast<std::size_t>(ref.terminal)];
                int& reached =
                    groups().reached[ref.device.index()][static_cast<std::size_t>(ref.terminal)];
                if (group < 0) {
                    group = groups().of_wire[i];
                    const int fed =
                        feeds_.reached[ref.device.index()][static_cast<std::size_t>(ref.terminal)];
                    reached = fed >= 0 ? fed : unreached++;
                }
            }
        }
    }

    void take_touched(const Parts& parts) {
        for (std::size_t d = 0; d < vehicle_.devices.size(); ++d) {
            for (std::size_t t = 0; t < vehicle_.devices[d].terminals.size(); ++t) {
                if (touched_.contains(parts.of({DeviceId(d), static_cast<int>(t)}))) {
                    groups().of_terminal[d][t] = own();
                }
            }
        }
    }

    /// A device at which the wires of other circuits would hide the one that is looked at.
    [[nodiscard]] bool is_wide(DeviceId id) const {
        const Device& device = vehicle_.device(id);
        return device.as<Controller>() != nullptr || device.as<Unit>() != nullptr ||
               (device.terminals.size() > many_terminals && device.as<Connector>() == nullptr);
    }

    using Place = std::pair<std::pair<DeviceId, int>, bool>; ///< terminal; the wire leaves it

    [[nodiscard]] std::vector<Place> places_of(WireId wire, const Parts& parts) const {
        std::vector<Place> out;
        for (const bool leaves : {true, false}) {
            const TerminalRef ref = leaves ? start_of(wire) : end_of(wire);
            if (touched_.contains(parts.of(ref)) &&
                vehicle_.device(ref.device).as<Ground>() == nullptr) {
                out.push_back({{ref.device, ref.terminal}, leaves});
            }
        }
        return out;
    }

    void add_foreign_wires(const Parts& parts) {
        std::map<Place, std::size_t> counts;
        for (std::size_t i = 0; i < vehicle_.wires.size(); ++i) {
            if (groups().of_wire[i] != own()) {
                for (const Place& place : places_of(WireId(i), parts)) {
                    ++counts[place];
                }
            }
        }
        std::vector<WireId>& wires = groups().groups[circuit_.index()].wires;
        for (std::size_t i = 0; i < vehicle_.wires.size(); ++i) {
            const WireId wire(i);
            if (groups().of_wire[i] == own()) {
                continue;
            }
            const std::vector<Place> places = places_of(wire, parts);
            const bool is_drawn = std::ranges::any_of(places, [&](const Place& place) {
                return !is_wide(place.first.first) && counts[place] <= most_foreign_wires;
            });
            if (is_drawn) {
                wires.push_back(wire);
                continue;
            }
            for (const Place& place : places) {
                out_.not_drawn[place.first.first].insert(vehicle_.wire(wire).circuit);
            }
        }
    }

    /// As current reaches them.
    void order_wires() {
        std::ranges::stable_sort(groups().groups[circuit_.index()].wires, {}, [this](WireId wire) {
            const TerminalRef ref = start_of(wire);
            return out_.groups.reached[ref.device.index()][static_cast<std::size_t>(ref.terminal)];
        });
    }

    const Vehicle& vehicle_;
    CircuitId circuit_;
    FeedGroups feeds_;
    std::set<Part> touched_;
    CircuitGroups out_;
};

} // namespace

CircuitGroups group_circuits(const Vehicle& vehicle, CircuitId circuit) {
    return Grouper(vehicle, circuit).make();
}

} // namespace loomwright::draw
