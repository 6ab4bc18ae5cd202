# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""A car whose every name and text is markup, a formula, a command or a mark that turns the direction of
writing. Everything that comes out is read by another reader of its format: nothing was let out of its
place, no cell begins a formula, a terminal gets nothing to obey. The measure is the same car with plain
names: it has the same tags, the same elements, the same cards."""

import csv
import html.parser
import io
import json
import os
import pathlib
import re
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree
import zipfile

import openpyxl

from test_hostile import COMMAND, HERE, control_characters

# A name of a device stands in paths: it has no space, no dot, no arrow. Other names may have them.
DEVICES = ["=cmd|'-C-calc'!A0", "<script", "\"onload=hurt()", "{{{title}}}", "\"];hurt[label=\"x", "*/hurt", "+1+1",
           "@SUM(1)", "-2+3", "$(touch-hurt)"]
OTHERS = ["<script>hurt()</script>", "\"><img src=x onerror=hurt()>", "`touch hurt`", "%s%n%d", "]]></text>", "<!--",
          "\\N\\L", "&lt;b&gt;", "=1+1", ".control", "-->"]
# What a text may be besides: marks that turn the direction, controls, line ends.
TEXTS = ["\u202edesrever", "two\nlines", "\x1b[2J\x1b]0;hurt\x07", "\t=1+1", "\r=1+1", "</style></title><script>hurt()</script>",
         "javascript:hurt()", "\u2066\u200f", "\x9b31m", ".include /etc/passwd", "=HYPERLINK(\"http://example.invalid\")",
         "\nR9 0 1 5\n.control\nshell touch hurt\n.endc", "' OR 1=1; --", "{% include x %}", "\ufeff=1+1", "\u2028+1+1"]


def quoted(text):
    return json.dumps(text)


def car_text(devices, others, texts):
    """A small car of names and texts, taken in turn."""
    battery, ground, fuse, switch, relay, lamp, splice, connector, mate, second_fuse = map(quoted, devices)
    zone, first, second, third, run, other_run, circuit, other_circuit, off, on, state = map(quoted, others)
    text = list(map(quoted, texts))

    def path(*steps):
        return quoted(" > ".join(steps))

    return f"""\
loomwright: 1
title: {text[0]}
revision: {text[1]}
note: {text[2]}
zones:
  {zone}: {{air: 25 C}}
points:
  {first}: {{zone: {zone}, at: [0 m, 0 m, 0 m], title: {text[4]}}}
  {second}: {{zone: {zone}, at: [4 m, 0 m, 0 m], title: {text[11]}}}
  {third}: {{zone: {zone}, at: [5 m, 1 m, 0 m], opening: 20 mm}}
runs:
  {run}: {{from: {first}, to: {second}, length: 4 m, cover: braid}}
  {other_run}: {{from: {second}, to: {third}, length: 2 m}}
devices:
  {battery}: {{is: battery, at: {first}, capacity: 45 Ah, cranking-amps: 400 A, title: {text[7]}}}
  {ground}: {{is: ground, at: {first}, body: chassis, title: {text[8]}, note: {text[1]}}}
  {fuse}: {{is: fuse, at: {first}, family: blade, rating: 10 A, title: {text[10]}, note: {text[2]}}}
  {second_fuse}: {{is: fuse, at: {first}, family: blade, rating: 1 A, title: {text[6]}}}
  {switch}: {{is: switch, at: {first}, positions: {{{off}: [], {on}: [1-2]}}, contact: 30 A, title: {text[9]}}}
  {relay}: {{is: relay, at: {first}, contact: 30 A, coil: 85 ohm, suppression: resistor, title: {text[12]}}}
  {lamp}: {{is: lamp, at: {third}, draws: 55 W at 13.5 V, title: {text[14]}, note: {text[11]}}}
  {splice}: {{is: splice, at: {second}, title: {text[15]}}}
  {connector}: {{is: connector, at: {second}, cavities: 2, mate: {mate}, title: {text[3]}, part: {text[13]}}}
  {mate}: {{is: connector, at: {second}, cavities: 2}}
