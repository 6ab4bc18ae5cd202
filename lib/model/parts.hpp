// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/ids.hpp"
#include "base/quantity.hpp"
#include "diag/source.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace loomwright {

/// A value the user wrote (or that was derived), with its place in the file.
template <typename T> struct Given {
    T value{};
    SourceRange where;
};

/// Whose size number it is: the same number is another conductor in each.
enum class SizeStandard : std::uint8_t { iso, sae, awg };

/// A conductor size as it is named: "1.5" (ISO 6722-1, mm2), "16" or "1/0" (SAE J1128/J1127, ASTM
/// B258).
struct ConductorSize {
    SizeStandard standard = SizeStandard::iso;
    std::string name;
    friend bool operator==(const ConductorSize&, const ConductorSize&) = default;
};

/// "1.5 mm2", "16 SAE", "1/0 AWG".
[[nodiscard]] std::string show(const ConductorSize& size);

/// What a load takes at its rated point: current at voltage.
struct Demand {
    Amps current;
    Volts at;
};

/// A start pulse: a current for a time.
struct Inrush {
    Amps current;
    Seconds duration;
};

/// The electrical law of a two-terminal load (docs/method/operating-point.md).
enum class LoadLaw : std::uint8_t {
    resistance,       ///< heater, coil
    constant_current, ///< led-lamp, motor
    constant_power,   ///< electronics
    lamp,             ///< tungsten filament
};

struct Battery {
    Coulombs capacity;
    std::optional<Amps> cranking_amps;  ///< SAE J537 cold cranking current
    std::optional<Ohms> resistance;     ///< replaces the estimate from cranking_amps
    std::optional<Volts> open_voltage;  ///< replaces the estimate from charge
    double charge = 1.0;                ///< state of charge, 0..1
    std::optional<Celsius> temperature; ///< of the electrolyte; else the policy's
};
struct Alternator {
    Amps rated;
    std::optional<Amps> at_idle;
    std::optional<Amps> when_hot; ///< full output in air of `alternator-hot` (table defaults)
    Volts regulates;
    std::optional<Ohms> resistance; ///< of the regulated source, seen at B+
};
struct Charger {
    Amps limit;
    Volts regulates;
};
/// What takes the voltage off a coil that is switched off.
enum class Suppression : std::uint8_t { unstated, none, resistor, diode };
/// Solenoid between 50 and 31 pulls the main contact in; the motor is between 30 and 31.
struct Starter {
    Demand draws;
    std::optional<Inrush> inrush;
    Ohms solenoid;
    Suppression suppression = Suppression::unstated; ///< of the solenoid
};
enum class ProtectionKind : std::uint8_t { fuse, breaker, fusible_link };
/// What a circuit breaker does once it has opened (types I, II and III of SAE J553).
enum class BreakerReset : std::uint8_t {
    by_itself,      ///< I: closes again when it has cooled, opens again while the fault lasts
    when_power_off, ///< II: stays open while there is voltage across it
    by_hand,        ///< III
};
/// "I", "II", "III".
[[nodiscard]] std::string_view breaker_type_name(BreakerReset reset);
struct Protection {
    ProtectionKind kind = ProtectionKind::fuse;
    std::string family;                ///< "blade", "mini-blade", ...: a table's name
    std::optional<Amps> rating;        ///< nothing = auto: the program chooses
    bool rating_is_frozen = false;     ///< `auto`, and taken from what was frozen
    std::optional<ConductorSize> link; ///< of a fusible link
    std::optional<Ohms> resistance;    ///< replaces the table's
    std::optional<BreakerReset> reset; ///< of a breaker; nothing = not said
    std::optional<Amps> breaking;      ///< what it breaks, by its data sheet; else as its family
};
struct Relay {
    std::optional<Amps> contact;       ///< rating of 30-87
    std::optional<Amps> contact_break; ///< rating of 30-87a, when it differs
    Ohms coil;                         ///< at 20 C
    std::optional<Volts> pulls_in;
    std::optional<Volts> drops_out;
    Suppression suppression = Suppression::unstated;
    bool has_break_contact = false;
};
struct Flasher {
    std::optional<Amps> contact;
};
/// One closed pair of terminals of a switch, by index into Device::terminals.
struct ContactPair {
    int from = 0;
    int to = 0;
};
struct SwitchPosition {
    std::string name;
    std::vector<ContactPair> closed;
    SourceRange where;
};
/// Rests in its first position unless a state sets another.
struct Switch {
    std::vector<SwitchPosition> positions;
    std::optional<Amps> contact;
};
struct Load {
    LoadLaw law = LoadLaw::resistance;
    std::string word; ///< the kind as written: "motor", "led-lamp"
    Demand draws;
    std::optional<Inrush> inrush;
    std::optional<Volts> least;                      ///< under this voltage it stops working
    Suppression suppression = Suppression::unstated; ///< of a coil
};
enum class TerminalPart : std::uint8_t { feed, ground, low_side, high_side, signal };
struct ControllerTerminal {
    TerminalPart part = TerminalPart::signal;
    std::optional<Amps> limit; ///< what an output may carry
    int feed = -1;             ///< of a high-side output: the terminal it is fed by; -1: not said
};
/// Draws between its feeds and its grounds; an output that a state sets `on` joins its terminal
/// to ground (low side) or to its feed (high side).
struct Controller {
    std::vector<ControllerTerminal> parts; ///< one for each of Device::terminals
    std::optional<Demand> draws;
    std::optional<Amps> sleeps; ///< taken in states with the engine stopped and no feed switched on
    std::optional<Volts> needs; ///< least voltage at which it keeps running
    std::vector<Given<std::string>>
        needed_in; ///< states in which it must; empty: whenever the engine turns
};
struct Sensor {
    std::optional<Demand> draws;
};
struct Ground {
    int body = 0; ///< index into Vehicle::bodies
    std::optional<Ohms> bond;
    std::optional<int> lugs; ///< most terminals it may hold
};
struct Strap {
    int body_a = 0;
    int body_b = 0;
    std::optional<Ohms> resistance;
    /// Metal that joins the bodies without being meant to carry current: a control cable, a hanger.
    bool is_stray = false;
};
/// Joins the conductors that end at it.
struct Splice {
    std::optional<Given<Metres>> offset; ///< from its point along the loom, as built
};
struct Stud {
    std::optional<int> lugs; ///< most terminals it may hold
};
/// With `mate`: one half, whose cavities touch those of the mate with the same name. Without: a
/// mated pair; a path enters and leaves by the same cavity.
struct Connector {
    DeviceId mate;
    std::optional<Amps> contact;
    bool is_bulkhead = false; ///< its shell is held in a wall: the passage of its point
};
struct Diode {
    Volts drop;
    Amps at;
};
struct Resistor {
    Ohms resistance;
};
/// A housing whose terminals the devices inside share (Device::housing points back).
struct Unit {};

