// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// States: what can be set, to what, and what may be expected.

#include "support.hpp"

using namespace loomwright;

namespace {

std::string with_states(const std::string& states) {
    return with_devices(
        "  S1: {is: switch, positions: {off: [], run: [30-15]}}\n"
        "  A1: {is: controller, terminals: {15: feed, fan: low-side, out: high-side}}\n"
        "  G3: {is: charger, limit: 10 A, regulates: 14.4 V}\n"
        "  K2: {is: flasher}\n"
        "  E7: {is: unit, terminals: [58, 31], inside: {tail: {is: lamp, from: 58, "
        "to: 31, draws: 5 W}}}\n",
        "states:\n" + states);
}

} // namespace

TEST_CASE("positions, outputs, levels, chargers and flashers are set") {
    const ReadCar read(with_states(
        "  a:\n    engine: running\n    lasts: 10 min\n    air: 15 C\n    charge: 80 %\n"
        "    battery-temperature: -10 C\n    title: A day\n"
        "    set: {S1: run, A1.fan: on, A1.out: 40 %, M1: 70 %, G3: on, K2: off, E7/tail: off}\n"));
    CHECK(read.text() == "");
    const State& state = read.car.states[0];
    CHECK(state.engine == EngineCondition::running);
    CHECK(state.lasts == Seconds(600.0));
    CHECK(state.air == Celsius(15.0));
    CHECK(state.charge == doctest::Approx(0.8));
    CHECK(state.battery_temperature == Celsius(-10.0));
    CHECK(state.title == "A day");
    REQUIRE(state.settings.size() == 7);
    CHECK(state.settings[0].position == 1);
    CHECK(state.settings[1].terminal == 1);
    CHECK(state.settings[1].level == 1.0);
    CHECK(state.settings[2].level == doctest::Approx(0.4));
    CHECK(state.settings[3].level == doctest::Approx(0.7));
    CHECK(state.settings[5].level == 0.0);
    CHECK(read.car.device(state.settings[6].device).name == "E7/tail");
    CHECK(state.settings[1].where.line == 21);
}

TEST_CASE("a state that says nothing is a car at rest") {
    const ReadCar read(with_states("  a: {}\n"));
    CHECK(read.text() == "");
    CHECK(read.car.states[0].engine == EngineCondition::stopped);
    CHECK_FALSE(read.car.states[0].air);
}

TEST_CASE("what cannot be set, and what it cannot be set to") {
    struct Row {
        const char* set;
        const char* said;
        const char* message;
    };
    const Row rows[] = {
        {"S1: runn", "unknown-word 14:17\n", "S1 has no position `runn`"},
        {"S2: run", "unknown-reference 14:13\n", "there is no device `S2`"},
        {"A1.fam: on", "unknown-terminal 14:13\n", "A1 has no output `fam`"},
        {"A1: on", "unknown-terminal 14:13\n", "of A1 a state sets outputs, not the whole"},
        {"A1.15: on", "contradiction 14:13\n", "`15` of A1 is no output"},
        {"A1.fan: maybe", "unknown-word 14:21\n", "`maybe` is not something that can be set here"},
        {"M1: 170 %", "out-of-range 14:17\n",
         "`170 %` is not possible: a share here must be at least 0 % and at most 100 %"},
        {"M1: 70", "missing-unit 14:17\n", "`70` has no unit: a share is written in %"},
        {"M1: 5 A", "wrong-dimension 14:17\n", "`5 A` is a current, not a share"},
        {"M1.+: on", "unknown-terminal 14:13\n", "M1 is set as a whole, not by a terminal"},
        {"G3: 50 %", "unknown-word 14:17\n", "`50 %` is not something that can be set here"},
        {"K1: on", "contradiction 14:13\n", "K1 is a relay, which a state does not set"},
        {"E7: on", "contradiction 14:13\n", "E7 is a unit, which a state does not set"},
        {"F1: on", "contradiction 14:13\n", "F1 is a fuse, which a state does not set"},
        {"M1: [on]", "wrong-shape 14:17\n", "`M1` wants a single value, not a list"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.set);
        const ReadCar read(with_states("  a: {set: {" + std::string(row.set) + "}}\n"));
        CHECK(read.said() == row.said);
        REQUIRE(read.findings.all().size() == 1);
        CHECK(read.findings.all()[0].message == row.message);
        CHECK_FALSE(read.findings.all()[0].remedy.empty());
    }
}

TEST_CASE("a setting given twice in two spellings") {
    const ReadCar read(with_states("  a: {set: {A1.fan: on, A1. fan: off}}\n"));
    CHECK(read.said() == "contradiction 14:25\n");
}

TEST_CASE("on and off at once is not to be expected") {
    const ReadCar read(with_states("  a: {expect: {on: [M1, K1], off: [E7/tail, M1]}}\n"));
    CHECK(read.text() == "car.yaml:14:45: error[contradiction] a: M1 is expected to be on and off\n"
                         "  car.yaml:14:21: on is expected here\n"
                         "  remedy: delete it from one of the two lists\n");
}

TEST_CASE("states that a controller is needed in must be there") {
    const ReadCar read(
        with_devices("  A1: {is: controller, terminals: {15: feed}, needed-in: [idle, "
                     "crnking]}\n",
                     "states: {cranking: {}, idle: {}}\n"));
    CHECK(read.text() == "car.yaml:8:65: error[unknown-reference] A1: there is no state `crnking`\n"
                         "  remedy: did you mean `cranking`?\n");
}
