// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Unfused copper with lengths that nobody gave: 2.5 m are assumed then (table defaults,
// assumed-length). From a battery's post 72 in, 1.8288 m, are allowed (ABYC E-11).
#include "base/display.hpp"
#include "checked.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

namespace {

std::unique_ptr<Checked> car_with_lengths(const std::string& paths, const std::string& wires) {
    auto car = check_text("loomwright: 1\n"
                          "devices:\n"
                          "  G1: {is: battery, capacity: 60 Ah, case: chassis}\n"
                          "  ST1: {is: stud}\n"
                          "  F1: {is: fuse, rating: 10 A}\n"
                          "  E1: {is: lamp, draws: 21 W, case: chassis}\n"
                          "circuits:\n"
                          "  one:\n"
                          "    number: 1\n"
                          "    paths: [" +
                          paths +
                          "]\n"
                          "    wires: {" +
                          wires + "}\n");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    return car;
}

/// "danger: unfused length 1.9 m", by the first figure.
std::string told_length(const Checked& car, Rule rule, std::string_view wire) {
    const Finding* const finding = car.find(rule, wire);
    REQUIRE(finding != nullptr);
    const Figure& length = finding->figures.front();
    return std::string(finding->severity == Severity::danger ? "danger" : "note") + ": " +
           length.label + " " + show(Metres(length.value));
}

} // namespace

TEST_CASE("a length of unfused wire that is assumed is called so") {
    const auto bare = car_with_lengths("G1 > E1", "");
    CHECK(told_length(*bare, Rule::fuse_missing, "1.1") ==
          "danger: unfused length, assumed 2.50 m");
    CHECK(told_length(*car_with_lengths("G1 > E1", "1.1: {length: 1 m}"), Rule::fuse_missing,
                      "1.1") == "danger: unfused length 1.00 m");
    // Through the stud, 2.5 m and 1 m.
    CHECK(told_length(*car_with_lengths("G1 > ST1 > E1", "1.2: {length: 1 m}"), Rule::fuse_missing,
                      "1.2") == "danger: unfused length, part of it assumed 3.50 m");
}

TEST_CASE("no danger is made of a length before the wire that nobody gave") {
    const auto car_of = [](const std::string& wires) {
        return car_with_lengths("G1 > ST1 > F1 > E1", wires);
    };
    // 2.5 m and 0.4 m: without what is assumed 0.4 m, which are allowed.
    const auto car = car_of("1.2: {length: 0.4 m}");
    CHECK(told_length(*car, Rule::unfused_length, "1.1") == "note: unfused length, assumed 2.50 m");
    CHECK(told_length(*car, Rule::unfused_length, "1.2") ==
          "note: unfused length, part of it assumed 2.90 m");
    const Finding* const behind = car->find(Rule::unfused_length, "1.2");
    CHECK(behind->message.ends_with("; the length of 1.1 before it is assumed"));
    CHECK(behind->remedy == "give 1.1 its `length`, or both its devices a point");
    // 1.9 m of its own are too long, whatever lies before them: 4.4 m.
    const auto own = car_of("1.2: {length: 1.9 m}");
    CHECK(told_length(*own, Rule::unfused_length, "1.2") ==
          "danger: unfused length, part of it assumed 4.40 m");
    // 1.5 m and 0.4 m, both given.
    const auto given = car_of("1.1: {length: 1.5 m}, 1.2: {length: 0.4 m}");
    CHECK(told_length(*given, Rule::unfused_length, "1.2") == "danger: unfused length 1.90 m");
    CHECK(given->find(Rule::unfused_length, "1.2")->message.find("assumed") == std::string::npos);
}
