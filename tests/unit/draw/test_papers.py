# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The papers as other programs read them: SVG through an XML parser, HTML through an HTML parser, CSV
through a CSV reader, PDF and PNG by their heads; for every example and for a file with hostile names."""

import csv
import html.parser
import os
import pathlib
import shutil
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

COMMAND = os.environ["LOOMWRIGHT"]
HOSTILE = pathlib.Path(sys.argv[1])
EXAMPLES = [pathlib.Path(name) for name in sys.argv[2:]]
SVG = "{http://www.w3.org/2000/svg}"
failures = []


def check(condition, what):
    if not condition:
        failures.append(what)


def run(*arguments):
    return subprocess.run([COMMAND, *map(str, arguments)], stdin=subprocess.DEVNULL,
                          capture_output=True, check=False)


def texts_of(path):
    root = ElementTree.fromstring(path.read_bytes())
    check(root.tag == SVG + "svg", f"{path}: not an SVG document")
    known = {SVG + name for name in ("svg", "title", "rect", "g", "polyline", "polygon", "circle", "text")}
    for element in root.iter():
        check(element.tag in known, f"{path}: element {element.tag} was not drawn by us")
    return [element.text or "" for element in root.iter(SVG + "text")], root


class Page(html.parser.HTMLParser):
    """Collects the tags and the text of a page."""

    def __init__(self):
        super().__init__()
        self.tags = set()
        self.attributes = set()
        self.text = ""

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data):
        self.text += data


def read_page(path):
    page = Page()
    page.feed(path.read_text(encoding="utf-8"))
    page.close()
    for tag in ("script", "img", "link", "iframe"):
        check(tag not in page.tags, f"{path}: has <{tag}>")
    for name in page.attributes:
        check(not name.startswith("on") and name not in ("src", "href"), f"{path}: attribute {name}")
    return page


def check_vehicle(vehicle, folder):
    done = run("pack", vehicle, "-o", folder)
    # Findings of the design are not what is tested here.
    check(done.returncode in (0, 1), f"{vehicle}: pack gave {done.returncode}: {done.stderr.decode()}")
    texts, root = texts_of(folder / "feeds.svg")
    check(any("Disconnect the battery" in text for text in texts), f"{vehicle}: no cautions on the drawing")
    check((folder / "feeds.pdf").read_bytes().startswith(b"%PDF-"), f"{vehicle}: not a PDF")
    for name in ("cut-list.html", "buying-list.html"):
        page = read_page(folder / name)
        check("Disconnect the battery" in page.text, f"{vehicle}: no cautions in {name}")
        check("Airbag" in page.text, f"{vehicle}: no word of airbags in {name}")
    for name in ("cut-list.csv", "buying-list.csv"):
        with open(folder / name, newline="", encoding="utf-8") as file:
            rows = list(csv.reader(file, strict=True))
        check(len({len(row) for row in rows}) == 1, f"{vehicle}: rows of {name} differ in length")
        for row in rows:
            for cell in row:
                is_number = cell.replace(".", "", 1).lstrip("-").isdigit()
                check(cell[:1] not in ("=", "+", "-", "@", "\t", "\r") or is_number,
                      f"{vehicle}: {name}: a spreadsheet would run {cell!r}")
    png = folder / "feeds.png"
    done = run("draw", vehicle, "-o", png)
    check(done.returncode == 0, f"{vehicle}: draw to PNG gave {done.returncode}")
    head = png.read_bytes()[:24]
    check(head[:8] == b"\x89PNG\r\n\x1a\n", f"{vehicle}: not a PNG")
    width, height = struct.unpack(">II", head[16:24])
    check(width > 1000 and height > 1000, f"{vehicle}: PNG of {width} x {height}")
    if shutil.which("pdftotext"):
        done = subprocess.run(["pdftotext", str(folder / "feeds.pdf"), "-"], capture_output=True,
                              check=False)
        check(b"How to read" in done.stdout, f"{vehicle}: the PDF's text cannot be found")
    return texts, root


def main():
    with tempfile.TemporaryDirectory() as place:
        for vehicle in EXAMPLES:
            check_vehicle(vehicle, pathlib.Path(place) / vehicle.stem)
        folder = pathlib.Path(place) / "hostile"
        texts, root = check_vehicle(HOSTILE, folder)
        title = root.find(SVG + "title").text
        check(title.startswith("</svg></title><script>"), f"the title came out as {title!r}")
        check("1 <b>]]> \\u202eabc" in texts, "the revision is not on the drawing as it was meant")
        check("\\x1b[31m red \\x07" in " ".join(texts), "control characters are not shown as text")
        page = read_page(folder / "cut-list.html")
        check("{{title}}" in page.text, "a title's braces were filled in")
        check("<img src=x onerror=alert(1)>" in page.text, "a note is not shown as it was written")
        with open(folder / "cut-list.csv", newline="", encoding="utf-8") as file:
            cells = [cell for row in csv.reader(file) for cell in row]
        check("'=cmd|' /C calc'!A0" in cells, "a formula was not made harmless")
        check("'@SUM(A1:A9)" in cells, "a formula in a note was not made harmless")
    for failure in failures:
        print(failure)
    print(f"{len(EXAMPLES) + 1} vehicles, {len(failures)} complaints")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
