# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The keys of the JSON answers: a contract with other programs, in name and order. Lists stand in the
order of the file."""

import json
import math
import pathlib
import unittest

import yaml

from car import AS_FOUND, MARLOW, ONE_LAMP, SEVERITIES, SMALL, CarTest, answer, answer_json, changed

SOLVE_STATE = ["state", "converged", "imbalance_a", "power_error", "nodes", "wires", "devices"]
SIZE_WIRE = ["wire", "size", "area_mm2", "length_m", "amps", "ampacity_a", "drop_v", "decided_by"]
SIZE_FUSE = ["fuse", "rating_a", "load_a", "protects", "decided_by"]
FINDING = ["rule", "severity", "subject", "file", "line", "column", "message", "figures", "source",
           "remedy"]
FIGURE = ["label", "value", "unit", "role"]


def no_constants(name):
    raise AssertionError(f"{name} is not JSON")


def strict(*words):
    """The answer read by the letter: no NaN, no key twice."""
    def pairs(items):
        keys = [key for key, _ in items]
        if len(keys) != len(set(keys)):
            raise AssertionError(f"a key stands twice: {keys}")
        return dict(items)
    return json.loads(answer(*words), parse_constant=no_constants, object_pairs_hook=pairs)


class Keys(CarTest):
    def test_every_answer_is_strict_json_and_ends_with_a_line_end(self):
        for path in (*SMALL, MARLOW):
            for verb in ("check", "size", "solve"):
                with self.subTest(verb=verb, car=path.name):
                    strict(verb, path, "--json")
                    self.assertTrue(answer(verb, path, "--json").endswith(b"\n"))

    def test_solve(self):
        got = strict("solve", MARLOW, "--json")
        self.assertEqual(list(got), ["states"])
        states = list(yaml.safe_load(MARLOW.read_text())["states"])
        self.assertEqual([state["state"] for state in got["states"]], states)
        for state in got["states"]:
            self.assertEqual(list(state), SOLVE_STATE)
            self.assertIs(state["converged"], True)
            self.assertTrue(all(list(node) == ["node", "volts"] for node in state["nodes"]))
            self.assertTrue(all(list(wire) == ["wire", "amps", "drop_v", "conductor_c"]
                                for wire in state["wires"]))
            self.assertTrue(all(list(device) == ["device", "volts", "amps", "on"]
                                for device in state["devices"]))
            self.assertIn("chassis", [node["node"] for node in state["nodes"]])

    def test_solve_of_named_states(self):
        got = strict("solve", MARLOW, "--json", "--state", "parked")
        self.assertEqual([state["state"] for state in got["states"]], ["parked"])

    def test_the_proof_figures_hold_in_every_state_of_every_example(self):
        for path in (*SMALL, MARLOW, AS_FOUND):
            for state in strict("solve", path, "--json")["states"]:
                with self.subTest(car=path.name, state=state["state"]):
                    self.assertLessEqual(state["power_error"], 1e-9)
                    most = max(abs(wire["amps"]) for wire in state["wires"])
                    self.assertLessEqual(state["imbalance_a"], 1e-9 * max(most, 1e-3))

    def test_size(self):
        got = strict("size", MARLOW, "--json")
        self.assertEqual(list(got), ["wires", "fuses", "copper_kg"])
        self.assertTrue(all(list(wire) == SIZE_WIRE for wire in got["wires"]))
        self.assertTrue(all(list(fuse) == SIZE_FUSE for fuse in got["fuses"]))
        devices = yaml.safe_load(MARLOW.read_text())["devices"]
        fuses = [name for name, device in devices.items() if device["is"] == "fuse"]
        self.assertEqual([fuse["fuse"] for fuse in got["fuses"]], fuses)
        numbers = {wire["wire"] for wire in got["wires"]}
        self.assertEqual(len(numbers), len(got["wires"]))
        for fuse in got["fuses"]:
            self.assertLessEqual(set(fuse["protects"]), numbers)
        self.assertGreater(got["copper_kg"], 0)

    def test_sizes_name_their_standard(self):
        for wire in strict("size", MARLOW, "--json")["wires"]:
            self.assertRegex(wire["size"], r"^\S+ (mm2|AWG|SAE)$")

    def test_copper_is_area_times_length_times_density(self):
        # Density of copper 8.89 t/m3 (IEC 60028). Nominal areas: the mass by resistance is below it by
        # up to the few per cent that the standards allow, and by the strands' lay above it.
        got = strict("size", MARLOW, "--json")
        mass = sum(wire["area_mm2"] * 1e-6 * wire["length_m"] * 8890 for wire in got["wires"])
        self.assertTrue(math.isclose(got["copper_kg"], mass, rel_tol=0.06), (got["copper_kg"], mass))

    def test_check(self):
        got = strict("check", AS_FOUND, "--json")
        self.assertEqual(list(got), ["findings", "counts"])
        self.assertTrue(got["findings"])
        for finding in got["findings"]:
            self.assertEqual([key for key in finding if key != "waived"], FINDING)
            self.assertIn(finding["severity"], SEVERITIES)
            self.assertTrue(all(list(figure) == FIGURE for figure in finding["figures"]))
            self.assertTrue(all(figure["role"] in ("observed", "limit", "input")
                                for figure in finding["figures"]))

    def test_every_finding_has_place_source_and_remedy(self):
        for path in (AS_FOUND, MARLOW):
            for finding in strict("check", path, "--json")["findings"]:
                with self.subTest(rule=finding["rule"], subject=finding["subject"]):
                    self.assertGreaterEqual(finding["line"], 1)
                    self.assertGreaterEqual(finding["column"], 1)
                    self.assertTrue(finding["message"] and finding["source"] and finding["remedy"])

    def test_the_place_of_a_finding_is_a_line_of_its_file(self):
        for finding in strict("check", AS_FOUND, "--json")["findings"]:
            lines = pathlib.Path(finding["file"]).read_text(encoding="utf-8").split("\n")
            self.assertLessEqual(finding["line"], len(lines))
            self.assertLessEqual(finding["column"], len(lines[finding["line"] - 1]) + 1)

    def test_figures_are_in_si(self):
        units = {figure["unit"] for finding in strict("check", AS_FOUND, "--json")["findings"]
                 for figure in finding["figures"]}
        self.assertLessEqual(units, {"A", "V", "C", "K", "m", "m2", "ohm", "s", "W", "kg", "W/m", ""})

    def test_counts_are_those_of_the_list(self):
        for path in (AS_FOUND, MARLOW, *SMALL):
            got = strict("check", path, "--json")
            for severity in SEVERITIES:
                listed = [f for f in got["findings"] if f["severity"] == severity and "waived" not in f]
                self.assertEqual(got["counts"][severity], len(listed), severity)
            self.assertEqual(got["counts"]["waived"],
                             sum("waived" in finding for finding in got["findings"]))

    def test_findings_come_worst_first(self):
        found = strict("check", AS_FOUND, "--json")["findings"]
        order = [("waived" in f, -SEVERITIES.index(f["severity"])) for f in found]
        self.assertEqual(order, sorted(order))

    def test_text_and_json_tell_the_same(self):
        text = answer("check", AS_FOUND).decode()
        for finding in strict("check", AS_FOUND, "--json")["findings"]:
            head = (f"{finding['file']}:{finding['line']}:{finding['column']}: "
                    f"{finding['severity']}[{finding['rule']}] {finding['subject']}: "
                    f"{finding['message']}")
            self.assertIn(head, text)

    def test_explain(self):
        for name in ("2.3", "F1"):
            got = strict("explain", self.car(), name, "--json")
            self.assertEqual(list(got), ["id", "sections"])
            self.assertEqual(got["id"], name)
            steps = [step for section in got["sections"] for step in section["steps"]]
            self.assertGreaterEqual(len(steps), 3)
            self.assertTrue(all(list(section) == ["title", "steps"] for section in got["sections"]))
            self.assertTrue(all(list(step) == ["formula", "with", "gives", "source"] for step in steps))
            self.assertTrue(all(step["formula"] and step["gives"] for step in steps))

    def test_tables(self):
        names = answer("tables").decode().split("\n")
        got = strict("tables", "fuses", "--json")
        self.assertLessEqual({"name", "description", "source", "columns", "rows"}, set(got))
        self.assertTrue(all(len(row) == len(got["columns"]) for row in got["rows"]))
        self.assertTrue(any("fuses" in name for name in names))


class Answers(CarTest):
    def test_odd_names_come_back_as_they_were_written(self):
        car = self.car(changed(ONE_LAMP, ("title: One lamp", 'title: "\\"a\\\\b\\" \\u00fc"')))
        strict("check", car, "--json")

    def test_a_state_that_has_no_answer_is_null_and_not_a_number(self):
        # More power than the wire can ever carry to it: no operating point exists.
        car = self.car(changed(ONE_LAMP, ("E1: {is: lamp, at: rear, draws: 55 W at 13.5 V}",
                                          "E1: {is: electronics, at: rear, draws: 4000 W at 13.5 V}"),
                               ("rating: 10 A", "rating: 500 A, resistance: 1 mohm"),
                               ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {size: 0.5 mm2, length: 40 m}")))
        got = strict("solve", car, "--json", "--state", "lit")
        state = got["states"][0]
        self.assertEqual(list(state), SOLVE_STATE)
        if not state["converged"]:
            self.assertTrue(all(node["volts"] is None for node in state["nodes"]))
            self.assertTrue(all(wire["amps"] is None for wire in state["wires"]))
        else:
            # It may drop out by its least voltage instead: then it is off, and takes nothing.
            device = next(d for d in state["devices"] if d["device"] == "E1")
            self.assertIs(device["on"], False)
            self.assertAlmostEqual(device["amps"], 0.0, places=6)


if __name__ == "__main__":
    unittest.main()
