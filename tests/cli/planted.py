# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Cars with bad joints, solved by ngspice: the deck of a state with resistance added to some of its
conductors, and what a voltmeter would read there."""

import re
import subprocess

JOINT = re.compile(r"^R(\d+) (\S+) (\S+) (\S+)$")
PLACE = re.compile(r"^\* (n\d+|0) = (.+)$")
VOLTS = re.compile(r"^(\S+) = (\S+)$", re.MULTILINE)
LOAD = re.compile(r"^B\d+ (\S+) (\S+) I=(?:abs\(.*?\)>=(\S+) \?)?")
TITLE = re.compile(r"^\* ---- (.+) ----$")
CONDUCTORS = ("Metal of the car", "Fuses and breakers", "Contacts", "Wires, leads, connectors")


class Deck:
    """A deck of `export --to spice`: its conductors, its places, its text."""

    def __init__(self, text):
        self.lines = text.splitlines()
        self.places = {}  # node of the deck by the name of the place
        self.coils = []  # (node, node)
        self.loads = []  # (node, node, least volts of electronics or 0), plus first
        self.joints = {}  # branch of the network: (label, node, node, ohm, line)
        part = label = ""
        for at, line in enumerate(self.lines):
            if place := PLACE.match(line):
                self.places[place[2]] = place[1]
            if title := TITLE.match(line):
                part = title[1]
            elif line.startswith("* "):
                label = line[2:]
            joint = JOINT.match(line)
            if joint and ", coil " in label:
                self.coils.append((joint[2], joint[3]))
            if load := LOAD.match(line):
                self.loads.append((load[1], load[2], float(load[3] or 0.0)))
            if joint and any(part.startswith(wanted) for wanted in CONDUCTORS):
                self.joints[int(joint[1])] = (label, joint[2], joint[3], float(joint[4]), at)

    def with_added(self, added):
        """The text with ohms added to branches."""
        lines = list(self.lines)
        for branch, ohm in added.items():
            if branch in self.joints:
                _, node, other, has, at = self.joints[branch]
                lines[at] = f"R{branch} {node} {other} {has + ohm:.17g}"
        return "\n".join(lines) + "\n"


def solve(text):
    """Volts by node of a deck, as ngspice finds them; None when it finds no operating point."""
    try:
        run = subprocess.run(["ngspice", "-b", "/dev/stdin"], input=text, capture_output=True,
                             text=True, timeout=10, check=False)
    except subprocess.TimeoutExpired:
        return None
    volts = {"0": 0.0}
    for name, value in VOLTS.findall(run.stdout):
        try:
            volts[name.lower()] = float(value)
        except ValueError:
            pass
    return volts if len(volts) > 1 else None


def currents(deck, volts):
    """Amperes through each joint."""
    return {branch: (volts[node] - volts[other]) / ohm
            for branch, (_, node, other, ohm, _) in deck.joints.items()
            if node in volts and other in volts}


def stands_as_written(deck, good, bad):
    """A deck is one stand of relays and loads. True when no coil lost so much that a real relay might let
    go, or would not have come in; no electronics came near the voltage at which they let go; and no load
    stands the wrong way round, where some block, which the deck does not know."""
    holds = all(abs(bad[node] - bad[other]) >= 0.9 * abs(good[node] - good[other])
                for node, other in deck.coils if node in good and other in good)
    return holds and all(bad[plus] - bad[minus] > -0.05 and
                         (least == 0.0 or good[plus] - good[minus] < least or
                          bad[plus] - bad[minus] > 1.15 * least)
                         for plus, minus, least in deck.loads if plus in bad and minus in bad)
