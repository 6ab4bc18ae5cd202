# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""`explain` of devices, states, runs, points, findings and rules: every step redone with a pocket
calculator from its own printed numbers, or held against something else by its kind
(explain_kinds_of_things.py); that the answers are those of `solve`, `check` and the file; and what is
said of a name that is nothing."""

import functools
import os
import re
import unittest

from car import AS_FOUND, EXAMPLES, MARLOW, ONE_LAMP, SIX_VOLT, TRUCK_BODY, CarTest, answer_json, changed, run
from explain_kinds import Car, Proof, of_part
from explain_kinds_of_things import ALL_KINDS, PROTECTIVE, SOURCES, kinds_of
from pocket_calculator import CannotCompute, compute, constants_of
from test_explain_by_calculator import VERDICT, arithmetic_is_wrong

LARGE = {"marlow": MARLOW, "truck-body": TRUCK_BODY, "six-volt": SIX_VOLT}
CARS = {**LARGE, **{name: EXAMPLES / name / f"{name}.yaml" for name in ("one-lamp", "relay-fan", "split-lights")}}
EVERY = "LOOMWRIGHT_EVERY_NAME" in os.environ  # of the large cars too: takes minutes


def some(names, count):
    names = list(names)
    return names if EVERY or len(names) <= count else names[:: -(-len(names) // count)]


def chosen(car):
    """Every source, the first and last of each other kind of device, and a few states, runs, points."""
    by_kind = {}
    for name, kind in kinds_of(car).items():
        if kind not in PROTECTIVE:
            by_kind.setdefault(kind, []).append(name)
    devices = [name for kind, names in by_kind.items()
               for name in (names if EVERY or kind in SOURCES else dict.fromkeys([names[0], names[-1]]))]
    return [*devices, *some(car.states, 5), *some(car.file.get("runs", {}), 4), *some(car.file.get("points", {}), 3)]


@functools.lru_cache(maxsize=None)
def car_of(name):
    return Car(CARS[name], chosen)


def what_is_wrong(proof, step):
    kind = next((check for pattern, check in ALL_KINDS if re.match(pattern, step.formula)), None)
    if step.formula.startswith("V = I R in") and not step.given:
        kind = of_part
    try:
        return kind(proof, step) if kind else arithmetic_is_wrong(step)
    except CannotCompute as why:
        # Nothing against something: a share of nothing has no width.
        return None if kind is None and is_nothing(step) else f"of no known kind: {why}"
    except (AssertionError, AttributeError, LookupError, StopIteration, ValueError, TypeError) as why:
        return f"what its kind is held against is missing: {why!r}"


def is_nothing(step):
    return step.gives in ("0 A", "0 V") and abs(compute(step.given, constants_of(step.formula)).middle()) < 1e-9


class EveryStep(unittest.TestCase):
    def each(self):
        for name in CARS:
            for proof in car_of(name).proofs.values():
                yield name, proof

    def test_every_step_can_be_redone(self):
        wrong, counted = [], {"arithmetic": 0, "verdict": 0, "named": 0}
        for car, proof in self.each():
            self.assertTrue(proof.steps, f"{car} {proof.name}: nothing is told")
            for step in proof.steps:
                is_named = any(re.match(pattern, step.formula) for pattern, _ in ALL_KINDS)
                counted["named" if is_named else "verdict" if VERDICT.match(step.gives) else "arithmetic"] += 1
                if result := what_is_wrong(proof, step):
                    wrong.append(f"{car} {proof.name} {step}\n    {result}")
        self.assertEqual(len(wrong), 0, f"{len(wrong)} steps, of {counted}:\n" + "\n".join(wrong[:40]))
        self.assertGreater(counted["arithmetic"], 600)
        self.assertGreater(counted["verdict"], 150)

    def test_every_step_has_a_source(self):
        for car, proof in self.each():
            for step in proof.steps:
                self.assertTrue(step.source.strip() and step.formula.strip() and step.gives.strip(),
                                f"{car} {proof.name} {step}")

    def test_an_answer_that_is_a_fifth_too_large_is_noticed(self):
        tried = 0
        for proof in car_of("relay-fan").proofs.values():
            for step in proof.steps:
                found = re.match(r"(-?[0-9.]+)( .*)?$", step.gives)
                if found and step.given and abs(float(found[1])) > 1e-2 and not what_is_wrong(proof, step) and \
                        not any(re.match(pattern, step.formula) for pattern, _ in ALL_KINDS):
                    step.gives = f"{1.2 * float(found[1]):.6g}{found[2] or ''}"
                    self.assertIsNotNone(what_is_wrong(proof, step), f"{proof.name} {step}")
                    step.gives = found[0]
                    tried += 1
        self.assertGreater(tried, 10)


class AgainstTheSolvedStates(unittest.TestCase):
    """What a step computes from printed numbers is what `solve` has."""

    def agree(self, proof, formula, key, name=None):
        count = 0
        for step in proof.steps:
            state = re.match(rf"{formula}.* in ([\w-]+)$", step.formula)
            if state and state[1] in proof.car.states:
                got, there = step.answers()[0], abs(proof.car.states[state[1]]["devices"][name or proof.name][key])
                self.assertTrue(got.low - 1e-6 <= there <= got.high + 1e-6, f"{proof.name} {step}: {there}")
                count += 1
        return count

    def test_sources(self):
        for car in map(car_of, CARS):
            for name, kind in kinds_of(car).items():
                if kind in SOURCES:
                    proof = car.proofs[name]
                    lines = self.agree(proof, "V", "volts")
                    rest = [s for s in proof.steps if s.formula.startswith("I given in ")]
                    self.assertTrue(lines or rest)
                    if kind == "battery":
                        self.assertEqual(lines, len(car.states))

    def test_loads(self):
        count = 0
        for car in map(car_of, CARS):
            for name, proof in car.proofs.items():
                if kinds_of(car).get(name) in ("lamp", "motor", "heater", "led-lamp", "electronics", "starter"):
                    count += self.agree(proof, "I = ", "amps")
        self.assertGreater(count, 20)

    def test_what_a_state_takes_is_what_its_sources_give(self):
        for car in map(car_of, CARS):
            for state in car.states:
                if state in car.proofs and "turning" not in ((car.file.get("states") or {}).get(state) or {}):
                    rows = car.states[state]["devices"]
                    watts = sum(max(rows[name]["volts"] * rows[name]["amps"], 0.0)
                                for name, kind in kinds_of(car).items() if kind in SOURCES)
                    got = car.proofs[state].one("P given =" if watts > 1e-5 else "P given").answers()
                    if watts > 1e-5:
                        self.assertTrue(abs(got[0].middle() - watts) <= 1e-3 * watts, f"{state}: {got} {watts}")

    def test_the_largest_loads_stand_first(self):
        for car in map(car_of, CARS):
            for state in car.states:
                if state in car.proofs:
                    watts = [s.answers()[0].middle() for s in car.proofs[state].steps if s.section == "Largest loads" and
                             s.answers()]
                    self.assertEqual(watts, sorted(watts, reverse=True))
                    self.assertLessEqual(len(watts), 10)

    def test_every_state_tells_of_every_source(self):
        for car in map(car_of, CARS):
            for state in car.states:
                if state in car.proofs:
                    told = [t.removeprefix("Source ") for t in car.proofs[state].titles if t.startswith("Source ")]
                    self.assertEqual(told, [n for n, kind in kinds_of(car).items() if kind in SOURCES])


class Findings(CarTest):
    def test_every_finding_of_the_car_as_found(self):
        findings = answer_json("check", AS_FOUND, "--json")["findings"]
        names = dict.fromkeys((f["rule"], f["subject"]) for f in findings if f["subject"])
        for rule, subject in names:
            with self.subTest(rule=rule, subject=subject):
                same = [f for f in findings if (f["rule"], f["subject"]) == (rule, subject)]
                proof = Proof(None, subject, answer_json("explain", AS_FOUND, f"{rule}:{subject}", "--json"))
                told = proof.find("found: ")
                self.assertEqual([step.gives for step in told], [f["message"] for f in same])
                for step, finding in zip(told, same):
                    self.assertIn(f":{finding['line']}:{finding['column']}", step.given)
                    self.assertIn(f"{rule} of {subject}: {finding['severity']}", step.section)
                self.check_figures(proof, same)
                self.assertEqual([s.gives for s in proof.find("waived")], [f["waived"] for f in same if "waived" in f])
                self.assertEqual([s.gives for s in proof.find("what to do")], [f["remedy"] for f in same if f["remedy"]])

    def check_figures(self, proof, findings):
        """Each figure with its role; the margin from the first of each role, as the formula has it."""
        margins = []
        for finding in findings:
            first = {}
            for row in finding["figures"]:
                self.assertTrue(proof.find(f"{row['label']}, {row['role']}"), row)
                first.setdefault(row["role"], row["value"])
            if "observed" in first and first.get("limit"):
                margins.append((first["limit"] - first["observed"]) / abs(first["limit"]))
        steps = proof.find("margin = ")
        self.assertEqual(len(steps), len(margins))
        for step, margin in zip(steps, margins):
            sign = -1.0 if step.formula.startswith("margin = (observed") else 1.0
            got, computed = step.answers()[0], compute(step.given)
            self.assertTrue(got.meets(computed), f"{step}: {computed}")
            self.assertTrue(abs(got.middle() - sign * margin) <= 1e-3 * abs(margin) + 1e-6, f"{step}: {margin}")

    def test_the_proof_of_the_subject_belongs_to_it(self):
        found = answer_json("explain", AS_FOUND, "fuse-over-wire:29.2", "--json")
        whole = answer_json("explain", AS_FOUND, "29.2", "--json")
        titles = [section["title"] for section in found["sections"]]
        self.assertEqual(titles[1:], ["Ampacity in its place", "Sources", "Protection"])
        for section in found["sections"][1:]:
            self.assertIn(section, whole["sections"])

    def test_a_rule_lists_its_findings(self):
        findings = answer_json("check", AS_FOUND, "--json")["findings"]
        for rule in ("fuse-over-wire", "least-size", "charge-balance", "bad-yaml"):
            got = answer_json("explain", AS_FOUND, rule, "--json")["sections"]
            own = [f for f in findings if f["rule"] == rule]
            self.assertEqual([s["title"] for s in got], [f"Rule {rule}", "Its findings on this car"])
            rows = got[1]["steps"]
            self.assertEqual([row["formula"] for row in rows if own],
                             [f"{f['subject']}: {f['severity']}" for f in own])
            self.assertTrue(own or [row["gives"] for row in rows] == ["none"])

    def test_rules_of_the_sweep_have_it_done(self):
        findings = answer_json("check", AS_FOUND, "--faults", "--json")["findings"]
        for rule in ("short-not-cleared", "sneak-path"):
            rows = answer_json("explain", AS_FOUND, rule, "--json")["sections"][1]["steps"]
            self.assertEqual(len(rows), len([f for f in findings if f["rule"] == rule]) or 1)

    def test_a_rule_without_that_finding_says_where_it_has_some(self):
        done = run("explain", AS_FOUND, "fuse-over-wire:1.1")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertIn("29.2", done.stderr.decode())
        done = run("explain", MARLOW, "fuse-over-wire:1.1")
        self.assertIn("none on this car", done.stderr.decode())


class Names(CarTest):
    def test_each_name_of_a_small_car_is_explained_as_text_and_as_json(self):
        path = self.car()
        for name in ("2.3", "G1", "GND1", "F1", "S1", "E1", "GND2", "dark", "lit", "floor", "front", "rear", "drop-limit"):
            with self.subTest(name):
                got = answer_json("explain", path, name, "--json")
                self.assertEqual((list(got), got["id"]), (["id", "sections"], name))
                self.assertTrue(all(section["title"] and section["steps"] for section in got["sections"]))
                text = run("explain", path, name)
                self.assertEqual((text.returncode, text.stderr), (0, b""))
                for section in got["sections"]:
                    self.assertIn(section["title"].split(",")[0], text.stdout.decode())

    def test_every_device_of_every_kind_has_something_to_tell(self):
        for car in map(car_of, CARS):
            kinds = {kinds_of(car)[name] for name in car.proofs if name in kinds_of(car)}
            self.assertEqual(kinds, {kind for kind in kinds_of(car).values() if kind not in PROTECTIVE})

    def test_a_car_without_states_has_one_as_built(self):
        text = ONE_LAMP[:ONE_LAMP.index("states:")]
        got = answer_json("explain", self.car(text), "as built", "--json")
        self.assertIn("Source G1", [section["title"] for section in got["sections"]])

    def test_a_name_of_two_things_explains_both(self):
        path = self.car(changed(ONE_LAMP, ("  lit:  {", "  E1:  {")))
        titles = [s["title"] for s in answer_json("explain", path, "E1", "--json")["sections"]]
        self.assertTrue(any(t.startswith("Device E1: ") for t in titles) and
                        any(t.startswith("State E1: Largest loads") for t in titles), titles)
        self.assertTrue(all(t.startswith(("Device E1: ", "State E1: ")) for t in titles))

    def test_a_slip_of_the_pen_is_told_the_name_nearest_to_it(self):
        path = self.car()
        for slip, meant in (("2.33", "2.3"), ("GDN2", "GND2"), ("litt", "lit"), ("flor", "floor"), ("reer", "rear"),
                            ("drop-limmit", "drop-limit")):
            done = run("explain", path, slip)
            self.assertEqual((done.returncode, done.stdout), (2, b""))
            self.assertIn(f"did you mean `{meant}`?", done.stderr.decode())
        for nothing in ("", ":", "drop-limit:", ":E1", "\x1b[31m", "2.3:2.3"):
            done = run("explain", path, nothing)
            self.assertEqual((done.returncode, done.stdout), (2, b""), nothing)
            self.assertNotIn(b"\x1b", done.stderr)

    def test_one_number_moved_moves_what_is_told(self):
        """Twice the resistance of the battery, twice the voltage lost in it."""
        def lost(text):
            proof = Proof(None, "G1", answer_json("explain", self.car(text), "G1", "--json"))
            step = proof.one("V = E - I R in lit")
            volts, amps, ohm = (float(x) for x in re.match(r"(\S+) - (\S+) x (\S+)", step.given).groups())
            self.assertTrue(step.answers()[0].meets(compute(step.given)))
            return volts - step.answers()[0].middle(), amps, ohm
        before, after = lost(ONE_LAMP), lost(changed(ONE_LAMP, ("resistance: 10 mohm", "resistance: 20 mohm")))
        self.assertAlmostEqual(after[2], 2 * before[2])
        # The lamp takes a little less; what is lost is 40 mV of a voltage printed to the millivolt.
        self.assertAlmostEqual(after[0] / before[0], 2.0, delta=0.05)


if __name__ == "__main__":
    unittest.main()
