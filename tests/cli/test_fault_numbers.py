# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The verb faults: fault currents against Ohm's law, the fuse against its last gate, the conductor against the
heat that copper takes up (IEC 60949), all worked out here; the three forms of the answer against each other."""

import csv
import io
import unittest

from car import MARLOW, ONE_LAMP, CarTest, answer, answer_json, by, changed, run

# IEC 60228:2004, class 5, plain copper at 20 C (cable makers' reprints).
OHM_PER_M = {"1.5": 13.3e-3, "16": 1.21e-3}
ALPHA = 0.00393  # IEC 60028, copper, per kelvin at 20 C
COPPER_MM2 = 0.017241 / 12.7e-3  # of 1.5 mm2: IEC 60028 over the most that ISO 6722-1 allows (recalled, not seen)
HEAT_J_PER_K_MM3 = 3.45e-3  # IEC 60949, copper
AIR_C = 23.0  # the gates of fuses are stated there
CAR = changed(ONE_LAMP, ("air: 25 C", "air: 23 C"), ("rating: 10 A", "rating: 10 A, resistance: 5 mohm"))


def wire_ohm(size, length, celsius=AIR_C):
    return OHM_PER_M[size] * length * (1.0 + ALPHA * (celsius - 20.0))


class Faults(CarTest):
    def faults(self, *words, text=CAR):
        return answer_json("faults", self.car(text), "--json", *words)

    def test_a_short_against_ohm_gates_and_the_heat_of_copper(self):
        got = self.faults("--state", "dark", "--wire", "2.2")
        ends = by("end", got["shorts"])
        # battery, bond of its ground, fuse, 1.1, 2.1, and 2.2 where the short is at its far end
        common = 0.010 + 0.001 + 0.005 + wire_ohm("16", 0.4) + wire_ohm("1.5", 0.15) + got["short_ohm"]
        for end, more in (("from", 0.0), ("to", wire_ohm("1.5", 1.2))):
            with self.subTest(end):
                amps = 12.6 / (common + more)
                short = ends[end]
                self.assertAlmostEqual(short["fault_a"] / amps, 1.0, delta=1e-4)
                # The last gate of a blade: 600 % for 0.03 to 0.1 s; beyond it I^2 t stays.
                (opening,) = short["opens"]
                self.assertEqual(opening["device"], "F1")
                self.assertAlmostEqual(opening["after_s"] / (0.1 * (60.0 / amps) ** 2), 1.0, delta=1e-3)
                self.assertAlmostEqual(opening["earliest_s"] / (0.03 * (60.0 / amps) ** 2), 1.0, delta=1e-3)
                self.assertEqual((short["outcome"], short["cleared"]), ("cleared", True))
                self.assertLess(short["last_a"], 1e-9)
                # No heat leaves in milliseconds: c S dT = I^2 r dt.
                joules_per_m = amps**2 * opening["after_s"] * wire_ohm("1.5", 1.0)
                rise = joules_per_m / (HEAT_J_PER_K_MM3 * 1e3 * COPPER_MM2)
                self.assertAlmostEqual((short["hottest"]["peak_c"] - AIR_C) / rise, 1.0, delta=0.01)

    def test_what_nothing_opens_burns(self):
        got = self.faults("--state", "dark", "--wire", "2.1")
        for short in got["shorts"]:
            self.assertEqual((short["opens"], short["outcome"], short["cleared"]), ([], "fire", False))
            self.assertIsNone(short["over_after_s"])
            self.assertIn("1.1" if short["end"] == "from" else "2.1", [hot["wire"] for hot in short["overheated"]])

    def test_what_goes_dead(self):
        got = self.faults("--state", "lit")
        dead = {(short["wire"], short["end"]): short["dead"] for short in got["shorts"]}
        for place in (("2.2", "from"), ("2.3", "to")):
            self.assertEqual(dead[place], ["E1"])
        self.assertEqual(dead["2.4", "to"], [])
        opened = {case["opened"]: case for case in got["opens"]}
        for part in ("1.1", "2.1", "2.2", "2.3", "2.4", "F1", "S1.1-2", "GND2"):
            self.assertEqual(opened[part]["dead"], ["E1"], part)
            self.assertEqual(opened[part]["unexpected"], [], part)

    def test_a_lost_ground_sends_current_backwards(self):
        # Two lamps in series between two plus leads once their common ground is gone: the side lamp, off before,
        # gets current through the brake lamp, backwards. Both ends join at the cluster's 31.
        text = changed(
            CAR,
            ("  E1: {is: lamp, at: rear, draws: 55 W at 13.5 V}\n",
             "  E1: {is: unit, at: rear, terminals: [58, 54, 31], inside: {\n"
             "        side: {is: lamp, from: 58, to: 31, draws: 5 W at 13.5 V},\n"
             "        brake: {is: lamp, from: 54, to: 31, draws: 21 W at 13.5 V}}}\n"
             "  E2: {is: lamp, at: rear, draws: 5 W at 13.5 V}\n"),
            ("paths: [G1 > F1 > S1 > E1 > GND2]",
             "paths: [G1 > F1 > S1 > E1.54, E1.31 > GND2, E1.58 > E2 > GND2]"),
            ("off: [E1]", "off: [E1/brake]"), ("on: [E1]", "on: [E1/brake]"))
        got = self.faults("--state", "lit", text=text)
        lost = by("opened", got["opens"])["2.4"]
        self.assertEqual(lost["dead"], ["E1/brake"])
        woken = by("device", lost["sneaks"])
        self.assertEqual(sorted(woken), sorted(lost["unexpected"]))
        self.assertTrue(woken["E1/side"]["reversed"])
        self.assertLess(woken["E1/side"]["amps"], 0.0)
        self.assertGreater(woken["E2"]["amps"], 0.0)
        way = woken["E1/side"]["way"]
        self.assertLess(way.index("F1"), way.index("E1/brake"))
        self.assertLess(way.index("E1/brake"), way.index("E1/side"))

    def test_the_forms_agree(self):
        path = self.car(CAR)
        got = answer_json("faults", path, "--json")
        rows = list(csv.DictReader(io.StringIO(answer("faults", path, "--csv").decode())))
        self.assertEqual(len(rows), len(got["shorts"]) + len(got["opens"]))
        self.assertEqual(got["counts"]["cases"], len(got["shorts"]) + len(got["opens"]))
        for row, short in zip(rows, got["shorts"]):
            self.assertEqual((row["fault"], row["of"], row["end"], row["state"], row["ends in"]),
                             ("short", short["wire"], short["end"], short["state"], short["outcome"]))
            self.assertAlmostEqual(float(row["amps (A)"]), short["fault_a"], delta=6e-4)
        text = answer("faults", path).decode()
        self.assertLess(text.index("Dangers"), text.index("Shorts to metal"))
        self.assertLess(text.index("Shorts to metal"), text.index("\nOpens"))

    def test_the_same_bytes_again(self):
        for form in ((), ("--json",), ("--csv",)):
            words = ("faults", MARLOW, "--state", "cruise-night", *form)
            self.assertEqual(answer(*words), answer(*words))

    def test_what_is_asked_wrongly_is_told(self):
        path = self.car(CAR)
        for words, said in ((("--wire", "2.22"), b"did you mean `2.2`"), (("--state", "lift"), b"did you mean `lit`"),
                            (("--json", "--csv"), b"not both")):
            with self.subTest(words):
                done = run("faults", path, *words)
                self.assertEqual((done.returncode, done.stdout), (2, b""))
                self.assertIn(said, done.stderr)
        self.assertEqual(run("faults", path, "--wire", "2.3").returncode, 0)


if __name__ == "__main__":
    unittest.main()
