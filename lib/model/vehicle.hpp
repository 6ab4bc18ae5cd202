// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/parts.hpp"

#include <array>
#include <map>
#include <set>
#include <string_view>

namespace loomwright {

/// Air that conductors sit in.
struct Zone {
    std::string name;
    Celsius air{40.0};
    bool wet = false;
    SourceRange where;
};

/// A place on the body: a breakout, a mounting, a hole.
struct Point {
    std::string name;
    ZoneId zone;
    std::optional<std::array<Metres, 3>> at; ///< position in the car's frame
    std::optional<Metres> opening;           ///< free diameter of the hole the loom passes
    SourceRange where;
};

/// A stretch of loom between two points.
struct Run {
    std::string name;
    PointId from;
    PointId to;
    Metres length;
    bool is_estimated = false; ///< from coordinates, not measured or written
    bool hidden = false;
    bool moving = false;
    std::string cover; ///< "", "tape", "braid", "conduit", "sleeve", "heat-sleeve"
    std::vector<std::string> clear_of;
    std::optional<Given<Metres>> bend;  ///< least radius that it is bent to, measured on the car
    std::optional<Given<Metres>> clips; ///< distance from one support to the next
    ZoneId zone;                        ///< as written; else invalid: the hotter of its ends' zones
    SourceRange where;
};

/// Old wiring kept in the car, with what it carried as far as that is known.
struct Retained {
    std::optional<int> since;
    std::optional<Amps> fuse; ///< that stood before it
    std::optional<Amps> load; ///< that it carried
};

struct Wire {
    std::string number; ///< "12.2", printed on the label
    CircuitId circuit;
    TerminalRef from;
    TerminalRef to;
    std::optional<Given<ConductorSize>> size; ///< nothing = auto
    Given<std::string> insulation;            ///< a family's name; "" = the policy's
    std::string colour;                       ///< "BK/RD"; "" = not chosen
    bool colour_is_auto = false;              ///< `auto`: chosen after the loom is routed
    std::optional<Given<Metres>> length;      ///< as written: the cut length, not routed
    bool length_is_measured = false;          ///< `measured:` from the car
    bool size_is_frozen = false;              ///< `auto`, and taken from what was frozen
    std::vector<Given<std::string>> via;      ///< runs or points the route must touch, in order
    std::vector<Given<std::string>> avoid;
    std::string twisted;                     ///< name of the pair it belongs to
    std::optional<Given<Retained>> retained; ///< nothing: new
    std::string note;
    SourceRange where;
};

/// A screen around wires, and where the drain wire that grounds it ends.
struct Shield {
    std::string name;
    std::vector<Given<WireId>> around;
    std::vector<Given<TerminalRef>> drains;
    SourceRange where;
};

struct Circuit {
    std::string name;
    std::string number;
    std::string title;
    Given<std::string> drop_class; ///< picks the voltage-drop limit; "" = "other"
    std::vector<WireId> wires;
    /// Each path of the file as its chain of wires, in the order of writing.
    std::vector<std::vector<WireId>> paths;
    SourceRange where;
};

enum class EngineCondition : std::uint8_t { stopped, cranking, idle, running };

/// One thing a state fixes.
struct Setting {
    DeviceId device;
    int terminal = -1;     ///< of a controller's output; else -1
    int position = -1;     ///< of a switch
    double level = 1.0;    ///< share of full demand, or 0 = off / 1 = on
    bool is_level = false; ///< a level or on/off was given
    SourceRange where;
};

/// A motor that something else turns: a fan in the wind of the road, or one that runs down.
struct Turning {
    DeviceId device;
    double speed = 1.0; ///< share of the speed at which it runs at its rated voltage
    SourceRange where;
};

struct State {
    std::string name;
    std::string title;
    EngineCondition engine = EngineCondition::stopped;
    /// The state before it, whose relays it begins with; invalid: from rest.
    StateId after;
    std::vector<Setting> settings;
    std::vector<Turning> turning;
    std::optional<Seconds> lasts;
    std::optional<Celsius> air; ///< replaces the air of every zone
    std::optional<Celsius> battery_temperature;
    std::optional<double> charge; ///< replaces every battery's state of charge
    std::vector<Given<DeviceId>> expect_on;
    std::vector<Given<DeviceId>> expect_off;
    SourceRange where;
};

struct SuppliedLead {
    std::string name;
    int terminal = -1; ///< of the harness's device
    ConductorSize size;
    Metres length;
    SourceRange where;
};

/// A stretch of a drive: one state for a time.
struct DriveLeg {
    StateId state;
    Seconds lasts;
    SourceRange where;
};

/// States one after another, for the battery's charge against time.
struct Drive {
    std::string name;
    std::string title;
    std::optional<double> charge; ///< of every battery at the start; else each battery's own
    int times = 1;                ///< how often the legs follow one another
    std::vector<DriveLeg> legs;
    SourceRange where;
};

/// A harness that arrives made up and is not cut.
struct SuppliedHarness {
    std::string name;
    DeviceId device;
    PointId from;                ///< where its leads come out
    std::optional<Metres> trunk; ///< from its device to there; else as long as the way is
    std::vector<SuppliedLead> leads;
    SourceRange where;
};

/// The limits and habits; what the file leaves out comes from the tables of defaults.
/// Shares of a run's length that are set against it in the search for a way.
struct RoutePolicy {
    std::optional<Given<double>> hot; ///< for each 10 K
    std::optional<Given<double>> wet;
    std::optional<Given<double>> moving;
    std::optional<Given<double>> seen;
};

struct Policy {
    std::map<std::string, Given<Volts>, std::less<>> drop; ///< by class of circuit
    std::optional<Given<double>> fuse_loading;             ///< share of the rating, 0..1
    std::optional<Given<SizeStandard>> sizes;              ///< standard that `auto` picks from
    std::optional<Given<ConductorSize>> least_size;
    std::optional<Given<std::string>> insulation;
    std::optional<Given<Celsius>> battery_temperature;
    std::optional<Given<Metres>> take_out;     ///< allowance at each end, to leave the bundle
    std::optional<Given<Metres>> service_loop; ///< allowance for two re-terminations
    std::optional<Given<Volts>> crank_voltage; ///< least voltage for controllers without `needs`
    std::optional<Given<Volts>> ground_offset; ///< of sensors against their controller
    std::optional<Given<double>> spare;        ///< share added to the buying list
    RoutePolicy route;
};

struct Waiver {
    std::string rule;
    std::vector<Given<std::string>> on; ///< names of things; empty: every subject
    std::string because;
    std::string by;
    SourceRange where;
};

/// One gate of a curve: at this multiple of the rating the device opens within [shortest, longest].
struct CurveGate {
    double multiple = 1.0;
    std::optional<Seconds> shortest;
    std::optional<Seconds> longest;
    SourceRange where;
};

/// Opening times from a data sheet of the user's, in place of the tables'.
struct FuseCurve {
    std::string name;
    std::string family;                   ///< "" where it is of `devices`
    std::vector<DeviceId> devices;        ///< for these alone; empty: for the family
    Amps least;                           ///< (family) smallest and
    Amps most;                            ///< largest rating that it holds for
    std::optional<Celsius> air;           ///< that the times hold in; else as the tables' gates
    std::optional<double> derating_per_k; ///< share of the rating lost for each kelvin above `air`
    std::vector<CurveGate> gates;         ///< ascending; no side rises, none crosses the other
    std::string source;
    SourceRange where;
};

/// A line of the user's own stock: what the shop buys.
struct StockItem {
    std::string kind; ///< "wire", "fuse", "terminal", "sleeve", "seal", "plug", "housing"
    std::string name;
    std::optional<ConductorSize> size;
    std::optional<SquareMetres> least_area; ///< of a terminal: of the wires that it takes
    std::optional<SquareMetres> most_area;
    std::optional<Metres> least_diameter; ///< of a seal: over the insulation
    std::optional<Metres> most_diameter;
    std::optional<Metres> strip;        ///< of a terminal: insulation that comes off
    std::optional<Metres> crimp_height; ///< of a terminal: as its data sheet asks
    std::string insulation;
    std::string colour;
    std::optional<Amps> rating;
    std::optional<Amps> breaking; ///< of a fuse: what it breaks, by its data sheet
    std::string part_number;
    std::optional<Money> price;
    std::optional<Metres> spool;
    SourceRange where;
};

/// A wire as it was cut (`size --freeze`): what was chosen then.
struct FrozenWire {
    std::string number;
    WireId wire; ///< of this number and these ends; invalid: none is
    Given<ConductorSize> size;
    std::string insulation;
    std::string colour;
    Metres length; ///< as cut
    std::string from;
    std::string to;
    SourceRange where;
};

/// A protective device as it was rated then.
struct FrozenFuse {
    std::string name;
    DeviceId device; ///< invalid: none of this name
    Amps rating;
    SourceRange where;
};

/// What is cut and fitted already, from the file that `frozen:` names.
struct Frozen {
    std::string file; ///< as `frozen:` names it; "" without one
    std::vector<FrozenWire> wires;
    std::vector<FrozenFuse> fuses;
    [[nodiscard]] bool is_there() const { return !file.empty(); }
    /// The entry of each of so many wires, by WireId; nullptr: it has none.
    [[nodiscard]] std::vector<const FrozenWire*> by_wire(std::size_t count) const;
};

/// The whole car as it was written, read once and then const.
struct Vehicle {
    std::string title;
    std::string revision;
    Volts nominal{12.0};
    std::vector<std::string> bodies{"chassis", "engine"};
    std::vector<Zone> zones;
    std::vector<Point> points;
    std::vector<Run> runs;
    std::vector<Device> devices;
    std::vector<Circuit> circuits;
    std::vector<Wire> wires;
    std::vector<State> states;
    std::vector<Drive> drives;
    std::vector<SuppliedHarness> supplied;
    std::vector<Shield> shields;
    Policy policy;
    std::vector<Waiver> waivers;
    std::vector<StockItem> stock;
    std::vector<FuseCurve> curves;
    Frozen frozen;
    FileId main_file;

