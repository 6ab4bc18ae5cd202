# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The examples are what they say: the Marlow is of real scale and checks clean, the car as found has
exactly the faults that were planted in it, the small ones are small."""

import collections
import re
import unittest

import yaml

from car import AS_FOUND, EXAMPLES, MARLOW, SMALL, CarTest, answer, answer_json, run

LOADS = {"lamp", "led-lamp", "motor", "heater", "coil", "electronics", "starter"}
PLANTED = re.compile(r"#\s*planted:\s*([a-z-]+)\s+(\S+)")
FOLLOWS = re.compile(r"#\s*follows:\s*([a-z-]+)\s+(\S+)")


def simple_devices(devices):
    """Every device with those inside units, as (name, kind)."""
    for name, device in devices.items():
        yield name, device["is"]
        for inner, spec in device.get("inside", {}).items():
            yield f"{name}/{inner}", spec["is"]


def scale_of(path):
    """Counts read from the file itself, by a YAML reader that is not ours."""
    car = yaml.safe_load(path.read_text(encoding="utf-8"))
    kinds = [kind for _, kind in simple_devices(car["devices"])]
    wires = 0
    for circuit in car["circuits"].values():
        paths = circuit.get("paths")
        wires += (sum(path.count(">") for path in paths) if paths else len(circuit.get("wires", {})))
    return {"loads": sum(kind in LOADS for kind in kinds), "fuses": kinds.count("fuse"),
            "relays": kinds.count("relay"), "grounds": kinds.count("ground"), "wires": wires,
            "states": len(car["states"]), "supplied": len(car.get("supplied", {}))}


class Marlow(CarTest):
    def test_is_of_real_scale(self):
        least = {"loads": 45, "fuses": 25, "relays": 10, "wires": 160, "grounds": 6, "states": 10,
                 "supplied": 2}
        for path in (MARLOW, AS_FOUND):
            got = scale_of(path)
            for what, count in least.items():
                with self.subTest(car=path.name, what=what):
                    self.assertGreaterEqual(got[what], count)

    def test_the_program_sees_every_wire_of_the_file(self):
        for path in (MARLOW, AS_FOUND, *SMALL):
            self.assertEqual(len(answer_json("size", path, "--json")["wires"]), scale_of(path)["wires"])

    def test_checks_clean_waivers_aside(self):
        done = run("check", MARLOW)
        self.assertEqual(done.returncode, 0, done.stdout.decode() + done.stderr.decode())
        counts = answer_json("check", MARLOW, "--json")["counts"]
        self.assertEqual((counts["danger"], counts["fault"], counts["caution"]), (0, 0, 0))

    def test_waivers_are_printed_with_their_reasons(self):
        waivers = yaml.safe_load(MARLOW.read_text())["waivers"]
        self.assertTrue(waivers)
        text = answer("check", MARLOW).decode()
        for waiver in waivers:
            self.assertIn(waiver["because"], text)
            self.assertIn(waiver["by"], text)

    def test_runs_as_its_states_expect(self):
        # Read from the file, against the answer: not the program's own check of `expect`.
        states = yaml.safe_load(MARLOW.read_text())["states"]
        answers = {state["state"]: {d["device"]: d["on"] for d in state["devices"]}
                   for state in answer_json("solve", MARLOW, "--json")["states"]}
        judged = 0
        for name, state in states.items():
            expect = state.get("expect", {})
            # YAML 1.1 readers take the bare words on and off for truth values.
            for wanted, key in ((True, "on"), (False, "off")):
                for device in expect.get(key, expect.get(wanted, [])):
                    with self.subTest(state=name, device=device):
                        self.assertIs(answers[name][device], wanted)
                        judged += 1
        self.assertGreater(judged, 30)


class AsFound(CarTest):
    def setUp(self):
        super().setUp()
        text = "".join(path.read_text(encoding="utf-8")
                       for path in sorted(AS_FOUND.parent.rglob("*.yaml")))
        self.planted = PLANTED.findall(text)
        self.follows = FOLLOWS.findall(text)
        found = answer_json("check", AS_FOUND, "--json")["findings"]
        self.found = collections.Counter((f["rule"], f["subject"]) for f in found
                                         if "waived" not in f)
        self.serious = {(f["rule"], f["subject"]) for f in found
                        if "waived" not in f and f["severity"] != "note"}

    def test_a_dozen_faults_are_planted_of_many_kinds(self):
        self.assertGreaterEqual(len(self.planted), 12)
        self.assertGreaterEqual(len({rule for rule, _ in self.planted}), 10)

    def test_each_planted_fault_is_found_by_its_own_rule(self):
        # Two that look alike (a relay held in two ways) must be found as two.
        told = collections.Counter(self.planted + self.follows)
        for (rule, subject), times in told.items():
            with self.subTest(rule=rule, subject=subject):
                self.assertGreaterEqual(self.found[rule, subject], times)

    def test_three_sneak_paths_are_planted(self):
        self.assertEqual([rule for rule, _ in self.planted].count("sneak-path"), 3)

    def test_nothing_is_found_that_was_not_planted_and_does_not_follow_from_it(self):
        self.assertEqual(sorted(self.serious - set(self.planted) - set(self.follows)), [])

    def test_the_exit_status_says_findings(self):
        self.assertEqual(run("check", AS_FOUND).returncode, 1)

    def test_the_car_put_right_has_none_of_them(self):
        found = {(f["rule"], f["subject"]) for f in answer_json("check", MARLOW, "--json")["findings"]
                 if "waived" not in f and f["severity"] != "note"}
        self.assertEqual(found, set())


class SmallOnes(CarTest):
    def test_are_under_forty_lines(self):
        for path in SMALL:
            self.assertLess(len(path.read_text(encoding="utf-8").splitlines()), 40, path.name)

    def test_check_clean(self):
        for path in SMALL:
            with self.subTest(path.name):
                done = run("check", path)
                self.assertEqual(done.returncode, 0, done.stdout.decode() + done.stderr.decode())

    def test_draw_and_pack(self):
        for path in SMALL:
            with self.subTest(path.name):
                self.assertEqual(run("pack", path, "-o", self.folder / path.stem).returncode, 0)

    def test_every_folder_of_examples_holds_a_vehicle_of_its_name(self):
        folders = [folder for folder in EXAMPLES.iterdir() if folder.is_dir()]
        self.assertGreaterEqual(len(folders), 5)
        for folder in folders:
            is_list = folder.name == "spreadsheet"  # for `import`: the guide runs it
            self.assertTrue((folder / ("loads.csv" if is_list else f"{folder.name}.yaml")).is_file(),
                            folder.name)


if __name__ == "__main__":
    unittest.main()
