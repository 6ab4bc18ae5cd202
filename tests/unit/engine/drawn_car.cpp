// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "drawn_car.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright::testing {
namespace {

constexpr std::array words_of_kind = {"motor", "led-lamp", "lamp", "heater", "electronics"};
constexpr std::array letters_of_kind = {"M", "E", "E", "E", "A"};

/// A quantity in one of its spellings, which are the same number.
class Spelling {
public:
    explicit Spelling(Writing::Units units) : units_(units) {}

    [[nodiscard]] std::string length(int inches) const {
        switch (units_) {
        case Writing::Units::plain:
            return fmt::format("{} m", inches * 254 / 10000.0);
        case Writing::Units::small:
            return inches % 2 == 0 ? fmt::format("{} mm", inches * 254 / 10.0)
                                   : fmt::format("{} cm", inches * 254 / 100.0);
        case Writing::Units::imperial:
            break;
        }
        return inches % 12 == 0 ? fmt::format("{} ft", inches / 12) : fmt::format("{} in", inches);
    }
    [[nodiscard]] std::string amps(int tenths) const { return by_ten(tenths, "A", "mA"); }
    [[nodiscard]] std::string volts(int tenths) const { return by_ten(tenths, "V", "mV"); }
    [[nodiscard]] std::string milliohms(int mohm) const {
        return is_small() ? fmt::format("{} mohm", mohm) : fmt::format("{} ohm", mohm / 1000.0);
    }
    [[nodiscard]] std::string ohms(int ohm) const {
        return is_small() ? fmt::format("{} kohm", ohm / 1000.0) : fmt::format("{} Ω", ohm);
    }
    [[nodiscard]] std::string celsius(int steps_of_5) const {
        return units_ == Writing::Units::imperial ? fmt::format("{} F", steps_of_5 * 9 + 32)
                                                  : fmt::format("{} C", steps_of_5 * 5);
    }
    [[nodiscard]] std::string amp_hours(int hours) const {
        return is_small() ? fmt::format("{} mAh", hours * 1000) : fmt::format("{} Ah", hours);
    }
    [[nodiscard]] std::string tenth_seconds(int tenths) const {
        return is_small() ? fmt::format("{} ms", tenths * 100) : fmt::format("{} s", tenths / 10.0);
    }
    [[nodiscard]] std::string days(int days) const {
        return is_small()                           ? fmt::format("{} min", days * 1440)
               : units_ == Writing::Units::imperial ? fmt::format("{} h", days * 24)
                                                    : fmt::format("{} d", days);
    }

private:
    [[nodiscard]] bool is_small() const { return units_ == Writing::Units::small; }
    [[nodiscard]] std::string by_ten(int tenths, const char* unit, const char* thousandth) const {
        return is_small() ? fmt::format("{} {}", tenths * 100, thousandth)
                          : fmt::format("{} {}", tenths / 10.0, unit);
    }
    Writing::Units units_;
};

using Lines = std::vector<std::string>;

/// Writes the entries of a list in the order that is asked for.
std::string in_order(Lines lines, unsigned turn) {
    if (turn != 0 && !lines.empty()) {
        if (turn % 2 == 1) {
            std::reverse(lines.begin(), lines.end());
        }
        std::rotate(lines.begin(), lines.begin() + static_cast<long>(turn / 2 % lines.size()),
                    lines.end());
    }
    std::string out;
    for (const std::string& line : lines) {
        out += line;
    }
    return out;
}

class Writer {
public:
    Writer(const DrawnCar& car, const Writing& writing)
        : car_(car), spelt_(writing.units), turn_(writing.turn), turn_states_(writing.turn_states) {
    }

