// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Connectors, splices, studs and screens on paper. That the areas of wires in one barrel add up:
// NASA-STD-8739.4 19.11 (read). Ranges and strip lengths: written in the files below, or tables
// fittings and strip-lengths (common practice, no source).
#include "sheets/buying_list.hpp"
#include "sheets/connector_tables.hpp"
#include "sheets/joint_schedule.hpp"
#include "sheets/loaded.hpp"
#include "sizing/fittings.hpp"

#include <fmt/format.h>

#include <algorithm>

using namespace loomwright;

namespace {

constexpr const char* looms = R"yaml(
loomwright: 1
zones: {bay: {air: 60 C, wet: yes}}
points: {bay: {zone: bay}, dash: {}}
runs: {loom: {from: bay, to: dash, length: 1 m, cover: tape}}
devices:
  G1: {is: battery, at: bay, capacity: 60 Ah}
  F1: {is: fuse, at: bay, rating: 10 A}
  F2: {is: fuse, at: bay, rating: 10 A}
  ST1: {is: stud, at: bay, lugs: 4}
  SP1: {is: splice, at: bay}
  X1: {is: connector, at: dash, cavities: [A, B, C, D, E], rows: 2, sealed: yes, terminal: receptacle 2.8 mm, part: H-5}
  E1: {is: lamp, at: dash, draws: 10 W at 13 V}
  E2: {is: lamp, at: dash, draws: 10 W at 13 V}
  B1: {is: sensor, at: bay, plug: {sealed: yes, terminal: receptacle 1.5 mm}}
  A1: {is: controller, at: dash, terminals: {30: feed, 31: ground, ne: signal, ret: signal}, draws: 0.1 A}
  GND1: {is: ground, at: dash, body: chassis}
  GND2: {is: ground, at: bay, body: chassis}
circuits:
  feed:
    number: 1
    insulation: thin-wall pvc
    paths: [G1 > ST1, ST1 > F1, ST1 > F2, G1.- > GND2]
    wires:
      1.1: {size: 25 mm2, length: 0.3 m}
      1.2: {size: 4 mm2, length: 0.1 m}
      1.3: {size: 2.5 mm2, length: 0.1 m}
      1.4: {size: 25 mm2, length: 0.3 m}
  lamps:
    number: 2
    colour: WH
    insulation: thin-wall pvc
    paths: [F1 > SP1, SP1 > X1.A > E1 > GND1, SP1 > X1.B > E2 > GND1, F2 > A1.30, A1.31 > GND1]
    wires:
      2.1: {size: 1.5 mm2}
      2.2: {size: 1 mm2}
      2.3: {size: 0.75 mm2}
      2.4: {size: 0.75 mm2}
      2.5: {size: 1 mm2}
      2.6: {size: 0.75 mm2}
      2.7: {size: 0.75 mm2}
  speed:
    number: 3
    insulation: thin-wall pvc
    size: 0.5 mm2
    paths: [B1.signal > A1.ne, B1.- > A1.ret]
shields:
  speed: {around: [3.1, 3.2], drain: GND1}
stock:
  - {is: terminal, name: receptacle 2.8 mm small, wire: 0.5 mm2 to 1 mm2, strip: 4.2 mm, crimp-height: 1.35 mm, part: R-28-S}
  - {is: terminal, name: receptacle 2.8 mm large, wire: 1.5 mm2 to 2.5 mm2, strip: 5.2 mm, part: R-28-L}
  - {is: seal, name: seal red, diameter: 1.2 mm to 2.1 mm, part: S-RD}
  - {is: plug, name: cavity plug, part: P-1}
  - {is: housing, name: five-way housing, part: H-5}
)yaml";

std::string cell(const Sheet& sheet, std::size_t row, const std::string& key) {
    for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
        if (sheet.columns[c].key == key) {
            return cell_text(sheet.columns[c], sheet.rows[row][c]);
        }
    }
    FAIL("no column ", key);
    return {};
}

/// First row with this text in a column.
std::size_t row_with(const Sheet& sheet, const std::string& key, const std::string& text) {
    for (std::size_t row = 0; row < sheet.rows.size(); ++row) {
        if (cell(sheet, row, key) == text) {
            return row;
        }
    }
    FAIL("no row with ", text);
    return 0;
}

const Sheet& table_named(const std::vector<Sheet>& tables, const std::string& name) {
    const auto found = std::ranges::find(tables, name, &Sheet::name);
    REQUIRE(found != tables.end());
    return *found;
}

} // namespace

