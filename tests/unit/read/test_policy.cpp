// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Policy, waivers, supplied harnesses, stock.

#include "support.hpp"

using namespace loomwright;

TEST_CASE("every key of the policy") {
    const ReadCar read("loomwright: 1\npolicy:\n  drop: {lighting: 0.5 V, motor: 800 mV}\n"
                       "  fuse-loading: 70 %\n  sizes: AWG\n  least-size: 18 AWG\n"
                       "  insulation: TXL\n  battery-temperature: 68 F\n  take-out: 60 mm\n"
                       "  service-loop: 2 in\n  crank-voltage: 9.5 V\n  spare: 15 %\n");
    CHECK(read.text() == "");
    const Policy& policy = read.car.policy;
    CHECK(policy.drop.find("motor")->second.value.value() == doctest::Approx(0.8));
    CHECK(policy.fuse_loading->value == doctest::Approx(0.7));
    CHECK(policy.sizes->value == SizeStandard::awg);
    CHECK(show(policy.least_size->value) == "18 AWG");
    CHECK(policy.insulation->value == "TXL");
    CHECK(policy.battery_temperature->value.value() == doctest::Approx(20.0));
    CHECK(policy.take_out->value == Metres(0.06));
    CHECK(policy.service_loop->value.value() == doctest::Approx(0.0508).scale(0.0));
    CHECK(policy.crank_voltage->value == Volts(9.5));
    CHECK(policy.spare->value == doctest::Approx(0.15));
    CHECK(policy.spare->where.line == 12);
}

TEST_CASE("what is wrong with a policy") {
    const ReadCar read("loomwright: 1\npolicy:\n  drop: {lightning: 0.5 V, motor: 0 V}\n"
                       "  fuse-loading: 0 %\n  sizes: metric\n  least-size: auto\n");
    CHECK(read.said() == "unknown-word 3:10\nout-of-range 3:35\nout-of-range 4:17\n"
                         "unknown-word 5:10\nbad-number 6:15\n");
}

TEST_CASE("a waiver names a rule, a reason and someone") {
    const ReadCar read(with_devices("",
                                    "waivers:\n"
                                    "  - {rule: drop-limit, because: old, by: me}\n"
                                    "  - {rule: least-size, on: [M1, F1], because: old, by: me}\n"
                                    "  - {rule: least-size, on: M11, because: old, by: me}\n"
                                    "  - {rule: drop-limits, because: '', by: me}\n"
                                    "  - {rule: unknown-key, because: x}\n"
                                    "  - drop-limit\n"));
    CHECK(
        read.text() ==
        "car.yaml:11:28: error[unknown-reference] waivers: nothing here is called `M11`\n"
        "  remedy: did you mean `M1`?\n"
        "car.yaml:12:12: error[unknown-word] waivers: there is no rule `drop-limits`\n"
        "  remedy: did you mean `drop-limit`?\n"
        "car.yaml:12:34: error[wrong-shape] waivers: `because` is empty\n"
        "  remedy: say why this is accepted: it stands on every paper\n"
        "car.yaml:13:5: error[missing-key] waivers: the key `by` is missing\n"
        "  remedy: add `by: ...`\n"
        "car.yaml:13:12: error[unknown-word] waivers: `unknown-key` is a fault of the file, which "
        "cannot be waived\n"
        "  remedy: correct the file\n"
        "car.yaml:14:5: error[wrong-shape] waivers: a map of keys is wanted here, not a single "
        "value\n"
        "  remedy: write `{key: value, ...}`\n");
    REQUIRE(read.car.waivers.size() == 5);
    CHECK(read.car.waivers[0].on.empty());
    CHECK(read.car.waivers[1].on.size() == 2);
}