    std::string text() {
        begin();
        for (std::size_t k = 0; k < car_.loads.size(); ++k) {
            add_load(10 + static_cast<int>(k), car_.loads[k]);
        }
        return fmt::format("loomwright: 1\ntitle: Drawn car\nnominal: 12 V\n"
                           "zones:\n{}points:\n{}runs:\n{}devices:\n{}circuits:\n{}states:\n{}",
                           in_order(zones_, turn_), in_order(points_, turn_),
                           in_order(runs_, turn_), in_order(devices_, turn_),
                           in_order(circuits_, turn_), states());
    }

private:
    void begin() {
        zones_ = {fmt::format("  bay: {{air: {}}}\n", spelt_.celsius(car_.warm_5c)),
                  fmt::format("  cabin: {{air: {}}}\n", spelt_.celsius(8))};
        points_ = {"  tray: {zone: bay}\n", "  panel: {zone: cabin}\n"};
        runs_ = {fmt::format("  main: {{from: tray, to: panel, length: {}}}\n", spelt_.length(60))};
        if (car_.has_trunk) {
            points_.emplace_back("  knee: {zone: bay}\n");
            runs_.push_back(fmt::format("  trunk: {{from: panel, to: knee, length: {}, "
                                        "cover: tape}}\n",
                                        spelt_.length(48)));
        }
        devices_ = {
            fmt::format("  G1: {{is: battery, at: tray, capacity: {}, voltage: {}, resistance: "
                        "{}}}\n",
                        spelt_.amp_hours(60), spelt_.volts(126),
                        spelt_.milliohms(car_.battery_mohm)),
            fmt::format("  F1: {{is: fuse, at: tray, family: maxi-blade, rating: {}}}\n",
                        spelt_.amps(800)),
            "  B1: {is: stud, at: panel}\n", "  GND1: {is: ground, at: tray, body: chassis}\n"};
        circuits_ = {"  main:\n    number: 1\n    wires:\n" +
                     in_order({"      1.1: {from: G1.+, to: F1.in, size: 16 mm2}\n",
                               "      1.2: {from: F1.out, to: B1, size: 16 mm2}\n",
                               "      1.3: {from: G1.-, to: GND1, size: 16 mm2}\n"},
                              turn_)};
    }

    void add_load(int number, const DrawnLoad& load) {
        const auto kind = static_cast<std::size_t>(load.kind);
        const std::string name = fmt::format("{}{}", letters_of_kind[kind], number);
        points_.push_back(fmt::format("  p{}: {{zone: bay}}\n", number));
        runs_.push_back(fmt::format("  leg{}: {{from: {}, to: p{}, length: {}}}\n", number,
                                    car_.has_trunk ? "knee" : "panel", number,
                                    spelt_.length(load.inches)));
        devices_.push_back(
            fmt::format("  F{}: {{is: fuse, at: panel, family: blade, rating: {}}}\n", number,
                        load.size == 0 ? "auto" : spelt_.amps(150)));
        devices_.push_back(fmt::format(
            "  {}: {{is: {}, at: p{}, draws: {} at {}{}}}\n", name, words_of_kind[kind], number,
            spelt_.amps(load.tenths_a), spelt_.volts(132),
            load.kind == 0 ? fmt::format(", inrush: {} for {}", spelt_.amps(2 * load.tenths_a),
                                         spelt_.tenth_seconds(4))
                           : std::string()));
        devices_.push_back(
            fmt::format("  GND{}: {{is: ground, at: p{}, body: chassis}}\n", number, number));
        if (load.feed > 0) {
            devices_.push_back(fmt::format(
                "  S{}: {{is: switch, at: panel, positions: {{off: [], on: [1-2]}}}}\n", number));
            on_.push_back(fmt::format("S{}: on", number));
        }
        if (load.feed == 2) {
            devices_.push_back(fmt::format("  K{}: {{is: relay, at: panel, contact: {}, coil: {}, "
                                           "suppression: resistor}}\n",
                                           number, spelt_.amps(400), spelt_.ohms(85)));
        }
        if (load.level < 100) {
            levels_.push_back(fmt::format("{}: {} %", name, load.level));
        }
        circuits_.push_back(circuit(number, name, load));
    }

