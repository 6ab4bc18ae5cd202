// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Heading, zones, points, runs, bodies.

#include "support.hpp"

using namespace loomwright;

TEST_CASE("a run without a length is estimated from its ends") {
    const ReadCar read("loomwright: 1\npoints:\n  a: {at: [0 m, 0 m, 0 m]}\n"
                       "  b: {at: [300 mm, 0.4 m, 0 in]}\n  c: {}\n"
                       "runs:\n  r: {from: a, to: b}\n  s: {from: a, to: b, measured: 0.7 m}\n");
    CHECK(read.text() == "");
    CHECK(read.car.runs[0].is_estimated);
    CHECK(read.car.runs[0].length.value() == doctest::Approx(0.5)); // 3-4-5
    CHECK_FALSE(read.car.runs[1].is_estimated);
    CHECK(read.car.runs[1].length == Metres(0.7));
}

TEST_CASE("a run shorter than the straight line between its ends") {
    const std::string head = "loomwright: 1\npoints:\n  a: {at: [0 m, 0 m, 0 m]}\n"
                             "  b: {at: [1 m, 0 m, 0 m]}\nruns:\n";
    // A tape on a bare shell is a few per cent wrong; half is another place.
    CHECK(ReadCar(head + "  r: {from: a, to: b, length: 0.95 m}\n").said() == "");
    CHECK(ReadCar(head + "  r: {from: a, to: b, length: 0.5 m}\n").text() ==
          "car.yaml:6:31: error[contradiction] r: the run is 0.50 m long, but its ends lie 1.00 m "
          "apart\n"
          "  car.yaml:4:3: one of its ends is here\n"
          "  remedy: correct the length, or `at` of one of the points\n");
}

TEST_CASE("length and measured length: close is a correction, far is a contradiction") {
    const std::string head = "loomwright: 1\npoints: {a: {}, b: {}}\nruns:\n";
    const ReadCar close(head + "  r: {from: a, to: b, length: 1.0 m, measured: 1.05 m}\n");
    CHECK(close.text() == "");
    CHECK(close.car.runs[0].length == Metres(1.05));
    CHECK(ReadCar(head + "  r: {from: a, to: b, length: 1.0 m, measured: 1.5 m}\n").text() ==
          "car.yaml:4:48: error[contradiction] r: 1.50 m was measured, but 1.00 m is written\n"
          "  car.yaml:4:31: `length` is here\n"
          "  remedy: leave one of the two out, or correct it\n");
}

TEST_CASE("two runs between the same points are two ways") {
    const ReadCar read("loomwright: 1\npoints: {a: {}, b: {}}\nruns:\n"
                       "  r: {from: a, to: b, length: 1 m}\n  s: {from: a, to: b, length: 2 m}\n");
    CHECK(read.text() == "");
    CHECK(read.car.runs.size() == 2);
}

TEST_CASE("bodies of metal can be named") {
    const ReadCar read("loomwright: 1\nbodies: [chassis, engine, cab]\ndevices:\n"
                       "  GND1: {is: ground, body: cab}\n  GND2: {is: ground, body: axle}\n");
    CHECK(read.text() == "car.yaml:5:28: error[unknown-reference] GND2: there is no body of metal "
                         "`axle`\n"
                         "  remedy: known here: `chassis`, `engine`, `cab`\n");
    CHECK(read.device("GND1").as<Ground>()->body == 2);
    CHECK(ReadCar("loomwright: 1\nbodies: [a, a]\n").said() == "duplicate-key 2:13\n");
}

TEST_CASE("the systems that the tables know") {
    for (const char* volts : {"6 V", "12 V", "24 V", "12V", "12000 mV"}) {
        CAPTURE(volts);
        CHECK(ReadCar("loomwright: 1\nnominal: " + std::string(volts) + "\n").said() == "");
    }
    CHECK(ReadCar("loomwright: 1\nnominal: 42 V\n").said() == "out-of-range 2:10\n");
    CHECK(ReadCar("loomwright: 1\nnominal: 12\n").said() == "missing-unit 2:10\n");
}

TEST_CASE("the version comes first, and is 1") {
    CHECK(ReadCar("loomwright: 1\n").said() == "");
    CHECK(ReadCar("title: x\nloomwright: 1\n").said() == "wrong-shape 2:1\n");
    CHECK(ReadCar("title: x\n").said() == "missing-key 1:1\n");
    CHECK(ReadCar("loomwright: 7\n").said() == "out-of-range 1:13\n");
    CHECK(ReadCar("loomwright: '1'\n").said() == "");
    CHECK(ReadCar("loomwright: one\n").said() == "bad-number 1:13\n");
    CHECK(ReadCar("loomwright: 01\n").said() == "bad-number 1:13\n");
    CHECK(ReadCar("loomwright:\n").said() == "wrong-shape 1:11\n");
    CHECK(ReadCar("- a\n").said() == "wrong-shape 1:1\n");
    CHECK(ReadCar("just text\n").said() == "wrong-shape 1:1\n");
}

TEST_CASE("a byte-order mark and CR LF change nothing") {
    const ReadCar read("\xEF\xBB\xBFloomwright: 1\r\ndevices:\r\n  F1: {is: fuse, rating: 5}\r\n");
    CHECK(read.said() == "missing-unit 3:26\n");
}
