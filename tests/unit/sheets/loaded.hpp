// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "engine/engine.hpp"

#include <doctest/doctest.h>

#include <fstream>
#include <memory>
#include <sstream>
#include <string>

namespace loomwright::test {

inline std::optional<std::string> file_text(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) {
        return std::nullopt;
    }
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

/// A vehicle from its text, sized. Input faults fail the test with their text.
inline std::unique_ptr<Project> sized(const std::string& text, const std::string& folder = "") {
    auto project =
        load_project("test.yaml", text, [&](const std::string& name, std::string& /*why_not*/) {
            return file_text(folder + "/" + name);
        });
    std::string faults;
    for (const Finding& finding : project->findings.all()) {
        if (rule_info(finding.rule).is_input) {
            faults += describe(finding, project->files);
        }
    }
    REQUIRE_MESSAGE(faults.empty(), faults);
    size_project(*project);
    return project;
}

/// One of the examples, by its path under examples/.
inline std::unique_ptr<Project> example(const std::string& folder, const std::string& file) {
    const std::string path = std::string(LOOMWRIGHT_SOURCE_DIR) + "/examples/" + folder;
    const auto text = file_text(path + "/" + file);
    REQUIRE(text.has_value());
    return sized(*text, path);
}

/// The example of this name.
inline std::unique_ptr<Project> example(const std::string& name) {
    return example(name, name + ".yaml");
}

/// Sizes, lengths and ratings are all written, so that every figure on paper can be told from this
/// text alone. Wire 2.1 and 2.2 are of one spool, 2.3 has another colour, 2.4 another size; 2.5
/// stays.
inline constexpr const char* written_out = R"yaml(
loomwright: 1
title: Written out
revision: A
bodies: [chassis]
policy: {spare: 20 %, insulation: thin-wall pvc}
devices:
  G1:   {is: battery, capacity: 45 Ah, cranking-amps: 400 A}
  GND1: {is: ground, body: chassis}
  GND2: {is: ground, body: chassis}
  F1:   {is: fuse, family: blade, rating: 10 A, title: Lamp}
  F2:   {is: fuse, family: blade, rating: 10 A}
  K1:   {is: relay, contact: 30 A, coil: 85 ohm, suppression: resistor}
  E1:   {is: lamp, draws: 21 W at 13.5 V, title: Work lamp}
  E2:   {is: lamp, draws: 5 W at 13.5 V}
circuits:
  ground:
    number: 1
    paths: [G1.- > GND1]
    wires: {1.1: {size: 16 mm2, length: 0.4 m, colour: BK}}
  lamp:
    number: 2
    colour: RD
    paths:
      - G1 > F1 > K1 > E1 > GND2
      - F1.out > K1.86
      - K1.85 > GND2
    wires:
      2.1: {size: 1.5 mm2, length: 1.2001 m}
      2.2: {size: 1.5 mm2, length: 2 m}
      2.3: {size: 1.5 mm2, length: 0.85 m, colour: BK/RD}
      2.4: {size: 1 mm2, length: 0.3 m, colour: BN, note: "=cut last"}
      2.5: {size: 0.75 mm2, length: 0.3 m, retained: {since: 1961}}
      2.6: {size: 0.75 mm2, length: 0.3 m, colour: BN}
  second:
    number: 3
    colour: RD
    size: 1.5 mm2
    paths: [G1 > F2 > E2 > GND2]
    wires:
      3.1: {length: 2 m}
      3.2: {length: 0.101 m}
      3.3: {length: 0.1 m, colour: BN}
states:
  lit: {expect: {on: [E1]}}
stock:
  - {is: wire, name: red, size: 1.5 mm2, colour: RD, part: W-15R, price: 0.50, spool: 5 m}
  - {is: wire, name: any, size: 1.5 mm2, part: W-15, price: 0.40}
  - {is: fuse, name: blade 10, rating: 10 A, part: FB-10, price: 0.20}
  - {is: fuse, name: maxi-blade 10, rating: 10 A, part: FM-10, price: 9}
  - {is: terminal, name: blade 6.3, size: 1.5 mm2, part: T-63-15, price: 0.10}
)yaml";

} // namespace loomwright::test