    [[nodiscard]] std::string circuit(int number, const std::string& name,
                                      const DrawnLoad& load) const {
        std::vector<std::array<std::string, 2>> ends = {
            {"B1", fmt::format("F{}.in", number)},
            {name + ".-", fmt::format("GND{}", number)},
        };
        const std::string fed = fmt::format("F{}.out", number);
        const std::string plus = name + ".+";
        if (load.feed == 0) {
            ends.push_back({fed, plus});
        } else if (load.feed == 1) {
            ends.push_back({fed, fmt::format("S{}.1", number)});
            ends.push_back({fmt::format("S{}.2", number), plus});
        } else {
            ends.push_back({fed, fmt::format("K{}.30", number)});
            ends.push_back({fmt::format("K{}.87", number), plus});
            // Not two wires in one terminal: what is said of both goes by the name of the first.
            ends.push_back({"B1", fmt::format("S{}.1", number)});
            ends.push_back({fmt::format("S{}.2", number), fmt::format("K{}.86", number)});
            ends.push_back({fmt::format("K{}.85", number), "GND1"});
        }
        Lines wires;
        for (std::size_t k = 0; k < ends.size(); ++k) {
            wires.push_back(fmt::format("      {}.{}: {{from: {}, to: {}, size: {}}}\n", number,
                                        k + 1, ends[k][0], ends[k][1],
                                        load.size == 0
                                            ? std::string("auto")
                                            : fmt::format("{} mm2", drawn_sizes[load.size])));
        }
        return fmt::format("  c{}:\n    number: {}\n    class: {}\n    wires:\n{}", number, number,
                           load.kind == 0 ? "motor" : "other", in_order(wires, turn_));
    }

    [[nodiscard]] std::string states() const {
        Lines set = on_;
        if (turn_ % 2 == 1) {
            std::reverse(set.begin(), set.end());
        }
        Lines part = set;
        part.insert(part.end(), levels_.begin(), levels_.end());
        return in_order({fmt::format("  rest: {{lasts: {}}}\n", spelt_.days(5)),
                         fmt::format("  all: {{set: {{{}}}}}\n", fmt::join(set, ", ")),
                         fmt::format("  part: {{set: {{{}}}}}\n", fmt::join(part, ", "))},
                        turn_states_);
    }

    const DrawnCar& car_;
    Spelling spelt_;
    unsigned turn_;
    unsigned turn_states_;
    Lines zones_, points_, runs_, devices_, circuits_, on_, levels_;
};

void add_state(const Project& project, const std::string& state, const StateSolution& solution,
               Answers& out) {
    out.words[state + ": converged"] = solution.converged ? "yes" : "no";
    for (std::size_t k = 0; k < solution.wires.size(); ++k) {
        const std::string name = state + ": wire " + project.vehicle.wires[k].number;
        out.numbers[name + ", A"] = solution.wires[k].amps;
        out.numbers[name + ", V"] = solution.wires[k].drop_v;
        out.numbers[name + ", ohm"] = solution.wires[k].ohm;
        out.numbers[name + ", C"] = solution.wires[k].conductor_c;
    }
    for (std::size_t k = 0; k < solution.devices.size(); ++k) {
        const DeviceState& device = solution.devices[k];
        const std::string name = state + ": " + project.vehicle.devices[k].name;
        out.numbers[name + ", V"] = device.volts;
        out.numbers[name + ", A"] = device.amps;
        out.numbers[name + ", coil V"] = device.coil_volts;
        out.words[name + " is on"] = device.on ? "yes" : "no";
    }
}

} // namespace

std::ostream& operator<<(std::ostream& out, const DrawnLoad& load) {
    return out << fmt::format("{{{} {} tenths A, size {}, {} in, feed {}, {} %}}",
                              words_of_kind[static_cast<std::size_t>(load.kind)], load.tenths_a,
                              drawn_sizes[load.size], load.inches, load.feed, load.level);
}

std::ostream& operator<<(std::ostream& out, const DrawnCar& car) {
    return out << text_of(car);
}

