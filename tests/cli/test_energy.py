# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The verb energy, the picture of a drive, and decks of every state in a folder. Numbers are held against
sums done here, in Python, from what the file says."""

import csv
import io
import unittest

import yaml

from car import MARLOW, ONE_LAMP, CarTest, answer, answer_json, run

CRANK = ["state", "condition", "battery_c", "converged", "starts", "starters", "controllers"]
DRIVE = """\
  drained: {set: {S1: "on"}, lasts: 2 h}
drives:
  evening:
    charge: 90 %
    times: 2
    legs: [{state: lit, lasts: 30 min}, {state: dark, lasts: 1 h}]
  short: {legs: [{state: drained}]}
"""


class Energy(CarTest):
    def test_keys_of_the_answer(self):
        got = answer_json("energy", MARLOW, "--json")
        self.assertEqual(list(got), ["cranking", "balance", "parked", "drives"])
        self.assertEqual(list(got["cranking"][0]), CRANK)
        cranking = [name for name, state in yaml.safe_load(MARLOW.read_text())["states"].items()
                    if state.get("engine") == "cranking"]
        self.assertEqual([(row["state"], row["condition"]) for row in got["cranking"]],
                         [(name, how) for name in cranking for how in ("as written", "warm", "cold")])
        self.assertEqual([row["battery_c"] for row in got["cranking"]][1:3], [25, -18])

    def test_the_charge_follows_the_current(self):
        """Amp-seconds summed by the trapezium rule over what the drive's points say they give."""
        got = answer_json("energy", self.car(ONE_LAMP + DRIVE), "--drive", "evening", "--json")
        (drive,) = got["drives"]
        points = drive["points"]
        self.assertEqual(points[0]["charge"], [0.9])
        self.assertAlmostEqual(points[-1]["time_s"], 2 * 5400)
        given = sum((b["time_s"] - a["time_s"]) * (a["amps"][0] + b["amps"][0]) / 2
                    for a, b in zip(points, points[1:]))
        resting = sum(b["time_s"] - a["time_s"] for a, b in zip(points, points[1:])) * 0.001 / 86400
        lost = given / (45 * 3600) + resting
        self.assertAlmostEqual(points[-1]["charge"][0], 0.9 - lost, places=4)
        self.assertGreater(given, 3000)

    def test_the_table_for_a_spreadsheet_holds_every_point(self):
        path = self.car(ONE_LAMP + DRIVE)
        rows = list(csv.reader(io.StringIO(answer("energy", path, "--drive", "short", "--csv").decode())))
        points = answer_json("energy", path, "--drive", "short", "--json")["drives"][0]["points"]
        self.assertEqual(len(rows) - 1, len(points))
        self.assertAlmostEqual(float(rows[-1][0]), 7200)

    def test_which_drive(self):
        path = self.car(ONE_LAMP + DRIVE)
        for words in (["energy", path, "--csv"], ["draw", path, "--view", "drive"]):
            done = run(*words)
            self.assertEqual(done.returncode, 2)
            self.assertIn(b"evening, short", done.stderr)
        done = run("energy", path, "--drive", "evenin")
        self.assertIn(b"did you mean `evening`?", done.stderr)
        done = run("energy", self.car(ONE_LAMP), "--csv")
        self.assertIn(b"the file has no drive", done.stderr)

    def test_the_picture_of_a_drive(self):
        picture = answer("draw", MARLOW, "--view", "drive", "--format", "svg").decode()
        for word in ("winter-errands", "charge", "G1"):
            self.assertIn(word, picture)

    def test_a_deck_of_each_state(self):
        folder = self.folder / "decks"
        said = answer("export", self.car(ONE_LAMP), "--to", "spice", "-o", f"{folder}/").decode()
        self.assertEqual(sorted(path.name for path in folder.iterdir()), ["01-dark.cir", "02-lit.cir"])
        self.assertEqual(len(said.split()), 2)
        alone = answer("export", self.car(ONE_LAMP), "--to", "spice", "--state", "lit")
        self.assertEqual((folder / "02-lit.cir").read_bytes(), alone)


if __name__ == "__main__":
    unittest.main()
