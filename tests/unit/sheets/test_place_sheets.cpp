// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/place_sheets.hpp"

#include "sheets/loaded.hpp"

using namespace loomwright;

TEST_CASE("a lead is joined, or not, or to a thing that has no place") {
    // By hand: the lead to F1 has 1 m of runs to go and that to E2 3 m, each with half of what both
    // ends of a wire take; E1 has no `at`; the last has no wire.
    const auto project = test::sized(R"yaml(
loomwright: 1
points: {box: {}, shelf: {}, front: {}}
runs:
  one: {from: box, to: shelf, length: 1 m}
  two: {from: box, to: front, length: 2 m}
devices:
  G1: {is: battery, at: box, capacity: 45 Ah, cranking-amps: 400 A}
  GND1: {is: ground, at: box, body: chassis}
  F1: {is: fuse, at: box, family: blade, rating: 5 A}
  E1: {is: lamp, draws: 5 W at 13.5 V}
  E2: {is: lamp, at: front, draws: 5 W at 13.5 V}
  A1: {is: controller, at: shelf, draws: 1 A at 13.5 V,
       terminals: {15: feed, 31: ground, near: high-side, far: high-side, spare: high-side}}
supplied:
  loom:
    device: A1
    from: shelf
    leads:
      feed: {terminal: 15, size: 1 mm2, length: 1.5 m}
      near: {terminal: near, size: 1 mm2, length: 1.5 m}
      far: {terminal: far, size: 1 mm2, length: 1.5 m}
      spare: {terminal: spare, size: 1 mm2, length: 1.5 m}
circuits:
  all:
    number: 1
    size: 1 mm2
    paths: [G1.- > GND1, G1 > F1 > A1.15, A1.31 > GND1, A1.near > E1 > GND1, A1.far > E2 > GND1]
)yaml");
    const Sheet leads =
        lead_sheet(project->study(), lead_reaches(project->vehicle, project->catalogue));
    struct Row {
        std::string joined;
        std::string at;
        std::string verdict;
    };
    const std::vector<Row> expected = {{"F1.out", "box", "reaches"},
                                       {"E1.+", "", "no place"},
                                       {"E2.+", "front", "short: a wire goes on"},
                                       {"", "", "not joined"}};
    REQUIRE(leads.rows.size() == expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
        CAPTURE(i);
        CHECK(leads.rows[i][3] == Cell(expected[i].joined));
        CHECK(leads.rows[i][4] == Cell(expected[i].at));
        CHECK(leads.rows[i].back() == Cell(expected[i].verdict));
    }
    // "needed" and "slack" of what has no place are empty.
    CHECK(leads.rows[1][6] == Cell());
    CHECK(leads.rows[1][7] == Cell());
}
