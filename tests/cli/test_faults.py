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

    def test_check_with_faults_finds_what_is_not_cleared(self):
        plain = answer("check", self.car()).decode()
        swept = answer("check", self.car(), "--faults").decode()
        self.assertEqual(plain, swept)  # a sound car: nothing more is found
        thin = self.car(changed(ONE_LAMP, ("rating: 10 A", "rating: 30 A"),
                                ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {size: 0.35 mm2, length: 8 m}")))
        self.assertNotIn("short-not-cleared", answer("check", thin).decode())
        got = answer_json("check", thin, "--faults", "--json")
        (found,) = [row for row in got["findings"] if row["rule"] == "short-not-cleared"]
        self.assertEqual((found["subject"], found["severity"]), ("2.3", "danger"))

    def test_a_lost_ground_lights_a_lamp_through_two_others(self):
        # E1 is lit. GND2, the ground of E1 and E2, is lost: E1's current goes on backwards through E2, which
        # shares its feed with E3, and home through GND3. Three equal lamps in a row: a third of 12.6 V each.
        text = (
            "loomwright: 1\ndevices:\n  G1: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: 5 mohm}\n"
            "  F1: {is: fuse, rating: 10 A}\n  F2: {is: fuse, rating: 10 A}\n"
            "  S1: {is: switch, positions: {off: [], on: [1-2]}}\n  S2: {is: switch, positions: {off: [], on: [1-2]}}\n"
            + "".join(f"  E{k}: {{is: lamp, draws: 21 W at 13.5 V}}\n" for k in (1, 2, 3)) +
            "  GND1: {is: ground, body: chassis}\n  GND2: {is: ground, body: chassis}\n"
            "  GND3: {is: ground, body: chassis}\n"
            "  SP1: {is: splice}\n  SP2: {is: splice}\n"
            "circuits:\n  all:\n    number: 1\n    size: 2.5 mm2\n    paths:\n"
            "      - G1 > F1 > S1 > E1 > SP1\n      - G1 > F2 > S2 > SP2 > E2 > SP1\n      - SP2 > E3 > GND3\n"
            "      - SP1 > GND2\n      - G1.- > GND1\n"
            "states:\n  lit: {set: {S1: on, S2: off}}\n")
        path = self.car(text)
        (found,) = [row for row in answer_json("check", path, "--faults", "--json")["findings"]
                    if row["rule"] == "sneak-path" and "GND2" in row["message"]]
        figures = {row["label"]: row["value"] for row in found["figures"]}
        for lamp in ("E2", "E3"):
            self.assertIn(lamp, found["message"])
        (volts,) = [value for label, value in figures.items() if label.startswith("across E")]
        self.assertAlmostEqual(volts, 12.6 / 3.0, delta=0.03 * 4.2)
        self.assertIn("E1 > ", found["message"])
        self.assertIn(" > E2 > ", found["message"])
        self.assertIn(" > E3 > ", found["message"])
        self.assertNotIn("sneak-path", answer("check", path).decode())

    def test_the_drawing_of_a_sneak_path(self):
        done = run("draw", AS_FOUND, "--view", "sneaks", "GND7", "--format", "svg", "-o", "-")
        self.assertEqual(done.returncode, 0)
        words = done.stdout.decode()
        for part in ("GND7 open", "E55 works", "X4", "connector", "G2.-"):
            self.assertIn(part, words)
        done = run("draw", AS_FOUND, "--view", "sneaks", "GND99")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertIn(b"what does, or is woken: ", done.stderr)
        # Planted in the car as it is: the charge lamp, and a fan on the keyed feed.
        done = run("draw", AS_FOUND, "--view", "sneaks", "K1", "--format", "svg", "-o", "-")
        words = done.stdout.decode()
        for part in ("The car as it is", "K1 works", "key-off-at-speed", "M14", "switched-off", "P1", "M14.+"):
            self.assertIn(part, words)
        done = run("draw", self.car(), "--view", "sneaks")
        self.assertEqual((done.returncode, done.stdout), (2, b""))

    def test_a_waiver_of_a_sneak_path_is_unused_only_where_one_was_looked_for(self):
        text = ONE_LAMP + ("waivers:\n  - {rule: sneak-path, on: [GND1], because: known, by: the shop}\n")
        path = self.car(text)
        self.assertNotIn("unused-waiver", answer("check", path).decode())
        self.assertIn("unused-waiver", answer("check", path, "--faults").decode())

    def test_the_unfused_lighter_of_the_marlow_as_found_is_a_fire(self):
        # planted: fuse-missing 28.4
        got = answer_json("faults", AS_FOUND, "--wire", "28.4", "--json")
        ends = [row["outcome"] for row in got["shorts"] if row["end"] == "to"]
        self.assertEqual(set(ends), {"fire"})


if __name__ == "__main__":
    unittest.main()
