# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What the tests of the command share: running it, and a small car to change."""

import json
import os
import pathlib
import subprocess
import tempfile
import unittest

# ctest says which program is meant; by hand it is the one that tests/run built.
SOURCE = pathlib.Path(os.environ.get("LOOMWRIGHT_SOURCE_DIR", pathlib.Path(__file__).parents[2])).resolve()
COMMAND = pathlib.Path(os.environ.get("LOOMWRIGHT", SOURCE / "build/ci/cli/loomwright")).resolve()
EXAMPLES = SOURCE / "examples"
MARLOW = EXAMPLES / "marlow" / "marlow.yaml"
AS_FOUND = EXAMPLES / "marlow-as-found" / "marlow-as-found.yaml"
TRUCK_BODY = EXAMPLES / "truck-body" / "truck-body.yaml"
SIX_VOLT = EXAMPLES / "six-volt" / "six-volt.yaml"
SMALL = [EXAMPLES / name / f"{name}.yaml" for name in ("one-lamp", "relay-fan", "split-lights")]
VERBS = ("check", "size", "solve", "energy", "faults", "explain", "draw", "pack", "tables", "export")
FILE_VERBS = ("new", "import", "compare", "measure")  # that begin a vehicle file, or take two
OWN_VERBS = ("manual", "completion")  # in which the program tells of itself
SEVERITIES = ("note", "caution", "fault", "danger")

# One lamp with everything stated, so that a test can move one number and know what must follow.
ONE_LAMP = """\
loomwright: 1
title: One lamp
zones:
  cabin: {air: 25 C}
points:
  front: {zone: cabin}
  rear:  {zone: cabin}
runs:
  floor: {from: front, to: rear, length: 4 m}
devices:
  G1: {is: battery, at: front, capacity: 45 Ah, voltage: 12.6 V, resistance: 10 mohm}
  GND1: {is: ground, at: front, body: chassis, bond: 1 mohm}
  F1: {is: fuse, at: front, family: blade, rating: 10 A}
  S1: {is: switch, at: front, positions: {off: [], on: [1-2]}, contact: 30 A}
  E1: {is: lamp, at: rear, draws: 55 W at 13.5 V}
  GND2: {is: ground, at: rear, body: chassis, bond: 1 mohm}
circuits:
  ground:
    number: 1
    paths: [G1.- > GND1]
    wires: {1.1: {size: 16 mm2, length: 0.4 m}}
  lamp:
    number: 2
    class: lighting
    insulation: thin-wall pvc
    paths: [G1 > F1 > S1 > E1 > GND2]
    wires:
      2.1: {size: 1.5 mm2, length: 0.15 m}
      2.2: {size: 1.5 mm2, length: 1.2 m}
      2.3: {size: 1.5 mm2, length: 4 m}
      2.4: {size: 1.5 mm2, length: 0.3 m}
states:
  dark: {set: {S1: "off"}, expect: {off: [E1]}}
  lit:  {set: {S1: "on"}, expect: {on: [E1]}}
"""


def run(*words, stdin=None, cwd=None, env=None):
    """Runs the command; standard input is empty unless given."""
    return subprocess.run([str(COMMAND), *map(str, words)], input=stdin or b"", cwd=cwd,
                          env={**os.environ, **env} if env else None, capture_output=True,
                          timeout=120, check=False)


def answer(*words, statuses=(0, 1), **options):
    """Standard output of a run that must have worked."""
    done = run(*words, **options)
    if done.returncode not in statuses:
        raise AssertionError(f"loomwright {' '.join(map(str, words))}: exit status {done.returncode}\n"
                             f"{done.stderr.decode()}")
    return done.stdout


def answer_json(*words, **options):
    return json.loads(answer(*words, **options))


def changed(text, *changes):
    """`text` with each (old, new) of `changes` put in; old must stand in it once."""
    for old, new in changes:
        if text.count(old) != 1:
            raise AssertionError(f"{old!r} stands {text.count(old)} times in the text")
        text = text.replace(old, new)
    return text


class CarTest(unittest.TestCase):
    """A test with a folder of its own."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="loomwright-")
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def car(self, text=ONE_LAMP, name="car.yaml"):
        """Writes a vehicle file; gives its path."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    def names(self):
        """Everything in the folder, by name relative to it."""
        return sorted(path.relative_to(self.folder).as_posix() for path in self.folder.rglob("*"))


def by(key, rows):
    """The rows of an answer by their name; a name may stand once."""
    found = {row[key]: row for row in rows}
    if len(found) != len(rows):
        raise AssertionError(f"a {key} stands twice")
    return found
