// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Paths: which terminals a wire ends at, what can be passed, what is said of what cannot.

#include "support.hpp"

using namespace loomwright;

TEST_CASE("a device is passed from its inlet to its outlet") {
    const ReadCar read(
        with_paths("  S1: {is: switch, positions: {off: [], on: [a-b]}}\n"
                   "  D1: {is: diode}\n"
                   "  R1: {is: resistor, resistance: 10 ohm}\n"
                   "  K2: {is: flasher}\n"
                   "  F9: {is: breaker, rating: auto}\n"
                   "  G2: {is: alternator, rated: 60 A, regulates: 14 V}\n"
                   "  SP1: {is: splice}\n  ST1: {is: stud}\n",
                   "      - G1 > F1 > K1 > S1 > D1 > R1 > K2 > F9 > SP1 > ST1 > M1 > GND1\n"
                   "      - G2 > ST1 > G1.+\n      - GND1 > G1.-\n"));
    CHECK(read.text() == "");
    CHECK(read.wires() == "1.1 G1.+ > F1.in\n1.2 F1.out > K1.30\n1.3 K1.87 > S1.a\n"
                          "1.4 S1.b > D1.a\n1.5 D1.k > R1.1\n1.6 R1.2 > K2.49\n"
                          "1.7 K2.49a > F9.in\n1.8 F9.out > SP1\n1.9 SP1 > ST1\n"
                          "1.10 ST1 > M1.+\n1.11 M1.- > GND1\n"
                          "1.12 G2.B+ > ST1\n1.13 ST1 > G1.+\n"
                          "1.14 GND1 > G1.-\n");
}

TEST_CASE("a path that ends at a source says at which post: a guess might be a dead short") {
    const ReadCar read(with_paths("  G2: {is: alternator, rated: 60 A, regulates: 14 V}\n",
                                  "      - F1 > G1\n      - F1 > G2\n      - F1 > G1.+ > M1\n"));
    // devices: six lines and a seventh of G2, then circuits
    CHECK(read.said() == "unknown-terminal 13:14\nunknown-terminal 14:14\ncannot-pass 15:14\n");
    CHECK(read.text().find("write `G1.+`; it has `+` and `-`") != std::string::npos);
}

TEST_CASE("terminals can be named: one, or both in and out") {
    const ReadCar read(with_paths("", "      - G1.- > GND1\n      - F1.in > K1.30/87a > M1\n"
                                      "      - F1.out > K1.86/85 > GND1\n      - K1.87 > F1.in\n"
                                      "      - G1 > F1.out > M1\n"));
    CHECK(read.text() == "");
    CHECK(read.wires() == "1.1 G1.- > GND1\n1.2 F1.in > K1.30\n1.3 K1.87a > M1.+\n"
                          "1.4 F1.out > K1.86\n1.5 K1.85 > GND1\n1.6 K1.87 > F1.in\n"
                          // a fuse entered at its outlet is left by its inlet
                          "1.7 G1.+ > F1.out\n1.8 F1.in > M1.+\n");
    CHECK(read.device("K1").as<Relay>()->has_break_contact);
}

TEST_CASE("a connector is passed by the same cavity of its mate, or of itself") {
    const ReadCar read(with_paths("  X1: {is: connector, cavities: 3, mate: X2}\n"
                                  "  X2: {is: connector, cavities: 3}\n"
                                  "  X3: {is: connector, cavities: [A, B/C]}\n"
                                  "  X4: {is: connector, cavities: 1}\n",
                                  "      - G1 > X1.2 > X3.A > X4 > M1\n"
                                  "      - M1.- > X2.3 > GND1\n"
                                  "      - G1 > X3.B/C > M1\n"
                                  "      - X2.1 > GND1\n      - G1 > X1.1\n"));
    CHECK(read.text() == "");
    CHECK(read.wires() == "1.1 G1.+ > X1.2\n1.2 X2.2 > X3.A\n1.3 X3.A > X4\n1.4 X4 > M1.+\n"
                          "1.5 M1.- > X2.3\n1.6 X1.3 > GND1\n"
                          "1.7 G1.+ > X3.B/C\n1.8 X3.B/C > M1.+\n"
                          "1.9 X2.1 > GND1\n1.10 G1.+ > X1.1\n");
    const DeviceId x1 = read.car.find_device("X1");
    CHECK(read.device("X2").as<Connector>()->mate == x1);
}

