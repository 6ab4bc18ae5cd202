# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""A second optimiser for circles in a circle, by another way than the program's: writes
tests/reference/packing-mixed.csv.

    pack_again.py STARTS > tests/reference/packing-mixed.csv

Each start scatters the circles at random in a circle of fixed radius and rolls them apart with a heavy ball
(momentum) until the overlaps are gone or do not get smaller; the radius is then halved between the last that
went and the last that did not. It knows no corners, no order of size and no pressure. Slow, and run by hand.
"""

import math
import random
import sys

# Outside radii of common thin-wall wires, mm; what they are does not matter, but how unlike they are.
RADII = [0.7, 0.8, 0.95, 1.05, 1.2, 1.35, 1.65, 2.1, 3.25, 5.5]
STEPS = 350
HALVINGS = 9
GONE = 1e-4  # of the least radius: the largest overlap that counts as none


def cases():
    rng = random.Random(1961)
    for case in range(24):
        count = 3 + case // 3 if case < 15 else 8 + (case - 15) // 2
        yield [rng.choice(RADII) for _ in range(count)]


def roll_apart(radii, places, hose):
    """The places after rolling, and the largest overlap left."""
    count = len(radii)
    speed = [[0.0, 0.0] for _ in radii]
    worst = 0.0
    for _ in range(STEPS):
        push = [[0.0, 0.0] for _ in radii]
        worst = 0.0
        for i in range(count):
            xi, yi = places[i]
            ri = radii[i]
            away = math.hypot(xi, yi)
            out = away + ri - hose
            if out > 0.0:
                worst = max(worst, out)
                push[i][0] -= out * xi / away
                push[i][1] -= out * yi / away
            for j in range(i):
                dx = xi - places[j][0]
                dy = yi - places[j][1]
                touch = ri + radii[j]
                square = dx * dx + dy * dy
                if square < touch * touch:
                    apart = math.sqrt(square) or 1e-9
                    over = touch - apart
                    worst = max(worst, over)
                    push[i][0] += over * dx / apart
                    push[i][1] += over * dy / apart
                    push[j][0] -= over * dx / apart
                    push[j][1] -= over * dy / apart
        if worst < GONE * min(radii):
            break
        for i in range(count):
            for axis in (0, 1):
                speed[i][axis] = 0.8 * speed[i][axis] + 0.25 * push[i][axis]
                places[i][axis] += speed[i][axis]
    return places, worst


def true_radius(radii, places):
    """Of the packing that is left when all is spread until nothing overlaps."""
    share = 1.0
    for i, (x, y) in enumerate(places):
        for j in range(i):
            apart = math.hypot(x - places[j][0], y - places[j][1])
            share = max(share, (radii[i] + radii[j]) / max(apart, 1e-9))
    return max(share * math.hypot(x, y) + r for r, (x, y) in zip(radii, places))


def pack(radii, starts, rng):
    best = sum(radii)
    low = math.sqrt(sum(r * r for r in radii))
    for _ in range(starts):
        places = []
        for _ in radii:
            angle, far = rng.uniform(0.0, 2.0 * math.pi), best * math.sqrt(rng.random())
            places.append([far * math.cos(angle), far * math.sin(angle)])
        # Only a start that is at rest a little inside the best so far is worth halving.
        places, worst = roll_apart(radii, places, 0.999 * best)
        if worst > 0.02 * min(radii):
            continue
        under, over = low, best
        for _ in range(HALVINGS):
            middle = 0.5 * (under + over)
            tried, worst = roll_apart(radii, [list(p) for p in places], middle)
            if worst < 10 * GONE * min(radii):
                over, places = middle, tried
                best = min(best, true_radius(radii, tried))
            else:
                under = middle
    return best


def main():
    rng = random.Random(7)
    print("radii_mm,radius_mm")
    for radii in cases():
        print(f"{' '.join(f'{r:g}' for r in radii)},{pack(radii, int(sys.argv[1]), rng):.6f}", flush=True)


main()
