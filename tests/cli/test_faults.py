# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""faults: what is asked wrongly is told, the answer has its shape, and it is what Ohm's law makes of the
resistances that `solve` shows. Expected values are computed here, never taken from the sweep."""

import csv
import io
import os
import subprocess
import unittest

from car import AS_FOUND, COMMAND, ONE_LAMP, CarTest, answer, answer_json, by, changed, run

SHORT_OHM = 0.005  # loomwright tables defaults: short-contact
OUTCOMES = {"harmless", "carried", "cleared", "cycles", "too-late", "overheats", "fire"}


def lit_resistances(path):
    """Ohms of the wires and of the fuse as they are in the lit state: drop over current."""
    (state,) = answer_json("solve", path, "--state", "lit", "--json")["states"]
    ohms = {row["wire"]: row["drop_v"] / row["amps"] for row in state["wires"]}
    for row in state["devices"]:
        if row["device"] in ("F1", "S1"):
            ohms[row["device"]] = row["volts"] / row["amps"]
    return ohms


class Faults(CarTest):
    def faults(self, *words, text=ONE_LAMP):
        return answer_json("faults", self.car(text), "--json", *words)

    def short(self, got, wire, end, state="lit"):
        (row,) = [row for row in got["shorts"] if (row["wire"], row["end"], row["state"]) == (wire, end, state)]
        return row

    def test_a_wire_or_state_that_is_none_is_told(self):
        done = run("faults", self.car(), "--wire", "2.33")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertIn(b"no wire `2.33`; did you mean `2.3`?", done.stderr)
        self.assertEqual(run("faults", self.car(), "--state", "litt").returncode, 2)
        self.assertEqual(run("faults", self.car(), "--json", "--csv").returncode, 2)

    def test_the_shape_of_the_answer(self):
        got = self.faults()
        self.assertEqual(list(got), ["metal", "short_ohm", "states", "dangers", "sneaks", "shorts", "opens", "counts"])
        self.assertEqual((got["metal"], got["short_ohm"]), ("chassis", SHORT_OHM))
        self.assertEqual([row["state"] for row in got["states"]], ["dark", "lit"])
        self.assertEqual(len(got["shorts"]), 2 * 2 * 5)
        for row in got["shorts"]:
            for key in ("wire", "end", "state", "fault_a", "opens", "hottest", "cleared", "dead", "unexpected"):
                self.assertIn(key, row)
            self.assertIn(row["outcome"], OUTCOMES)
        for row in got["opens"]:
            self.assertEqual(list(row)[:3], ["opened", "state", "solved"])

    def test_the_current_of_a_short_is_ohm_s_law_along_its_way(self):
        path = self.car()
        ohms = lit_resistances(path)
        way = 0.010 + ohms["1.1"] + 0.001 + ohms["2.1"] + ohms["F1"] + ohms["2.2"] + ohms["S1"] + ohms["2.3"]
        row = self.short(answer_json("faults", path, "--json"), "2.3", "to")
        # The lamp beside the short, cold, is twelve times as good as hot: 3.6 S beside 200 S.
        self.assertAlmostEqual(row["fault_a"] / (12.6 / (way + SHORT_OHM)), 1.0, delta=0.02)
        (opening,) = row["opens"]
        self.assertEqual(opening["device"], "F1")
        # Blade fuse of 10 A, beyond its last gate: 0.1 s at 600 %, from there constant I^2 t.
        self.assertAlmostEqual(opening["after_s"], 0.1 * (60.0 / opening["amps"]) ** 2, places=9)
        self.assertEqual((row["outcome"], row["cleared"], row["dead"]), ("cleared", True, ["E1"]))
        self.assertLess(row["last_a"], 1e-9)

    def test_a_longer_way_lets_less_through_and_takes_longer(self):
        near = self.short(self.faults(), "2.3", "to")
        far = self.short(self.faults(text=changed(ONE_LAMP, ("2.3: {size: 1.5 mm2, length: 4 m}",
                                                             "2.3: {size: 1.5 mm2, length: 12 m}"))), "2.3", "to")
        self.assertLess(far["fault_a"], near["fault_a"])
        self.assertGreater(far["opens"][0]["after_s"], near["opens"][0]["after_s"])

    def test_what_is_switched_off_carries_nothing(self):
        row = self.short(self.faults(), "2.3", "to", "dark")
        self.assertEqual((row["fault_a"], row["outcome"], row["opens"]), (0, "harmless", []))

    def test_everything_on_the_way_puts_the_lamp_out_when_it_opens(self):
        rows = by("opened", self.faults("--state", "lit")["opens"])
        for name in ("1.1", "2.1", "2.2", "2.3", "2.4", "F1", "S1.1-2", "GND1", "GND2"):
            with self.subTest(name):
                self.assertEqual(rows[name]["dead"], ["E1"])
        self.assertTrue(all(row["dead"] == [] for row in self.faults("--state", "dark")["opens"]))

    def test_a_short_before_the_fuse_is_a_fire_that_no_fuse_can_help(self):
        got = self.faults()
        row = self.short(got, "2.1", "to")
        self.assertEqual((row["outcome"], row["cleared"], row["opens"]), ("fire", False, []))
        self.assertEqual(row["hottest"], {"wire": "2.1", "peak_c": 1000})
        self.assertTrue(all(danger["before_protection"] for danger in got["dangers"]))
        self.assertEqual(run("faults", self.car()).returncode, 0)

    def test_a_wire_too_thin_for_its_fuse_makes_the_exit_status_1(self):
        text = changed(ONE_LAMP, ("rating: 10 A", "rating: 30 A"),
                       ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {size: 0.35 mm2, length: 8 m}"))
        done = run("faults", self.car(text))
        self.assertEqual(done.returncode, 1)
        said = done.stdout.decode()
        self.assertRegex(said, r"(?m)^(too-late|fire|overheats) +E1\.\+ ")
        self.assertLess(said.index("Dangers"), said.index("Shorts to metal"))
        self.assertLess(said.index("Shorts to metal"), said.index("\nOpens"))

    def test_one_wire_and_one_state(self):
        got = self.faults("--wire", "2.3", "--state", "lit")
        self.assertEqual([(row["wire"], row["end"]) for row in got["shorts"]], [("2.3", "from"), ("2.3", "to")])
        self.assertEqual([row["opened"] for row in got["opens"]], ["2.3"])

    def test_the_table_for_a_spreadsheet_holds_what_json_holds(self):
        path = self.car()
        got = answer_json("faults", path, "--json")
        rows = list(csv.DictReader(io.StringIO(answer("faults", path, "--csv").decode(), newline="")))
        self.assertEqual(len(rows), len(got["shorts"]) + len(got["opens"]))
        for row, short in zip(rows, got["shorts"]):
            self.assertEqual((row["fault"], row["of"], row["end"], row["state"]),
                             ("short", short["wire"], short["end"], short["state"]))
            self.assertEqual(float(row["amps (A)"]), short["fault_a"])
            self.assertEqual(row["ends in"], short["outcome"])

    def test_the_same_bytes_and_nothing_beside_them(self):
        for form in ((), ("--json",), ("--csv",)):
            with self.subTest(form):
                done = run("faults", AS_FOUND, "--state", "idle-day", *form)
                self.assertEqual(done.stderr, b"")
                self.assertEqual(done.stdout, run("faults", AS_FOUND, "--state", "idle-day", *form).stdout)

    def test_the_same_bytes_from_one_processor_and_from_all(self):
        # Threads take the cases as they come: none may leave anything to the next.
        alone = {min(os.sched_getaffinity(0))}
        for form in ("--json", "--csv"):
            one = subprocess.run([str(COMMAND), "faults", str(AS_FOUND), form], capture_output=True, check=False,
                                 timeout=120, preexec_fn=lambda: os.sched_setaffinity(0, alone))
            self.assertEqual(one.stderr, b"")
            self.assertEqual(one.stdout, run("faults", AS_FOUND, form).stdout)

    def test_the_unfused_lighter_of_the_marlow_as_found_is_a_fire(self):
        # planted: fuse-missing 28.4
        got = answer_json("faults", AS_FOUND, "--wire", "28.4", "--json")
        ends = [row["outcome"] for row in got["shorts"] if row["end"] == "to"]
        self.assertEqual(set(ends), {"fire"})


if __name__ == "__main__":
    unittest.main()
