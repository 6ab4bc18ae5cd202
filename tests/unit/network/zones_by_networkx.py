# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The graph of feeds built a second time, and its dominators by NetworkX.

What stands in a circuit is (kind, name, from, to), nodes by any name; kinds: wire, joint, contact (closed),
fuse, diode, output (high side), bond, strap, battery, alternator, charger, load (a feed ends there).
Others are not passed.
"""

import networkx

COPPER = {"wire", "lead", "joint"}
SOURCES = {"battery", "alternator", "charger"}


def metal_of(parts, bodies):
    """Nodes of the metal of the car, and what wires alone join to it."""
    graph = networkx.Graph()
    graph.add_nodes_from(bodies)
    graph.add_edges_from((a, b) for kind, _, a, b in parts if kind in COPPER | {"bond", "strap"})
    return set().union(*(networkx.node_connected_component(graph, body) for body in bodies))


def feeds(parts, bodies):
    """For each source (in order) its name and a function of a part's place: None where it is not fed, else
    the fuses that every way passes, the nearest first, and whether some way passes none."""
    metal = metal_of(parts, bodies)
    turned = any(kind == "battery" and a in metal and b not in metal for kind, _, a, b in parts)
    graph = networkx.DiGraph()
    for place, (kind, _, a, b) in enumerate(parts):
        if kind == "load":
            graph.add_edges_from((end, ("part", place)) for end in (a, b) if end not in metal)
        if a in metal or b in metal:
            continue
        if kind in COPPER | {"contact", "fuse"}:
            networkx.add_path(graph, [a, ("part", place), b])
            networkx.add_path(graph, [b, ("part", place), a])
        elif kind in ("diode", "output"):
            back = turned and kind == "diode"
            networkx.add_path(graph, [b, ("part", place), a] if back else [a, ("part", place), b])
    without_fuses = graph.copy()
    without_fuses.remove_nodes_from(
        [("part", place) for place, part in enumerate(parts) if part[0] == "fuse"])
    for kind, name, a, b in parts:
        if kind not in SOURCES:
            continue
        post = b if a in metal and b not in metal else a
        yield name, zone_of(parts, graph, without_fuses, post, metal)


def zone_of(parts, graph, without_fuses, post, metal):
    if post in metal:
        return lambda place: None
    graph = graph.copy()
    graph.add_node(post)
    dominators = dict(networkx.immediate_dominators(graph, post))
    bare = {post} | (networkx.descendants(without_fuses, post) if post in without_fuses else set())

    def answer(place):
        here = ("part", place)
        if here not in dominators:
            return None
        guards = []
        is_bare = here in bare and parts[place][0] != "fuse"
        while dominators.get(here, here) not in (None, here):
            here = dominators[here]
            if isinstance(here, tuple) and here[0] == "part" and parts[here[1]][0] == "fuse":
                guards.append(parts[here[1]][1])
        return guards, is_bare

    return answer
