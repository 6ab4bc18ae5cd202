# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""solve --spread: what is asked wrongly is told, what is answered is the same each time, and the answer
moves with the car. Expected values are computed here, never taken from the program."""

import csv
import io
import json
import unittest

from car import MARLOW, ONE_LAMP, CarTest, answer, answer_json, by, changed, run

LIT = ("--state", "lit")


class Spread(CarTest):
    def spread(self, *words, text=ONE_LAMP, samples=400):
        return answer_json("solve", self.car(text), *LIT, "--spread", samples, "--json", *words)

    def test_a_bad_number_is_told_with_the_range(self):
        for bad in ("0", "-5", "1e9", "1000001", "many", "", "1.5", "0x10", " 7", "18446744073709551617"):
            with self.subTest(bad):
                done = run("solve", self.car(), *LIT, *([f"--spread={bad}"] if bad else ["--spread", ""]))
                self.assertEqual(done.returncode, 2)
                self.assertEqual(done.stdout, b"")
                self.assertIn(b"from 1 to 1000000", done.stderr)
        for bad in ("-1", "one", "", "18446744073709551616"):
            with self.subTest(seed=bad):
                done = run("solve", self.car(), *LIT, "--spread", "10", *([f"--seed={bad}"] if bad else ["--seed", ""]))
                self.assertEqual(done.returncode, 2)
                self.assertIn(b"from 0 to 18446744073709551615", done.stderr)

    def test_what_goes_with_it_is_not_taken_without_it(self):
        for words in (("--seed", "1"), ("--csv",)):
            with self.subTest(words):
                done = run("solve", self.car(), *words)
                self.assertEqual(done.returncode, 2)
                self.assertIn(b"--spread", done.stderr)
        self.assertEqual(run("solve", self.car(), "--spread", "5", "--csv", "--json").returncode, 2)

    def test_nothing_is_said_beside_the_answer(self):
        done = run("solve", MARLOW, "--state", "cranking", "--spread", "3000")
        self.assertEqual((done.returncode, done.stderr), (0, b""))

    def test_the_same_seed_gives_the_same_bytes(self):
        words = ("solve", MARLOW, "--state", "idle-rain-night", "--state", "cranking", "--spread", "300")
        for form in ((), ("--json",), ("--csv",)):
            with self.subTest(form):
                first = answer(*words, *form)
                self.assertEqual(first, answer(*words, "--seed", "1", *form))
                self.assertNotEqual(first, answer(*words, "--seed", "2", *form))

    def test_the_shape_of_the_answer(self):
        got = self.spread()
        self.assertEqual(list(got), ["samples", "seed", "spreads", "states"])
        self.assertEqual((got["samples"], got["seed"]), (400, 1))
        for row in got["spreads"]:
            self.assertIn(row["provenance"], ("read", "memory", "derived"))
            self.assertTrue(row["source"])
        (state,) = got["states"]
        self.assertEqual(list(state), ["state", "converged", "answered", "no_answer", "chattering", "limits",
                                       "wires", "devices"])
        for wire in state["wires"]:
            for figure in ("amps", "drop_v", "conductor_c"):
                values = wire[figure]
                self.assertLessEqual(values["p1"], values["p50"])
                self.assertLessEqual(values["p50"], values["p99"])
        for limit in state["limits"]:
            share = limit["broken"]
            self.assertEqual(share["share"], share["count"] / share["of"])
            self.assertLessEqual(share["share_low"], share["share"])
            self.assertGreaterEqual(share["share_high"], share["share"])

    def test_the_nominal_figures_are_those_of_solve(self):
        (spread,) = self.spread()["states"]
        (plain,) = answer_json("solve", self.car(), *LIT, "--json")["states"]
        for key, figures, rows in (("wire", ("amps", "drop_v", "conductor_c"), "wires"),
                                   ("device", ("volts", "amps"), "devices")):
            solved = by(key, plain[rows])
            for row in spread[rows]:
                for figure in figures:
                    self.assertAlmostEqual(row[figure]["nominal"], solved[row[key]][figure], places=9)

    def test_a_share_follows_its_limit(self):
        """A limit at the median of the drop is broken by half the samples; one above all, by none."""
        def drop(text):
            (state,) = self.spread(text=text, samples=2000)["states"]
            (row,) = [row for row in state["limits"] if row["rule"] == "drop-limit"]
            return row
        with_limit = "circuits:\n  ground:"
        middle = drop(ONE_LAMP)["p50"]
        for volts, low, high in ((middle, 0.499, 0.501), (5 * middle, 0, 0), (0.1 * middle, 1, 1)):
            text = changed(ONE_LAMP, (with_limit, f"policy:\n  drop: {{lighting: {volts:.9f} V}}\n{with_limit}"))
            row = drop(text)
            self.assertGreaterEqual(row["broken"]["share"], low)
            self.assertLessEqual(row["broken"]["share"], high)

    def test_a_battery_s_voltage_spreads_as_far_as_its_table_says(self):
        """Battery of 12.6 V, evenly within 0.1 V: the lamp in an open circuit cannot show it, so the fuse
        holder's side of the switch does: all of it before the open switch stands at the battery's voltage."""
        (state,) = answer_json("solve", self.car(), "--state", "dark", "--spread", "4000", "--json")["states"]
        battery = by("device", state["devices"])["G1"]["volts"]
        self.assertAlmostEqual(battery["nominal"], 12.6, places=6)
        self.assertAlmostEqual(battery["p1"], 12.5 + 0.01 * 0.2, delta=0.003)
        self.assertAlmostEqual(battery["p50"], 12.6, delta=0.006)
        self.assertAlmostEqual(battery["p99"], 12.7 - 0.01 * 0.2, delta=0.003)

    def test_the_table_for_a_spreadsheet_holds_what_json_holds(self):
        (state,) = self.spread()["states"]
        rows = list(csv.DictReader(io.StringIO(
            answer("solve", self.car(), *LIT, "--spread", "400", "--csv").decode())))
        amps = {row["of"]: row for row in rows if row["figure"] == "amps"}
        for wire in state["wires"]:
            self.assertEqual(float(amps[wire["wire"]]["50 %"]), float(f"{wire['amps']['p50']}"))
        self.assertEqual(sum(row["figure"] == "drop-limit" for row in rows), 1)

    def test_one_sample_is_all_there_is(self):
        (state,) = self.spread(samples=1)["states"]
        for wire in state["wires"]:
            self.assertEqual(wire["amps"]["p1"], wire["amps"]["p99"])

    def test_more_than_memory_holds_is_refused(self):
        done = run("solve", MARLOW, "--state", "cranking", "--spread", "1000000", "--json")
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"give at most", done.stderr)

    def test_a_state_without_an_answer_is_counted_as_such(self):
        """A relay on its own break contact never comes to rest, whatever is drawn."""
        text = """\
loomwright: 1
title: Buzzer
devices:
  G1: {is: battery, capacity: 45 Ah, voltage: 12.6 V, resistance: 10 mohm}
  GND1: {is: ground, body: chassis}
  GND2: {is: ground, body: chassis}
  K1: {is: relay, contact: 30 A, break-contact: yes, coil: 85 ohm}
circuits:
  all:
    number: 1
    size: 2.5 mm2
    paths: [G1.- > GND1, G1.+ > K1.30, K1.87a > K1.86, K1.85 > GND2]
"""
        done = run("solve", self.car(text), "--spread", "50", "--json")
        if done.returncode == 2:
            self.fail(done.stderr.decode())
        self.assertEqual(done.returncode, 1)
        (state,) = json.loads(done.stdout)["states"]
        self.assertEqual((state["converged"], state["answered"], state["chattering"]["count"]), (False, 0, 50))
        self.assertNotIn(b"NaN", done.stdout)


if __name__ == "__main__":
    unittest.main()
