# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""`explain` of every protective device and every wire of the examples, redone with a pocket calculator.

Each step that is arithmetic is computed from the numbers printed in it (pocket_calculator.py says how
rounding is carried) and must meet the answer printed beside it; a verdict must follow from its two
sides, and so must its margin. A step that no calculator can do must be of a kind named in
explain_kinds.py, each held against something else: the published gates, the tables, the solved states,
a second heat balance with the air of a textbook, an integration of our own. A step of no known kind is
a failure."""

import copy
import functools
import re
import unittest

from car import AS_FOUND, EXAMPLES, MARLOW, SIX_VOLT, TRUCK_BODY
from explain_kinds import KINDS, PROTECTIVE, Car, first_wrong, of_every_current, of_part, ok
from pocket_calculator import CannotCompute, Range, compute, constants_of, figure

CARS = {"marlow": MARLOW, "marlow-as-found": AS_FOUND, "truck-body": TRUCK_BODY, "six-volt": SIX_VOLT,
        **{name: EXAMPLES / name / f"{name}.yaml" for name in ("relay-fan", "split-lights")}}
# How wide an answer may be from the rounding of its figures, as a share of it: what is redone with
# them is then good for a decision. Beneath so much of its unit an answer is nothing at all.
USEFUL, NOTHING = 0.02, 2e-3
# A time between two gates goes with up to the 64th power of the current: a current of four digits gives
# two of the time. Where it decides, at a gate or against another time, it is far from that steep.
STEEP = 0.08
VERDICT = re.compile(r"(holds|does not hold), (?:(\S+) (%|K) (?:to spare|over)|nothing to spare|"
                     r"nothing is allowed)$")


def verdict_is_wrong(sides, gives):
    """[left, relation, right, ...] against "holds, 12.3 % to spare"."""
    found = VERDICT.match(gives)
    at = next(i for i, side in enumerate(sides) if side in ("<=", "<"))
    left, right = sides[at - 1], sides[at + 1]
    equal = [a.meets(b) for a, sign, b in zip(sides, sides[1:], sides[2:]) if sign == "="]
    if not found or not all(equal):
        return "no verdict with a margin" if not found else "the parts differ"
    holds = found[1] == "holds"
    if not (left.low <= right.high if holds else left.high >= right.low):
        return "the other way round"
    if found[2] is None:
        return ok(abs(right.middle()) < 1e-9, "no margin")
    margin = right - left if found[3] == "K" else Range(100.0) * (Range(1.0) - left / right)
    printed = figure(found[2], digits=3)
    return ok(margin.meets(printed if holds else -printed), f"margin {margin}")


def arithmetic_is_wrong(step):
    exact = constants_of(step.formula)
    value = compute(step.given, exact)
    if isinstance(value, list):
        if step.gives in ("may stay closed", "stays closed"):
            return ok(value[0].low <= value[2].high, "it would open")
        return verdict_is_wrong(value, step.gives)
    answers = step.answers()
    if not answers:
        raise CannotCompute("no answer")
    useful = STEEP if step.formula.startswith(("t_shortest", "t_longest", "time at")) else USEFUL
    width = value.half() / max(abs(value.middle()), NOTHING)
    # A sum's two sides, `1.2 W/m against 1.2 W/m`, must both be met.
    return first_wrong(*(ok(value.meets(one), f"computed {value}, printed {one}") for one in answers),
                       ok(width <= useful, f"computed {value}: the figures are too coarse"))


@functools.lru_cache(maxsize=None)
def car_of(name):
    return Car(CARS[name])


class ExplainByCalculator(unittest.TestCase):
    def each(self):
        for car in CARS:
            for proof in car_of(car).proofs.values():
                yield car, proof

    def has_protection(self, proof, section):
        for formula in ("In <= Iz", "I2 <= 1.45 Iz", "I^2 t at", "k = 226", "S, copper", "I^2 t <= k^2 S^2",
                        "peak at"):
            proof.one(formula, section)
        # A wire that its place alone brings to its class has no peak that means anything.
        if not proof.find("peak at its slow gates", section):
            proof.one("peak <= limit", section)

    def test_every_step_of_every_proof_can_be_redone(self):
        wrong, counted = [], {"arithmetic": 0, "verdict": 0, "named": 0}
        for car, proof in self.each():
            for step in proof.steps:
                kind = next((check for pattern, check in KINDS if re.match(pattern, step.formula)), None)
                if step.formula.startswith("V = I R in") and not step.given:
                    kind = of_part
                if step.formula.startswith("opens first") and step.gives == "at every current":
                    kind = of_every_current
                try:
                    result = kind(proof, step) if kind else arithmetic_is_wrong(step)
                except CannotCompute as why:
                    result = f"of no known kind: {why}"
                except (AssertionError, AttributeError, LookupError, StopIteration, ValueError) as why:
                    result = f"what its kind is held against is missing: {why!r}"
                counted["named" if kind else "verdict" if VERDICT.match(step.gives) else "arithmetic"] += 1
                if result:
                    wrong.append(f"{car} {proof.name} {step}\n    {result}")
        self.assertEqual(len(wrong), 0, f"{len(wrong)} steps, of {counted}:\n" + "\n".join(wrong[:40]))
        # Nothing of this was empty.
        self.assertGreater(counted["arithmetic"], 3000)
        self.assertGreater(counted["verdict"], 600)

    def test_an_answer_that_is_a_fifth_too_large_is_noticed(self):
        for proof in car_of("relay-fan").proofs.values():
            for step in proof.steps:
                if any(re.match(pattern, step.formula) for pattern, _ in KINDS) or not step.given:
                    continue
                found = re.match(r"(-?[0-9.]+)( .*)?$", step.gives)
                if not found or abs(compute(step.given, constants_of(step.formula)).middle()) < NOTHING:
                    continue  # a verdict, or nothing at all
                off = copy.copy(step)
                off.gives = f"{1.2 * float(found[1]):.6g}{found[2] or ''}"
                self.assertIsNotNone(arithmetic_is_wrong(off), f"{proof.name} {off}")

    def test_every_step_has_a_source(self):
        for car, proof in self.each():
            for step in proof.steps:
                self.assertTrue(step.source.strip() and step.formula.strip() and step.gives.strip(),
                                f"{car} {proof.name} {step}")

    def test_every_device_and_wire_of_the_file_is_there(self):
        for name in CARS:
            car = car_of(name)
            wires = {wire for circuit in car.file["circuits"].values() for wire in circuit.get("wires") or {}}
            fuses = {device for device, spec in car.file["devices"].items() if spec["is"] in PROTECTIVE}
            self.assertLessEqual(wires, set(car.wires))
            self.assertEqual(fuses, set(car.fuses))

    def test_a_fuse_has_load_factors_band_withstand_worst_current_and_margin(self):
        for car, proof in self.each():
            if proof.name not in proof.car.fuses:
                continue
            with self.subTest(car=car, fuse=proof.name):
                for section, formula in (("Load", "I, of the state that asks"), ("Rating", "air round it"),
                                         ("Rating", "f = 1 - slope"), ("Rating", "share of its rating"),
                                         ("Rating", "I <= share x f x rating"), ("Time-current", "opens at"),
                                         ("Breaking", "V and R"), ("Breaking", "I_p = V / R"),
                                         ("Breaking", "I_p <= breaking capacity")):
                    proof.one(formula, section)
                if proof.find("Iz of", "Wires it protects"):
                    self.has_protection(proof, "Protection of ")
                for section in (t for t in proof.titles if t.startswith("Start of")):
                    for formula in ("I_run", "start of", "I = I_run", "t_shortest at", "share < 1"):
                        proof.one(formula, section)

    def test_a_wire_has_load_ampacity_drop_fuse_withstand_and_margin(self):
        for car, proof in self.each():
            if proof.name not in proof.car.wires:
                continue
            with self.subTest(car=car, wire=proof.name):
                for section, formula in (("Length", "L"), ("Conductor", "R20"), ("Heat", "I"),
                                         ("Ampacity", "I_free"), ("Ampacity", "Iz, the lowest"),
                                         ("Ampacity", "current <= ampacity"), ("Size", "chosen")):
                    proof.one(formula, section)
                self.assertIn("Protection", proof.titles)
                if proof.car.wires[proof.name].get("fuse"):
                    self.has_protection(proof, "Protection")

    def test_a_fuse_and_its_thinnest_wire_tell_the_same(self):
        for car, proof in self.each():
            for title in proof.titles:
                if title.startswith("Protection of "):
                    wire = title.split()[2].rstrip(",")
                    here = [str(s).split("]")[1] for s in proof.steps if s.section == title]
                    there = [str(s).split("]")[1] for s in proof.car.proof_of(wire).steps
                             if s.section == "Protection"]
                    self.assertEqual(here, there, f"{car} {proof.name}")


if __name__ == "__main__":
    unittest.main()
