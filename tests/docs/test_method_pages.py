# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Each page of the method ends with where its figures come from and how far it holds."""

import pathlib
import re
import unittest

SOURCE = pathlib.Path(__file__).parents[2]
PAGES = sorted((SOURCE / "docs/method").glob("*.md"))
# A line of sources says how sure it is, or leads to where that is said.
KNOWN = re.compile(r"\b(read|memory|derived|common practice|no source|our own|any textbook|held against|each with its mark|"
                   r"laws?|algorithm|\d{4})\b|\]\(", re.I)


def section(text, heading):
    found = re.search(rf"^## {heading}\n(.*?)(?=^## |\Z)", text, re.S | re.M)
    return found.group(1).strip() if found else ""


class MethodPages(unittest.TestCase):
    def test_each_page_says_how_far_it_holds(self):
        self.assertGreater(len(PAGES), 10)
        for page in PAGES:
            with self.subTest(page.name):
                self.assertGreater(len(section(page.read_text(encoding="utf-8"), "Limits").split()), 15)

    def test_each_page_says_where_its_figures_come_from_and_how_sure_they_are(self):
        for page in PAGES:
            with self.subTest(page.name):
                sources = section(page.read_text(encoding="utf-8"), "Sources")
                lines = [line for line in re.split(r"^- ", sources, flags=re.M) if line.strip()]
                self.assertGreater(len(lines), 0, "no list of sources")
                for line in lines:
                    self.assertRegex(line, KNOWN)


if __name__ == "__main__":
    unittest.main()
