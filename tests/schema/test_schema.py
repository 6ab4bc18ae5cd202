# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The schema for editors agrees with the reader.

Every example and the example of the language validate; every file of tests/bad is seen or not seen by
the schema as its head says (`# schema: rejects` or `accepts`), and what the schema rejects the reader
rejects too. The words of the schema are those of the tables and of the catalogue of rules.
The schema is checked against the metaschema of draft 2020-12 by python3-jsonschema.
"""

import json
import os
import pathlib
import re
import subprocess
import unittest

import jsonschema
import yaml

ROOT = pathlib.Path(os.environ.get("LOOMWRIGHT_SOURCE_DIR", pathlib.Path(__file__).parents[2]))
COMMAND = os.environ.get("LOOMWRIGHT", "")
SCHEMA = json.loads((ROOT / "schemas" / "vehicle.schema.json").read_text(encoding="utf-8"))


class CoreLoader(yaml.SafeLoader):
    """Plain scalars become numbers and truth values as YAML 1.2 has it: what most editors do."""


CoreLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in [
    ("tag:yaml.org,2002:bool", r"^(?:true|True|TRUE|false|False|FALSE)$", "tTfF"),
    ("tag:yaml.org,2002:int", r"^[-+]?[0-9]+$", "-+0123456789"),
    ("tag:yaml.org,2002:float", r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$",
     "-+.0123456789"),
    ("tag:yaml.org,2002:null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""]),
]:
    CoreLoader.add_implicit_resolver(tag, re.compile(pattern), list(first))


def construct_mapping(loader, node, deep=False):
    """Keys are names: they keep their text."""
    return {key.value: loader.construct_object(value, deep=True) for key, value in node.value}


def construct_int(loader, node):
    """`0000` is no integer to the reader, and 010 is not eight."""
    text = loader.construct_scalar(node)
    return text if re.match(r"^[-+]?0[0-9]", text) else int(text)


CoreLoader.add_constructor("tag:yaml.org,2002:map", construct_mapping)
CoreLoader.add_constructor("tag:yaml.org,2002:int", construct_int)

LOADERS = {"as text": yaml.BaseLoader, "as an editor does": CoreLoader}


def is_vehicle(path):
    return re.search(r"^loomwright:", path.read_text(encoding="utf-8"), re.M) is not None


def faults(path, loader):
    """What the schema says of a file, or the reason why it is no YAML."""
    try:
        value = yaml.load(path.read_text(encoding="utf-8"), Loader=loader)
    except yaml.YAMLError as error:
        return [f"not YAML: {error}"]
    validator = jsonschema.Draft202012Validator(SCHEMA)
    return [f"{'/'.join(map(str, e.absolute_path))}: {e.message}" for e in
            validator.iter_errors(value)]


def rows(table):
    text = (ROOT / "lib" / "tables" / "data" / f"{table}.yaml").read_text(encoding="utf-8")
    data = yaml.load(text, Loader=yaml.BaseLoader)
    columns = [column[0] for column in data["columns"]]
    return [dict(zip(columns, row)) for row in data["rows"]]


class Schema(unittest.TestCase):
    def test_is_a_schema(self):
        jsonschema.Draft202012Validator.check_schema(SCHEMA)

    def test_every_example_validates(self):
        paths = [p for p in sorted((ROOT / "examples").rglob("*.yaml")) if is_vehicle(p)]
        paths.append(ROOT / "tests" / "unit" / "read" / "data" / "notebook.yaml")
        self.assertGreaterEqual(len(paths), 5)
        for path in paths:
            for name, loader in LOADERS.items():
                with self.subTest(path=path.name, loaded=name):
                    self.assertEqual(faults(path, loader), [])

    def test_the_schema_sees_of_bad_files_what_their_heads_say(self):
        paths = sorted((ROOT / "tests" / "bad").glob("*.yaml"))
        self.assertGreaterEqual(len(paths), 60)
        seen = {"rejects": 0, "accepts": 0}
        for path in paths:
            head = re.search(r"^# schema: (rejects|accepts)$", path.read_text(encoding="utf-8"),
                             re.M)
            self.assertIsNotNone(head, path.name)
            seen[head.group(1)] += 1
            for name, loader in LOADERS.items():
                with self.subTest(path=path.name, loaded=name):
                    found = faults(path, loader)
                    self.assertEqual("rejects" if found else "accepts", head.group(1), found[:3])
        self.assertGreater(seen["rejects"], 60)
        self.assertGreater(seen["accepts"], 20)

    def test_words_are_those_of_the_tables(self):
        definitions = SCHEMA["$defs"]
        self.assertEqual(definitions["insulation"]["enum"],
                         [row["name"] for row in rows("insulation")])
        self.assertEqual(definitions["class"]["enum"], [row["class"] for row in rows("drop-limits")])
        for kind in ["fuse", "breaker", "fusible-link"]:
            self.assertEqual(definitions[f"kind-{kind}"]["properties"]["family"]["enum"],
                             [row["name"] for row in rows("fuses") if row["kind"] == kind])
        self.assertEqual(definitions["curve"]["properties"]["family"]["enum"],
                         [row["name"] for row in rows("fuses")])
        codes = [row["code"] for row in rows("colours")]
        self.assertEqual(definitions["colour"]["pattern"],
                         "^(?:{0})(?:/(?:{0})){{0,2}}$".format("|".join(codes)))

    def test_rules_are_those_of_the_catalogue(self):
        text = (ROOT / "lib" / "diag" / "rules.cpp").read_text(encoding="utf-8")
        found = re.findall(r'RuleInfo\{Rule::\w+,\s*"([a-z-]+)",\s*Severity::\w+,\s*(true|false)', text)
        self.assertEqual(SCHEMA["$defs"]["waiver"]["properties"]["rule"]["enum"],
                         [rule for rule, is_input in found if is_input == "false"])


@unittest.skipUnless(COMMAND, "no command to compare with")
class Command(unittest.TestCase):
    """The same files through the command: exit 2, and the rules and places that the heads name."""

    def test_bad_files(self):
        for path in sorted((ROOT / "tests" / "bad").glob("*.yaml")):
            with self.subTest(path=path.name):
                run = subprocess.run([COMMAND, "check", path.name], cwd=path.parent, text=True,
                                     capture_output=True, timeout=60, check=False)
                self.assertEqual(run.returncode, 2, run.stderr)
                self.assertEqual(run.stdout, "")
                expected = re.findall(r"^# expect: (\S+) (\d+:\d+)$",
                                      path.read_text(encoding="utf-8"), re.M)
                found = re.findall(r"^[^ ]*?:(\d+:\d+): error\[([a-z-]+)\]", run.stderr, re.M)
                self.assertEqual([(rule, place) for place, rule in found], expected)


if __name__ == "__main__":
    unittest.main()
