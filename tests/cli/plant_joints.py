#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Bad joints planted into cars, read with a meter that is not exact, and looked for by `measure`.

    plant_joints.py [--cases N] [--seed S] VEHICLE.yaml...

The volts are ngspice's: the deck of a state with ohms added to some of its conductors. Each case has
one or two planted joints that drop 0.3 to 2.5 V at 12 V, twenty places to read, some with the noise of a
meter of 0.5 % + 10 mV, some with one reading that is plainly wrong. A case counts as found when every
planted joint is among those that the answer names, and as clean when it names nothing beyond them.
"""

import argparse
import csv
import io
import json
import math
import pathlib
import random
import re
import subprocess
import sys
import tempfile

import planted
from car import COMMAND

PLACES = 20
KINDS = ("exact", "noise", "two", "two-noise", "wrong", "two-wrong")


def run(*words, **kind):
    return subprocess.run([COMMAND, *words], capture_output=True, text=True, check=False, **kind)


class Car:
    """A vehicle with its decks, worked out when they are asked for."""

    def __init__(self, path):
        self.path = pathlib.Path(path)
        solved = json.loads(run("solve", path, "--json").stdout)
        self.states = [state["state"] for state in solved["states"] if state["converged"]]
        self.against = None
        self.decks = {}
        self.good = {}

    def deck(self, state):
        if state not in self.decks:
            text = run("export", self.path, "--to", "spice", "--state", state).stdout
            self.decks[state] = planted.Deck(text)
            self.good[state] = planted.solve(text)
        return self.decks[state], self.good[state]

    def black(self, volts, deck):
        """Where readings are against: as the first-power sheet says."""
        if self.against is None:
            with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
                file.write(f"place,state,volts\nchassis,{self.states[0]},0\n")
                file.flush()
                self.against = json.loads(run("measure", self.path, file.name, "--json").stdout)["against"]
        return volts[deck.places[self.against]]


NAME = re.compile(r"^(wire|fuse|breaker|fusible link|strap|\S+) ([^\s,]+)(?: \(.*\))?(?:, (.*))?$")


def joint_id(deck, branch):
    """The name of a joint as `measure` has it, from its label in a deck."""
    label, node = deck.joints[branch][:2]
    what, name, rest = NAME.match(label).groups()
    rest = (rest or "").split()
    if not rest or what in ("wire", "fuse", "breaker", "fusible link", "strap"):
        return name
    if rest[0] == "bond":
        return name if what == "ground" else f"{name} case"
    if rest[0] == "lead":
        return next(place for place, at in deck.places.items() if at == node)
    if rest[0] == "output" and "to" not in rest:
        return f"{name}.{rest[1].split('-', 1)[1]}"  # from its feed
    if rest[0] == "contact":
        return f"{name}.{rest[1]}" if len(rest) > 1 and "-" in rest[1] else f"{name} contact"
    return f"{name}.{rest[1]}"  # cavity 3 of a connector, output fan of a controller


class Case:
    """One planting: what was planted, the readings, and what came of them."""

    def __init__(self, car, kind, rng):
        self.car, self.kind = car, kind
        self.planted = {}
        self.wrong = None
        while not (self.planted and self.is_told(rng)):
            self.planted = {}
            self.plant(rng)
        if "wrong" in kind:
            self.read_wrong(rng)

    def plant(self, rng):
        self.state = rng.choice(self.car.states)
        deck, good = self.car.deck(self.state)
        if good is None:
            return
        if good is None:
            return
        amps = planted.currents(deck, good)
        nominal = max(volts - self.car.black(good, deck) for volts in good.values())
        live = sorted(branch for branch in amps if abs(amps[branch]) > 0.2)
        count = 2 if self.kind.startswith("two") else 1
        if len(live) < 10:
            return
        chosen = rng.sample(live, count)
        added = {branch: rng.uniform(0.3, 2.5) * nominal / 12.6 / abs(amps[branch]) for branch in chosen}
        bad = planted.solve(deck.with_added(added))
        if bad is None or not planted.stands_as_written(deck, good, bad):
            return
        self.without = {branch: planted.solve(deck.with_added({other: ohm for other, ohm in added.items()
                                                               if other != branch})) for branch in added}
        if None in self.without.values():
            return
        moved = {name: abs(bad[node] - good[node]) for name, node in deck.places.items() if node in bad}
        if max(moved.values()) < 0.2 * nominal / 12.6:
            return
        self.planted, self.volts, self.deck, self.moved = added, bad, deck, moved
        self.nominal = nominal

    def read(self, rng):
        black = self.car.black(self.volts, self.deck)
        names = sorted(name for name in self.deck.places if "'" not in name and "." in name
                       and not name.endswith((".motor", ".case")) and self.deck.places[name] in self.volts)
        usable = [name for name in names if self.is_terminal(name)]
        rng.shuffle(usable)
        moved = [name for name in usable if self.moved[name] > 0.1]
        chosen = list(dict.fromkeys(moved[: PLACES // 2] + usable))[:PLACES]
        self.readings = []
        for name in chosen:
            shown = self.volts[self.deck.places[name]] - black
            if "noise" in self.kind:
                shown += rng.uniform(-1, 1) * (0.005 * abs(shown) + 0.010)
            self.readings.append([name, self.state, f"{shown:.3f}"])

    def is_told(self, rng):
        """Reads; true when every planted joint moves some reading by itself, and no two do the same."""
        self.read(rng)
        nodes = [self.deck.places[name] for name, _, _ in self.readings]
        black = self.deck.places[self.car.against]
        effects = [[(self.volts[node] - self.volts[black]) - (other[node] - other[black]) for node in nodes]
                   for other in self.without.values()]
        lengths = [math.hypot(*effect) for effect in effects]
        if min(lengths) < 0.3 * self.nominal / 12.6:
            return False
        return len(effects) < 2 or abs(sum(a * b for a, b in zip(*effects))) < 0.9 * lengths[0] * lengths[1]

    def read_wrong(self, rng):
        self.wrong = rng.choice(self.readings)
        shown = float(self.wrong[2])
        self.wrong[2] = f"{shown + (1.5 if shown < 6 else rng.choice((-3.0, 1.5))):.3f}"

    def is_terminal(self, name):
        device = name.rsplit(".", 1)[0]
        return "." not in device

    def ask(self):
        text = io.StringIO()
        writer = csv.writer(text)
        writer.writerow(["place", "state", "volts"])
        writer.writerows(self.readings)
        with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
            file.write(text.getvalue())
            file.flush()
            done = run("measure", self.car.path, file.name, "--json")
        if done.returncode not in (0, 1):
            raise RuntimeError(done.stderr + text.getvalue())
        self.answer = json.loads(done.stdout)
        return self.judge()

    def judge(self):
        named = [{fit["id"]: fit for fit in culprit["one_of"] if fit["kind"] == "joint"}
                 for culprit in self.answer["culprits"]]
        wanted = {joint_id(self.deck, branch): ohm for branch, ohm in self.planted.items()}
        found = {}
        for name, ohm in wanted.items():
            for group in named:
                if name in group:
                    found[name] = (ohm, group[name])
        readings = [culprit["one_of"][0]["id"] for culprit in self.answer["culprits"]
                    if culprit["one_of"][0]["kind"] == "reading"]
        self.is_found = len(found) == len(wanted)
        self.is_right_size = len(self.answer["culprits"]) == len(wanted) + (self.wrong is not None)
        self.has_wrong = self.wrong is None or self.wrong[0] in readings or any(
            reading["place"] == self.wrong[0] and reading["verdict"] in ("unexplained", "impossible")
            for reading in self.answer["readings"])
        self.found = found
        self.wanted = wanted
        return self

    def describe(self):
        groups = [[f"{fit['kind']}:{fit['id']}" for fit in culprit["one_of"]][:6] + [round(culprit["sure"], 3)]
                  for culprit in self.answer["culprits"]]
        return (f"{self.car.path.stem} {self.state} {self.kind}: planted "
                f"{ {name: round(ohm, 4) for name, ohm in self.wanted.items()} }, wrong {self.wrong}, named {groups}, "
                f"chance {self.answer['chance']:.3g}, accepted {self.answer['accepted']}")


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--cases", type=int, default=60)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--show", action="store_true")
    options.add_argument("--keep", help="a folder for the readings of cases that --show shows")
    options.add_argument("vehicles", nargs="+")
    chosen = options.parse_args()
    rng = random.Random(chosen.seed)
    cars = [Car(path) for path in chosen.vehicles]
    counts = {}
    for number in range(chosen.cases):
        kind = KINDS[number % len(KINDS)]
        case = Case(cars[(number // len(KINDS)) % len(cars)], kind, rng).ask()
        count = counts.setdefault(kind, [0, 0, 0, 0, [], []])
        count[0] += 1
        count[1] += case.is_found
        count[2] += case.is_found and case.is_right_size
        count[3] += case.has_wrong
        for ohm, fit in case.found.values():
            count[4].append(abs(fit["ohm"] / ohm - 1.0))
            count[5].append(fit["ohm_low"] <= ohm and (fit["open"] or ohm <= fit["ohm_high"]))
        if chosen.show and not (case.is_found and case.is_right_size and case.has_wrong):
            print(number, case.describe(), flush=True)
            if chosen.keep:
                pathlib.Path(chosen.keep, f"{number}.csv").write_text(
                    "place,state,volts\n" + "".join(",".join(row) + "\n" for row in case.readings))
    for kind, (cases, found, clean, wrong, off, within) in counts.items():
        middle = sorted(off)[len(off) // 2] if off else float("nan")
        print(f"{kind}: {found} of {cases} found, {clean} without anything more, "
              f"wrong reading told in {wrong}; ohms off by {middle:.1%} in the middle, "
              f"{sum(within)} of {len(within)} within their 95 %")
    return 0


if __name__ == "__main__":
    sys.exit(main())