circuits:
  {circuit}:
    number: 1
    title: {text[11]}
    note: {text[2]}
    paths: [{path(devices[0] + ".-", devices[1])}]
    wires: {{1.1: {{size: 16 mm2, length: 0.4 m, note: {text[0]}}}}}
  {other_circuit}:
    number: 2
    class: lighting
    title: {text[5]}
    insulation: thin-wall pvc
    paths:
      - {path(devices[0], devices[9], devices[3], devices[4] + ".86")}
      - {path(devices[4] + ".85", devices[1])}
      - {path(devices[0], devices[2], devices[4], devices[6], devices[7] + ".1", devices[5], devices[1])}
    wires: {{2.7: {{colour: BK, note: {text[10]}}}}}
states:
  {off}: {{set: {{{switch}: {off}}}, expect: {{off: [{lamp}]}}}}
  {state}: {{set: {{{switch}: {on}}}, expect: {{on: [{lamp}]}}}}
waivers:
  - {{rule: unused-part, on: [{lamp}], because: {text[1]}, by: {text[2]}}}
stock:
  - {{name: {text[10]}, is: wire, size: 1.5 mm2, insulation: thin-wall pvc, part: {text[13]}, price: 1, spool: 50 m}}
"""


PLAIN_DEVICES = [f"D{i}" for i in range(len(DEVICES))]
PLAIN_OTHERS = [f"n{i}" for i in range(len(OTHERS))]
PLAIN_TEXTS = [f"text {i}" for i in range(len(TEXTS))]
FUSE, STATE, RUN, CIRCUIT = DEVICES[2], OTHERS[10], OTHERS[4], OTHERS[6]


# What a name that is long for its place is drawn with.
SQUEEZED = {("{http://www.w3.org/2000/svg}text", "textLength"), ("{http://www.w3.org/2000/svg}text", "lengthAdjust")}


class Tags(html.parser.HTMLParser):
    """Tags with the names of their attributes."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.found = set()
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.found |= {(tag, name) for name, _ in attrs} | {(tag, "")}
        for name, value in attrs:
            if name in ("href", "src", "xlink:href", "action") and not (value or "").startswith(("#", "data:image/")):
                self.found.add((tag, f"{name}={value}"))


def tags_of_xml(text):
    return {(element.tag, name) for element in xml.etree.ElementTree.fromstring(text).iter()
            for name in ["", *element.attrib]}