TEST_CASE("connector table: terminal by the wire's area, seals, and plugs where no wire is") {
    const auto project = test::sized(looms);
    const std::vector<Sheet> tables = connector_tables(
        project->study(), project->sizing, wired_halves(project->study(), project->sizing));
    for (const Sheet& table : tables) {
        for (const auto& row : table.rows) {
            CHECK(row.size() == table.columns.size());
        }
    }
    const Sheet& a = table_named(tables, "connector-X1-a");
    REQUIRE(a.rows.size() == 5);
    CHECK(cell(a, 0, "wire") == "2.2");
    CHECK(cell(a, 0, "to") == "SP1");
    CHECK(cell(a, 0, "colour") == "WH");
    CHECK(cell(a, 0, "terminal_part") == "R-28-S"); // 1 mm2 is within 0.5 to 1 mm2
    CHECK(cell(a, 0, "strip_m") == "4.2");
    CHECK(cell(a, 0, "crimp_height_m") == "1.35");
    CHECK(cell(a, 0, "seal_part") == "S-RD");
    CHECK(cell(a, 2, "note") == "empty");
    CHECK(cell(a, 2, "seal_part") == "P-1");
    // What the receptacles are pushed on to is on the wires that leave.
    const Sheet& b = table_named(tables, "connector-X1-b");
    CHECK(cell(b, 0, "wire") == "2.3");
    CHECK(cell(b, 0, "to") == "E1.+");
    CHECK(cell(b, 0, "terminal") == "pin 2.8 mm");
    const Sheet& sensor = table_named(tables, "connector-B1");
    CHECK(cell(sensor, row_with(sensor, "cavity", "signal"), "terminal") == "receptacle 1.5 mm");
    CHECK(cell(sensor, row_with(sensor, "cavity", "+"), "note") == "empty");
}

TEST_CASE("joint schedule: the splice by its sum, lugs thickest first for one bolt, the screen") {
    const auto project = test::sized(looms);
    const Sheet sheet = joint_schedule(project->study(), project->sizing);
    for (const auto& row : sheet.rows) {
        CHECK(row.size() == sheet.columns.size());
    }
    const std::size_t splice = row_with(sheet, "joint", "SP1");
    CHECK(cell(sheet, splice, "kind") == "splice");
    CHECK(cell(sheet, splice, "along") == "loom");
    CHECK(cell(sheet, splice, "cover").find("adhesive") != std::string::npos); // the bay is wet
    // 1.5 + 1 + 1 mm2, wire by wire and in all.
    const auto area_of = [&](const std::string& wire) {
        const WireId id = project->vehicle.find_wire(wire);
        return project->sizing.design.wires[id.index()].conductor->area.value();
    };
    const auto sum = std::get<double>(sheet.rows[splice][12]);
    CHECK(sum == doctest::Approx(area_of("2.1") + area_of("2.2") + area_of("2.5")));
    CHECK(sum > 3.2e-6);
    CHECK(sum < 3.8e-6); // conductors are made a little over or under their name
    CHECK(cell(sheet, splice, "made_with") == "crimp splice, 2.5 mm2 to 6 mm2 in all");
    const std::size_t stud = row_with(sheet, "joint", "ST1");
    CHECK(cell(sheet, stud, "wire") == "1.1");
    CHECK(cell(sheet, stud, "order") == "1");
    CHECK(cell(sheet, stud + 1, "wire") == "1.2");
    CHECK(cell(sheet, stud + 2, "wire") == "1.3");
    for (std::size_t row = stud; row < stud + 3; ++row) {
        CHECK(cell(sheet, row, "made_with") == "ring M8"); // one bolt, which 25 mm2 decides
    }
    const std::size_t screen = row_with(sheet, "joint", "speed");
    CHECK(cell(sheet, screen, "wire") == "3.1, 3.2");
    const bool is_drained_first = cell(sheet, screen, "place") == "dash";
    CHECK(cell(sheet, screen + (is_drained_first ? 0 : 1), "to") == "GND1");
    CHECK(cell(sheet, screen + (is_drained_first ? 1 : 0), "cover").starts_with("cut back"));
}

TEST_CASE("wires in one barrel: their areas add up, and choose the terminal") {
    std::string text(looms);
    const std::string before = "SP1 > X1.B > E2";
    text.replace(text.find(before), before.size(), "SP1 > X1.A > E2");
    const auto project = test::sized(text);
    const EndFittings fittings(project->vehicle, project->catalogue, project->sizing.design);
    const Crimp& crimp = fittings.crimp(project->vehicle.find_wire("2.2"), false);
    REQUIRE(crimp.wires.size() == 2);
    // 1 mm2 and 1 mm2 together are past the small terminal and within the large one.
    CHECK(fittings.fitting(crimp).stock->part_number == "R-28-L");
    const Sheet table =
        table_named(connector_tables(project->study(), project->sizing,
                                     wired_halves(project->study(), project->sizing)),
                    "connector-X1-a");
    CHECK(cell(table, 0, "note") == "2 wires in one terminal");
    CHECK(cell(table, 0, "seal") == "none: two wires");
}

