# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The schema for editors agrees with the reader.

Every example and the example of the language validate; every file of tests/bad is seen or not seen by
the schema as its head says (`# schema: rejects` or `accepts`), and what the schema rejects the reader
rejects too. The words of the schema are those of the tables and of the catalogue of rules.
The schema is checked against the metaschema of draft 2020-12 by python3-jsonschema. Every key says what it is,
its examples and its default are such as the schema takes, and its default is that of the tables.
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


def keys(node=None, where="file"):
    """(where, key, its node) of every key that the schema knows, at any depth."""
    node = SCHEMA if node is None else node
    if isinstance(node, list):
        for one in node:
            yield from keys(one, where)
    elif isinstance(node, dict):
        for key, inner in node.get("properties", {}).items():
            yield where, key, inner
        for key, inner in node.items():
            if key == "properties" or key == "$defs":
                for name, one in inner.items():
                    yield from keys(one, name if key == "$defs" else f"{where}/{name}")
            elif key != "if":
                yield from keys(inner, where)


def described(node):
    if "description" in node or "$ref" not in node:
        return node.get("description", "")
    return described(SCHEMA["$defs"][node["$ref"].rpartition("/")[2]])


# Keys whose default is a row of the tables: (row, how much of the key's unit one of the row's is).
TABLED = {
    ("zone", "air"): ("air", 1), ("kind-alternator", "resistance"): ("alternator-resistance", 1e3),
    ("kind-starter", "solenoid"): ("starter-solenoid", 1), ("kind-relay", "coil"): ("relay-coil", 1),
    ("kind-strap", "resistance"): ("strap-resistance", 1e3), ("kind-ground", "bond"): ("ground-bond", 1e3),
    ("policy", "fuse-loading"): ("fuse-loading", 100), ("policy", "least-size"): ("least-size", 1e6),
    ("policy", "battery-temperature"): ("battery-temperature", 1), ("policy", "take-out"): ("take-out", 1e3),
    ("policy", "service-loop"): ("service-loop", 1e3), ("policy", "spare"): ("spare", 100),
    ("policy", "ground-offset"): ("ground-offset-sensor", 1e3), ("policy/route", "hot"): ("route-hot", 100),
    ("policy/route", "wet"): ("route-wet", 100), ("policy/route", "moving"): ("route-moving", 100),
    ("policy/route", "seen"): ("route-seen", 100), ("kind-diode", "drop"): ("diode-drop", 1),
    ("inner-diode", "drop"): ("diode-drop", 1),
}


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

    def test_every_key_says_what_it_is(self):
        found = [(where, key) for where, key, node in keys() if "const" not in node and not described(node).strip()]
        self.assertEqual(found, [])
        self.assertGreater(len(list(keys())), 300)

    def test_examples_and_defaults_are_such_as_the_schema_takes(self):
        seen = 0
        for where, key, node in keys():
            inner = {**{"$defs": SCHEMA["$defs"]}, **node}
            for value in [*node.get("examples", []), *([node["default"]] if "default" in node else [])]:
                with self.subTest(key=f"{where}/{key}", value=value):
                    found = jsonschema.Draft202012Validator(inner).iter_errors(value)
                    self.assertEqual([error.message for error in found], [])
                    seen += 1
        self.assertGreater(seen, 150)

    def test_defaults_are_those_of_the_tables(self):
        values = {row["name"]: float(row["value"]) for row in rows("defaults")}
        nodes = {(where, key): node for where, key, node in keys()}
        for place, (row, scale) in TABLED.items():
            with self.subTest(place=place):
                number = float(nodes[place]["default"].split()[0])
                self.assertAlmostEqual(number, values[row] * scale, delta=1e-9 * abs(number) + 1e-12)

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
