# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The loom and the circuit as other programs read them: the loom at full size is measured in the PDF with
poppler (pdfinfo, pdftotext, pdftocairo), page by page, against the lengths of the vehicle file."""

import math
import re
import shutil
import subprocess
import unittest
import xml.etree.ElementTree as ElementTree

from car import AS_FOUND, EXAMPLES, MARLOW, CarTest, answer, run

MM = 72.0 / 25.4  # points of PDF (ISO 32000-1, 8.3.2.3) in a millimetre (the inch is 25.4 mm)
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1
SVG = "{http://www.w3.org/2000/svg}"

# A stub that one page holds, a run over several, one that is bent over the board, and a loop.
CAR = """loomwright: 1
title: Board
revision: 3
points: {a: {}, b: {}, c: {}, d: {}}
runs:
  stub:  {from: a, to: b, length: 83 mm}
  long:  {from: a, to: c, length: 737 mm}
  other: {from: c, to: d, length: 1411 mm}
devices:
  SP1: {is: splice, at: a}
  SP2: {is: splice, at: b}
  SP3: {is: splice, at: c}
  SP4: {is: splice, at: d}
circuits:
  all:
    number: 1
    wires:
      1.1: {from: SP1, to: SP2, size: 0.5 mm2}
      1.2: {from: SP1, to: SP3, size: 0.5 mm2}
      1.3: {from: SP3, to: SP4, size: 0.5 mm2}
