# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Protection zones of vehicle files in every state against the dominators of NetworkX.

    compare_zones_with_networkx.py ZONES_OF_FILE FILE...
"""

import pathlib
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "network"))

from zones_by_networkx import COPPER, SOURCES, feeds  # noqa: E402

ALWAYS = COPPER | {"bond", "strap", "fuse", "diode", "load"}
JUDGED = COPPER | {"fuse", "contact", "load"}


class Car:
    def __init__(self, text):
        self.parts, self.bodies, self.states = [], set(), []
        for line in text.splitlines():
            word, *rest = line.split(" ")
            if word == "body":
                self.bodies.add(rest[0])
            elif word == "part":
                self.parts.append(tuple(rest))
            elif word == "state":
                self.states.append((rest[0], rest[1], set()))
            else:
                source, branch, how, *guards = rest
                self.states[-1][2].add((source, int(branch), tuple(guards), how == "bare"))

    def expected(self, closed):
        """What NetworkX says of one state, in the same form."""
        standing = [(kind if kind in ALWAYS or closed[place] == "1" else "open", name, a, b)
                    for place, (kind, name, a, b) in enumerate(self.parts)]
        for name, zone in feeds(standing, self.bodies):
            for place, (kind, *_) in enumerate(standing):
                answer = zone(place) if kind in JUDGED else None
                if answer is not None:
                    yield name, place, tuple(answer[0]), answer[1]


def main():
    tool, *files = sys.argv[1:]
    bad, guarded, states = 0, 0, 0
    for file in files:
        answer = subprocess.run([tool, file], capture_output=True, text=True, check=True).stdout
        car = Car(answer)
        for name, closed, ours in car.states:
            theirs = set(car.expected(closed))
            states += 1
            guarded += sum(len(guards) > 0 for _, _, guards, _ in ours)
            if ours != theirs:
                bad += 1
                print(f"{file}, {name}: only here {sorted(ours - theirs)[:3]}, "
                      f"only NetworkX {sorted(theirs - ours)[:3]}")
        if not any(kind in SOURCES for kind, *_ in car.parts):
            print(f"{file}: no source")
            bad += 1
    print(f"{len(files)} vehicles, {states} states, {guarded} conductors behind devices")
    return 1 if bad or guarded < 1000 else 0


if __name__ == "__main__":
    sys.exit(main())
