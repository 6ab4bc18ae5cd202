// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// One slip is told once: at its place, with the name that was meant, and not again wherever what it
// spoilt is used.

#include "support.hpp"

#include "read/load_list.hpp"

#include <string>

using namespace loomwright;

namespace {

/// What is said of a list of loads, as people read it, without the lines of the list.
std::string said_of_list(const std::string& list) {
    SourceFiles files;
    Findings findings;
    const Catalogue catalogue = load_catalogue(files, findings);
    const FileId file = files.add("loads.csv", list);
    (void)read_load_list(file, files.file(file).text, catalogue, findings);
    std::string out;
    for (const Finding& finding : findings.all()) {
        out += describe(finding, files, false);
    }
    return out;
}

} // namespace

TEST_CASE("a section under another name is told once, and names of other sections still are") {
    const ReadCar read("loomwright: 1\n"
                       "zone: {bay: {air: 90 C}}\n"
                       "points: {front: {zone: bay}, rear: {zone: boot}}\n"
                       "runs: {floor: {from: front, to: reer, length: 2 m}}\n");
    CHECK(read.text() == "car.yaml:2:1: error[unknown-key] the key `zone` is not known here\n"
                         "  remedy: did you mean `zones`?\n"
                         "car.yaml:4:33: error[unknown-reference] floor: there is no point `reer`\n"
                         "  remedy: did you mean `rear`?\n");
}

TEST_CASE("a key that is near to none hides nothing") {
    const ReadCar read("loomwright: 1\nplaces: {front: {}}\n"
                       "runs: {floor: {from: front, to: front, length: 2 m}}\n");
    CHECK(read.said() == "unknown-key 2:1\nunknown-reference 3:22\nunknown-reference 3:33\n");
}

TEST_CASE("bodies of metal under another name") {
    const ReadCar read("loomwright: 1\nbodie: [chassis, tailgate]\n"
                       "devices: {GND1: {is: ground, body: tailgate}}\n");
    CHECK(read.said() == "unknown-key 2:1\n");
}

TEST_CASE("a value that must be one word names its key, not what it refers to") {
    const ReadCar read(with_devices("  M2: {is: motor, at: [front], draws: 5 A, case: [engine]}\n"
                                    "  X1: {is: connector, cavities: 1, mate: [X2]}\n",
                                    "points: {front: {}}\n"
                                    "states:\n  a: {}\n  b: {after: [a]}\n"));
    CHECK(read.text() ==
          "car.yaml:8:23: error[wrong-shape] M2: `at` wants a single value, not a list\n"
          "  remedy: write one value\n"
          "car.yaml:8:50: error[wrong-shape] M2: `case` wants a single value, not a list\n"
          "  remedy: write one value\n"
          "car.yaml:9:42: error[wrong-shape] X1: `mate` wants a single value, not a list\n"
          "  remedy: write one value\n"
          "car.yaml:13:14: error[wrong-shape] b: `after` wants a single value, not a list\n"
          "  remedy: write one value\n");
}

TEST_CASE("only a connector is offered as a mate") {
    const ReadCar read(with_devices("  G2: {is: alternator, rated: 70 A, regulates: 14 V}\n"
                                    "  X1: {is: connector, cavities: 1, mate: G3}\n"
                                    "  X4: {is: connector, cavities: 1, mate: X3}\n"));
    CHECK(read.text() == "car.yaml:9:42: error[unknown-reference] X1: there is no connector `G3`\n"
                         "  remedy: known here: `X4`\n"
                         "car.yaml:10:42: error[unknown-reference] X4: there is no connector `X3`\n"
                         "  remedy: did you mean `X1`?\n");
    const ReadCar alone(with_devices("  X1: {is: connector, cavities: 1, mate: X3}\n"));
    CHECK(alone.text() == "car.yaml:8:42: error[unknown-reference] X1: there is no connector `X3`\n"
                          "  remedy: add the other half, or leave `mate` out for a mated pair\n");
}

TEST_CASE("what is neither on nor off is not expected to be") {
    const ReadCar read(with_devices("", "states:\n  a: {expect: {on: [F1, K1, M1, G1]}}\n"));
    CHECK(read.text() == "car.yaml:9:21: error[contradiction] a: F1 is a fuse, which is told "
                         "neither on nor off\n"
                         "  car.yaml:4:3: it is defined here\n"
                         "  remedy: expect it of loads, relays, switches, controllers, units and "
                         "sources\n");
}

TEST_CASE("an article goes by the sound of the word behind it") {
    const ReadCar read(with_devices("  G2: {is: alternator, rated: 70 A, regulates: 14 V}\n",
                                    "states:\n  a: {set: {G2: off}}\n"));
    CHECK(read.text().find("G2 is an alternator, which a state does not set") != std::string::npos);
}

TEST_CASE("a letter of another alphabet is told, in the name and where it is used") {
    // U+0430 and U+0415: Cyrillic letters that look like a and E.
    const ReadCar used("loomwright: 1\nzones: {bay: {}}\npoints: {wall: {zone: b\xD0\xB0y}}\n");
    CHECK(
        used.text() ==
        "car.yaml:3:23: error[unknown-reference] wall: there is no zone `b\xD0\xB0y`\n"
        "  remedy: did you mean `bay`? it looks the same, but has a letter of another alphabet in "
        "one of the two places: type it anew in both\n");
    const ReadCar named("loomwright: 1\nzones: {\xD0\x95"
                        "1: {}}\npoints: {wall: {zone: E1}}\n");
    CHECK(named.text().find("did you mean `\xD0\x95"
                            "1`? it looks the same") != std::string::npos);
}

TEST_CASE("a column of a list that is near to a needed one is asked about once") {
    const std::string told = said_of_list("devise,wats,lenght\nLamp,5,1\n");
    CHECK(told == "loads.csv:1:1: error[unknown-key] the column `devise` is not known\n"
                  "  remedy: did you mean `device`?\n"
                  "loads.csv:1:8: error[unknown-key] the column `wats` is not known\n"
                  "  remedy: did you mean `watts`?\n"
                  "loads.csv:1:13: error[unknown-key] the column `lenght` is not known\n"
                  "  remedy: did you mean `length`?\n");
    CHECK(said_of_list("device,place\nLamp,dash\n")
              .starts_with("loads.csv:1:1: error[missing-key] the head line names no column"));
}

TEST_CASE("a number of three hundred digits is shown as it was written") {
    CHECK(said_of_list("device,watts\nLamp,1e300\n") ==
          "loads.csv:2:6: error[out-of-range] Lamp: `1e300` is not possible here: more than 0 and "
          "at most 100000 W\n"
          "  remedy: correct the number, or its unit\n");
}
