# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Protection zones of random circuits against the dominators of NetworkX.

    compare_with_networkx.py ZONES_OF_CIRCUIT COUNT

The graph is built here a second time from the circuit's own description. A wire's protective device is
the last fuse that every way from the sources to the wire passes (networkx.immediate_dominators).
"""

import itertools
import random
import subprocess
import sys

import networkx

ENDS = {"battery": 2, "splice": 1, "fuse": 2, "heater": 2, "ground": 1, "switch": 2}


def random_circuit(seed):
    rng = random.Random(seed)
    devices = [("battery", "G1", "")] + ([("battery", "G2", "")] if rng.random() < 0.3 else [])
    for number in range(rng.randint(3, 40)):
        kind = rng.choice(["splice", "splice", "fuse", "fuse", "fuse", "switch", "heater", "ground"])
        devices.append((kind, f"D{number}", str(int(rng.random() < 0.3)) if kind == "switch" else ""))
    wires = []
    live = [("G1", 0)]
    for kind, name, _ in devices[1:]:
        if kind == "battery":
            wires.append(("G1", 0, name, 0) if rng.random() < 0.5 else (rng.choice(live)[0], 0, name, 0))
            continue
        if kind == "ground":
            continue
        source = rng.choice(live)
        wires.append((*source, name, 0))
        live += [(name, end) for end in range(1 if kind == "heater" else ENDS[kind])]
    grounds = [name for kind, name, _ in devices if kind == "ground"]
    for kind, name, _ in devices:
        if kind in ("heater", "battery") and grounds:
            wires.append((name, 1, rng.choice(grounds), 0))
    # A second feed here and there, so that some wires hang on two fuses.
    for _ in range(rng.randint(0, 5)):
        wires.append((*rng.choice(live), *rng.choice(live)))
    rng.shuffle(wires)
    return devices, wires


def as_text(devices, wires):
    lines = [" ".join(device).strip() for device in devices]
    return "\n".join(lines + ["wire " + " ".join(map(str, wire)) for wire in wires] + ["end\n"])


def expected(devices, wires):
    kinds = {name: kind for kind, name, _ in devices}

    def node(name, end):
        return (name, 0) if ENDS[kinds[name]] == 1 else (name, end)

    metal = networkx.Graph()
    metal.add_node("metal")
    for kind, name, _ in devices:
        if kind == "ground":
            metal.add_edge("metal", (name, 0))
    if not any(kind == "ground" for kind, _, _ in devices):
        metal.add_edge("metal", ("G1", 1))  # counted from the first battery's minus
    for a, i, b, k in wires:
        metal.add_edge(node(a, i), node(b, k))
    ground = networkx.node_connected_component(metal, "metal")

    graph = networkx.DiGraph()
    graph.add_node("source")

    def link(middle, a, b):
        if a in ground or b in ground:
            return
        networkx.add_path(graph, [a, middle, b])
        networkx.add_path(graph, [b, middle, a])

    for kind, name, note in devices:
        if kind == "battery":
            graph.add_edge("source", (name, 0))
        elif kind == "fuse" or (kind == "switch" and note != "1"):
            link((kind, name, "itself"), (name, 0), (name, 1))
    for number, (a, i, b, k) in enumerate(wires):
        link(("wire", number, ""), node(a, i), node(b, k))
    dominators = dict(networkx.immediate_dominators(graph, "source"))
    out = []
    for number in range(len(wires)):
        here = ("wire", number, "")
        if here not in dominators:
            out.append("dead")
            continue
        while here != "source" and here[0] != "fuse":
            here = dominators[here]
        out.append("bare" if here == "source" else here[1])
    return out


def main():
    tool, count = sys.argv[1], int(sys.argv[2])
    bad = []
    seen = {"dead": 0, "bare": 0, "fused": 0}
    circuits = [random_circuit(seed) for seed in range(count)]
    answers = subprocess.run(
        [tool], input="".join(as_text(*circuit) for circuit in circuits),
        capture_output=True, text=True, check=True,
    ).stdout.splitlines()
    lines = iter(answers)
    for seed, (devices, wires) in enumerate(circuits):
        ours = list(itertools.takewhile(lambda line: line != "end", lines))
        theirs = expected(devices, wires)
        for word in theirs:
            seen[word if word in seen else "fused"] += 1
        if ours != theirs:
            bad.append(f"seed {seed}\n{as_text(devices, wires)}ours   {ours}\nthey   {theirs}")
    print(f"{count} circuits, wires: {seen}")
    for text in bad[:2]:
        print(text)
    return 1 if bad or min(seen.values()) < 100 else 0


if __name__ == "__main__":
    sys.exit(main())
