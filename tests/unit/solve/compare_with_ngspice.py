# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Operating points of random networks against ngspice, a general circuit simulator.

    compare_with_ngspice.py WRITE_SPICE_CASES FIRST[-LAST[:STEP]] [--most-wires N] [--keep FOLDER]

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
import signal
import struct
import subprocess
import sys
import tempfile
import time

ABSOLUTE_V = 1e-6
RELATIVE = 1e-6
OPTIONS = ".options reltol=1e-9 abstol=1e-14 vntol=1e-11 gmin=1e-16 pivtol=1e-20 pivrel=0.1 itl1=50 itl2=50"
STEPPING = " gminsteps=0\n"  # from dead sources up to full ones
SWEEP_STEPS = 1000
MOST_CABLE_OHM = 1.0  # more is a load
MOST_CPU_S = 120  # of one search; not by the clock, so that a busy machine gives the same answer
STARTED_AT = 1e-3  # share of its power that a load must find at its least voltage: lib/solve/circuit.hpp


def read_raw(path):
    """Columns of a binary raw file by name: v(NODE), v(0) among them, and i(SOURCE)."""
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
            _, name, kind = line.lower().split()[:3]
            names.append(f"v({name})" if kind == "voltage" and not name.startswith("v(") else name)
    numbers = struct.unpack(f"<{len(names) * points}d", body[: 8 * len(names) * points])
    return {name: numbers[k :: len(names)] for k, name in enumerate(names)} | {"v(0)": (0.0,) * points}


def simulate(deck, text):
    """What ngspice makes of a deck; None and what it said when it gives no answer."""
    asked = deck.with_suffix(".asked")
    asked.write_text(text)
    raw = deck.with_suffix(".raw")
    raw.unlink(missing_ok=True)
    done = subprocess.run(["sh", "-c", f'ulimit -t {MOST_CPU_S}; exec ngspice -b -r "$0" "$1"', raw, asked],
                          capture_output=True, text=True, check=False)
    if done.returncode == -signal.SIGXCPU:
        return None, f"nothing in {MOST_CPU_S} s of computing"
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


WAYS = (  # to look for an operating point, tried in turn; each has a start, options and a command
    lambda text: ("", STEPPING, ".op"),
    lambda text: ("", "\n", ".op"),
    # The loads of constant power come on by degrees; what counts is the last point, at their full power.
    # (They may have several operating points, and sources brought up by degrees may meet the wrong one.)
    lambda text: ("", "\n", ".dc Vlevel 0.01 1 0.0099"),
    lambda text: (starts(text), STEPPING, ".op"),
)


def search(deck, text):
    """The operating point: the last value of each column."""
    for way in WAYS:
        start, options, command = way(text)
        found, said = simulate(deck, f"{text}{start}{OPTIONS}{options}{command}\n.end\n")
        if found is not None and abs(found["v(level)"][-1] - 1.0) < 1e-9:
            return {name: column[-1] for name, column in found.items()}, ""
    return None, said


class Result:
    def __init__(self, name):
        self.name = name
        self.compared = 0
        self.worst = (0.0, "")
        self.bad = []
        self.collapse = ""
        self.seconds = 0.0


def compare(deck):
    begun = time.monotonic()
    result = Result(deck.stem)
    compare_one(result, deck)
    result.seconds = time.monotonic() - begun
    return result


def compare_one(result, deck):
    text = deck.read_text()
    if deck.with_suffix(".collapse").exists():
        check_collapse(result, deck, text)
        return
    theirs, said = search(deck, text)
    if theirs is None:
        result.bad.append(f"{result.name}: ngspice gave no answer\n{said}")
        return
    for line in deck.with_suffix(".volts").read_text().splitlines():
        name, ours = line.split()
        volts = theirs[f"v({name})"]
        share = abs(float(ours) - volts) / (ABSOLUTE_V + RELATIVE * abs(volts))
        result.compared += 1
        result.worst = max(result.worst, (share, f"{result.name} {name}: {ours} against {volts!r}"))
        if not share <= 1.0:
            result.bad.append(f"{result.name} {name}: ours {ours}, ngspice {volts!r}")


def check_collapse(result, deck, text):
    plus, minus, watts, least = deck.with_suffix(".collapse").read_text().split()
    watts, least = float(watts), float(least)
    held = STARTED_AT * watts / least**2  # siemens of a load that only begins
    free, said = search(deck, f"{text}Rload {plus} {minus} {1 / held!r}\n")
    if free is None:
        result.bad.append(f"{result.name}: ngspice gave no answer without the load\n{said}")
        return
    start = free[f"v({plus})"] - free[f"v({minus})"]
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
        across = zip(found[f"v({plus})"], found[f"v({minus})"], found["i(vload)"])
        return [(upper - lower) * amps for upper, lower, amps in across]

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
        if point is None:
            return [math.inf]
        found += watts({name: [volts] for name, volts in point.items()})
    return found


def seeds_of_part(text):
    ends, _, step = text.partition(":")
    first, _, last = ends.partition("-")
    return range(int(first), int(last or first) + 1, int(step or 1))


def seeds(text):
    """Seeds as `3`, `3-9`, `3-90:8`, or several of these with commas between."""
    return [seed for part in text.split(",") for seed in seeds_of_part(part)]


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("writer")
    words.add_argument("seeds", type=seeds)
    words.add_argument("--most-wires", type=int, default=5000, help="leave larger networks out")
    words.add_argument("--keep", type=pathlib.Path, help="folder for the decks")
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = given.keep or pathlib.Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        subprocess.run([given.writer, folder, str(given.most_wires), *map(str, given.seeds)], check=True)
        named = (folder / f"{seed:05}.cir" for seed in given.seeds)
        decks = [deck for deck in named if deck.exists()]
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            results = list(pool.map(compare, decks))
    worst = max((result.worst for result in results), default=(0.0, ""))
    compared = sum(result.compared for result in results)
    collapses = [result.collapse for result in results if result.collapse]
    bad = [line for result in results for line in result.bad]
    print(f"{len(results)} networks, {compared} nodes; worst {worst[0]:.3g} of the allowance: {worst[1]}")
    print(f"{len(collapses)} of them collapse:", *collapses, sep="\n  ")
    slowest = sorted(results, key=lambda result: -result.seconds)[:5]
    print("slowest:", ", ".join(f"{result.name} {result.seconds:.1f} s" for result in slowest))
    for line in bad[:20]:
        print(line)
    if bad or compared + len(collapses) == 0 or len(collapses) > 0.05 * len(results) + 1:
        print(f"FAILED: {len(bad)} complaints")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
