# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Operating points of every state of vehicles against ngspice, a general circuit simulator.

    compare_with_ngspice.py WRITE_STATE_DECKS [--spread N] VEHICLE.yaml...

The decks are the ones that `export --to spice` writes; none of our node voltages is in them. Agreement
at every node: 1 uV + 1e-6 relative, as the method promises. With --spread the decks are those of the
first spread samples of each state, and N of them are solved in both of our ways as well.
"""

import concurrent.futures
import pathlib
import re
import subprocess
import sys
import tempfile

ABSOLUTE_V = 1e-6
RELATIVE = 1e-6
ANSWER = re.compile(r"^(n\d+) = (\S+)\s*$")


def simulate(deck):
    done = subprocess.run(
        ["ngspice", "-b", str(deck)], capture_output=True, text=True, timeout=120, check=False
    )
    volts = {}
    for line in done.stdout.splitlines():
        found = ANSWER.match(line)
        if found:
            volts[found[1]] = float(found[2])
    return volts, done.stdout + done.stderr


def main():
    writer, *vehicles = sys.argv[1:]
    options = []
    if vehicles[0] == "--spread":
        options, vehicles = vehicles[:2], vehicles[2:]
    with tempfile.TemporaryDirectory() as folder:
        written = subprocess.run([writer, *options, folder, *vehicles], check=False)
        decks = sorted(pathlib.Path(folder).glob("*.cir"))
        bad = [] if written.returncode == 0 else ["not every state has a proved answer of ours"]
        worst = (0.0, "nothing")
        compared = 0
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            for deck, (theirs, said) in zip(decks, pool.map(simulate, decks)):
                ours = dict(line.split() for line in deck.with_suffix(".volts").read_text().splitlines())
                missing = [name for name in ours if name not in theirs]
                if missing or not ours:
                    bad.append(f"{deck.name}: ngspice says nothing of {missing[:5]}\n{said[-1500:]}")
                    continue
                for name, text in ours.items():
                    off = abs(float(text) - theirs[name])
                    share = off / (ABSOLUTE_V + RELATIVE * abs(theirs[name]))
                    compared += 1
                    worst = max(worst, (share, f"{deck.name} {name}: {text} against {theirs[name]!r}"))
                    if not share <= 1.0:
                        bad.append(f"{deck.name} {name}: ours {text}, ngspice {theirs[name]!r}")
    print(f"{len(decks)} states, {compared} nodes; worst {worst[0]:.3g} of the allowance: {worst[1]}")
    for line in bad[:10]:
        print(line)
    return 1 if bad or compared == 0 else 0


if __name__ == "__main__":
    sys.exit(main())
