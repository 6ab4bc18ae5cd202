# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Operating points of random networks against ngspice, a general circuit simulator.

    compare_with_ngspice.py WRITE_SPICE_CASES SEED-SEED[:STEP] [--keep FOLDER]

The decks hold resistors, voltage sources, diodes of the simulator's own model, and B sources that spell
out the other laws of lib/solve/circuit.hpp in the simulator's words; none of our voltages is in them.
Agreement at every node: 1 uV + 1e-6 relative, as the method promises.

No network is left out. Where we say that a load has pulled its own feed down so that there is no operating
point, the simulator has the last word too: a source in the load's place is swept from the voltage there
without the load to the load's least voltage, and nowhere must the rest of the network give the load's power.
"""

import argparse
import concurrent.futures
import heapq
import math
import pathlib
import struct
import subprocess
import sys
import tempfile

ABSOLUTE_V = 1e-6
RELATIVE = 1e-6
OPTIONS = ".options reltol=1e-9 abstol=1e-14 vntol=1e-11 gmin=1e-16 pivtol=1e-20 itl1=50 itl2=50"
STEPPING = " gminsteps=0\n"  # from dead sources up to full ones
SWEEP_STEPS = 1000
MOST_CABLE_OHM = 1.0  # more is a load
TIMEOUT_S = 600
STARTED_AT = 1e-3  # share of its power that a load must find at its least voltage: lib/solve/circuit.hpp


def read_raw(path):
    """Columns of a binary raw file by name."""
    head, _, body = path.read_bytes().partition(b"Binary:\n")
    names = []
    points = 0
    in_variables = False
    for line in head.decode().splitlines():
        if line.startswith("No. Points:"):
            points = int(line.split(":")[1])
        if line.startswith("Variables:"):
            in_variables = True
        elif in_variables and line.strip():
            names.append(line.split()[1].lower())
    numbers = struct.unpack(f"<{len(names) * points}d", body[: 8 * len(names) * points])
    return {name: numbers[k :: len(names)] for k, name in enumerate(names)}


def simulate(deck, text):
    """What ngspice makes of a deck; None and what it said when it gives no answer."""
    deck.write_text(text)
    raw = deck.with_suffix(".raw")
    raw.unlink(missing_ok=True)
    done = subprocess.run(["ngspice", "-b", "-r", str(raw), str(deck)],
                          capture_output=True, text=True, timeout=TIMEOUT_S, check=False)
    said = done.stdout + done.stderr
    if not raw.exists() or "No. of Data Rows" not in said or "aborted" in said:
        return None, said[-2000:]
    return read_raw(raw), ""


def starts(text):
    """Every place at the voltage of the source, or of the ground, that the shortest way by cable leads to."""
    joined = {}
    emf = {}
    reached = [(0.0, "0", 0.0)]
    for word in (line.split() for line in text.splitlines() if line[0] in "RVB"):
        if word[0][0] == "V":
            emf[word[1]] = float(word[-1])
        elif word[1] in emf:
            reached.append((0.0, word[2], emf[word[1]]))
        elif word[0][0] == "R" and float(word[-1]) < MOST_CABLE_OHM:
            for here, there in ((word[1], word[2]), (word[2], word[1])):
                joined.setdefault(here, []).append((float(word[3]), there))
    heapq.heapify(reached)
    found = {}
    while reached:
        ohm, node, volts = heapq.heappop(reached)
        if node not in found:
            found[node] = volts
            for more, there in joined.get(node, []):
                heapq.heappush(reached, (ohm + more, there, volts))
    return "".join(f".nodeset v({node})={volts!r}\n" for node, volts in found.items() if node != "0")


def search(deck, text):
    """The operating point by one after the other of the simulator's ways to look for it."""
    for start, way in (("", STEPPING), (starts(text), STEPPING), ("", "\n")):
        found, said = simulate(deck, f"{text}{start}{OPTIONS}{way}.op\n.end\n")
        if found is not None:
            break
    return found, said


class Result:
    def __init__(self, name):
        self.name = name
        self.compared = 0
        self.worst = (0.0, "")
        self.bad = []
        self.collapse = ""


