// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Names made of anything, files of many faults, files of great size: no crash, no flood, no wait.

#include "support.hpp"

#include <chrono>
#include <cstdlib>

using namespace loomwright;

TEST_CASE("names may be any text but what a path cannot hold") {
    const ReadCar read("loomwright: 1\ndevices:\n  \"<b&amp;\": {is: splice}\n"
                       "  \"E'; DROP\": {is: splice}\n  \xC3\xBC-\xE7\x81\xAF: {is: splice}\n"
                       "  \"\": {is: splice}\n  \" \": {is: splice}\n  a/b: {is: splice}\n"
                       "circuits:\n  \"=cmd|' /C calc'!A0\": {number: \"<i>\", paths: [\"<b&amp; > "
                       "\xC3\xBC-\xE7\x81\xAF > a/b\"]}\n");
    CHECK(read.said() == "wrong-shape 4:3\nwrong-shape 6:3\nwrong-shape 7:3\nwrong-shape 7:3\n");
    CHECK(read.wires() == "<i>.1 <b&amp; > \xC3\xBC-\xE7\x81\xAF\n<i>.2 "
                          "\xC3\xBC-\xE7\x81\xAF > a/b\n");
}

TEST_CASE("a name holds nothing that cannot be seen") {
    for (const char* const escape :
         {"\\u0007", "\\n", "\\u202e", "\\u2066", "\\ufeff", "\\x9b", "\\t"}) {
        const ReadCar read(std::string("loomwright: 1\nzones:\n  \"a") + escape +
                           "b\": {air: 20 C}\n");
        CHECK(read.said() == "bad-yaml 3:3\n");
    }
}

TEST_CASE("an inner device and a device of the same spelling are two of one name") {
    const ReadCar read(
        "loomwright: 1\ndevices:\n  E7/tail: {is: splice}\n"
        "  E7: {is: unit, terminals: [1, 2], inside: {tail: {is: lamp, from: 1, to: 2, "
        "draws: 5 W}}}\n");
    CHECK(read.said() == "duplicate-key 4:46\n");
}

TEST_CASE("a thousand faults are told as a hundred and a count") {
    std::string text = "loomwright: 1\ndevices:\n";
    for (int i = 0; i < 1000; ++i) {
        text += "  F" + std::to_string(i) + ": {is: fuse, rating: 5}\n";
    }
    const ReadCar read(text);
    REQUIRE(read.findings.all().size() == 100);
    CHECK(read.findings.all().back().message ==
          "`5` has no unit: a current is written in A or mA (and 900 more findings of this rule)");
}

TEST_CASE("many wrong names in a large file do not take minutes") {
    std::string text = "loomwright: 1\ndevices:\n";
    for (int i = 0; i < 20'000; ++i) {
        text += "  SP" + std::to_string(i) + ": {is: splice}\n";
    }
    text += "circuits:\n  c:\n    paths:\n";
    for (int i = 0; i < 5'000; ++i) {
        text += "      - XP" + std::to_string(i) + " > YP" + std::to_string(i) + "\n";
    }
    const auto start = std::chrono::steady_clock::now();
    const ReadCar read(text);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    CHECK(read.findings.all().size() == 100);
    // Looking every name up against every other would take minutes.
    CHECK(took.count() < 20.0);
}

TEST_CASE("sections of the wrong shape are told and the others read") {
    for (const char* section :
         {"zones", "points", "runs", "devices", "circuits", "states", "supplied", "policy"}) {
        CAPTURE(section);
        const ReadCar read("loomwright: 1\n" + std::string(section) + ": [a, b]\ntitle: x\n");
        CHECK(read.said() ==
              "wrong-shape 2:" + std::to_string(std::string(section).size() + 3) + "\n");
        CHECK(read.car.title == "x");
    }
    for (const char* section : {"waivers", "stock"}) {
        CAPTURE(section);
        CHECK(ReadCar("loomwright: 1\n" + std::string(section) + ": {a: b}\n").said() ==
              "wrong-shape 2:" + std::to_string(std::string(section).size() + 3) + "\n");
        CHECK(ReadCar("loomwright: 1\n" + std::string(section) + ":\n").said() == "");
    }
}

TEST_CASE("every value replaced by every shape is told, never fatal") {
    const std::string keys[] = {
        "zones: {z: @}",
        "zones: {z: {air: @}}",
        "points: {p: {at: @}}",
        "runs: {r: {from: @, to: @}}",
        "devices: {A: @}",
        "devices: {A: {is: @}}",
        "devices: {A: {is: switch, positions: @}}",
        "devices: {A: {is: switch, positions: {a: @}}}",
        "devices: {A: {is: controller, terminals: {a: @}}}",
        "devices: {A: {is: connector, cavities: @, mate: @}}",
        "devices: {A: {is: unit, terminals: @, inside: @}}",
        "devices: {A: {is: unit, terminals: [1], inside: {x: @}}}",
        "devices: {A: {is: strap, between: @}}",
        "circuits: {c: @}",
        "circuits: {c: {paths: @}}",
        "circuits: {c: {wires: @}}",
        "circuits: {c: {wires: {1.1: @}}}",
        "circuits: {c: {wires: {1.1: {from: @, to: @, via: @, retained: @}}}}",
        "states: {s: {set: @, expect: @}}",
        "states: {s: {set: {A: @}, expect: {on: @}}}",
        "supplied: {s: @}",
        "supplied: {s: {device: @, from: @, leads: @}}",
        "policy: {drop: @}",
        "waivers: [@]",
        "stock: [@]",
        "include: @",
        "bodies: @",
        "nominal: @",
        "loomwright: @"};
    const char* values[] = {"~",  "''",     "x",           "5",       "-1",  "[]",      "[[]]",
                            "{}", "{x: y}", "[x, {y: z}]", "1e999 V", "> x", "'a > b'", "a.b"};
    // Under the sanitizers a third will do; the test read_every_shape has them all.
    const std::size_t step = std::getenv("LOOMWRIGHT_EVERY_SHAPE") != nullptr ? 1 : 3;
    std::size_t place = 0;
    for (const std::string& key : keys) {
        for (const char* value : values) {
            if (place++ % step != 0) {
                continue;
            }
            std::string line = key;
            for (std::size_t at = line.find('@'); at != std::string::npos;
                 at = line.find('@', at)) {
                const std::string quoted =
                    std::string_view(value) == "> x" ? "'> x'" : std::string(value);
                line.replace(at, 1, quoted);
                at += quoted.size();
            }
            CAPTURE(line);
            const ReadCar read("loomwright: 1\n" + line + "\n");
            for (const Finding& finding : read.findings.all()) {
                CHECK(rule_info(finding.rule).is_input);
                CHECK(finding.where.is_known());
                CHECK_FALSE(finding.message.empty());
                CHECK_FALSE(finding.remedy.empty());
            }
        }
    }
}
