# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What leaves the house on paper: the feeds drawing in its four formats, the cut list and the buying
list. Read back by other programs and compared with the vehicle file and the answers of `size`."""

import csv
import html.parser
import io
import re
import shutil
import subprocess
import unittest
import xml.etree.ElementTree

import yaml

from car import MARLOW, ONE_LAMP, SMALL, CarTest, answer, answer_json, by, changed, run

SVG = "{http://www.w3.org/2000/svg}"


def csv_rows(path):
    """The rows of a CSV file as maps by their title; every row must be as wide as its head."""
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))
    if any(len(row) != len(rows[0]) for row in rows):
        raise AssertionError(f"{path.name}: rows of different width")
    return [dict(zip(rows[0], row)) for row in rows[1:]]


def column(rows, word):
    """The title of the one column that begins with `word`."""
    found = [title for title in rows[0] if title.startswith(word)]
    if len(found) != 1:
        raise AssertionError(f"no one column {word!r} among {list(rows[0])}")
    return found[0]


class Words(html.parser.HTMLParser):
    """The words of a page, and whether every element that was opened is closed."""

    EMPTY = {"meta", "br", "hr", "img", "link", "input", "col", "wbr"}

    def __init__(self):
        super().__init__()
        self.open, self.text, self.outside = [], "", []

    def handle_starttag(self, tag, attrs):
        self.outside += [value for name, value in attrs
                         if name in ("src", "href") and not value.startswith(("#", "data:"))]
        if tag == "script":
            self.outside.append("script")
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if tag in self.EMPTY:
            return
        if not self.open or self.open.pop() != tag:
            raise AssertionError(f"</{tag}> closes what is not open")

    def handle_data(self, data):
        self.text += data + " "


def words_of(text):
    words = Words()
    words.feed(text)
    words.close()
    if words.open:
        raise AssertionError(f"never closed: {words.open}")
    return words


def is_among(symbol, lines):
    """Whether all lines of a symbol are among `lines`, all moved by the same way; to 0.1 mm."""
    first = min(symbol)
    for line in lines:
        if len(line) == len(first):
            right, down = first[0][0] - line[0][0], first[0][1] - line[0][1]
            moved = {tuple((round(x + right, 1), round(y + down, 1)) for x, y in other) for other in lines}
            if all(tuple((round(x, 1), round(y, 1)) for x, y in part) in moved for part in symbol):
                return True
    return False


class Drawing(CarTest):
    def svg_text(self, car):
        root = xml.etree.ElementTree.fromstring(answer("draw", car, "--format", "svg", "-o", "-"))
        self.assertEqual(root.tag, f"{SVG}svg")
        return " ".join(part.strip() for part in root.itertext() if part.strip())

    def test_every_fuse_and_every_wire_is_on_it_with_size_and_colour(self):
        for car in (*SMALL, MARLOW):
            text = self.svg_text(car)
            got = answer_json("size", car, "--json")
            for fuse in got["fuses"]:
                with self.subTest(car=car.name, fuse=fuse["fuse"]):
                    self.assertRegex(text, rf"(?<!\w){re.escape(fuse['fuse'])}(?!\w)")
            for wire in got["wires"]:
                with self.subTest(car=car.name, wire=wire["wire"]):
                    self.assertRegex(text, rf"(?<![\w.]){re.escape(wire['wire'])}(?![\w.])")
            sizes = {wire["size"].split()[0] for wire in got["wires"]}
            for size in sizes:
                self.assertIn(size, text)

    def test_the_marlow_s_colours_are_on_it(self):
        text = self.svg_text(MARLOW)
        cars = yaml.safe_load(MARLOW.read_text())["circuits"].values()
        colours = {circuit["colour"] for circuit in cars if "colour" in circuit}
        self.assertGreater(len(colours), 5)
        for colour in colours:
            self.assertIn(colour, text)

    def test_each_protective_device_has_its_own_symbol(self):
        """Of the three symbols of the key the frames below hold that of F1, moved but not turned, and no other."""
        kinds = {"fuse": "{is: fuse, at: front, family: blade, rating: 10 A}",
                 "circuit breaker": "{is: breaker, at: front, rating: 10 A, type: II}",
                 "fusible link": "{is: fusible-link, at: front, size: 0.35 mm2}"}
        for kind, device in kinds.items():
            car = self.car(changed(ONE_LAMP, (kinds["fuse"], device)))
            root = xml.etree.ElementTree.fromstring(answer("draw", car, "--format", "svg", "-o", "-"))
            texts = [(text.text, float(text.get("x")), float(text.get("y"))) for text in root.iter(f"{SVG}text")]
            lines = [tuple(tuple(map(float, spot.split(","))) for spot in shape.get("points").split())
                     for shape in root.iter() if shape.tag in (f"{SVG}polyline", f"{SVG}polygon")]
            # A symbol of the key is 10 mm wide and stands left of its name, 8 mm below the one before.
            key = {name: {line for line in lines if all(x - 13 < u < x and abs(v - y) < 4 for u, v in line)}
                   for name, x, y in texts if name in kinds}
            self.assertEqual(set(key), set(kinds))
            (top,) = [y for name, _, y in texts if name == "Frames"]
            below = [line for line in lines if all(v > top for _, v in line)]
            with self.subTest(kind):
                self.assertEqual([name for name, symbol in key.items() if is_among(symbol, below)], [kind])
                self.assertEqual(any(name == "0.35 mm2" for name, *_ in texts), kind == "fusible link")

    def test_every_load_is_on_it(self):
        text = self.svg_text(MARLOW)
        devices = yaml.safe_load(MARLOW.read_text())["devices"]
        for name, device in devices.items():
            if device["is"] in ("lamp", "led-lamp", "motor", "heater", "electronics", "unit", "coil"):
                with self.subTest(name):
                    self.assertRegex(text, rf"(?<!\w){name}(?!\w)")

    def test_nothing_is_fetched_and_nothing_runs(self):
        svg = answer("draw", MARLOW, "--format", "svg", "-o", "-").decode()
        self.assertNotRegex(svg, r"<script|xlink:href=\"(?!#)|href=\"http|@import")

    def test_names_with_signs_of_markup_stay_names(self):
        car = self.car(changed(ONE_LAMP, ("title: One lamp", "title: 'a <b> & \"c\"'"),
                               ("draws: 55 W at 13.5 V}", "draws: 55 W at 13.5 V, title: '<script>&'}")))
        self.assertNotIn(b"<script", answer("draw", car, "--format", "svg", "-o", "-"))
        self.svg_text(car)

    def test_pdf_holds_the_same_names(self):
        if shutil.which("pdftotext") is None:
            self.skipTest("no pdftotext here")
        path = self.folder / "feeds.pdf"
        answer("draw", MARLOW, "-o", path)
        text = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, text=True, check=True).stdout
        for fuse in answer_json("size", MARLOW, "--json")["fuses"]:
            self.assertRegex(text, rf"(?<!\w){re.escape(fuse['fuse'])}(?!\w)")

    def test_png_is_a_picture_of_some_size(self):
        data = answer("draw", MARLOW, "--format", "png", "-o", "-")
        self.assertEqual(data[:8], b"\x89PNG\r\n\x1a\n")
        width, height = int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")
        self.assertTrue(400 < width < 20000 and 400 < height < 60000, (width, height))

    def test_dot_is_read_by_graphviz(self):
        if shutil.which("dot") is None:
            self.skipTest("no dot here")
        for car in (*SMALL, MARLOW):
            data = answer("draw", car, "--format", "dot", "-o", "-")
            done = subprocess.run(["dot", "-Tcanon"], input=data, capture_output=True, check=False)
            self.assertEqual((done.returncode, done.stderr), (0, b""))

    def test_the_ending_of_the_file_picks_the_format(self):
        for ending, start in (("svg", b"<?xml"), ("pdf", b"%PDF"), ("png", b"\x89PNG")):
            path = self.folder / f"feeds.{ending}"
            answer("draw", self.car(), "-o", path)
            self.assertTrue(path.read_bytes().startswith(start), ending)


class Pack(CarTest):
    def pack(self, car, *words):
        folder = self.folder / "papers"
        answer("pack", car, "-o", folder, *words, statuses=(0,))
        return folder

    def retained(self, car):
        """Numbers of old wires that stay, by the text of the cut list's page."""
        page = words_of((self.folder / "papers" / "cut-list.html").read_text(encoding="utf-8")).text
        part = page.partition("not cut")[2].partition("Notes")[0]
        return set(re.findall(r"(?<![\w.])(\d+\.\d+)(?![\w.])", part))

    def test_every_wire_is_cut_once_or_stays(self):
        for car in (*SMALL, MARLOW):
            with self.subTest(car.name):
                rows = csv_rows(self.pack(car) / "cut-list.csv")
                cut = [row[column(rows, "wire")] for row in rows]
                self.assertEqual(len(cut), len(set(cut)))
                wires = {wire["wire"] for wire in answer_json("size", car, "--json")["wires"]}
                self.assertEqual(set(cut) | self.retained(car), wires)
                self.assertEqual(set(cut) & self.retained(car), set())

    def test_old_wiring_of_the_file_stays(self):
        circuits = yaml.safe_load(MARLOW.read_text())["circuits"].values()
        marked = [number for circuit in circuits for number, wire in (circuit.get("wires") or {}).items()
                  if "retained" in wire]
        self.pack(MARLOW)
        if marked:
            self.assertTrue(self.retained(MARLOW))

    def test_a_piece_is_never_shorter_than_the_wire(self):
        rows = csv_rows(self.pack(MARLOW) / "cut-list.csv")
        lengths = {wire["wire"]: wire["length_m"] for wire in answer_json("size", MARLOW, "--json")["wires"]}
        for row in rows:
            cut_mm, exact_mm = float(row[column(rows, "length")]), 1e3 * lengths[row[column(rows, "wire")]]
            self.assertGreaterEqual(cut_mm, exact_mm - 1e-6, row)
            self.assertLess(cut_mm, exact_mm + 5, row)
            self.assertEqual(cut_mm % 5, 0, row)

    def test_is_in_the_order_of_the_spools(self):
        rows = csv_rows(self.pack(MARLOW) / "cut-list.csv")
        spools = [(row[column(rows, "size")], row[column(rows, "insulation")], row[column(rows, "colour")])
                  for row in rows]
        starts = [spool for i, spool in enumerate(spools) if i == 0 or spools[i - 1] != spool]
        self.assertEqual(len(starts), len(set(starts)), "a spool is taken up twice")
        for i in range(1, len(rows)):
            if spools[i] == spools[i - 1]:
                self.assertLessEqual(float(rows[i][column(rows, "length")]),
                                     float(rows[i - 1][column(rows, "length")]))

    def test_ends_are_those_of_the_file(self):
        rows = csv_rows(self.pack(SMALL[0]) / "cut-list.csv")
        ends = {row[column(rows, "wire")]: (row["from"], row["to"]) for row in rows}
        self.assertEqual(ends["2.1"][0][:2], "G1")
        self.assertEqual([ends["2.2"][0], ends["2.3"][1]], ["F1.out", "E1.+"])
        self.assertEqual(ends["2.4"], ("E1.-", "GND2"))

    def test_pages_are_whole_and_need_nothing_from_outside(self):
        folder = self.pack(MARLOW)
        for name in ("cut-list.html", "buying-list.html"):
            words = words_of((folder / name).read_text(encoding="utf-8"))
            self.assertEqual(words.outside, [], name)
            self.assertIn("isconnect the battery", words.text)
            self.assertIn("Marlow estate 1961", words.text)

    def test_the_page_and_the_table_hold_the_same_lengths(self):
        folder = self.pack(MARLOW)
        rows = csv_rows(folder / "cut-list.csv")
        page = (folder / "cut-list.html").read_text(encoding="utf-8")
        shown = re.findall(r'<td class="main">([^<]+)<span class="small">[^<]*</span></td>'
                           r'<td class="cut">([^<]+)</td>', page)
        self.assertEqual([(wire, length.replace(" ", "")) for wire, length in shown],
                         [(row[column(rows, "wire")], row[column(rows, "length")]) for row in rows])

    def test_what_is_bought_is_enough(self):
        folder = self.pack(MARLOW)
        text = (folder / "buying-list.csv").read_text(encoding="utf-8")
        fuses = by("fuse", answer_json("size", MARLOW, "--json")["fuses"])
        for rating in {fuse["rating_a"] for fuse in fuses.values()}:
            self.assertIn(f"{rating:g} A", text)

    def test_a_text_that_looks_like_a_formula_is_kept_from_a_spreadsheet(self):
        car = self.car(changed(ONE_LAMP, ("2.4: {size: 1.5 mm2, length: 0.3 m}",
                                          "2.4: {size: 1.5 mm2, length: 0.3 m, note: '=1+1'}")))
        self.assertNotRegex((self.pack(car) / "cut-list.csv").read_text(), r'(^|,)"?=1')

    def test_paper(self):
        for paper in ("A4", "Letter"):
            page = (self.pack(self.car(), "--paper", paper) / "cut-list.html").read_text()
            self.assertRegex(page, rf"(?i)@page\s*{{\s*size:\s*{paper}\b")
        self.assertEqual(run("pack", self.car(), "-o", self.folder / "x", "--paper", "A0").returncode, 2)


if __name__ == "__main__":
    unittest.main()
