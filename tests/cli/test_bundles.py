# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Bundles from outside: the schedule of the pack, the section of a run, and figures that move as
geometry says."""

import csv
import io
import math
import unittest

from car import MARLOW, CarTest, answer, answer_json, run

# n equal circles in a circle: 7 in 3 diameters, 19 in 1 + sqrt 2 + sqrt 6 (Kravitz, Fodor).
RATIO = {7: 3.0, 19: 1.0 + math.sqrt(2.0) + math.sqrt(6.0)}


def car_of(count, size="2.5 mm2", opening="60 mm", run_words=""):
    wires = "\n".join(f"      1.{i}: {{from: X1.{i}, to: X2.{i}, size: {size}}}" for i in range(1, count + 1))
    return f"""loomwright: 1
points:
  bay: {{opening: {opening}}}
  cabin: {{}}
runs:
  wall: {{from: bay, to: cabin, length: 1.0 m{run_words}}}
  spare: {{from: bay, to: cabin, length: 2.0 m}}
devices:
  X1: {{is: connector, cavities: 40, at: bay}}
  X2: {{is: connector, cavities: 40, at: cabin}}
circuits:
  all:
    number: 1
    wires:
{wires}
"""


class Bundles(CarTest):
    def schedule(self, car):
        folder = self.folder / "papers"
        answer("pack", car, "-o", folder, statuses=(0,))
        text = (folder / "bundle-schedule.csv").read_text(encoding="utf-8-sig")
        return {row["run"]: row for row in csv.DictReader(io.StringIO(text))}

    def test_equal_wires_are_as_thick_as_the_literature_says(self):
        alone = float(self.schedule(self.car(car_of(1)))["wall"]["bare diameter (mm)"])
        for count, ratio in RATIO.items():
            rows = self.schedule(self.car(car_of(count)))
            self.assertNotIn("spare", rows)  # no wire lies in it
            got = float(rows["wall"]["bare diameter (mm)"])
            self.assertAlmostEqual(got, ratio * alone, delta=0.03 * got)
            self.assertGreaterEqual(got, ratio * alone - 0.06)  # a tenth of a millimetre is printed
            self.assertEqual(rows["wall"]["wires"], str(count))

    def test_who_lays_a_run_reads_what_to_keep_clear_of(self):
        rows = self.schedule(self.car(car_of(1, run_words=", clear-of: [exhaust, pedals]")))
        self.assertEqual(rows["wall"]["keep clear of"], "exhaust, pedals")
        self.assertEqual(self.schedule(self.car(car_of(1)))["wall"]["keep clear of"], "")

    def test_a_smaller_hole_is_told_and_one_that_is_too_small(self):
        # 7 wires of 3.0 mm: 9.0 mm; 80 % of the area of a hole of 10.06 mm.
        for opening, severity in (("12 mm", None), ("9.7 mm", "caution"), ("8.5 mm", "fault")):
            found = [row for row in answer_json("check", self.car(car_of(7, opening=opening)), "--json")["findings"]
                     if row["rule"] == "passage-fill"]
            self.assertEqual([row["severity"] for row in found], [severity] if severity else [])

    def test_clips_and_bends_are_judged_where_they_are_written(self):
        def rules(words):
            return {row["rule"] for row in answer_json("check", self.car(car_of(7, run_words=words)), "--json")["findings"]}

        self.assertFalse({"bend-radius", "support-spacing"} & rules(""))
        # 4 x 9 mm of the bundle is more than 10 x 3 mm of a wire.
        self.assertIn("bend-radius", rules(", bend: 34 mm"))
        self.assertNotIn("bend-radius", rules(", bend: 37 mm"))
        self.assertIn("support-spacing", rules(", clips: 25 in"))
        self.assertNotIn("support-spacing", rules(", clips: 24 in"))

    def test_every_run_of_the_marlow_with_wires_has_a_line(self):
        rows = self.schedule(MARLOW)
        self.assertGreater(len(rows), 30)
        for name, row in rows.items():
            with self.subTest(name):
                self.assertGreaterEqual(float(row["outside diameter (mm)"]), float(row["bare diameter (mm)"]))
                self.assertLessEqual(float(row["length (m)"]) / int(row["clips"]), 0.61)

    def test_the_section_of_a_run(self):
        drawing = answer("draw", MARLOW, "--view", "section", "bulkhead", "--format", "svg", "-o", "-").decode()
        for words in ("Run bulkhead", "Scale 5:1", "24.5", "bulkhead-left 38.0 mm"):
            self.assertIn(words, drawing)
        done = run("draw", MARLOW, "--view", "section", "bulkhed")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertIn(b"did you mean `bulkhead`?", done.stderr)
        done = run("draw", MARLOW, "--view", "section")
        self.assertEqual(done.returncode, 2)
        done = run("draw", self.car(car_of(1)), "--view", "section", "spare")
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"no wire lies in the run `spare`", done.stderr)

    def test_a_bad_bend_is_an_error_with_its_place(self):
        done = run("check", self.car(car_of(1, run_words=", bend: 40")))
        self.assertEqual(done.returncode, 2)
        self.assertRegex(done.stdout.decode() + done.stderr.decode(), r"car\.yaml:6:\d+: error\[missing-unit\]")


if __name__ == "__main__":
    unittest.main()
