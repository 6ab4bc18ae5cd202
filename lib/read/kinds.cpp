// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/kinds.hpp"

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

using Words = std::string_view;

constexpr std::array<Words, 6> battery_keys{"capacity", "cranking-amps", "resistance",
                                            "voltage",  "charge",        "temperature"};
constexpr std::array<Words, 5> alternator_keys{"rated", "regulates", "at-idle", "when-hot",
                                               "resistance"};
constexpr std::array<Words, 2> charger_keys{"limit", "regulates"};
constexpr std::array<Words, 4> starter_keys{"draws", "solenoid", "inrush", "suppression"};
constexpr std::array<Words, 4> protection_keys{"family", "rating", "resistance", "breaking"};
constexpr std::array<Words, 5> breaker_keys{"family", "rating", "resistance", "type", "breaking"};
constexpr std::array<Words, 4> link_keys{"size", "rating", "resistance", "family"};
constexpr std::array<Words, 7> relay_keys{"contact",   "contact-break", "coil",         "pulls-in",
                                          "drops-out", "suppression",   "break-contact"};
constexpr std::array<Words, 1> flasher_keys{"contact"};
constexpr std::array<Words, 2> switch_keys{"positions", "contact"};
constexpr std::array<Words, 2> lamp_keys{"draws", "inrush"};
constexpr std::array<Words, 3> led_keys{"draws", "inrush", "least"};
constexpr std::array<Words, 1> heater_keys{"draws"};
constexpr std::array<Words, 3> coil_keys{"draws", "resistance", "suppression"};
constexpr std::array<Words, 5> controller_keys{"terminals", "draws", "sleeps", "needs",
                                               "needed-in"};
constexpr std::array<Words, 1> sensor_keys{"draws"};
constexpr std::array<Words, 3> ground_keys{"body", "bond", "lugs"};
constexpr std::array<Words, 3> strap_keys{"between", "resistance", "stray"};
constexpr std::array<Words, 1> stud_keys{"lugs"};
constexpr std::array<Words, 1> splice_keys{"offset"};
constexpr std::array<Words, 8> connector_keys{"cavities", "mate",     "contact", "rows",
                                              "sealed",   "terminal", "part",    "bulkhead"};
constexpr std::array<Words, 1> diode_keys{"drop"};
constexpr std::array<Words, 1> resistor_keys{"resistance"};
constexpr std::array<Words, 2> unit_keys{"terminals", "inside"};

constexpr std::array<Words, 2> poles{"+", "-"};
constexpr std::array<Words, 3> alternator_poles{"B+", "D+", "-"};
constexpr std::array<Words, 3> starter_poles{"30", "50", "31"};
constexpr std::array<Words, 2> in_out{"in", "out"};
constexpr std::array<Words, 5> relay_poles{"30", "85", "86", "87", "87a"};
constexpr std::array<Words, 3> flasher_poles{"49", "49a", "31"};
constexpr std::array<Words, 3> sensor_poles{"+", "-", "signal"};
constexpr std::array<Words, 2> strap_ends{"a", "b"};
constexpr std::array<Words, 2> diode_poles{"a", "k"};
constexpr std::array<Words, 2> resistor_ends{"1", "2"};

// A path leaves a source by its plus, but nothing says whether one that ends there is a charging
// lead or a way home: a wrong guess is a dead short, so its end names the post.
constexpr std::array table = {
    KindInfo{"battery", battery_keys, poles, "", "+", true, false, read_battery, false},
    KindInfo{"alternator", alternator_keys, alternator_poles, "", "B+", true, false,
             read_alternator},
    KindInfo{"charger", charger_keys, poles, "", "+", true, false, read_charger},
    KindInfo{"starter", starter_keys, starter_poles, "30", "31", true, false, read_starter},
    KindInfo{"fuse", protection_keys, in_out, "in", "out", false, true, read_protection},
    KindInfo{"breaker", breaker_keys, in_out, "in", "out", false, true, read_protection},
    KindInfo{"fusible-link", link_keys, in_out, "in", "out", false, true, read_fusible_link},
    KindInfo{"relay", relay_keys, relay_poles, "30", "87", false, false, read_relay},
    KindInfo{"flasher", flasher_keys, flasher_poles, "49", "49a", false, false, read_flasher},
    KindInfo{"switch", switch_keys, {}, "", "", false, true, read_switch},
    KindInfo{"lamp", lamp_keys, poles, "+", "-", true, true, read_load},
    KindInfo{"led-lamp", led_keys, poles, "+", "-", true, true, read_load},
    KindInfo{"motor", lamp_keys, poles, "+", "-", true, true, read_load},
    KindInfo{"heater", heater_keys, poles, "+", "-", true, true, read_load},
    KindInfo{"coil", coil_keys, poles, "+", "-", true, true, read_load},
    KindInfo{"electronics", led_keys, poles, "+", "-", true, true, read_load},
    KindInfo{"controller", controller_keys, {}, "", "", true, false, read_controller},
    KindInfo{"sensor", sensor_keys, sensor_poles, "+", "-", true, false, read_sensor},
    KindInfo{"ground", ground_keys, {}, "", "", false, false, read_ground, false},
    KindInfo{"strap", strap_keys, strap_ends, "a", "b", false, false, read_strap, false},
    KindInfo{"splice", splice_keys, {}, "", "", false, false, read_splice, false},
    KindInfo{"stud", stud_keys, {}, "", "", false, false, read_stud, false},
    KindInfo{"connector", connector_keys, {}, "", "", false, false, read_connector, false},
    KindInfo{"diode", diode_keys, diode_poles, "a", "k", false, true, read_diode},
    KindInfo{"resistor", resistor_keys, resistor_ends, "1", "2", false, true, read_resistor},
    KindInfo{"unit", unit_keys, {}, "", "", true, false, read_unit},
};

constexpr auto words = [] {
    std::array<Words, table.size()> out{};
    std::ranges::transform(table, out.begin(), &KindInfo::word);
    return out;
}();

} // namespace

std::span<const KindInfo> kind_table() {
    return table;
}

const KindInfo* find_kind(std::string_view word) {
    const auto* const found = std::ranges::find(table, word, &KindInfo::word);
    return found == table.end() ? nullptr : &*found;
}

std::span<const std::string_view> kind_words() {
    return words;
}

} // namespace loomwright