TEST_CASE("spaces round the signs do not matter, terminals with strange names do not either") {
    const ReadCar read(
        with_paths("  A1: {is: controller, terminals: {can-h: signal, \"a.b\": feed, "
                   "\"x y\": ground}}\n",
                   "      - \"G1>F1  >\\tM1\"\n      - F1.out > A1.a.b\n"
                   "      - A1.x y > GND1\n      - F1.in > A1.can-h\n"));
    CHECK(read.text() == "");
    CHECK(read.wires() == "1.1 G1.+ > F1.in\n1.2 F1.out > M1.+\n1.3 F1.out > A1.a.b\n"
                          "1.4 A1.x y > GND1\n1.5 F1.in > A1.can-h\n");
}

TEST_CASE("a unit is passed where its inside joins the two terminals") {
    const std::string unit = "  E7: {is: unit, terminals: [58, 54, 31],\n"
                             "       inside: {tail: {is: lamp, from: 58, to: 31, draws: 5 W},\n"
                             "                stop: {is: lamp, from: 54, to: 31, draws: 21 W}}}\n"
                             "  E8: {is: unit, terminals: [58, 31],\n"
                             "       inside: {tail: {is: lamp, from: 58, to: 31, draws: 5 W}}}\n";
    const ReadCar read(with_paths(unit, "      - F1 > E7.58/31 > GND1\n      - F1 > E8 > GND1\n"));
    CHECK(read.text() == "");
    CHECK(read.wires() == "1.1 F1.out > E7.58\n1.2 E7.31 > GND1\n1.3 F1.out > E8.58\n"
                          "1.4 E8.31 > GND1\n");
    const Device& tail = read.device("E7/tail");
    CHECK(tail.housing == read.car.find_device("E7"));
    CHECK(tail.housing_terminal == std::vector<int>{0, 2});
    CHECK(tail.terminals == std::vector<std::string>{"+", "-"});
    const ReadCar whole(with_paths(unit, "      - F1 > E7 > GND1\n"));
    CHECK(whole.text() ==
          "car.yaml:17:14: error[cannot-pass] fan: a path cannot pass a unit E7 without its "
          "terminals\n"
          "  remedy: name where it enters and where it leaves: `E7.58/31`; it has `58`, `54` and "
          "`31`\n");
    const ReadCar inner(with_paths(unit, "      - F1 > E7/tail > GND1\n"));
    CHECK(inner.text() ==
          "car.yaml:17:14: error[unknown-terminal] fan: E7/tail is inside E7: wires end at the "
          "unit\n"
          "  remedy: name a terminal of E7: `58`, `54` and `31`\n");
}

TEST_CASE("what cannot be passed says which terminals there are") {
    const ReadCar read(with_paths("  A1: {is: controller, terminals: {15: feed, 31: ground}}\n"
                                  "  S1: {is: switch, positions: {a: [30-15], b: [30-50]}}\n",
                                  "      - G1 > A1 > M1\n      - G1 > S1 > M1\n"
                                  "      - G1 > K1.86 > M1\n      - G1 > K1.85/30 > M1\n"
                                  "      - G1 > S1.15/50 > M1\n      - G1.+/- > M1\n"));
    CHECK(read.text() ==
          "car.yaml:14:14: error[cannot-pass] fan: a path cannot pass a controller A1 without its "
          "terminals\n"
          "  remedy: name where it enters and where it leaves: `A1.15/31`; it has `15` and `31`\n"
          "car.yaml:15:14: error[cannot-pass] fan: a path cannot pass a switch S1 without its "
          "terminals\n"
          "  remedy: name where it enters and where it leaves: `S1.30/50`; it has `30`, `15` and "
          "`50`\n"
          "car.yaml:16:14: error[cannot-pass] fan: `K1.86` names one terminal, and a path that "
          "passes a relay needs two\n"
          "  remedy: write `K1.86/...` to go on from another terminal, or begin a new path at "
          "`K1.86`; it has `30`, `85`, `86`, `87` and `87a`\n"
          "car.yaml:17:14: error[cannot-pass] fan: nothing in K1 joins `85` and `30`\n"
          "  remedy: write a path to one terminal and another from the other; K1 has `30`, `85`, "
          "`86`, `87` and `87a`\n"
          "car.yaml:18:14: error[cannot-pass] fan: nothing in S1 joins `15` and `50`\n"
          "  remedy: write a path to one terminal and another from the other; S1 has `30`, `15` "
          "and `50`\n"
          "car.yaml:19:9: error[cannot-pass] fan: a path begins at G1, and two of its terminals "
          "are named\n"
          "  remedy: name the one terminal that the wire is on\n");
}

