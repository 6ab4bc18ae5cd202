# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""`place`: every point of the body tried for a device or a fuse panel, and how far fixed leads come."""

import csv
import io
import unittest

import yaml

from car import MARLOW, CarTest, answer, answer_json, run


class Place(CarTest):
    def test_every_point_of_the_file_is_there_once(self):
        got = answer_json("place", MARLOW, "A1", "--json")["places"]["rows"]
        points = yaml.safe_load(MARLOW.read_text(encoding="utf-8"))["points"]
        self.assertEqual(sorted(row["place"] for row in got), sorted(points))

    def test_the_best_comes_first(self):
        rows = answer_json("place", MARLOW, "A1", "--json")["places"]["rows"]

        def order(row):
            return (row["no_way"], row["trunk_slack_m"] < -1e-9, -row["leads_reaching"], row["counted_kg"])

        self.assertEqual([order(row) for row in rows], sorted(order(row) for row in rows))
        now = [row for row in rows if row["now"]]
        self.assertEqual([row["place"] for row in now], ["controller-shelf"])
        self.assertAlmostEqual(now[0]["added_kg"], 0.0)
        for row in rows:
            self.assertAlmostEqual(row["added_kg"], row["copper_kg"] - now[0]["copper_kg"])
            self.assertGreaterEqual(row["counted_kg"], row["copper_kg"] - 1e-12)
            self.assertGreaterEqual(row["hottest_c"], row["air_c"])

    def test_the_slack_of_a_lead_is_what_it_has_over_the_way(self):
        leads = answer_json("place", MARLOW, "A1", "--json")["leads"]["rows"]
        file = yaml.safe_load(MARLOW.read_text(encoding="utf-8"))["supplied"]["engine-loom"]["leads"]
        self.assertEqual([row["lead"] for row in leads], list(file))
        for row in leads:
            self.assertAlmostEqual(row["lead_m"], float(file[row["lead"]]["length"].split()[0]))
            self.assertAlmostEqual(row["slack_m"], row["lead_m"] - row["needed_m"])
            self.assertEqual(row["verdict"] == "reaches", row["slack_m"] >= 0)
        # GND10 is bolted at the very point where the loom comes out.
        ground = next(row for row in leads if row["lead"] == "power-ground-1")
        self.assertEqual((ground["joined"], ground["verdict"]), ("GND10", "reaches"))

    def test_a_point_stands_for_all_that_is_at_it(self):
        panel = answer_json("place", MARLOW, "fuse-panel", "--json")["places"]["rows"]
        fuse = answer_json("place", MARLOW, "F31", "--json")["places"]["rows"]
        at = {row["place"]: row for row in panel}["fuse-panel"]
        self.assertEqual(at["now"], "now")
        self.assertGreater(at["wire_m"], 10 * {row["place"]: row for row in fuse}["fuse-panel"]["wire_m"])

    def test_the_table_for_a_spreadsheet(self):
        rows = list(csv.reader(io.StringIO(answer("place", MARLOW, "A1", "--csv").decode())))
        self.assertEqual(rows[0][0], "place")
        self.assertEqual({len(row) for row in rows}, {len(rows[0])})

    def test_what_cannot_be_placed_is_told(self):
        done = run("place", MARLOW, "controler-shelf")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertIn(b"did you mean `controller-shelf`?", done.stderr)
        bare = self.car("loomwright: 1\ndevices:\n  G1: {is: battery, capacity: 45 Ah}\n")
        done = run("place", bare, "G1")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertIn(b"no points to try", done.stderr)


if __name__ == "__main__":
    unittest.main()