std::string text_of(const DrawnCar& car, const Writing& writing) {
    return Writer(car, writing).text();
}

std::unique_ptr<Project> checked(const std::string& text, bool with_faults) {
    const IncludeReader none = [](const std::string&, std::string& why_not) {
        why_not = "there is no such file";
        return std::optional<std::string>();
    };
    auto project = load_project("car.yaml", text, none);
    if (project->findings.has_input_fault()) {
        return project;
    }
    size_project(*project);
    if (with_faults) {
        check_project_with_faults(*project, {});
    } else {
        check_project(*project);
    }
    return project;
}

Answers answers_of(const Project& project) {
    Answers out;
    for (std::size_t k = 0; k < project.sizing.states.size(); ++k) {
        add_state(project, project.vehicle.states[k].name, project.sizing.states[k], out);
    }
    for (std::size_t k = 0; k < project.sizing.wires.size(); ++k) {
        const std::string name = "wire " + project.vehicle.wires[k].number;
        const WireSizing& wire = project.sizing.wires[k];
        out.numbers[name + ", may carry A"] = wire.ampacity.amps;
        out.numbers[name + ", worst A"] = wire.worst_amps;
        out.numbers[name + ", worst V"] = wire.worst_drop_v;
        out.numbers[name + ", m2"] = project.sizing.design.wires[k].conductor->area.value();
        out.words[name] =
            fmt::format("decided by {}, behind {}", static_cast<int>(wire.decided_by),
                        wire.fuse.is_valid() ? project.vehicle.device(wire.fuse).name : "nothing");
    }
    for (const FuseSizing& fuse : project.sizing.fuses) {
        const std::string name = "fuse " + project.vehicle.device(fuse.device).name;
        out.numbers[name + ", A"] = fuse.rating_a;
        out.numbers[name + ", load A"] = fuse.load_a;
        out.numbers[name + ", of its start"] = fuse.pulse_share;
        out.words[name] = fmt::format("decided by {}", static_cast<int>(fuse.decided_by));
    }
    for (const Finding& finding : project.findings.all()) {
        out.ruled.push_back(fmt::format("{} {} {}", rule_info(finding.rule).id,
                                        static_cast<int>(finding.severity), finding.subject));
        out.findings.push_back(out.ruled.back() + " " + finding.message);
    }
    std::ranges::sort(out.ruled);
    std::ranges::sort(out.findings);
    return out;
}

} // namespace loomwright::testing

namespace rc {

using loomwright::testing::DrawnCar;
using loomwright::testing::DrawnLoad;

Gen<DrawnLoad> Arbitrary<DrawnLoad>::arbitrary() {
    // Each from the whole of its range whatever the size of the case.
    const auto whole = [](int from, int to) {
        return gen::resize(kNominalSize, gen::inRange(from, to));
    };
    return gen::build<DrawnLoad>(
        gen::set(&DrawnLoad::kind, whole(0, 5)), gen::set(&DrawnLoad::tenths_a, whole(1, 90)),
        gen::set(&DrawnLoad::size, whole(0, 6)), gen::set(&DrawnLoad::inches, whole(12, 120)),
        gen::set(&DrawnLoad::feed, whole(0, 3)), gen::set(&DrawnLoad::level, whole(30, 101)));
}

Gen<DrawnCar> Arbitrary<DrawnCar>::arbitrary() {
    const auto whole = [](int from, int to) {
        return gen::resize(kNominalSize, gen::inRange(from, to));
    };
    return gen::build<DrawnCar>(
        gen::set(&DrawnCar::loads,
                 gen::resize(6, gen::nonEmpty(gen::arbitrary<std::vector<DrawnLoad>>()))),
        gen::set(&DrawnCar::battery_mohm, whole(2, 30)), gen::set(&DrawnCar::warm_5c, whole(4, 17)),
        gen::set(&DrawnCar::has_trunk));
}

} // namespace rc