    [[nodiscard]] const Device& device(DeviceId id) const { return devices[id.index()]; }
    [[nodiscard]] const Wire& wire(WireId id) const { return wires[id.index()]; }
    [[nodiscard]] const Circuit& circuit(CircuitId id) const { return circuits[id.index()]; }
    [[nodiscard]] const Point& point(PointId id) const { return points[id.index()]; }
    [[nodiscard]] const Run& run(RunId id) const { return runs[id.index()]; }
    [[nodiscard]] const Zone& zone(ZoneId id) const { return zones[id.index()]; }
    [[nodiscard]] const State& state(StateId id) const { return states[id.index()]; }

    // Names are looked up by walking the lists: for messages and arguments, not for inner loops.
    [[nodiscard]] DeviceId find_device(std::string_view name) const;
    [[nodiscard]] WireId find_wire(std::string_view number) const;
    [[nodiscard]] StateId find_state(std::string_view name) const;
    /// "F10.out"; the bare name for a device with one node (splice, stud, ground).
    [[nodiscard]] std::string show(TerminalRef ref) const;
};

/// By DeviceId, by terminal: 1 where a wire of the car ends.
[[nodiscard]] std::vector<std::vector<std::uint8_t>> wired_terminals(const Vehicle& vehicle);

/// The devices of a kind (`Battery`, `Starter`), in the order of the file.
template <typename Spec> [[nodiscard]] std::vector<DeviceId> devices_of(const Vehicle& vehicle) {
    std::vector<DeviceId> out;
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        if (vehicle.devices[i].as<Spec>() != nullptr) {
            out.emplace_back(i);
        }
    }
    return out;
}

} // namespace loomwright
