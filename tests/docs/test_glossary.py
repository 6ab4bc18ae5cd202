# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The glossary has every word that stands over a column, and every word that the program answers with: severities,
what decided a size, how a short ends, kinds of devices, covers, conditions of the engine."""

import csv
import html
import json
import os
import pathlib
import re
import subprocess
import tempfile
import unittest

SOURCE = pathlib.Path(os.environ.get("LOOMWRIGHT_SOURCE_DIR", pathlib.Path(__file__).parents[2])).resolve()
PROGRAM = pathlib.Path(os.environ.get("LOOMWRIGHT", SOURCE / "build/ci/cli/loomwright")).resolve()
GLOSSARY = (SOURCE / "docs/glossary.md").read_text(encoding="utf-8")
MARLOW = SOURCE / "examples/marlow/marlow.yaml"
FAN = SOURCE / "examples/relay-fan/relay-fan.yaml"
RULE = re.compile(r"^-+(?:  +-+)+\s*$")
UNIT = re.compile(r" \([^)]*\)?$")
PAGE_HEAD = re.compile(r"<th(?: [^>]*)?>([^<]*)")


def words():
    """What the glossary has: in bold, or in the first column of a table."""
    bold = re.findall(r"\*\*([^*]+)\*\*", GLOSSARY)
    first = [name for row in re.findall(r"^\| ([^|]+) \|", GLOSSARY, re.M) for name in row.split(", ")]
    return {word.lower() for word in bold + first}


def answer(*arguments, ok=(0, 1)):
    done = subprocess.run([PROGRAM, *map(str, arguments)], text=True, capture_output=True, timeout=120, check=False)
    if done.returncode not in ok:
        raise AssertionError(done.stderr)
    return done.stdout


def heads_of(text):
    """The heads of the tables of an answer: the words over each line of dashes."""
    lines = text.split("\n")
    for above, line in zip(lines, lines[1:]):
        if RULE.match(line):
            for dashes in re.finditer("-+", line):
                yield above[dashes.start():dashes.end() + 1].strip()


def names_of(path):
    """Names of a car's own that may stand over a column: its states and devices."""
    return set(re.findall(r"^  ([\w/-]+):", path.read_text(encoding="utf-8"), re.M))


class Glossary(unittest.TestCase):
    def check(self, found, least):
        known = words()
        self.assertGreaterEqual(len(found), least)
        self.assertEqual(sorted(word for word in found if word.lower() not in known), [])

    def test_heads_of_tables(self):
        own = names_of(MARLOW) | names_of(FAN)
        heads = set()
        with tempfile.TemporaryDirectory(prefix="loomwright-") as folder:
            answer("pack", MARLOW, "-o", folder)
            for path in sorted(pathlib.Path(folder).glob("*.csv")):
                with path.open(encoding="utf-8", newline="") as lines:
                    heads.update(next(csv.reader(lines)))
            grown = pathlib.Path(folder, "grown.yaml")
            grown.write_text(FAN.read_text(encoding="utf-8").replace("draws: 12 A", "draws: 20 A"), encoding="utf-8")
            heads.update(heads_of(answer("compare", FAN, grown)))
            page = answer("report", FAN) + answer("report", MARLOW, "--no-faults")
            heads.update(" ".join(html.unescape(head).split()) for head in PAGE_HEAD.findall(page))
        for arguments in (("size", MARLOW), ("solve", MARLOW, "--state", "cruise-night"), ("energy", MARLOW),
                          ("solve", FAN, "--state", "on", "--spread", "50"), ("place", MARLOW, "A1"),
                          ("faults", MARLOW, "--state", "cruise-night")):
            heads.update(heads_of(answer(*arguments)))
        bare = {UNIT.sub("", head) for head in heads}
        self.check({head for head in bare if head.split(" ")[0] not in own}, 100)

    def test_what_decided_a_size(self):
        text = (SOURCE / "lib/sizing/size_vehicle.cpp").read_text(encoding="utf-8")
        self.check(set(re.findall(r'case Reason::\w+:\s*return "([^"]+)"', text)), 8)

    def test_how_a_short_ends(self):
        text = (SOURCE / "lib/sheets/fault_words.cpp").read_text(encoding="utf-8")
        self.check(set(re.findall(r'case ShortOutcome::\w+:\s*return "([^"]+)"', text)), 6)

    def test_severities_marks_and_words_of_the_file(self):
        schema = json.loads((SOURCE / "schemas/vehicle.schema.json").read_text(encoding="utf-8"))["$defs"]
        self.check({"error", "danger", "fault", "caution", "note", "read", "memory", "derived"}, 8)
        kinds = schema["device"]["properties"]["is"]["enum"]
        self.check({kind.replace("led-lamp", "LED lamp").replace("-", " ") for kind in kinds}, 20)
        self.check(set(schema["run"]["properties"]["cover"]["enum"]), 4)
        self.check(set(schema["state"]["properties"]["engine"]["enum"]), 4)


if __name__ == "__main__":
    unittest.main()
