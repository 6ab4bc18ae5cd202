# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Protection zones of random circuits against the dominators of NetworkX.

    compare_with_networkx.py ZONES_OF_CIRCUIT COUNT

The graph is built here a second time from the circuit's own description. From each source, the devices that
guard a wire are the fuses that every way to it passes (networkx.immediate_dominators).
"""

import itertools
import random
import subprocess
import sys

from zones_by_networkx import feeds

ENDS = {"battery": 2, "alternator": 2, "splice": 1, "fuse": 2, "heater": 2, "ground": 1, "switch": 2,
        "diode": 2}
SOURCES = ("battery", "alternator")


def random_circuit(seed):
    rng = random.Random(seed)
    devices = [("battery", "G1", "")]
    if rng.random() < 0.3:
        devices.append(("battery", "G2", ""))
    if rng.random() < 0.5:
        devices.append(("alternator", "G3", ""))
    for number in range(rng.randint(3, 40)):
        kind = rng.choice(["splice", "splice", "fuse", "fuse", "fuse", "switch", "heater", "ground", "diode"])
        devices.append((kind, f"D{number}", str(int(rng.random() < 0.3)) if kind == "switch" else ""))
    # A car whose plus lies on its metal: the minus is what feeds.
    live = 1 if rng.random() < 0.15 else 0
    wires = []
    fed = [("G1", live)]
    for kind, name, _ in devices[1:]:
        if kind in SOURCES:
            wires.append((*rng.choice(fed), name, live))
            continue
        if kind == "ground":
            continue
        wires.append((*rng.choice(fed), name, 0))
        fed += [(name, end) for end in range(1 if kind == "heater" else ENDS[kind])]
    for kind, name, _ in devices:
        if kind in SOURCES and rng.random() < 0.5:  # fed from both ends, where something stands there
            wires.append((*rng.choice(fed), name, live))
    grounds = [name for kind, name, _ in devices if kind == "ground"]
    for kind, name, _ in devices:
        if kind in ("heater", *SOURCES) and grounds:
            wires.append((name, 1 - live if kind in SOURCES else 1, rng.choice(grounds), 0))
    # A second feed here and there, so that some wires hang on two fuses.
    for _ in range(rng.randint(0, 5)):
        wires.append((*rng.choice(fed), *rng.choice(fed)))
    rng.shuffle(wires)
    return devices, wires


def as_text(devices, wires):
    lines = [" ".join(device).strip() for device in devices]
    return "\n".join(lines + ["wire " + " ".join(map(str, wire)) for wire in wires] + ["end\n"])


def expected(devices, wires):
    kinds = {name: kind for kind, name, _ in devices}

    def node(name, end):
        return (name, 0) if ENDS[kinds[name]] == 1 else (name, end)

    parts = [("wire", "", node(a, i), node(b, k)) for a, i, b, k in wires]
    bodies = ["chassis"]
    for kind, name, note in devices:
        if kind == "ground":
            parts.append(("bond", name, (name, 0), "chassis"))
        elif kind == "switch" and note != "1":
            parts.append(("contact", name, (name, 0), (name, 1)))
        elif kind in ("fuse", "diode", *SOURCES):
            parts.append((kind, name, (name, 0), (name, 1)))
    if "ground" not in kinds.values():
        bodies.append(("G1", 1))  # counted from the first battery's minus
    zones = list(feeds(parts, bodies))
    out = []
    for number in range(len(wires)):
        line = ""
        for name, zone in zones:
            answer = zone(number)
            if answer is not None:
                guards, is_bare = answer
                line += " ".join([name + ":", *guards]) + (" bare; " if is_bare else "; ")
        out.append(line)
    return out


def main():
    tool, count = sys.argv[1], int(sys.argv[2])
    bad = []
    seen = {"dead": 0, "bare": 0, "one fuse": 0, "several": 0, "two sources": 0}
    circuits = [random_circuit(seed) for seed in range(count)]
    answers = subprocess.run(
        [tool], input="".join(as_text(*circuit) for circuit in circuits),
        capture_output=True, text=True, check=True,
    ).stdout.splitlines()
    lines = iter(answers)
    for seed, (devices, wires) in enumerate(circuits):
        ours = list(itertools.takewhile(lambda line: line != "end", lines))
        theirs = expected(devices, wires)
        for line in theirs:
            most = max((zone.count("D") for zone in line.split(";")), default=0)
            seen["dead"] += line == ""
            seen["bare"] += "bare" in line
            seen["one fuse"] += most == 1
            seen["several"] += most > 1
            seen["two sources"] += line.count(":") > 1
        if ours != theirs:
            bad.append(f"seed {seed}\n{as_text(devices, wires)}ours   {ours}\nthey   {theirs}")
    print(f"{count} circuits, wires: {seen}")
    for text in bad[:2]:
        print(text)
    return 1 if bad or min(seen.values()) < 100 else 0


if __name__ == "__main__":
    sys.exit(main())