"""


class Page:
    """What poppler sees on one page of a PDF, in millimetres from its upper left corner."""

    def __init__(self, pdf, number, folder):
        out = folder / f"page-{number}.svg"
        # Without -noshrink the page is made a thousandth smaller.
        subprocess.run(["pdftocairo", "-svg", "-noshrink", "-f", str(number), "-l", str(number), str(pdf),
                        str(out)], check=True)
        self.strokes = []  # (width, [(x, y), ...])
        root = ElementTree.fromstring(out.read_bytes())
        for path in root.iter(SVG + "path"):
            style = path.get("style", "")
            width = re.search(r"stroke-width:([\d.]+)", style)
            if width is None or re.search(r"[C]", path.get("d")) or "rgb(0%,0%,0%)" not in style:
                continue
            matrix = re.search(r"matrix\(([^)]*)\)", path.get("transform", "matrix(1,0,0,1,0,0)"))
            a, b, c, d, e, f = (float(part) for part in matrix.group(1).split(","))
            spots = [(float(x), float(y)) for x, y in re.findall(r"[ML] ([-\d.]+) ([-\d.]+)", path.get("d"))]
            self.strokes.append((float(width.group(1)) / MM,
                                 [((a * x + c * y + e) / MM, (b * x + d * y + f) / MM) for x, y in spots]))
        words = subprocess.run(["pdftotext", "-bbox", "-f", str(number), "-l", str(number), str(pdf), "-"],
                               capture_output=True, check=True).stdout.decode()
        self.words = []  # (text, x of the middle, y of the middle)
        for found in re.finditer(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">'
                                 r"([^<]*)</word>", words):
            x1, y1, x2, y2 = (float(found.group(i)) / MM for i in range(1, 5))
            self.words.append((found.group(5), 0.5 * (x1 + x2), 0.5 * (y1 + y2)))
        self.text = " ".join(word for word, _, _ in self.words)

    def lines(self, width):
        return [spots for wide, spots in self.strokes if abs(wide - width) < 0.01]

    def tile(self):
        return re.search(r"Tile ([A-Z]+\d+)", self.text).group(1)

    def crosses(self):
        """Register marks: where they are on the page, by the place on the board that stands beside."""
        arms = [spots for spots in self.lines(0.15) if len(spots) == 2 and abs(length(spots) - 8.0) < 0.01]
        level = [spots for spots in arms if abs(spots[0][1] - spots[1][1]) < 0.001]
        upright = [spots for spots in arms if abs(spots[0][0] - spots[1][0]) < 0.001]
        places = [(float(first[0].rstrip(",")), float(second[0]), first[1], first[2])
                  for first, second in zip(self.words, self.words[1:])
                  if re.fullmatch(r"-?\d+,", first[0]) and re.fullmatch(r"-?\d+", second[0])]
        out = {}
        for across in level:
            x, y = middle(across)
            assert any(distance(middle(up), (x, y)) < 0.01 for up in upright), "half a cross"
            near = min(places, key=lambda place: distance(place[2:], (x, y)))
            out[near[:2]] = (x, y)
        return out


def distance(a, b):
    return math.hypot(a[0] - b[0], a[1] - b[1])


def length(spots):
    return sum(distance(a, b) for a, b in zip(spots, spots[1:]))


def middle(spots):
    return 0.5 * (spots[0][0] + spots[-1][0]), 0.5 * (spots[0][1] + spots[-1][1])


def covered(pieces):
    """Length of straight pieces laid upon one another where pages overlap: along each of their lines."""
    lines = {}
    for (x1, y1), (x2, y2) in pieces:
        angle = math.atan2(y2 - y1, x2 - x1) % math.pi
        angle = 0.0 if math.pi - angle < 1e-3 else angle
        away = -math.sin(angle) * x1 + math.cos(angle) * y1
        along = sorted(math.cos(angle) * x + math.sin(angle) * y for x, y in ((x1, y1), (x2, y2)))
        key = next((k for k in lines if abs(k[0] - angle) < 1e-3 and abs(k[1] - away) < 0.1), (angle, away))
        lines.setdefault(key, []).append(along)
    total = 0.0
    for spans in lines.values():
        end = -math.inf
        for start, stop in sorted(spans):
            total += max(0.0, stop - max(start, end))
            end = max(end, stop)
    return total


@unittest.skipUnless(shutil.which("pdftocairo"), "poppler is not there")
class FullSize(CarTest):
    def pages(self, car, paper, *options):
        pdf = self.folder / f"loom-{paper}.pdf"
        answer("draw", car, "--view", "loom", "--full-size", "--paper", paper, "-o", pdf, *options)
        told = subprocess.run(["pdfinfo", str(pdf)], capture_output=True, check=True).stdout.decode()
        count = int(re.search(r"Pages: +(\d+)", told).group(1))
        size = sorted(float(part) / MM
                      for part in re.search(r"Page size: +([\d.]+) x ([\d.]+)", told).groups())
        for got, wanted in zip(size, PAPERS[paper]):
            self.assertAlmostEqual(got, wanted, delta=0.1)
        return [Page(pdf, number, self.folder) for number in range(1, count + 1)]

    def test_the_bar_is_100_mm_on_every_page(self):
        for paper in PAPERS:
            for page in self.pages(self.car(CAR), paper):
                bars = [spots for spots in page.lines(0.4) if len(spots) == 2]
                self.assertEqual(len(bars), 1)
                self.assertAlmostEqual(length(bars[0]), 100.0, delta=0.1)  # what a ruler can tell
                self.assertIn("100 mm. Print at 100 %", page.text)
                self.assertIn("Board, 3", page.text)

    def test_neighbours_have_the_same_marks(self):
        for paper in PAPERS:
            pages = self.pages(self.car(CAR), paper)[1:]
            self.assertGreater(len(pages), 3)
            shared = 0
            for i, page in enumerate(pages):
                crosses = page.crosses()
                self.assertEqual(len(crosses), 4)
                # The board is at 1:1: from mark to mark on the page as far as on the board.
                for here, at in crosses.items():
                    for there, other in crosses.items():
                        self.assertAlmostEqual(distance(at, other), distance(here, there), delta=0.05)
                for other in pages[i + 1:]:
                    common = set(crosses) & set(other.crosses())
                    shared += len(common) >= 2  # beside each other: two corners are the same
            self.assertGreaterEqual(shared, len(pages) - 1)

    def test_runs_are_as_long_as_they_are(self):
        for paper in PAPERS:
            pieces = []
            stub = []
            for page in self.pages(self.car(CAR), paper)[1:]:
                crosses = page.crosses()
                (board_x, board_y), (x, y) = next(iter(crosses.items()))
                for spots in page.lines(0.13):  # the middle lines of runs
                    moved = [(px - x + board_x, py - y + board_y) for px, py in spots]
                    if abs(length(spots) - 83.0) < 0.05:
                        stub.append(spots)
                    pieces += list(zip(moved, moved[1:]))
            self.assertGreaterEqual(len(stub), 1, "the stub is on no page as one line")
            # Each overlap is drawn twice and counted once; poppler gives a thousandth of a point.
            self.assertAlmostEqual(covered(pieces), 83.0 + 737.0 + 1411.0, delta=0.1)

    def test_the_same_bytes_and_fewer_pages_than_the_board_has(self):
        one, two = self.folder / "one.pdf", self.folder / "two.pdf"
        for pdf in (one, two):
            answer("draw", MARLOW, "--view", "loom", "--full-size", "-o", pdf)
        self.assertEqual(one.read_bytes(), two.read_bytes())
        told = subprocess.run(["pdftotext", "-l", "1", str(one), "-"], capture_output=True,
                              check=True).stdout.decode()
        pages = int(re.search(r"Full size on (\d+) pages of A4", told).group(1))
        width, height = (float(part) for part in re.search(r"takes (\d+) x (\d+) mm", told).groups())
        # Pages with nothing on them are left out: of a page's 180 mm x 250 mm a board has more.
        self.assertLess(pages, math.ceil(width / 180.0) * math.ceil(height / 250.0))


class Loom(CarTest):
    def test_every_example(self):
        for car in (MARLOW, AS_FOUND, EXAMPLES / "relay-fan/relay-fan.yaml",
                    EXAMPLES / "split-lights/split-lights.yaml"):
            drawing = answer("draw", car, "--view", "loom", "--format", "svg", "-o", "-").decode()
            self.assertRegex(drawing, r"scale 1:\d")
            self.assertIn("Flattened: every run is as long as in the car", drawing)

    def test_a_longer_run_is_drawn_longer(self):
        def size(millimetres):
            text = re.sub(r"  (stub|other):.*\n|.*1\.[13]:.*\n", "", CAR).replace("737", str(millimetres))
            drawing = answer("draw", self.car(text), "--view", "loom", "--format", "svg", "-o", "-").decode()
            return re.search(r"It takes (\d+) x (\d+) mm", drawing).groups()
        self.assertEqual(size(500), ("500", "0"))  # one run lies straight
        self.assertEqual(size(501), ("501", "0"))

    def test_what_it_does_not_take(self):
        car = self.car(CAR)
        for options, word in ((("--board", "2400"), "no size of a board"),
                              (("--board", "nanx1200"), "no size of a board"),
                              (("--board", "1x1"), "no size of a board"),
                              (("--full-size", "--format", "svg"), "many pages"),
                              (("F1",), "takes no name")):
            done = run("draw", car, "--view", "loom", *options)
            self.assertEqual(done.returncode, 2, options)
            self.assertIn(word, done.stderr.decode())
        done = run("draw", car, "--view", "feeds", "--full-size")
        self.assertEqual(done.returncode, 2)
        done = run("draw", EXAMPLES / "one-lamp/one-lamp.yaml", "--view", "loom")
        self.assertEqual(done.returncode, 2)
        self.assertIn("no loom to draw", done.stderr.decode())


class Circuit(CarTest):
    def test_by_number_and_by_name(self):
        by_number = answer("draw", MARLOW, "--view", "circuit", "12", "--format", "svg", "-o", "-")
        by_name = answer("draw", MARLOW, "--view", "circuit", "dip", "--format", "svg", "-o", "-")
        self.assertEqual(by_number, by_name)
        drawing = by_number.decode()
        for wire in range(1, 12):
            self.assertEqual(drawing.count(f">12.{wire}<"), 1)
        self.assertIn("coil in circuit 14", drawing)

    def test_an_unknown_one(self):
        done = run("draw", MARLOW, "--view", "circuit", "dipp")
        self.assertEqual(done.returncode, 2)
        self.assertIn("did you mean `dip`?", done.stderr.decode())
        self.assertIn("12 dip", done.stderr.decode())
        done = run("draw", MARLOW, "--view", "circuit")
        self.assertEqual(done.returncode, 2)
        self.assertIn("which circuit?", done.stderr.decode())

    @unittest.skipUnless(shutil.which("pdfinfo"), "poppler is not there")
    def test_one_lying_page(self):
        for paper, (width, height) in PAPERS.items():
            pdf = self.folder / f"circuit-{paper}.pdf"
            answer("draw", MARLOW, "--view", "circuit", "12", "--paper", paper, "-o", pdf)
            told = subprocess.run(["pdfinfo", str(pdf)], capture_output=True, check=True).stdout.decode()
            self.assertRegex(told, r"Pages: +1\n")
            size = re.search(r"Page size: +([\d.]+) x ([\d.]+)", told).groups()
            self.assertAlmostEqual(float(size[0]) / MM, height, delta=0.1)
            self.assertAlmostEqual(float(size[1]) / MM, width, delta=0.1)


if __name__ == "__main__":
    unittest.main()
