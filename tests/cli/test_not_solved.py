# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""A state without an operating point, on every paper: each says that there is none and why, and has no figure of
that state. 120 W of constant power from 12.6 V behind R have a point up to R = 12.6^2 / (4 x 120) = 0.331 ohm.
With 5.12 m of wire 1.2 the wires have 12.62 m x 19.5 mohm/m = 0.246 ohm at 20 C, and 0.32 ohm when they are at
97 C: near the edge each kelvin takes more current than the last, and no temperature is one of rest
(docs/rules/not-solved.md). With 3 m there is a point; that car is asked beside it, so that a paper that says
nothing at all is found out."""

import csv
import io
import json
import math
import re
import unittest

import yaml

from car import SOURCE, CarTest, answer, answer_json, by, run
from test_report import Page

RULE = SOURCE / "tests" / "rules" / "not-solved"
NONE, SOUND = RULE / "provokes.yaml", RULE / "allows.yaml"
WHY = "the temperature of wire 1.1 does not come to rest"


def numbers(value):
    """Every number of an answer in JSON, at any depth."""
    if isinstance(value, dict):
        return [one for part in value.values() for one in numbers(part)]
    if isinstance(value, list):
        return [one for part in value for one in numbers(part)]
    return [value] if isinstance(value, (int, float)) and not isinstance(value, bool) else []


def wilson(count, of):
    """The range of a share in 95 of 100 cases (Wilson)."""
    z, share = 1.959964, count / of
    middle, half = share + z * z / (2 * of), z * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    return (middle - half) / (1 + z * z / of), (middle + half) / (1 + z * z / of)


class NotSolved(CarTest):
    def test_the_sound_car_has_its_point_by_hand(self):
        (state,) = answer_json("solve", SOUND, "--json")["states"]
        load = by("device", state["devices"])["P1"]
        self.assertAlmostEqual(load["volts"] * load["amps"], 120, places=6)
        self.assertGreater(load["volts"], 12.6 / 2)  # of the two points the one that stands
        behind = (12.6 - load["volts"]) / load["amps"]
        self.assertAlmostEqual(load["volts"], (12.6 + math.sqrt(12.6 ** 2 - 4 * 120 * behind)) / 2, places=6)

    def test_solve(self):
        done = run("solve", NONE)
        self.assertEqual((done.returncode, done.stdout.decode()), (1, f"State lit\n  no answer: {WHY}\n"))
        self.assertIn(f"state `lit` has no answer: {WHY}", done.stderr.decode())
        (state,) = answer_json("solve", NONE, "--json", statuses=(1,))["states"]
        self.assertIs(state["converged"], False)
        self.assertEqual(numbers(state), [])
        self.assertEqual({len(state[key]) for key in ("nodes", "wires", "devices")}, {9, 4})
        (sound,) = answer_json("solve", SOUND, "--json", statuses=(0,))["states"]
        self.assertGreater(len(numbers(sound)), 20)

    def test_energy(self):
        row = r"(?m)^lit +(.*?) {2,}(\S+) +(\S+) +(\S+) +(.+?) *$"
        done = run("energy", NONE)
        self.assertEqual(re.findall(row, done.stdout.decode()), [(WHY, "-", "-", "-", "-")])
        self.assertEqual((done.returncode, done.stderr.decode()),
                         (1, f"loomwright: state `lit` has no answer: {WHY}\n"))
        done = run("energy", SOUND)
        self.assertEqual(re.search(row, done.stdout.decode()).group(1), "G1")
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        (balance,) = answer_json("energy", NONE, "--json", statuses=(1,))["balance"]
        self.assertEqual((balance["failure"], balance["flat_in_s"], balance["sources"]), (WHY, None, []))

    def test_energy_of_a_cranking_state(self):
        # 37.5 m of it are 0.73 ohm at 20 C and 0.62 ohm at -18 C: no point, and nothing starts. The load lets go,
        # and is on again as soon as it has.
        car = yaml.safe_load(NONE.read_text(encoding="utf-8"))
        car["circuits"]["one"]["wires"] = {"1.2": {"length": "30 m"}}
        car["states"] = {"crank": {"engine": "cranking"}}
        path = self.car(json.dumps(car))
        why = "never comes to rest: P1 goes on and off"
        done = run("energy", path)
        self.assertEqual((done.returncode, done.stderr.decode()),
                         (1, f"loomwright: state `crank` has no answer: {why}\n"))
        text = done.stdout.decode()
        rows = re.findall(r"(?m)^crank +(as written|warm|cold) +(-?\d+) +(.*?)((?: +(?:-|no|yes|[0-9.]+)){6}) *$", text)
        self.assertEqual([(how, degrees, what, cells.split()) for how, degrees, what, cells in rows],
                         [(how, degrees, why, ["-", "-", "no", "-", "-", "-"])
                          for how, degrees in (("as written", "20"), ("warm", "25"), ("cold", "-18"))])
        for row in answer_json("energy", path, "--json")["cranking"]:
            self.assertEqual((row["converged"], row["starts"], row["starters"], row["controllers"]),
                             (False, False, [], []))

    def test_energy_of_a_drive(self):
        # 60 Ah at 12 V are 0.7 kWh: 120 W empty the battery in six hours, and that is an answer.
        for car, lasts, status, failure, told in (
                (NONE, "10 min", 1, "lit: ", "loomwright: drive `out` has no answer to its end: lit: "),
                (SOUND, "10 min", 0, "None", ""), (SOUND, "40 h", 0, "G1 is flat", "")):
            with self.subTest(car.stem, lasts=lasts):
                path = self.car(car.read_text(encoding="utf-8") +
                                f"drives: {{out: {{legs: [{{state: lit, lasts: {lasts}}}]}}}}\n")
                done = run("energy", path, "--drive", "out", "--json")
                self.assertEqual(done.returncode, status, done.stderr.decode())
                self.assertTrue(str(json.loads(done.stdout)["drives"][0]["failure"]).startswith(failure))
                self.assertTrue(done.stderr.decode().startswith(told))
                self.assertEqual(done.stderr == b"", told == "")
                self.assertEqual(run("energy", path, "--drive", "out", "--csv").returncode, status)

    def test_faults(self):
        done = run("faults", NONE)
        self.assertEqual(done.returncode, 1)
        self.assertIn(f"\nState lit has no answer: {WHY}\n", done.stdout.decode())
        self.assertIn("ends of wires shorted to chassis through 5 mohm: 0;", done.stdout.decode())
        got = answer_json("faults", NONE, "--json", statuses=(1,))
        self.assertEqual(got["states"], [{"state": "lit", "converged": False}])
        self.assertEqual([got[key] for key in ("dangers", "sneaks", "shorts", "opens")], [[], [], [], []])
        self.assertEqual(set(numbers(got["counts"])), {0})
        self.assertEqual(len(answer("faults", NONE, "--csv", statuses=(1,)).splitlines()), 1)
        sound = answer_json("faults", SOUND, "--json")
        self.assertEqual(sound["states"], [{"state": "lit", "converged": True}])
        self.assertEqual(len(sound["shorts"]), 2 * 4)  # both ends of each wire

    def test_spread(self):
        text = answer("solve", NONE, "--spread", "40", statuses=(1,)).decode()
        self.assertIn(f"\nThe nominal car has no answer: {WHY}\n", text)
        (state,) = answer_json("solve", NONE, "--spread", "40", "--json", statuses=(1,))["states"]
        self.assertIs(state["converged"], False)
        nominal = [row["nominal"] for row in state["limits"]] + [
            figure["nominal"] for rows in (state["wires"], state["devices"]) for row in rows
            for figure in row.values() if isinstance(figure, dict)]
        self.assertGreater(len(nominal), 10)
        self.assertEqual(set(nominal), {None})
        rows = csv.DictReader(io.StringIO(answer("solve", NONE, "--spread", "40", "--csv", statuses=(1,)).decode()))
        self.assertEqual({row["nominal"] for row in rows}, {""})
        # What the samples have is shown: whichever has an answer loses 10 A x 0.2 ohm and more in the wires, where
        # 0.6 V are allowed, and the load keeps more than half of 12.6 V.
        drop = next(row for row in state["limits"] if (row["rule"], row["subject"]) == ("drop-limit", "P1"))
        self.assertGreater(drop["p1"], 0.6)
        self.assertEqual((drop["broken"]["count"], drop["broken"]["of"]), (state["answered"], state["answered"]))
        self.assertRegex(text, r"\nLoads and the ways to them are those of sample \d+, the first with an answer\n")
        self.assertRegex(text, r"(?m)^drop-limit +P1 +at most +0\.6 +V +- +\d.* 100\.00 ")
        volts = re.search(r"(?m)^P1 +- +([\d.]+) +([\d.]+) +([\d.]+) *$", text).groups()
        self.assertGreater(float(volts[1]), 12.6 / 2)
        # Each sample has an answer or is counted as one that has none.
        left_out = (("No operating point", state["no_answer"]), ("Never at rest (chatter)", state["chattering"]))
        self.assertEqual(state["answered"], 40 - sum(share["count"] for _, share in left_out))
        self.assertLess(state["answered"], 40)
        for words, share in left_out:
            if share["count"] == 0:
                self.assertNotIn(words, text)
                continue
            low, high = wilson(share["count"], 40)
            self.assertIn(f"\n{words} in {100 * share['count'] / 40:.2f} % of the samples (95 %: {100 * low:.2f} to "
                          f"{100 * high:.2f} %), which are left out below\n", text)

    def test_spread_of_a_car_that_never_has_an_answer(self):
        # 0.73 ohm at 20 C, where 0.331 ohm are the most; a fifth less power (0.41 ohm) does not help.
        path = self.car(NONE.read_text(encoding="utf-8").replace("5.12 m", "30 m"))
        text = answer("solve", path, "--spread", "40", statuses=(1,)).decode()
        self.assertIn("The nominal car has no answer: never comes to rest: P1 goes on and off\n", text)
        # Wilson: 40 of 40 are at least 40 / (40 + 1.96^2) = 91.24 %.
        self.assertIn("Never at rest (chatter) in 100.00 % of the samples (95 %: 91.24 to 100.00 %)", text)
        self.assertNotIn("Never broken", text)
        self.assertNotIn("the first with an answer", text)

    def test_no_limit_is_said_to_hold_that_nobody_could_try(self):
        text = b"".join(answer("explain", NONE, thing) for thing in ("1.2", "F1", "P1", "GND1", "G1")).decode()
        self.assertNotIn("100 % to spare", text)
        self.assertNotIn("as built", text)
        self.assertNotRegex(text, r"in every state\n")
        self.assertGreaterEqual(text.count("not known: no state has an operating point"), 8)
        sized = answer_json("size", NONE, "--json", statuses=(0, 1))
        self.assertEqual({wire[key] for wire in sized["wires"] for key in ("amps", "drop_v")}, {None})
        self.assertEqual([fuse["load_a"] for fuse in sized["fuses"]], [None])
        # One state more, in which P1 is off: it has its point, and what is said is said of it alone.
        car = self.car(NONE.read_text().replace("lit: {}", "lit: {}\n  dark: {set: {P1: off}}"))
        text = answer("explain", car, "P1").decode()
        self.assertIn("current taken in every state but lit, which has no operating point\n    gives  none\n", text)
        self.assertEqual({wire["amps"] for wire in answer_json("size", car, "--json", statuses=(0, 1))["wires"]}, {0.0})

    def test_report(self):
        done = run("report", NONE, "-o", "-")
        self.assertEqual(done.returncode, 0)
        text = done.stdout.decode()
        page = Page(text)
        for name, table in page.tables.items():
            for row in table[2:]:
                with self.subTest(name):
                    # As many cells as the head has, or the one that says that there is nothing.
                    self.assertIn(len(row), (len(table[1]), 1))
        (row,) = page.rows("state-sources")
        self.assertEqual([cell["text"] for cell in row.values()], ["lit", "stopped", WHY, *"-----", "fault"])
        self.assertEqual(row["verdict"]["small"], "not-solved")
        self.assertEqual([cell["bars"] for cell in row.values() if cell["bars"]], [])
        (row,) = page.rows("state-proofs")
        self.assertEqual([cell["text"] for cell in row.values()], ["lit", *"----"])
        self.assertEqual(row["state"]["small"], WHY)
        for name in ("voltage-drops", "shorts"):
            self.assertEqual([cell["text"] for cell in page.tables[name][2]], ["Nothing of this kind is in the car."])
        self.assertRegex(text, r"NOT READY: \d+ dangers? and 1 fault stand open")
        sound = Page(answer("report", SOUND, "-o", "-").decode())
        self.assertEqual([row["source"]["text"] for row in sound.rows("state-sources")], ["G1"])
        self.assertGreater(len(sound.rows("shorts")), 1)

    def test_what_is_measured_has_nothing_to_be_compared_with(self):
        done = run("measure", NONE, "-", stdin=b"place,state,volts\nP1.+,lit,6.0\n")
        self.assertEqual(done.returncode, 0)
        text = done.stdout.decode()
        self.assertRegex(text, r"(?m)^ +2 +P1\.\+ +G1\.- +lit +6\.000 +- +- +- +no prediction$")
        self.assertIn(f"\nlit has no operating point: {WHY}; its readings are left out\n", text)

    def test_papers_and_decks(self):
        answer("pack", NONE, "-o", self.folder / "papers", statuses=(0,))
        rows = list(csv.DictReader(io.StringIO((self.folder / "papers/first-power.csv").read_text(encoding="utf-8"))))
        self.assertEqual(len(rows), 7)
        self.assertEqual({row["lit (V)"] for row in rows}, {""})
        done = run("export", NONE, "--to", "spice", "--state", "lit")
        self.assertEqual((done.returncode, done.stdout), (1, b""))
        self.assertIn(f"state `lit` has no answer to export: {WHY}", done.stderr.decode())


if __name__ == "__main__":
    unittest.main()