def compare(deck):
    result = Result(deck.stem)
    text = deck.read_text()
    if deck.with_suffix(".collapse").exists():
        check_collapse(result, deck, text)
        return result
    theirs, said = search(deck, text)
    if theirs is None:
        result.bad.append(f"{result.name}: ngspice gave no answer\n{said}")
        return result
    for line in deck.with_suffix(".volts").read_text().splitlines():
        name, ours = line.split()
        volts = theirs[f"v({name})" if f"v({name})" in theirs else name][0]
        share = abs(float(ours) - volts) / (ABSOLUTE_V + RELATIVE * abs(volts))
        result.compared += 1
        result.worst = max(result.worst, (share, f"{result.name} {name}: {ours} against {volts!r}"))
        if not share <= 1.0:
            result.bad.append(f"{result.name} {name}: ours {ours}, ngspice {volts!r}")
    return result


def check_collapse(result, deck, text):
    plus, minus, watts, least = deck.with_suffix(".collapse").read_text().split()
    watts, least = float(watts), float(least)
    held = STARTED_AT * watts / least**2  # siemens of a load that only begins
    free, said = search(deck, f"{text}Rload {plus} {minus} {1 / held!r}\n")
    if free is None:
        result.bad.append(f"{result.name}: ngspice gave no answer without the load\n{said}")
        return
    at = {name: free.get(f"v({name})", free.get(name))[0] for name in (plus, minus)}
    start = at[plus] - at[minus]
    if abs(start) < least:
        result.bad.append(f"{result.name}: not even without its load {least} V, but {start} V")
        return
    found = sweep(deck, text, plus, minus, start, least if start > 0 else -least)
    most = max(found)
    result.collapse = f"{result.name}: the load of {watts:.4g} W finds at most {most:.4g} W"
    if not most < watts:
        result.bad.append(f"{result.name}: no collapse: {most} W of {watts} W")


def sweep(deck, text, plus, minus, start, end):
    """Watts that the network gives to a source at voltages from start to end."""
    def watts(found):
        upper, lower = (found.get(f"v({name})", found.get(name)) for name in (plus, minus))
        return [(a - b) * amps for a, b, amps in zip(upper, lower, found["i(vload)"])]

    step = (end - start) / SWEEP_STEPS
    way = f".dc Vload {start!r} {end!r} {step!r}\n"
    load = f"Vload {plus} {minus} "
    swept, _ = simulate(deck, f"{text}{load}{start!r}\n{OPTIONS}{STEPPING}{way}.end\n")
    if swept is not None:
        return watts(swept)
    # Where another load drops out or comes on the sweep has to jump, and may fail: each by itself.
    found = []
    for k in range(0, SWEEP_STEPS + 1, SWEEP_STEPS // 50):
        point, said = search(deck, f"{text}{load}{start + k * step!r}\n")
        found.append(watts(point)[0] if point is not None else math.inf)
    return found


def seeds(text):
    ends, _, step = text.partition(":")
    first, _, last = ends.partition("-")
    return range(int(first), int(last or first) + 1, int(step or 1))


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("writer")
    words.add_argument("seeds", type=seeds)
    words.add_argument("--keep", type=pathlib.Path, help="folder for the decks")
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = given.keep or pathlib.Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        subprocess.run([given.writer, folder, *map(str, given.seeds)], check=True)
        decks = [folder / f"{seed:05}.cir" for seed in given.seeds]
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            results = list(pool.map(compare, decks))
    worst = max((result.worst for result in results), default=(0.0, ""))
    compared = sum(result.compared for result in results)
    collapses = [result.collapse for result in results if result.collapse]
    bad = [line for result in results for line in result.bad]
    print(f"{len(results)} networks, {compared} nodes; worst {worst[0]:.3g} of the allowance: {worst[1]}")
    print(f"{len(collapses)} of them collapse:", *collapses, sep="\n  ")
    for line in bad[:20]:
        print(line)
    if bad or compared == 0 or len(collapses) > 0.05 * len(results) + 1:
        print(f"FAILED: {len(bad)} complaints")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