class Names(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        folder = tempfile.TemporaryDirectory(prefix="loomwright-")
        cls.addClassCleanup(folder.cleanup)
        cls.folder = pathlib.Path(folder.name)
        (cls.folder / "hostile.yaml").write_text(car_text(DEVICES, OTHERS, TEXTS), encoding="utf-8")
        (cls.folder / "plain.yaml").write_text(car_text(PLAIN_DEVICES, PLAIN_OTHERS, PLAIN_TEXTS), encoding="utf-8")

    def tearDown(self):
        self.assertFalse(list(self.folder.glob("**/*hurt*")), "a command of the file was run")

    def answer(self, *words, statuses=(0, 1)):
        done = subprocess.run([COMMAND, *map(str, words)], cwd=self.folder, stdin=subprocess.DEVNULL,
                              capture_output=True, timeout=120, check=False)
        told = done.stderr.decode()
        self.assertIn(done.returncode, statuses, f"{words}: {told}")
        self.assertEqual(control_characters(told), [])
        return done.stdout

    def both(self, *words):
        """The answers about the hostile car and about the plain one."""
        return [self.answer(*[f"{car}.yaml" if word == "CAR" else word for word in words])
                for car in ("hostile", "plain")]

    def check_cells(self, text):
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
        for row in rows:
            for cell in row:
                if not re.fullmatch(r"[-+]?[0-9.]+(e[-+]?[0-9]+)?", cell):
                    self.assertNotRegex(cell, r"^[\s\ufeff\u2028]*[=+\-@]", row)
                self.assertEqual(control_characters(cell), [], row)
        return rows

    def test_answers_for_a_terminal(self):
        shown = ""
        for words in (["check"], ["check", "--lines"], ["size"], ["solve"], ["energy"], ["faults"], ["place", DEVICES[5]],
                      *[["explain", name] for name in [*DEVICES, *OTHERS[1:5], OTHERS[10], "2.1"]]):
            with self.subTest(words):
                name = [] if len(words) == 1 or words[0] == "check" else ["--"]
                out = self.answer(words[0], "hostile.yaml", *words[1:][:0], *name, *words[1:]).decode()
                self.assertEqual(control_characters(out), [])
                shown += out
        for name in DEVICES:
            self.assertIn(name, shown)

    def test_a_name_after_the_verb(self):
        for verb in ("explain", "draw"):
            words = ["explain", "hostile.yaml"] if verb == "explain" else ["draw", "hostile.yaml", "--view", "circuit", "-o", "-"]
            out = self.answer(*words, "\x1b[2J\u202e", statuses=(2,))
            self.assertEqual(control_characters(out.decode()), [])

    def test_json(self):
        for verb in ("check", "size", "solve", "energy", "faults"):
            with self.subTest(verb):
                hostile, plain = [json.loads(one) for one in self.both(verb, "CAR", "--json")]
                self.assertEqual(list(hostile), list(plain))
                self.assertEqual(control_characters(json.dumps(hostile, ensure_ascii=False)) == [], True)

    def test_reports_for_other_programs(self):
        sarif = json.loads(self.answer("check", "hostile.yaml", "--sarif"))
        self.assertEqual(len(sarif["runs"]), 1)
        hostile, plain = [tags_of_xml(one) for one in self.both("check", "CAR", "--junit")]
        self.assertEqual(hostile, plain)

    def test_tables(self):
        for words in (["export", "CAR", "--to", "csv"], ["compare", "plain.yaml", "CAR", "--csv"]):
            with self.subTest(words):
                hostile, plain = self.both(*words)
                rows = self.check_cells(hostile.decode())
                if words[0] != "compare":
                    self.assertEqual(len(rows), len(self.check_cells(plain.decode())))

    def test_workbook(self):
        hostile, plain = self.both("export", "CAR", "--to", "xlsx", "-o", "-")
        books = [openpyxl.load_workbook(io.BytesIO(one)) for one in (hostile, plain)]
        self.assertEqual(books[0].sheetnames, books[1].sheetnames)
        self.check_workbook(hostile)

    def check_workbook(self, data):
        seen = set()
        for page in openpyxl.load_workbook(io.BytesIO(data)):
            for row in page.iter_rows():
                for cell in row:
                    self.assertNotEqual(cell.data_type, "f", cell.value)
                    self.assertIsNone(cell.hyperlink)
                    if isinstance(cell.value, str):
                        seen.add(cell.value)
                        self.assertEqual(control_characters(cell.value), [])
        self.assertTrue(any(DEVICES[0] in text for text in seen))
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            self.assertFalse([name for name in archive.namelist() if "external" in name.lower() or "vba" in name.lower()])

    def test_drawings(self):
        for view, hostile, plain in (("feeds", [], []), ("loom", [], []), ("circuit", ["1"], ["1"]), ("circuit", ["2"], ["2"]),
                                     ("circuit", [CIRCUIT], ["n6"]), ("curves", [FUSE], ["D2"]), ("section", [RUN], ["n4"]),
                                     ("connector", [DEVICES[7]], ["D7"])):
            with self.subTest(view=view, name=hostile):
                tags = []
                for car, names in (("hostile", hostile), ("plain", plain)):
                    out = self.answer("draw", f"{car}.yaml", "--view", view, "--format", "svg", "-o", "-", "--", *names)
                    self.assertNotIn(b"href", out)
                    self.assertEqual(control_characters(out.decode()), [])
                    tags.append(tags_of_xml(out.decode()))
                self.assertLessEqual(tags[0], tags[1] | SQUEEZED)

    def test_dot(self):
        graphs = []
        for one in self.both("draw", "CAR", "--view", "feeds", "--format", "dot", "-o", "-"):
            drawn = subprocess.run(["dot", "-Tjson0"], input=one, capture_output=True, check=True)
            self.assertEqual(drawn.stderr, b"")
            graphs.append(json.loads(drawn.stdout))
        self.assertEqual(*[len(graph["objects"]) for graph in graphs])
        self.assertEqual(*[len(graph["edges"]) for graph in graphs])
        for graph in graphs:
            self.assertNotIn("hurt", [node["name"] for node in graph["objects"]])
            self.assertFalse([node for node in graph["objects"] + graph["edges"] if "URL" in node or "href" in node])

    def test_spice(self):
        hostile, plain = [self.answer("export", f"{car}.yaml", "--to", "spice", "-s", state, "-o", "-").decode()
                          for car, state in (("hostile", STATE), ("plain", "n10"))]
        self.assertEqual(control_characters(hostile), [])
        cards = [[line.split()[0].lower() for line in deck.splitlines()[1:] if line.strip() and not line.startswith("*")]
                 for deck in (hostile, plain)]
        self.assertEqual(cards[0], cards[1])
        if cards[0]:
            deck = self.folder / "deck.cir"
            deck.write_text(hostile, encoding="utf-8")
            done = subprocess.run(["ngspice", "-b", deck], cwd=self.folder, capture_output=True, timeout=60, check=False)
            self.assertNotIn(b"rror on line", done.stdout + done.stderr)

    def test_pack(self):
        for car in ("hostile", "plain"):
            self.answer("pack", f"{car}.yaml", "-o", f"pack-{car}")
        hostile, plain = [self.folder / f"pack-{car}" for car in ("hostile", "plain")]
        self.assertEqual(len(list(hostile.iterdir())), len(list(plain.iterdir())))
        for path in sorted(hostile.iterdir()):
            with self.subTest(path.name):
                self.assertRegex(path.name, r"^[\w.-]+$")
                if path.suffix == ".csv":
                    self.check_cells(path.read_text(encoding="utf-8-sig"))
                elif path.suffix == ".xlsx":
                    self.check_workbook(path.read_bytes())
                elif path.suffix == ".html":
                    tags = Tags(path.read_text(encoding="utf-8")).found
                    self.assertLessEqual(tags, Tags((plain / path.name).read_text(encoding="utf-8")).found)
                elif path.suffix == ".svg":
                    self.assertNotIn("href", path.read_text(encoding="utf-8"))

    def test_report(self):
        hostile, plain = [Tags(one.decode()).found for one in self.both("report", "CAR", "-o", "-")]
        self.assertLessEqual(hostile, plain | {("text", "textlength"), ("text", "lengthadjust")})

    def test_a_list_of_loads(self):
        rows = [[name, text, "5"] for name, text in zip(DEVICES + OTHERS, TEXTS) if not set(text) & set("\x1b\x9b\r")]
        table = io.StringIO(newline="")
        csv.writer(table).writerows([["device", "place", "watts"], *rows])
        (self.folder / "loads.csv").write_text(table.getvalue(), encoding="utf-8", newline="")
        out = self.answer("import", "loads.csv", "-o", "-").decode()
        (self.folder / "listed.yaml").write_text(out, encoding="utf-8")
        self.assertEqual(control_characters(out), [])
        done = subprocess.run([COMMAND, "check", "listed.yaml", "--json"], cwd=self.folder, capture_output=True, check=False)
        self.assertIn(done.returncode, (0, 1), done.stdout.decode()[:2000])


if __name__ == "__main__":
    unittest.main()
