# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Published ampacities beside the heat balance: docs/method/ampacity.svg and the ratios in docs/method/heat.md.

    ampacity_picture.py PRINT_AMPACITY SOURCE_DIR [--accept]

Says what differs from the files that are checked in; with --accept writes them anew.
"""

import collections
import csv
import io
import math
import pathlib
import subprocess
import sys

WIDTH, HEIGHT = 760, 620
LEFT, RIGHT = 64, 744
UPPER = (24, 300)  # top and bottom of the panel of currents
LOWER = (340, 520)  # and of that of ratios
AREA = (0.4, 150.0)
AMPS = (4.0, 600.0)
RATIO = (0.4, 1.6)
BEGIN, END = "<!-- ratios: begin -->", "<!-- ratios: end -->"
LEAST, MOST = 0.5, 1.6  # a ratio outside is a mistake somewhere, no difference of conditions
MARKERS = {
    "circle": '<circle cx="{x:.1f}" cy="{y:.1f}" r="3.4" fill="white" stroke="black"/>',
    "disc": '<circle cx="{x:.1f}" cy="{y:.1f}" r="3.4"/>',
    "square": '<rect x="{l:.1f}" y="{t:.1f}" width="6.4" height="6.4" fill="white" stroke="black"/>',
    "block": '<rect x="{l:.1f}" y="{t:.1f}" width="6.4" height="6.4"/>',
    "up": '<path d="M{x:.1f} {t:.1f}l4 7h-8z" fill="white" stroke="black"/>',
    "wedge": '<path d="M{x:.1f} {t:.1f}l4 7h-8z"/>',
    "cross": '<path d="M{l:.1f} {t:.1f}l6.4 6.4m0 -6.4l-6.4 6.4" stroke="black" fill="none"/>',
    "plus": '<path d="M{x:.1f} {t:.1f}v6.4m-3.2 -3.2h6.4" stroke="black" fill="none"/>',
}


def read_rows(program, source):
    listed = (source / "tests/reference/ampacity-published.csv").read_text()
    answer = subprocess.run([program], input=listed, capture_output=True, text=True, check=True).stdout
    series = collections.OrderedDict()
    for row in csv.DictReader(io.StringIO(answer)):
        key = (row["table"], int(row["class_c"]), int(row["air_c"]), row["mark"])
        series.setdefault(key, []).append(
            (float(row["area_mm2"]), float(row["amps"]), float(row["heat_balance_a"])))
    return {key: sorted(points) for key, points in series.items()}


def scale(value, limits, low, high, logarithmic=True):
    a, b = limits
    part = math.log(value / a) / math.log(b / a) if logarithmic else (value - a) / (b - a)
    return low + part * (high - low)


def text(x, y, words, anchor="middle", size=11):
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{size}">{words}</text>'


def across(area):
    return scale(area, AREA, LEFT, RIGHT)


def frame(panel, ticks, place, words):
    top, bottom = panel
    out = [f'<rect x="{LEFT}" y="{top}" width="{RIGHT - LEFT}" height="{bottom - top}" fill="none" stroke="black"/>']
    for area in (0.5, 1, 2.5, 6, 16, 35, 95):
        x = across(area)
        out.append(f'<path d="M{x:.1f} {top}V{bottom}" stroke="#ccc"/>')
        out.append(text(x, bottom + 14, f"{area:g}"))
    for tick in ticks:
        y = place(tick)
        out.append(f'<path d="M{LEFT} {y:.1f}H{RIGHT}" stroke="#ccc"/>')
        out.append(text(LEFT - 6, y + 4, f"{tick:g}", "end"))
    out.append(f'<text transform="translate(16 {(top + bottom) / 2}) rotate(-90)" text-anchor="middle" font-size="11">{words}</text>')
    return out


def mark(shape, x, y):
    return MARKERS[shape].format(x=x, y=y, l=x - 3.2, t=y - 3.2)


def picture(series):
    def current_y(amps):
        return scale(amps, AMPS, UPPER[1], UPPER[0])

    def ratio_y(ratio):
        return scale(ratio, RATIO, LOWER[1], LOWER[0], False)

    out = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif" fill="black">',
           "<title>Published ampacities beside the heat balance</title>",
           f'<rect width="{WIDTH}" height="{HEIGHT}" fill="white"/>']
    out += frame(UPPER, (5, 10, 20, 50, 100, 200, 500), current_y, "current, A")
    out += frame(LOWER, (0.4, 0.6, 0.8, 1.0, 1.2, 1.4, 1.6), ratio_y, "published / heat balance")
    out.append(f'<path d="M{LEFT} {ratio_y(1):.1f}H{RIGHT}" stroke="black" stroke-width="1.6"/>')
    out.append(text((LEFT + RIGHT) / 2, LOWER[1] + 30, "conductor, mm2 (logarithmic)"))
    for (key, points), shape in zip(series.items(), MARKERS):
        line = "".join(f"{'L' if i else 'M'}{across(a):.1f} {current_y(ours):.1f}" for i, (a, _, ours) in enumerate(points))
        out.append(f'<path d="{line}" fill="none" stroke="#777"/>')
        line = "".join(f"{'L' if i else 'M'}{across(a):.1f} {ratio_y(amps / ours):.1f}" for i, (a, amps, ours) in enumerate(points))
        out.append(f'<path d="{line}" fill="none" stroke="#777" stroke-dasharray="3 3"/>')
    for (key, points), shape in zip(series.items(), MARKERS):
        out += [mark(shape, across(a), current_y(amps)) for a, amps, _ in points]
        out += [mark(shape, across(a), ratio_y(amps / ours)) for a, amps, ours in points]
    for index, ((table, limit, air, _), shape) in enumerate(zip(series, MARKERS)):
        x, y = (LEFT + 4 + 350 * (index % 2), LOWER[1] + 50 + 15 * (index // 2))
        out.append(mark(shape, x, y - 4))
        out.append(text(x + 10, y, f"{table}: conductor {limit} C, air {air} C", "start"))
    out.append(text(LEFT + 8, UPPER[0] + 16, "lines: heat balance, alone in still air; marks: published", "start"))
    return "\n".join(out + ["</svg>"]) + "\n"


def ratio_table(series):
    out = [BEGIN, "| table | conductor, air | sizes | published / heat balance: least, middle, most | mark |", "|---|---|---|---|---|"]
    for (table, limit, air, provenance), points in series.items():
        ratios = sorted(amps / ours for _, amps, ours in points)
        out.append(f"| {table} | {limit} C, {air} C | {points[0][0]:.3g} to {points[-1][0]:.3g} mm² "
                   f"| {ratios[0]:.2f}, {ratios[len(ratios) // 2]:.2f}, {ratios[-1]:.2f} | {provenance} |")
    return "\n".join(out + [END])


def main():
    program, source = sys.argv[1], pathlib.Path(sys.argv[2])
    series = read_rows(program, source)
    bad = [f"{key}: {amps} A at {area} mm2 is {amps / ours:.2f} of the heat balance"
           for key, points in series.items() for area, amps, ours in points if not LEAST <= amps / ours <= MOST]
    if len(series) != len(MARKERS):
        bad.append(f"{len(series)} tables, {len(MARKERS)} kinds of mark")
    page, drawn = source / "docs/method/heat.md", source / "docs/method/ampacity.svg"
    words = page.read_text()
    before, rest = words.split(BEGIN)
    renewed = before + ratio_table(series) + rest.split(END)[1]
    if "--accept" in sys.argv:
        page.write_text(renewed)
        drawn.write_text(picture(series))
    if renewed != page.read_text():
        bad.append(f"{page.name}: the ratios are not those of the program; run this with --accept and look at them")
    if not drawn.exists() or drawn.read_text() != picture(series):
        bad.append(f"{drawn.name} is not the picture of the program's figures; run this with --accept and look at it")
    print("\n".join(bad) or f"{sum(map(len, series.values()))} published figures")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
