# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Connectors and joints from outside: faces of connectors, splices set apart and wires cut to there,
wires that share a barrel, and screens. Lengths are sums of the file's own; areas in one barrel add up
(NASA-STD-8739.4 19.11, read)."""

import csv
import io
import unittest

from car import MARLOW, CarTest, answer, answer_json, run


def car_of(splice="", second="", drain="GND1", terminal="receptacle 6.3 mm", size="2.5 mm2"):
    return f"""loomwright: 1
points: {{bay: {{}}, dash: {{}}}}
runs: {{loom: {{from: bay, to: dash, length: 1.0 m}}}}
devices:
  G1: {{is: battery, at: bay, capacity: 60 Ah}}
  F1: {{is: fuse, at: bay, rating: 15 A}}
  SP1: {{is: splice, at: bay{splice}}}
  SP2: {{is: splice, at: bay{second}}}
  X1: {{is: connector, at: dash, cavities: 4, rows: 2, terminal: {terminal}}}
  E1: {{is: lamp, at: dash, draws: 5 W}}
  E2: {{is: lamp, at: dash, draws: 5 W}}
  GND1: {{is: ground, at: dash, body: chassis}}
  GND2: {{is: ground, at: bay, body: chassis}}
circuits:
  lamps:
    number: 1
    size: {size}
    paths: [G1 > F1 > SP1, SP1 > X1.1 > E1 > GND1, SP2 > X1.1, SP2 > E2 > GND1, SP1 > SP2, SP1 > E1, SP2 > E2, G1.- > GND2]
shields:
  screen: {{around: [1.3], drain: {drain}}}
"""


class Joints(CarTest):
    def found(self, car):
        return answer_json("check", car, "--json", statuses=(0, 1))["findings"]

    def lengths(self, car):
        folder = self.folder / "papers"
        answer("pack", car, "-o", folder, statuses=(0,))
        text = (folder / "cut-list.csv").read_text(encoding="utf-8").replace("\ufeff", "")
        return {row["wire"]: float(row["length (mm)"]) for row in csv.DictReader(io.StringIO(text))}

    def test_the_faces_of_a_connector(self):
        for name in ("svg", "pdf", "png"):
            drawing = answer("draw", MARLOW, "--view", "connector", "X5", "--format", name, "-o", "-")
            self.assertEqual(drawing, answer("draw", MARLOW, "--view", "connector", "X5", "--format", name, "-o", "-"))
        drawing = answer("draw", MARLOW, "--view", "connector", "X5", "--format", "svg", "-o", "-").decode()
        for words in ("Mating face", "Wire side, mirrored", "row 2", "mate X6", "sealed"):
            self.assertIn(words, drawing)
        for name, words in (("X55", b"did you mean `X5`?"), ("G1", b"`G1` has no `plug`")):
            done = run("draw", MARLOW, "--view", "connector", name)
            self.assertEqual((done.returncode, done.stdout), (2, b""))
            self.assertIn(words, done.stderr)

    def test_wires_are_cut_to_where_the_splice_is(self):
        near = self.lengths(self.car(car_of(", offset: 0 mm", ", offset: 60 mm")))
        far = self.lengths(self.car(car_of(", offset: 200 mm", ", offset: 60 mm")))
        self.assertAlmostEqual(far["1.3"] - near["1.3"], -200)       # by the run: sooner
        self.assertAlmostEqual(far["1.2"] - near["1.2"], 200)        # from the point itself: later
        self.assertAlmostEqual(far["1.9"] - near["1.9"], 140 - 60)   # between the two splices
        self.assertEqual(far["1.7"], near["1.7"])                    # of the other splice

    def test_splices_side_by_side(self):
        def rules(offset):
            return [f["subject"] for f in self.found(self.car(car_of(", offset: 0 mm", f", offset: {offset}")))
                    if f["rule"] == "splice-place"]
        self.assertEqual(rules("49 mm"), ["SP2"])
        self.assertEqual(rules("50 mm"), [])
        self.assertEqual(rules("1.2 m"), ["SP2"])

    def test_wires_that_share_a_barrel_add_up(self):
        # Two of 2.5 mm2 are 5 mm2: within 6 mm2, beyond 4 mm2 and 2.5 mm2.
        def thick(terminal):
            return [f["figures"][0]["value"] for f in self.found(self.car(car_of(terminal=terminal)))
                    if f["rule"] == "terminal-rating" and f["message"].count("together")]
        self.assertEqual(thick("receptacle 6.3 mm"), [])
        for terminal in ("receptacle 4.8 mm", "receptacle 2.8 mm"):
            areas = thick(terminal)
            self.assertEqual(len(areas), 1)
            self.assertAlmostEqual(areas[0], 5e-6, delta=0.4e-6)  # tabled areas of 2.5 mm2

    def test_where_a_screen_ends(self):
        def told(drain):
            return [f["message"] for f in self.found(self.car(car_of(drain=drain))) if f["rule"] == "shield-ends"]
        self.assertEqual(told("GND1"), [])
        self.assertEqual(told("GND2"), [])
        self.assertIn("both ends", told("[GND1, GND2]")[0])
        self.assertIn("no ground", told("E1.+")[0])
        self.assertIn("nothing drains it", told("[]")[0])


if __name__ == "__main__":
    unittest.main()
