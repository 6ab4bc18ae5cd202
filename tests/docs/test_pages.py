# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Runs every command of README.md, DEVELOPERS.md and docs/, compares the answers shown with the real
ones, reads every piece of YAML as the schema has it, and follows every link. What is left out says why
(pages.py). With --accept PAGE... the answers of these pages are written anew."""

import json
import os
import pathlib
import re
import shutil
import sys
import tempfile
import unittest

import jsonschema
import yaml

import pages

# ctest says which program is meant; by hand it is the one that tests/run built.
SOURCE = pathlib.Path(os.environ.get("LOOMWRIGHT_SOURCE_DIR", pathlib.Path(__file__).parents[2])).resolve()
PROGRAM = pathlib.Path(os.environ.get("LOOMWRIGHT", SOURCE / "build/ci/cli/loomwright")).resolve()
LINK = re.compile(r"(?<!!)\[[^\]]*\]\(([^)#\s]+)(?:#[^)]*)?\)")
ANCHOR = re.compile(r"(?<!!)\[[^\]]*\]\(([^)#\s]*)#([^)\s]+)\)")
MOST_SHOWN = 40
SCHEMA = json.loads((SOURCE / "schemas" / "vehicle.schema.json").read_text(encoding="utf-8"))


def all_pages():
    yield SOURCE / "README.md"
    yield SOURCE / "DEVELOPERS.md"
    yield from sorted((SOURCE / "docs").rglob("*.md"))


def anchors_of(path):
    """The anchors of a page's headings, as Markdown viewers make them."""
    text = re.sub(r"^```.*?^```", "", path.read_text(encoding="utf-8"), flags=re.S | re.M)
    headings = [re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", one) for one in re.findall(r"^#+ (.+)$", text, re.M)]
    return {re.sub(r"[^\w\- ]", "", one.strip().lower()).replace(" ", "-") for one in headings}


def work_folder(parent):
    """A folder as the reader of a page has it: the examples, and nothing else."""
    folder = pathlib.Path(parent)
    shutil.copytree(SOURCE / "examples", folder / "examples")
    return folder


class Pages(unittest.TestCase):
    def check_page(self, path):
        text = path.read_text(encoding="utf-8")
        self.assertNotIn("OUTPUT:", text, "an answer is still missing")
        with tempfile.TemporaryDirectory(prefix="loomwright-") as parent:
            folder = work_folder(parent)
            answers = {id(block): after for block, after in pages.outputs_of(text)}
            by_place = {block.first: after for block, after in pages.outputs_of(text)}
            self.assertEqual(len(answers), len(by_place))
            for block in pages.blocks_of(text):
                where = f"{path.relative_to(SOURCE)}:{block.first + 1}"
                pages.write_named_files(block, folder)
                if block.reason is not None:
                    self.check_left_out(block, where)
                elif block.language == "yaml":
                    self.check_yaml(block, folder, where)
                elif block.language == "sh":
                    self.check_commands(block, by_place[block.first], folder, where)

    def check_left_out(self, block, where):
        """A reason is a sentence; a command of this house is there all the same."""
        self.assertGreaterEqual(len(block.reason.split()), 4, f"{where}: why is it not run?")
        for line in block.lines:
            if block.language == "sh" and line.split()[:1] and line.startswith(("examples/", "tests/", ".ci/")):
                self.assertTrue(os.access(SOURCE / line.split()[0], os.X_OK), f"{where}: {line}")

    def check_yaml(self, block, folder, where):
        """A vehicle is checked by the program, a piece of one by the schema."""
        if any(line.startswith("loomwright:") for line in block.lines):
            (folder / "block.yaml").write_text(block.text, encoding="utf-8")
            printed, status = pages.run(["loomwright check block.yaml"], folder, PROGRAM)
            self.assertIn(status, (0, 1), f"{where}: {printed}")
            return
        try:
            piece = yaml.load(block.text, Loader=yaml.BaseLoader)
        except yaml.YAMLError as error:
            self.fail(f"{where}: {error}")
        wanted, piece = piece_of(piece)
        self.assertIsNotNone(wanted, f"{where}: no piece of a vehicle file")
        found = jsonschema.Draft202012Validator({"$defs": SCHEMA["$defs"], **wanted}).iter_errors(piece)
        self.assertEqual([error.message for error in found], [], where)

    def check_commands(self, block, after, folder, where):
        commands = [line for line in block.lines if line.strip()]
        printed, status = pages.run(commands, folder, PROGRAM)
        expects_error = after is not None and "error[" in after.text
        self.assertIn(status, (2,) if expects_error else (0, 1), f"{where}: {printed}")
        if after is not None:
            self.assertTrue(pages.agrees(after.lines, printed.splitlines()),
                            f"{where}: the page shows\n{after.text}\nand the program prints\n{printed}")

    def test_every_block_is_one_that_is_run_or_read(self):
        for path in all_pages():
            with self.subTest(path.relative_to(SOURCE).as_posix()):
                text = path.read_text(encoding="utf-8")
                self.assertEqual(list(pages.odd_fences(text)), [])

    def test_links_lead_somewhere(self):
        for path in all_pages():
            for target in LINK.findall(path.read_text(encoding="utf-8")):
                if "://" not in target and not target.startswith("mailto:"):
                    with self.subTest(page=path.name, link=target):
                        self.assertTrue((path.parent / target).exists())

    def test_links_into_a_page_lead_to_a_heading(self):
        for path in all_pages():
            for target, anchor in ANCHOR.findall(path.read_text(encoding="utf-8")):
                page = path.parent / target if target else path
                if "://" not in target and page.suffix == ".md":
                    with self.subTest(page=path.name, link=f"{target}#{anchor}"):
                        self.assertIn(anchor, anchors_of(page))

    def test_every_page_is_reached_from_the_index(self):
        index = (SOURCE / "docs" / "README.md").read_text(encoding="utf-8")
        for path in sorted((SOURCE / "docs").rglob("*.md")):
            name = path.relative_to(SOURCE / "docs").as_posix()
            folder = name.rpartition("/")[0]
            with self.subTest(name):
                self.assertTrue(name == "README.md" or name in index or f"({folder})" in index or
                                f"({folder}/)" in index, f"docs/README.md does not lead to {name}")


def piece_of(piece):
    """What the schema has for a piece of a vehicle file, by its keys: the file itself, or a circuit."""
    if set(piece) <= set(SCHEMA["properties"]):
        return {key: value for key, value in SCHEMA.items() if key != "$defs"}, {"loomwright": "1", **piece}
    if set(piece) <= set(SCHEMA["$defs"]["circuit"]["properties"]):
        return SCHEMA["$defs"]["circuit"], piece
    return None, piece


def add_page(path):
    name = path.relative_to(SOURCE).with_suffix("").as_posix()
    setattr(Pages, "test_page_" + re.sub(r"\W+", "_", name), lambda self: self.check_page(path))


def shown(printed):
    """What a page shows of an answer: all of it, or its beginning."""
    lines = printed.rstrip("\n").split("\n")
    if len(lines) > MOST_SHOWN:
        lines = lines[:MOST_SHOWN - 10] + [pages.DOTS]
    return ["```text", *lines, "```"]


def accept(path):
    """Writes the answers of a page anew; a line `OUTPUT:` after a command stands for a missing one.
    Answers in which lines were left out by hand are kept while they still agree."""
    text = path.read_text(encoding="utf-8")
    lines = text.split("\n")
    changes = []
    with tempfile.TemporaryDirectory(prefix="loomwright-") as parent:
        folder = work_folder(parent)
        answers = {block.first: after for block, after in pages.outputs_of(text)}
        for block in pages.blocks_of(text):
            pages.write_named_files(block, folder)
            if block.language != "sh" or block.reason is not None:
                continue
            commands = [line for line in block.lines if line.strip()]
            printed = pages.run(commands, folder, PROGRAM)[0]
            after = answers[block.first]
            wanted = next((i for i in range(block.last + 1, min(block.last + 4, len(lines)))
                           if lines[i].startswith("OUTPUT:")), None)
            if after is not None and not pages.agrees(after.lines, printed.splitlines()):
                changes.append((after.first, after.last, shown(printed)))
            elif after is None and wanted is not None:
                changes.append((wanted, wanted, shown(printed)))
    for first, last, new in reversed(changes):
        lines[first:last + 1] = new
    path.write_text("\n".join(lines), encoding="utf-8")
    print(f"{path}: {len(changes)} answers written anew")


for one in all_pages():
    if one.is_file():
        add_page(one)

if __name__ == "__main__":
    if len(sys.argv) > 2 and sys.argv[1] == "--accept":
        for page in sys.argv[2:]:
            accept(pathlib.Path(page))
    else:
        unittest.main()
