# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The HTML pages made of the Markdown ones: complete, well formed, each link leads somewhere, and nothing
in them needs a network or a script."""

import html.parser
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(os.environ.get("LOOMWRIGHT_SOURCE_DIR", pathlib.Path(__file__).parents[2])).resolve()
MAKER = SOURCE / "cmake" / "docs" / "make_pages.py"
# Elements that have no end, by the HTML standard.
VOID = {"meta", "link", "img", "br", "hr", "input", "col", "wbr"}


class Reader(html.parser.HTMLParser):
    """Collects links, ids and text; complains of ends that fit no beginning."""

    def __init__(self, text):
        super().__init__()
        self.open, self.links, self.ids, self.loads, self.faults = [], [], [], [], []
        self.words, self.tags = [], set()
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.tags.add(tag)
        if "id" in given:
            self.ids.append(given["id"])
        if tag == "a" and "href" in given:
            self.links.append(given["href"])
        elif "src" in given or tag == "link":
            self.loads.append(given.get("src") or given.get("href"))
        self.faults += [f"{tag} {name}" for name in given if name.startswith("on")]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if tag in VOID:
            return
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"</{tag}> within {self.open[-3:]} in line {self.getpos()[0]}")
        if tag in self.open:
            while self.open.pop() != tag:
                pass

    def handle_data(self, data):
        self.words.append(data)


@unittest.skipUnless(shutil.which("lowdown"), "lowdown is not here")
class Pages(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.held = tempfile.TemporaryDirectory()
        cls.root = pathlib.Path(cls.held.name) / "pages"
        subprocess.run([sys.executable, str(MAKER), str(SOURCE), str(cls.root), "--date", "March 4, 2021",
                        "--version", "1.2.3"], check=True)
        cls.texts = {path: path.read_text(encoding="utf-8") for path in sorted(cls.root.rglob("*.html"))}
        cls.pages = {path: Reader(text) for path, text in cls.texts.items()}

    @classmethod
    def tearDownClass(cls):
        cls.held.cleanup()

    def test_every_page_is_there(self):
        wanted = [SOURCE / "README.md", SOURCE / "DEVELOPERS.md", *(SOURCE / "docs").rglob("*.md")]
        for page in wanted:
            self.assertIn(self.root / page.relative_to(SOURCE).with_suffix(".html"), self.pages)
        self.assertGreater(len(self.pages), 80)

    def test_they_are_well_formed(self):
        for path, page in self.pages.items():
            self.assertEqual((page.faults, page.open), ([], []), path)
            self.assertEqual(len(page.ids), len(set(page.ids)), path)
            self.assertTrue(self.texts[path].startswith("<!DOCTYPE html>\n"))
            self.assertEqual(len(re.findall("<h1[ >]", self.texts[path])), 1, path)

    def test_no_script_and_no_network(self):
        for path, page in self.pages.items():
            self.assertFalse(page.tags & {"script", "iframe", "object", "embed", "form"}, path)
            for load in page.loads:
                self.assertNotRegex(load, r"^(?:[a-z]+:|//)", path)
                self.assertTrue((path.parent / load).is_file(), f"{path}: {load}")
        style = (self.root / "style.css").read_text()
        self.assertNotRegex(style, r"url\(|@import|http")

    def test_every_link_leads_somewhere(self):
        count = 0
        for path, page in self.pages.items():
            for link in page.links:
                if re.match(r"https?:", link):
                    continue
                file, _, fragment = link.partition("#")
                there = pathlib.Path(os.path.normpath(path.parent / file)) if file else path
                inside = there.relative_to(self.root).as_posix()  # nothing leads out of the pages
                with self.subTest(page=path.name, link=link):
                    if inside.startswith("examples/") or inside == "examples":
                        self.assertTrue((SOURCE / inside).exists() or there.exists())
                        continue
                    self.assertTrue(there.is_file())
                    self.assertNotEqual(there.suffix, ".md")
                    if fragment:
                        self.assertIn(fragment, self.pages[there].ids)
                count += 1
        self.assertGreater(count, 500)

    def test_every_page_is_reached_from_the_first(self):
        seen, ahead = set(), [self.root / "README.html"]
        while ahead:
            path = ahead.pop()
            if path in seen or path not in self.pages:
                continue
            seen.add(path)
            for link in self.pages[path].links:
                ahead.append(pathlib.Path(os.path.normpath(path.parent / link.partition("#")[0])))
        self.assertEqual(sorted(set(self.pages) - seen), [])

    def test_the_words_are_all_there(self):
        """Every word of a table and a paragraph of the Markdown stands in the HTML."""
        for name in ("README", "docs/format/devices", "docs/rules/fuse-over-wire"):
            there = " ".join(self.pages[self.root / f"{name}.html"].words)
            written = re.sub(r"<!--.*?-->", "", (SOURCE / f"{name}.md").read_text(), flags=re.DOTALL)
            words = set(re.findall(r"[A-Za-z]{4,}", re.sub(r"\]\([^)]*\)", "]", written)))
            missing = {word for word in words if word not in there}
            self.assertLessEqual(missing, {"text", "yaml"}, name)  # languages of fenced blocks

    def test_the_page_of_the_vehicle_file(self):
        page = self.root / "loomwright-vehicle.5"
        text = page.read_text()
        for word in ("THE VEHICLE FILE", "DEVICES", "March 4, 2021", "circuits", "alternator"):
            self.assertIn(word, text)
        if shutil.which("mandoc"):
            done = subprocess.run(["mandoc", "-Tlint", "-W", "warning", str(page)], capture_output=True,
                                  text=True, check=False)
            self.assertEqual((done.stdout, done.returncode), ("", 0))


if __name__ == "__main__":
    unittest.main()
