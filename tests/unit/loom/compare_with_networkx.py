# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Routes of wires on random graphs and in vehicles against the shortest paths of NetworkX.

    compare_with_networkx.py DEFAULTS ROUTES_OF_GRAPH ROUTES_OF_VEHICLE COUNT VEHICLE.yaml...

Every route must be a way through the graph from end to end, keep its `via` and `avoid`, be as long as its
runs, and cost exactly what the cheapest path (or chain of cheapest paths) costs that NetworkX finds. Costs
are worked out here, from the shares of the table of defaults.
"""

import itertools
import pathlib
import random
import subprocess
import sys

import networkx
import yaml

TOLERANCE_M = 1e-6  # ways nearer than a nanometre count as equal; lengths are rounded to 0.1 mm here


def shares_of(defaults):
    rows = yaml.safe_load(defaults.read_text(encoding="utf-8"))["rows"]
    return {row[0]: float(row[1]) for row in rows if str(row[0]).startswith("route-")}


SHARES = {}


def cost(run):
    _, _, length, air, wet, moving, hidden = run
    return length * (1
                     + SHARES["route-hot"] * max(0.0, air - SHARES["route-hot-from"]) / 10
                     + (SHARES["route-wet"] if wet else 0)
                     + (SHARES["route-moving"] if moving else 0)
                     + (0 if hidden else SHARES["route-seen"]))


def random_graph(seed):
    rng = random.Random(seed)
    points = rng.randint(2, 60)
    runs = []
    # Half of the graphs have many ways of one length; a few fall apart into islands.
    coarse = seed % 2 == 0
    for _ in range(rng.randint(1, 3 * points)):
        a, b = rng.sample(range(points), 2)
        plain = seed % 3 == 0
        runs.append((a, b, rng.randint(1, 4) / 2 if coarse else round(rng.uniform(0.05, 3.0), 4),
                     50.0 if plain else rng.choice([20.0, 60.0, 80.0, 95.0]),
                     0 if plain else rng.randint(0, 1), 0 if plain else rng.randint(0, 1),
                     0 if plain else rng.randint(0, 1)))
    wires = []
    for _ in range(40):
        wire = {"ends": (rng.randrange(points), rng.randrange(points)), "via": [], "avoid": []}
        style = rng.random()
        if style < 0.3:
            for _ in range(rng.randint(1, 3)):
                wire["via"].append(
                    ("r", rng.randrange(len(runs))) if rng.random() < 0.5 else ("p", rng.randrange(points))
                )
        if 0.2 < style < 0.5:
            for _ in range(rng.randint(1, 2)):
                wire["avoid"].append(
                    ("r", rng.randrange(len(runs))) if rng.random() < 0.7 else ("p", rng.randrange(points))
                )
        wires.append(wire)
    return points, runs, wires


def as_text(points, runs, wires):
    lines = [f"points {points}"] + [f"run {' '.join(map(str, run))}" for run in runs]
    for wire in wires:
        words = ["wire", *map(str, wire["ends"])]
        for wish in ("via", "avoid"):
            for kind, number in wire[wish]:
                words += [wish, f"{kind}{number}"]
        lines.append(" ".join(words))
    return "\n".join([*lines, "end\n"])


def is_shut(number, run, avoid):
    return ("r", number) in avoid or ("p", run[0]) in avoid or ("p", run[1]) in avoid


def expected_cost(points, runs, wire):
    graph = networkx.MultiGraph()
    graph.add_nodes_from(range(points))
    for number, run in enumerate(runs):
        if not is_shut(number, run, wire["avoid"]):
            graph.add_edge(run[0], run[1], weight=cost(run))
    open_ways = {wire["ends"][0]: 0.0}

    def reach(target):
        best = None
        for start, so_far in open_ways.items():
            try:
                length = so_far + networkx.dijkstra_path_length(graph, start, target)
            except networkx.NetworkXNoPath:
                continue
            best = length if best is None else min(best, length)
        return best

    for kind, number in wire["via"]:
        next_ways = {}
        if kind == "p":
            length = reach(number)
            if length is not None:
                next_ways[number] = length
        elif not is_shut(number, runs[number], wire["avoid"]):
            a, b = runs[number][:2]
            own = cost(runs[number])
            for enter, leave in ((a, b), (b, a)):
                length = reach(enter)
                if length is not None:
                    next_ways[leave] = min(next_ways.get(leave, float("inf")), length + own)
        open_ways = next_ways
    return reach(wire["ends"][1])


def check_way(runs, wire, numbers):
    """The runs join up from end to end and keep what the wire asks for."""
    here = wire["ends"][0]
    visited = [("p", here)]
    for number in numbers:
        a, b = runs[number][:2]
        if here not in (a, b):
            return f"run {number} does not start at point {here}"
        if is_shut(number, runs[number], wire["avoid"]):
            return f"run {number} was to be avoided"
        here = b if here == a else a
        visited += [("r", number), ("p", here)]
    if here != wire["ends"][1]:
        return f"ends at {here}"
    place = 0
    for wish in wire["via"]:
        try:
            place = visited.index(wish, place)
        except ValueError:
            return f"does not pass {wish} in turn"
        if wish[0] == "r":
            place += 1  # a run asked for twice is passed twice; a point may be asked for twice at once
    return ""


def from_text(lines):
    """The graph and the wires of routes_of_vehicle's question."""
    points, runs, wires = 0, [], []
    for line in lines:
        kind, *words = line.split()
        if kind == "points":
            points = int(words[0])
        elif kind == "run":
            runs.append((int(words[0]), int(words[1]), *map(float, words[2:])))
        else:
            wire = {"ends": (int(words[0]), int(words[1])), "via": [], "avoid": []}
            for wish, name in zip(words[2::2], words[3::2]):
                wire[wish].append((name[0], int(name[1:])))
            wires.append(wire)
    return points, runs, wires