TEST_CASE("a waiver may be for anything that has a name") {
    const ReadCar read("loomwright: 1\nzones: {z: {}}\npoints: {p: {}, q: {}}\n"
                       "runs: {r: {from: p, to: q, length: 1 m}}\n"
                       "devices: {S1: {is: splice}, S2: {is: splice}, E1: {is: lamp, draws: 5 W}}\n"
                       "circuits: {c: {number: 1, paths: [S1 > S2]}}\nstates: {s: {}}\n"
                       "waivers:\n  - {rule: unused-part, on: [z, p, r, S1, c, \"1.1\", s, E1.+], "
                       "because: x, by: y}\n");
    CHECK(read.text() == "");
}

TEST_CASE("a supplied harness and its leads") {
    const ReadCar read(
        with_devices("  A1: {is: controller, terminals: {B+: feed, 31: ground}}\n",
                     "points: {rear: {}}\n"
                     "supplied:\n  loom:\n    device: A1\n    from: rear\n    leads:\n"
                     "      feed: {terminal: B+, size: 10 AWG, length: 0.9 m}\n"
                     "      ground: {terminal: 32, size: 2.5 mm2, length: 0.5 m}\n"
                     "      other: {terminal: 31, size: auto}\n"
                     "  second: {device: A2, from: reer, leads: []}\n"));
    CHECK(read.text() ==
          "car.yaml:16:26: error[unknown-terminal] ground: A1 has no terminal `32`\n"
          "  remedy: did you mean `31`?\n"
          "car.yaml:17:7: error[missing-key] other: the key `length` is missing\n"
          "  remedy: add `length: ...`\n"
          "car.yaml:17:35: error[bad-number] other: `auto` is not a conductor size\n"
          "  remedy: write `1.5 mm2`, `16 AWG` or `16 SAE`\n"
          "car.yaml:18:20: error[unknown-reference] second: there is no device `A2`\n"
          "  remedy: did you mean `A1`?\n"
          "car.yaml:18:30: error[unknown-reference] second: there is no point `reer`\n"
          "  remedy: did you mean `rear`?\n"
          "car.yaml:18:43: error[wrong-shape] `leads` wants a map of names, not a list\n"
          "  remedy: write each name with a colon and what it is\n");
}

TEST_CASE("the shop's own stock") {
    const ReadCar read("loomwright: 1\nstock:\n"
                       "  - {is: wire, name: lead, size: 1.5 mm2, insulation: thin-wall pvc, "
                       "colour: RD, part: W1, "
                       "price: 0.44, spool: 100 m}\n"
                       "  - {is: fuse, name: blade 5, rating: 5 A, price: 12}\n"
                       "  - {is: terminal, name: ring}\n"
                       "  - {is: sleeve, name: braid, price: -1}\n"
                       "  - {is: wire, name: x}\n"
                       "  - {name: y, price: 1e999}\n");
    CHECK(read.said() == "out-of-range 6:38\nmissing-key 7:5\nmissing-key 8:5\nbad-number 8:22\n");
    CHECK(read.car.stock[0].price == Money(0.44));
    CHECK(read.car.stock[0].spool == Metres(100.0));
    CHECK(read.car.stock[0].part_number == "W1");
    CHECK(read.car.stock[1].rating == Amps(5.0));
}

TEST_CASE("the shares of a route, each from its own key") {
    const ReadCar read(
        "loomwright: 1\npolicy: {route: {hot: 50 %, wet: 0 %, moving: 100 %, seen: 25 %}}\n");
    CHECK(read.text() == "");
    const RoutePolicy& route = read.car.policy.route;
    REQUIRE((route.hot && route.wet && route.moving && route.seen));
    CHECK(route.hot->value == doctest::Approx(0.5));
    CHECK(route.wet->value == 0.0);
    CHECK(route.moving->value == doctest::Approx(1.0));
    CHECK(route.seen->value == doctest::Approx(0.25));
    CHECK(route.seen->where.line == 2);
    // What is not written is for the tables.
    const ReadCar one("loomwright: 1\npolicy: {route: {wet: 40 %}}\n");
    CHECK(one.text() == "");
    CHECK(one.car.policy.route.wet->value == doctest::Approx(0.4));
    CHECK_FALSE(one.car.policy.route.hot.has_value());
    CHECK_FALSE(one.car.policy.route.seen.has_value());
}