TEST_CASE("two terminals that a position joins by way of a third can be passed") {
    const ReadCar read(with_paths("  S1: {is: switch, positions: {a: [1-2, 2-3]}}\n",
                                  "      - G1 > S1.1/3 > M1\n"));
    CHECK(read.text() == "");
}

TEST_CASE("a terminal that the kind does not have, and a device that is not there") {
    const ReadCar read(with_paths("", "      - G1 > M1.87 > GND1\n      - G1 > GND1.x\n"
                                      "      - G1 > M11 > GND1\n      - G1 M1 > GND1\n"
                                      "      - G1 > > GND1\n      - \"G1 >\"\n"));
    CHECK(read.text() ==
          "car.yaml:12:14: error[unknown-terminal] fan: M1 is a motor and has no terminal `87`: "
          "it has `+` and `-`\n"
          "  remedy: known here: `+`, `-`\n"
          "car.yaml:13:14: error[unknown-terminal] fan: GND1 is a ground: one node, with no "
          "terminals to name\n"
          "  remedy: write `GND1` alone\n"
          "car.yaml:14:14: error[unknown-reference] fan: there is no device `M11`\n"
          "  remedy: did you mean `M1`?\n"
          "car.yaml:15:9: error[unknown-reference] fan: there is no device `G1 M1`\n"
          "  remedy: write `>` between one device and the next\n"
          "car.yaml:16:13: error[wrong-shape] fan: a name is missing beside this `>`\n"
          "  remedy: write a device on both sides of every `>`\n"
          "car.yaml:17:14: error[wrong-shape] fan: a name is missing beside this `>`\n"
          "  remedy: write a device on both sides of every `>`\n");
}

TEST_CASE("a device that could not be read is not complained of again at every path") {
    const ReadCar read(with_paths("  E1: {is: lmap, draws: 5 W}\n",
                                  "      - G1 > E1 > GND1\n      - G1 > E1.x > GND1\n"));
    CHECK(read.said() == "unknown-word 8:12\n");
}

TEST_CASE("a broken path still counts its wires") {
    const ReadCar read(with_devices("", "circuits:\n  fan:\n    number: 7\n    paths:\n"
                                        "      - G1 > NOBODY > M1\n      - M1 > GND1\n"
                                        "    wires: {7.3: {colour: BN}}\n"));
    CHECK(read.said() == "unknown-reference 12:14\n");
    REQUIRE(read.car.wires.size() == 1);
    CHECK(read.car.wires[0].number == "7.3");
    CHECK(read.car.wires[0].colour == "BN");
}

TEST_CASE("the place of a wire is its part of the path") {
    const ReadCar read(with_paths("", "      - G1 > F1 > M1   # feed\n      - 'M1.- > GND1'\n"));
    REQUIRE(read.car.wires.size() == 3);
    CHECK(read.car.wires[1].where.line == 12);
    CHECK(read.car.wires[1].where.column == 14);
    CHECK(read.car.wires[1].where.end_column == 21);
    CHECK(read.car.wires[2].where.column == 10);
}

TEST_CASE("a unit is passed by positions that hold at once") {
    const auto said = [](const std::string& positions, const std::string& terminals) {
        return ReadCar(with_paths("  U1: {is: unit, terminals: [B, L, R, M],\n"
                                  "       inside: {side: {is: switch, positions: {" +
                                      positions +
                                      "}},\n"
                                      "                range: {is: switch, positions: {on: [L-M], "
                                      "off: []}}}}\n",
                                  "      - F1 > U1." + terminals + " > M1\n"))
            .said();
    };
    const std::string either = "left: [B-L], right: [B-R]";
    const std::string none = "cannot-pass 15:14\n"; // after three lines of devices more
    CHECK(said(either, "B/R") == "");
    CHECK(said(either, "L/R") == none);
    CHECK(said(either, "B/M") == ""); // left, and on
    CHECK(said(either, "R/M") == none);
    CHECK(said(either + ", both: [L-B, B-R]", "L/R") == "");
    CHECK(said(either + ", both: [L-B, B-R]", "R/M") == ""); // both, and on
}
