// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Numbers of wires: over all paths of a circuit, given by hand, in the long form, and twice.

#include "support.hpp"

using namespace loomwright;

TEST_CASE("12.1, 12.10 and 12.100 are three wires") {
    std::string paths;
    for (int i = 0; i < 12; ++i) {
        paths += "      - F1 > M1\n";
    }
    const ReadCar read(with_devices("", "circuits:\n  fan:\n    number: 12\n    paths:\n" + paths +
                                            "    wires:\n      12.1: {colour: RD}\n"
                                            "      12.10: {colour: GN}\n"));
    CHECK(read.text() == "");
    REQUIRE(read.car.wires.size() == 12);
    CHECK(read.car.wires[0].colour == "RD");
    CHECK(read.car.wires[9].number == "12.10");
    CHECK(read.car.wires[9].colour == "GN");
    CHECK(read.car.wires[10].colour == "");
}

TEST_CASE("a number of its own stays when the file changes") {
    const ReadCar read(with_devices("", "circuits:\n  fan:\n    number: 12\n"
                                        "    paths: [F1 > K1 > M1 > GND1]\n"
                                        "    wires: {12.3: {number: 12.40}}\n"));
    CHECK(read.text() == "");
    CHECK(read.wires() == "12.1 F1.out > K1.30\n12.2 K1.87 > M1.+\n12.40 M1.- > GND1\n");
}

TEST_CASE("without a number, the circuit's place in the file") {
    const ReadCar read(with_devices("", "circuits:\n  a: {paths: [F1 > M1]}\n"
                                        "  b: {number: 12A, paths: [F1 > M1]}\n"
                                        "  c: {paths: [M1 > GND1]}\n"));
    CHECK(read.text() == "");
    CHECK(read.wires() == "1.1 F1.out > M1.+\n12A.1 F1.out > M1.+\n3.1 M1.- > GND1\n");
}

TEST_CASE("the long form: every wire whole, by its number") {
    const ReadCar read(
        with_devices("", "circuits:\n  fan:\n    size: 2.5 mm2\n    wires:\n"
                         "      12.2: {from: F1.out, to: K1.30, size: 10 AWG}\n"
                         "      12.10: {from: K1, to: M1}\n      A-7: {from: M1, to: GND1}\n"));
    CHECK(read.text() == "");
    CHECK(read.wires() == "12.2 F1.out > K1.30\n12.10 K1.87 > M1.+\nA-7 M1.- > GND1\n");
    CHECK(show(read.car.wires[0].size->value) == "10 AWG");
    CHECK(show(read.car.wires[1].size->value) == "2.5 mm2");
    CHECK(read.car.circuits[0].paths.empty());
    CHECK(read.car.circuits[0].wires.size() == 3);
}

TEST_CASE("two circuits of one number are said once, with both places") {
    const ReadCar read(with_devices("", "circuits:\n  a: {number: 7, paths: [F1 > K1 > M1]}\n"
                                        "  b: {number: 7, paths: [F1 > K1 > M1]}\n"));
    CHECK(read.text() ==
          "car.yaml:10:15: error[duplicate-number] b: the circuits a and b both have the number "
          "7, and with it their wires\n"
          "  car.yaml:9:15: the other one has it here\n"
          "  remedy: give one of the two another number\n");
}

TEST_CASE("two wires of one number, by hand") {
    const ReadCar read(with_devices("", "circuits:\n  a:\n    number: 7\n"
                                        "    paths: [F1 > K1 > M1]\n"
                                        "    wires: {7.2: {number: 7.1}}\n"
                                        "  b: {wires: {7.1: {from: M1, to: GND1}}}\n"));
    CHECK(read.text() == "car.yaml:12:27: error[duplicate-number] 7.1: there is a wire `7.1` "
                         "already\n"
                         "  car.yaml:11:13: the first one is here\n"
                         "  remedy: give one of the two another number\n"
                         "car.yaml:13:15: error[duplicate-number] 7.1: there is a wire `7.1` "
                         "already\n"
                         "  car.yaml:11:13: the first one is here\n"
                         "  remedy: give one of the two another number\n");
}

TEST_CASE("a wire that the paths do not have") {
    for (const char* key : {"1.4", "1.0", "1.03", "2.1", "1.", "1", "x", "1.1.1"}) {
        CAPTURE(key);
        const ReadCar read(with_devices("", "circuits:\n  a:\n    number: 1\n"
                                            "    paths: [F1 > K1 > M1 > GND1]\n"
                                            "    wires: {" +
                                                std::string(key) + ": {colour: RD}}\n"));
        CHECK(read.said() == "unknown-reference 12:13\n");
        CHECK(read.findings.all().front().remedy == "its wires are 1.1 to 1.3");
    }
}

TEST_CASE("what a wire says goes before what its circuit says") {
    const ReadCar read(with_devices(
        "", "circuits:\n  a:\n    number: 1\n    paths: [F1 > K1 > M1 > GND1]\n"
            "    size: 4 mm2\n    colour: RD\n    insulation: thin-wall xlpe\n"
            "    retained: {since: 1961}\n"
            "    wires:\n      1.1: {size: auto, colour: BK, insulation: thick-wall pvc, retained: "
            "no}\n"
            "      1.2: {length: 2 m, measured: 2.1 m, note: by the post, twisted: can-1}\n"));
    CHECK(read.text() == "");
    const auto& wires = read.car.wires;
    CHECK_FALSE(wires[0].size);
    CHECK(wires[0].colour == "BK");
    CHECK(wires[0].insulation.value == "thick-wall pvc");
    CHECK_FALSE(wires[0].retained);
    CHECK(show(wires[1].size->value) == "4 mm2");
    CHECK(wires[1].retained);
    CHECK(wires[1].retained->value.since == 1961);
    CHECK(wires[1].length->value == Metres(2.1));
    CHECK(wires[1].length_is_measured);
    CHECK(wires[1].twisted == "can-1");
    CHECK(wires[1].note == "by the post");
    CHECK_FALSE(wires[2].length);
}

TEST_CASE("four spellings of two sizes stay two sizes") {
    const ReadCar read(with_devices(
        "", "circuits:\n  a:\n    number: 1\n    paths: [F1 > K1 > M1 > GND1, G1 > F1]\n"
            "    wires:\n      1.1: {size: 0 AWG}\n      1.2: {size: 1/0 AWG}\n"
            "      1.3: {size: 0000 AWG}\n      1.4: {size: 4/0 AWG}\n"));
    CHECK(read.text() == "");
    const auto& wires = read.car.wires;
    CHECK(wires[0].size->value == wires[1].size->value);
    CHECK(wires[2].size->value == wires[3].size->value);
    CHECK_FALSE(wires[0].size->value == wires[2].size->value);
    // ASTM B258: 0 AWG is 53.5 mm2, 0000 AWG is 107.2 mm2.
    CHECK(read.catalogue.find_conductor(wires[0].size->value)->area.value() * 1e6 ==
          doctest::Approx(53.5).epsilon(0.002));
    CHECK(read.catalogue.find_conductor(wires[2].size->value)->area.value() * 1e6 ==
          doctest::Approx(107.2).epsilon(0.002));
}