def compare(name, points, runs, wires, answers, bad):
    """Compares one graph; the number of wires with no way."""
    if len(answers) != len(wires):
        bad.append(f"{name}: {len(answers)} answers to {len(wires)} wires")
        return 0
    nowhere = 0
    for number, (wire, answer) in enumerate(zip(wires, answers)):
        want = expected_cost(points, runs, wire)
        if answer == "none" or want is None:
            nowhere += 1
            if (answer == "none") != (want is None):
                bad.append(f"{name} wire {number} {wire}: ours {answer}, NetworkX {want}")
            continue
        length, *numbers = answer.split()
        numbers = [int(n) for n in numbers]
        fault = check_way(runs, wire, numbers)
        own = sum(cost(runs[n]) for n in numbers)
        long = sum(runs[n][2] for n in numbers)
        if fault or abs(own - want) > TOLERANCE_M or abs(float(length) - long) > TOLERANCE_M:
            bad.append(f"{name} wire {number} {wire}: ours {answer}, NetworkX {want}; {fault}")
    return nowhere


def run(words, text=None):
    done = subprocess.run(words, input=text, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        print(done.stderr)
        sys.exit(1)
    return done.stdout.splitlines()


def main():
    defaults, graphs, vehicles, count, *files = sys.argv[1:]
    SHARES.update(shares_of(pathlib.Path(defaults)))
    bad = []
    compared = 0
    nowhere = 0
    random_graphs = [random_graph(seed) for seed in range(int(count))]
    answers = iter(run([graphs], "".join(as_text(*graph) for graph in random_graphs)))
    for seed, (points, runs, wires) in enumerate(random_graphs):
        own = list(itertools.takewhile(lambda line: line != "end", answers))
        nowhere += compare(f"seed {seed}", points, runs, wires, own, bad)
        compared += len(wires)
    print(f"{count} graphs, {compared} wires, {nowhere} with no way")
    on_cars = 0
    for file in files:
        lines = run([vehicles, file])
        middle = lines.index("answers")
        points, runs, wires = from_text(lines[:middle])
        compare(file, points, runs, wires, lines[middle + 1 :], bad)
        on_cars += len(wires)
    print(f"{len(files)} vehicles, {on_cars} routed wires")
    for line in bad[:20]:
        print(line)
    return 1 if bad or compared < 200 or nowhere == 0 or (files and on_cars == 0) else 0


if __name__ == "__main__":
    sys.exit(main())