TEST_CASE("buying list: a terminal a crimp, a barrel a splice, seals, plugs and housings") {
    const auto project = test::sized(looms);
    const CutList cuts = cut_list(project->study(), project->sizing);
    const BuyingList list = buying_list(project->study(), project->sizing, cuts);
    const auto count_of = [&](const std::string& group, const std::string& part_number) {
        int count = 0;
        for (const BuyPart& part : list.parts) {
            const std::string number = part.stock != nullptr ? part.stock->part_number : "";
            count += part.group == group && number == part_number ? part.count : 0;
        }
        return count;
    };
    CHECK(count_of("terminal", "R-28-S") == 2); // X1-a; the pins of X1-b are not in stock
    CHECK(count_of("seal", "S-RD") == 6);       // 2 + 2 of X1, 2 of B1
    CHECK(count_of("plug", "P-1") == 7);        // 3 + 3 of X1, 1 of B1
    CHECK(count_of("housing", "H-5") == 1);
    CHECK(std::ranges::count_if(list.parts, [](const BuyPart& part) {
              return part.what.starts_with("crimp splice");
          }) == 1);
}

TEST_CASE("connector table: a wire from one cavity of a plug to another tells its other end") {
    const auto project = test::sized(R"yaml(
loomwright: 1
points: {dash: {}}
devices:
  G1: {is: battery, at: dash, capacity: 60 Ah, case: chassis}
  F1: {is: fuse, at: dash, rating: 10 A}
  K1: {is: relay, at: dash, contact: 20 A, plug: {terminal: receptacle 6.3 mm}}
  GND1: {is: ground, at: dash, body: chassis}
circuits:
  coil: {number: 1, size: 1 mm2, paths: [G1 > F1 > K1.30, K1.30 > K1.86, K1.85 > GND1]}
)yaml");
    const Sheet table =
        table_named(connector_tables(project->study(), project->sizing,
                                     wired_halves(project->study(), project->sizing)),
                    "connector-K1");
    // In cavity 30 are 1.2 of the fuse and 1.3, which goes on to 86; there it comes from 30.
    const std::size_t contact = row_with(table, "cavity", "30");
    CHECK(cell(table, contact, "wire") == "1.2");
    CHECK(cell(table, contact, "to") == "F1.out");
    CHECK(cell(table, contact + 1, "wire") == "1.3");
    CHECK(cell(table, contact + 1, "to") == "K1.86");
    CHECK(cell(table, row_with(table, "cavity", "86"), "to") == "K1.30");
}

TEST_CASE("buying list: no seal for two wires, none for old wiring, and its diameter in mm") {
    // X1.A has two wires on one side; those of X2 are old, so X2 is on the car already.
    const auto project = test::sized(R"yaml(
loomwright: 1
points: {dash: {}}
devices:
  G1: {is: battery, at: dash, capacity: 60 Ah, case: chassis}
  F1: {is: fuse, at: dash, rating: 10 A}
  X1: {is: connector, at: dash, cavities: [A, B], sealed: yes, part: H-1}
  X2: {is: connector, at: dash, cavities: [A, B], sealed: yes, part: H-2}
  E1: {is: lamp, at: dash, draws: 5 W, case: chassis}
  E2: {is: lamp, at: dash, draws: 5 W, case: chassis}
  E3: {is: lamp, at: dash, draws: 5 W, case: chassis}
circuits:
  new: {number: 1, size: 1 mm2, insulation: thin-wall pvc, paths: [G1 > F1 > X1.A > E1, X1.A > E2]}
  old: {number: 2, size: 1 mm2, retained: yes, paths: [F1 > X2.A > E3]}
)yaml");
    const BuyingList list =
        buying_list(project->study(), project->sizing, cut_list(project->study(), project->sizing));
    std::string bought;
    for (const BuyPart& part : list.parts) {
        if (part.group == "seal" || part.group == "plug" || part.group == "housing") {
            bought += fmt::format("{} x {} at {}\n", part.count, part.what, part.used_at);
        }
    }
    // 1 mm2 thin-wall is 2.1 mm over its insulation (table conductors-iso, outside-thin).
    CHECK(bought == "1 x seal for 2.1 mm at X1-a.A\n"
                    "2 x plug for a cavity at X1-a, X1-b\n"
                    "1 x counterpart of housing H-1 at X1-b\n"
                    "1 x housing H-1 at X1-a\n");
}
