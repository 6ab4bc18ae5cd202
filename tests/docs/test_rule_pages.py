# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Each page of a rule says what the rule means, how it is judged, where its limit comes from and how sure that
is, what is found in the smallest car that breaks it, how to mend that, and when a waiver is fair."""

import errno
import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import unittest

SOURCE = pathlib.Path(os.environ.get("LOOMWRIGHT_SOURCE_DIR", pathlib.Path(__file__).parents[2])).resolve()
PROGRAM = pathlib.Path(os.environ.get("LOOMWRIGHT", SOURCE / "build/ci/cli/loomwright")).resolve()
PARTS = ["Why", "How it is judged", "Source", "Figures", "How to fix", "When a waiver is fair", "Example"]
# A source is worth what is known of it: a page says which of these it is.
MARKS = re.compile(r"\b(read|memory|recalled|derived|common practice|no source|the vehicle file|What was frozen|"
                   r"its own source and mark|Ohm's law|Kirchhoff's (?:current )?laws?|Conservation of charge|"
                   r"loomwright tables)\b", re.I)
FOUND = re.compile(r"\b(?:danger|fault|caution|note|error)\[([a-z-]+)\]")
NO_FOLDER = {"bad-file"}  # a file that is not there has no text to stand in a folder


def pages():
    return [path for path in sorted((SOURCE / "docs/rules").glob("*.md")) if path.stem != "README"]


def sections(text):
    """heading: text, in order."""
    parts = re.split(r"^## (.+)$", text, flags=re.M)
    return dict(zip(parts[1::2], map(str.strip, parts[2::2])))


def text_blocks(section):
    return re.findall(r"^```text\n(.*?)^```$", section, re.S | re.M)


class RulePages(unittest.TestCase):
    def test_the_parts_are_there_in_one_order_and_none_is_empty(self):
        self.assertGreater(len(pages()), 60)
        for path in pages():
            with self.subTest(path.stem):
                found = sections(path.read_text(encoding="utf-8"))
                self.assertEqual(list(found), PARTS)
                for heading, text in found.items():
                    self.assertGreater(len(text), 4, heading)

    def test_a_source_says_how_sure_it_is(self):
        for path in pages():
            with self.subTest(path.stem):
                source = sections(path.read_text(encoding="utf-8"))["Source"]
                is_format = "vehicle-file.md" in source
                self.assertTrue(is_format or MARKS.search(source), source)

    def test_the_example_is_the_smallest_car_and_its_answer(self):
        for path in pages():
            if path.stem in NO_FOLDER:
                continue
            with self.subTest(path.stem):
                blocks = text_blocks(sections(path.read_text(encoding="utf-8"))["Example"])
                folder = SOURCE / "tests/rules" / path.stem
                self.assertGreaterEqual(len(blocks), 2)
                self.assertEqual(blocks[0].strip(), (folder / "provokes.yaml").read_text(encoding="utf-8").strip())
                self.assertIn(path.stem, FOUND.findall(blocks[1]))
                self.assertIn(blocks[1].strip(), self.answer(folder), "the program's own answer")

    def test_what_mends_the_example_is_in_the_car_that_just_does_not_break_the_rule(self):
        for path in pages():
            if path.stem in NO_FOLDER:
                continue
            with self.subTest(path.stem):
                example = sections(path.read_text(encoding="utf-8"))["Example"]
                mended = text_blocks(example.partition("It is gone with:")[2])
                self.assertEqual(len(mended), 1)
                allows = (SOURCE / "tests/rules" / path.stem / "allows.yaml").read_text(encoding="utf-8")
                lines = {line.strip() for line in allows.splitlines()}
                self.assertLessEqual({line.strip() for line in mended[0].splitlines() if line.strip()}, lines)

    def answer(self, folder):
        with tempfile.TemporaryDirectory(prefix="loomwright-") as parent:
            here = pathlib.Path(parent, "here")
            shutil.copytree(folder, here)
            (here / "provokes.yaml").rename(here / "car.yaml")
            done = subprocess.run([PROGRAM, "check", "car.yaml", "--faults"], cwd=here, text=True, timeout=120,
                                  capture_output=True, check=False, env={**os.environ, "NO_COLOR": "1"})
            # The page has the words of the library; the command has those of the machine it runs on.
            return (done.stdout + done.stderr).replace(os.strerror(errno.ENOENT), "there is no such file")

    def test_an_error_of_the_input_is_never_waived(self):
        for path in pages():
            text = path.read_text(encoding="utf-8")
            is_error = "\n*error*" in text
            with self.subTest(path.stem):
                waiver = sections(text)["When a waiver is fair"]
                self.assertEqual(is_error, waiver.startswith("Never: an error of the input"), waiver)


if __name__ == "__main__":
    unittest.main()