using DeviceSpec =
    std::variant<Battery, Alternator, Charger, Starter, Protection, Relay, Flasher, Switch, Load,
                 Controller, Sensor, Ground, Strap, Splice, Stud, Connector, Diode, Resistor, Unit>;

/// How the cavities of a connector, or of the plug of another device, lie and are closed.
struct PlugFace {
    int rows = 1;            ///< of cavities; the names run along the first row, then the next
    bool is_sealed = false;  ///< every cavity takes a seal, or a plug where no wire is
    std::string fitting;     ///< of the tables or the stock; "" = by the kind of device
    std::string part_number; ///< of the housing; "" if none is named
    SourceRange where;
};

/// One thing that wires end at.
struct Device {
    std::string name; ///< "F10"; an inner device of a unit is "E7/tail"
    std::string word; ///< the kind as written after `is:`
    std::string title;
    PointId at;
    SourceRange where;                  ///< of the name
    std::vector<std::string> terminals; ///< names in order, fixed by the kind or by the file
    DeviceSpec spec;
    /// Terminal whose potential is a body of metal ("case: engine"), with its index in
    /// Vehicle::bodies.
    std::optional<int> case_body;
    int case_terminal = -1;
    /// For a device inside a unit: the unit, and for each own terminal the unit's terminal.
    DeviceId housing;
    std::vector<int> housing_terminal;
    std::optional<PlugFace> plug; ///< of every connector; of another device that has `plug`
    SourceRange spec_where;       ///< of the rating or demand, for findings; else as `where`

    /// Index of the terminal with this name, -1 when there is none.
    [[nodiscard]] int terminal(std::string_view name) const;
    template <typename T> [[nodiscard]] const T* as() const { return std::get_if<T>(&spec); }
};

/// What is said of the coil of a relay, a starter or a coil; unstated for what has none.
[[nodiscard]] Suppression suppression_of(const Device& device);

/// Whose terminal a wire ends at.
struct TerminalRef {
    DeviceId device;
    int terminal = 0;
    friend bool operator==(const TerminalRef&, const TerminalRef&) = default;
};

} // namespace loomwright
