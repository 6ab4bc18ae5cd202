// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "engine/engine.hpp"

#include <rapidcheck.h>

#include <cstdint>
#include <map>
#include <memory>
#include <ostream>
#include <string>
#include <vector>

namespace loomwright::testing {

/// What a load of a drawn car is.
enum class DrawnKind : std::uint8_t { motor, led_lamp, lamp, heater, electronics };

/// A load behind a fuse of its own, alone on a ground of its own.
struct DrawnLoad {
    int kind = 0;      ///< of DrawnKind
    int tenths_a = 10; ///< that it draws at 13.2 V
    int size = 0;      ///< of its wires: 0: auto, else into `drawn_sizes`
    int inches = 40;   ///< from the panel, or from the trunk's end
    int feed = 0;      ///< 0: always live, 1: by a switch, 2: by a switch and a relay
    int level = 100;   ///< %, in the state `part`
};

std::ostream& operator<<(std::ostream& out, const DrawnLoad& load);

constexpr const char* drawn_sizes[] = {"auto", "1", "1.5", "2.5", "4", "6"}; // mm2

/// A small car: battery, main fuse, a stud, and loads behind fuses on it.
struct DrawnCar {
    std::vector<DrawnLoad> loads;
    int battery_mohm = 5;
    int warm_5c = 8;       ///< air of the engine bay, in steps of 5 C
    bool has_trunk = true; ///< the loads' wires share a run on the first part of their way
};

std::ostream& operator<<(std::ostream& out, const DrawnCar& car);

/// How a car is written down.
struct Writing {
    enum class Units : std::uint8_t { plain, small, imperial };
    Units units = Units::plain;
    /// 0: in the order of the plan; else every list begins so far on, and goes backwards when it is
    /// odd.
    unsigned turn = 0;
    unsigned turn_states = 0; ///< likewise, of the states
};

/// The vehicle file. Load k stands on terminals and wires that begin with 10 + k: F10, M10, 10.1.
[[nodiscard]] std::string text_of(const DrawnCar& car, const Writing& writing = {});

/// Read, sized and checked, with every fault swept if asked for. The file has no input fault.
[[nodiscard]] std::unique_ptr<Project> checked(const std::string& text, bool with_faults = false);

/// All that was computed, by names of the file.
struct Answers {
    std::map<std::string, double> numbers; ///< "all: wire 10.1, A"
    std::map<std::string, std::string> words;
    std::vector<std::string> findings; ///< sorted: rule, severity, subject and sentence
    std::vector<std::string> ruled;    ///< sorted: rule, severity and subject
};
[[nodiscard]] Answers answers_of(const Project& project);

/// A property of drawn cars. On a machine or in a run that asks for others the seed is another.
template <typename Property> bool holds(const char* what, Property property) {
    ::setenv("RC_PARAMS", "seed=20260101 max_success=60", 0); // NOLINT(concurrency-mt-unsafe)
    return rc::check(what, property);
}

} // namespace loomwright::testing

namespace rc {
template <> struct Arbitrary<loomwright::testing::DrawnLoad> {
    static Gen<loomwright::testing::DrawnLoad> arbitrary();
};
template <> struct Arbitrary<loomwright::testing::DrawnCar> {
    static Gen<loomwright::testing::DrawnCar> arbitrary();
};
} // namespace rc
