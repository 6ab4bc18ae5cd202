// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Includes: where they may be, in which order they are read, circles, names given twice.

#include "read/steps.hpp"
#include "support.hpp"

using namespace loomwright;

TEST_CASE(
    "names are taken from the folder of the file that names them, and never leave the car's") {
    CHECK(include_path("car.yaml", "stock.yaml") == "stock.yaml");
    CHECK(include_path("car.yaml", "parts/stock.yaml") == "parts/stock.yaml");
    CHECK(include_path("parts/a.yaml", "b.yaml") == "parts/b.yaml");
    CHECK(include_path("parts/a.yaml", "../b.yaml") == "b.yaml");
    CHECK(include_path("parts/a.yaml", "./x/../b.yaml") == "parts/b.yaml");
    CHECK(include_path("car.yaml", "a//b.yaml") == "a/b.yaml");
    for (const char* name : {"../b.yaml", "parts/../../b.yaml", "/etc/passwd", "", ".", "parts/..",
                             "..\\b.yaml", "C:/b.yaml", "http://x/b.yaml"}) {
        CAPTURE(name);
        CHECK_FALSE(include_path("car.yaml", name));
    }
    CHECK_FALSE(include_path("parts/a.yaml", "../../b.yaml"));
    CHECK_FALSE(include_path("car.yaml", std::string_view("a\0b", 3)));
}

TEST_CASE("a parts file stands where its name does") {
    const ReadCar read(
        "loomwright: 1\nzones: {z1: {}}\ninclude: [a.yaml]\ndevices: {E1: {is: lamp, "
        "draws: 5 W}}\n",
        {{"a.yaml", "devices: {E2: {is: lamp, draws: 5 W}}\nzones: {z2: {}}\n"}});
    CHECK(read.text() == "");
    REQUIRE(read.car.devices.size() == 2);
    CHECK(read.car.devices[0].name == "E2");
    CHECK(read.car.devices[1].name == "E1");
    CHECK(read.car.zones[1].name == "z2");
    CHECK(read.files.file(read.car.devices[0].where.file).name == "a.yaml");
    CHECK(read.files.file(read.car.main_file).name == "car.yaml");
}

TEST_CASE("a name may be used before the file that defines it is read") {
    const ReadCar read("loomwright: 1\ndevices: {E1: {is: lamp, at: front, draws: 5 W}}\n"
                       "include: [a.yaml]\n",
                       {{"a.yaml", "points: {front: {}}\n"}});
    CHECK(read.text() == "");
}

TEST_CASE("faults of a parts file have places in it") {
    const ReadCar read("loomwright: 1\ninclude: [parts/a.yaml]\n",
                       {{"parts/a.yaml", "devices:\n  F1: {is: fuse, rating: 5}\n"}});
    CHECK(read.text() ==
          "parts/a.yaml:2:26: error[missing-unit] F1: `5` has no unit: a current is written in A "
          "or mA\n"
          "  remedy: write the unit after the number: `5 A`\n");
}

TEST_CASE("two devices of one name in two files") {
    const ReadCar read("loomwright: 1\ninclude: [a.yaml]\ndevices: {E1: {is: lamp, draws: 5 W}}\n",
                       {{"a.yaml", "devices:\n  E1: {is: lamp, draws: 21 W}\n"}});
    CHECK(read.text() == "car.yaml:3:11: error[duplicate-key] E1: there is a device of this name "
                         "already\n"
                         "  a.yaml:2:3: the first one is here\n"
                         "  remedy: give one of the two another name\n");
}

TEST_CASE("other things named twice in two files") {
    const std::string text = "zones: {a: {}}\npoints: {b: {}, c: {}}\n"
                             "runs: {r: {from: b, to: c, length: 1 m}}\n"
                             "circuits: {k: {number: 3, wires: {x: {from: b1, to: b2}}}}\n"
                             "states: {s: {}}\npolicy: {spare: 5 %, drop: {lighting: 0.5 V}}\n";
    const ReadCar read("loomwright: 1\ninclude: [a.yaml, b.yaml]\ndevices: {b1: {is: splice}, b2: "
                       "{is: splice}}\n",
                       {{"a.yaml", text}, {"b.yaml", text}});
    CHECK(read.said() == "duplicate-key 1:9\nduplicate-key 2:10\nduplicate-key 2:17\n"
                         "duplicate-key 3:8\nduplicate-key 4:12\nduplicate-key 5:10\n"
                         "duplicate-key 6:10\nduplicate-key 6:29\n");
}

TEST_CASE("circles, files that are not there, too many of them") {
    const ReadCar circle(
        "loomwright: 1\ninclude: [a.yaml]\n",
        {{"a.yaml", "include: [b/b.yaml]\n"}, {"b/b.yaml", "include: ../a.yaml\n"}});
    CHECK(circle.text() ==
          "b/b.yaml:1:10: error[bad-include] ../a.yaml: this file includes itself, directly or "
          "through others\n"
          "  remedy: delete one of the includes that make the circle\n");
    const ReadCar self("loomwright: 1\ninclude: [a.yaml]\n", {{"a.yaml", "include: [car.yaml]\n"}});
    CHECK(self.said() == "bad-include 1:11\n");
    const ReadCar missing("loomwright: 1\ninclude: [a.yaml]\n");
    CHECK(missing.text() == "car.yaml:2:11: error[bad-include] a.yaml: the file cannot be read: no "
                            "such file\n"
                            "  remedy: name a file in the folder of the vehicle file, or below "
                            "it\n");
    std::map<std::string, std::string> chain;
    for (int i = 0; i < 40; ++i) {
        chain["f" + std::to_string(i) + ".yaml"] = "include: f" + std::to_string(i + 1) + ".yaml\n";
    }
    const ReadCar deep("loomwright: 1\ninclude: f0.yaml\n", chain);
    CHECK(deep.said() == "bad-include 1:10\n");
}

TEST_CASE("two parts files may need a third, which is read once") {
    const ReadCar read("loomwright: 1\ninclude: [a.yaml, b.yaml]\n",
                       {{"a.yaml", "include: c.yaml\n"},
                        {"b.yaml", "include: c.yaml\n"},
                        {"c.yaml", "zones: {z: {air: 50 C}}\n"}});
    CHECK(read.text() == "");
    CHECK(read.car.zones.size() == 1);
}

TEST_CASE("the heading belongs to the vehicle file alone") {
    const ReadCar read("loomwright: 1\ninclude: a.yaml\n",
                       {{"a.yaml", "loomwright: 1\ntitle: x\nnominal: 24 V\nnote: y\n"}});
    CHECK(read.said() == "unknown-key 1:1\nunknown-key 2:1\nunknown-key 3:1\n");
}

TEST_CASE("a parts file that is no YAML is told with its own place, and the rest is read") {
    const ReadCar read("loomwright: 1\ninclude: a.yaml\ndevices: {F1: {is: fuse, rating: 5}}\n",
                       {{"a.yaml", "stock:\n\t- x\n"}});
    CHECK(read.said() == "missing-unit 3:34\nbad-yaml 2:1\n");
}
