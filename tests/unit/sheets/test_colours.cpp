// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/choose_colours.hpp"

#include "sheets/loaded.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <random>
#include <regex>

using namespace loomwright;

namespace {

/// True when the two lie in one run, or end in two cavities of one connector, controller or unit.
bool are_side_by_side(const Project& project, std::size_t a, std::size_t b) {
    for (const auto& wires : project.routing.run_wires) {
        if (std::ranges::find(wires, WireId(a)) != wires.end() &&
            std::ranges::find(wires, WireId(b)) != wires.end()) {
            return true;
        }
    }
    const Wire& first = project.vehicle.wires[a];
    const Wire& second = project.vehicle.wires[b];
    for (const TerminalRef one : {first.from, first.to}) {
        for (const TerminalRef other : {second.from, second.to}) {
            const Device& device = project.vehicle.device(one.device);
            if (one.device == other.device && one.terminal != other.terminal &&
                (device.as<Connector>() != nullptr || device.as<Controller>() != nullptr ||
                 device.as<Unit>() != nullptr)) {
                return true;
            }
        }
    }
    return false;
}

/// How many pairs side by side are alike, by looking at every pair; wires without colour count.
std::size_t alike(const Project& project) {
    std::size_t count = 0;
    const std::vector<Wire>& wires = project.vehicle.wires;
    for (std::size_t a = 0; a < wires.size(); ++a) {
        for (std::size_t b = a + 1; b < wires.size(); ++b) {
            const bool is_chosen = wires[a].colour_is_auto || wires[b].colour_is_auto;
            count +=
                is_chosen && wires[a].colour == wires[b].colour && are_side_by_side(project, a, b)
                    ? 1
                    : 0;
        }
    }
    return count;
}

const Wire& wire_of(const Project& project, const std::string& number) {
    const WireId id = project.vehicle.find_wire(number);
    REQUIRE(id.is_valid());
    return project.vehicle.wire(id);
}

/// Two lamps of one fuse over one run, in the words of `stock` and of `lamp_colour`.
std::string lamps(const std::string& stock, const std::string& lamp_colour = "auto") {
    return fmt::format(R"yaml(
loomwright: 1
policy: {{colour: auto}}
points: {{front: {{}}, rear: {{}}}}
runs: {{floor: {{from: front, to: rear, length: 3 m}}}}
stock:
  - {{is: sleeve, name: braid}}
{}
devices:
  G1: {{is: battery, at: front, capacity: 45 Ah}}
  GND1: {{is: ground, at: front, body: chassis}}
  F1: {{is: fuse, at: front, family: blade, rating: 10 A}}
  S1: {{is: switch, at: front, positions: {{off: [], on: [30-58, 30-56b]}}}}
  E1: {{is: lamp, at: rear, draws: 10 W at 13.5 V}}
  E2: {{is: lamp, at: rear, draws: 10 W at 13.5 V}}
circuits:
  ground: {{number: 1, paths: [G1.- > GND1], size: 16 mm2}}
  lamps:
    number: 2
    size: 1 mm2
    insulation: thin-wall pvc
    colour: {}
    paths:
      - G1 > F1 > S1.30
      - S1.58 > E1 > GND1
      - S1.56b > E2 > GND1
)yaml",
                       stock, lamp_colour);
}

} // namespace

TEST_CASE("colours: base by duty, tracers where two lie side by side") {
    // Brown ground, red battery, grey side lamps, yellow low beam: custom of older cars (reference
    // page on DIN 72551-7, read).
    const auto project = test::sized(lamps(""));
    CHECK(wire_of(*project, "1.1").colour == "BN");
    CHECK(wire_of(*project, "2.1").colour == "RD");
    CHECK(wire_of(*project, "2.2").colour == "RD"); // at one place with 2.1, in no bundle with it
    CHECK(wire_of(*project, "2.3").colour == "GY");
    CHECK(wire_of(*project, "2.4").colour == "BN");
    CHECK(wire_of(*project, "2.5").colour == "YE");
    CHECK(wire_of(*project, "2.6").colour == "BN/BK");
    CHECK(alike(*project) == 0);
}

TEST_CASE("colours: what is written stays, and others go round it") {
    const auto project = test::sized(lamps("", "BN"));
    CHECK_FALSE(wire_of(*project, "2.4").colour_is_auto);
    CHECK(wire_of(*project, "2.4").colour == "BN");
    CHECK(wire_of(*project, "1.1").colour_is_auto);
}

TEST_CASE("colours: from those in stock for this size alone") {
    const auto project = test::sized(lamps("  - {is: wire, name: a, size: 1 mm2, colour: WH}\n"
                                           "  - {is: wire, name: b, size: 1 mm2, colour: WH/RD}\n"
                                           "  - {is: wire, name: c, size: 1 mm2, colour: WH/BU}\n"
                                           "  - {is: wire, name: d, size: 1 mm2, colour: WH/GN}\n"
                                           "  - {is: wire, name: e, size: 2.5 mm2, colour: GY}\n"));
    for (const char* number : {"2.3", "2.4", "2.5", "2.6"}) {
        CHECK(wire_of(*project, number).colour.starts_with("WH"));
    }
    CHECK(alike(*project) == 0);
    CHECK(wire_of(*project, "1.1").colour == "BN"); // of another size: the stock names no colour
}

TEST_CASE("colours: where the stock has too few, the wires are named") {
    const auto project = test::sized(lamps("  - {is: wire, name: a, size: 1 mm2, colour: WH}\n"));
    std::size_t clashes = 0;
    for (const ColourChoice& choice : choose_colours(project->study(), project->sizing.design)) {
        clashes += choice.clash.is_valid() ? 1 : 0;
    }
    CHECK(clashes == 3); // four wires lie in the run, one may be white
}

TEST_CASE("colours: the Marlow without any colour of its own has no two alike side by side") {
    const std::string folder = std::string(LOOMWRIGHT_SOURCE_DIR) + "/examples/marlow";
    std::string text = test::file_text(folder + "/marlow.yaml").value();
    text = std::regex_replace(text, std::regex(R"(,? *colour: [A-Z/]+)"), "");
    text = std::regex_replace(text, std::regex("\npolicy:\n"), "\npolicy:\n  colour: auto\n");
    REQUIRE(text.find("colour: auto") != std::string::npos);
    const auto project = test::sized(text, folder);
    std::size_t chosen = 0;
    for (const Wire& wire : project->vehicle.wires) {
        chosen += wire.colour_is_auto ? 1 : 0;
        CHECK((wire.retained.has_value() || !wire.colour.empty()));
    }
    CHECK(chosen > 300);
    CHECK(alike(*project) == 0);
    // Chosen once more, with the colours in the vehicle, they are the same.
    for (const ColourChoice& choice : choose_colours(project->study(), project->sizing.design)) {
        CHECK(choice.colour == project->vehicle.wire(choice.wire).colour);
        CHECK_FALSE(choice.clash.is_valid());
    }
}

TEST_CASE("colours: behind a fuse a wire goes on as before it") {
    const auto project = test::example("split-lights", "split-lights.yaml");
    for (const char* number : {"1.3", "1.4", "1.6", "1.7"}) { // from 58 to both side lamps
        CAPTURE(number);
        CHECK(wire_of(*project, number).colour.starts_with("GY"));
    }
    CHECK(wire_of(*project, "1.5").colour.starts_with("BN"));
    CHECK(alike(*project) == 0);
}
