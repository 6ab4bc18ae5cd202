# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""docs/format/reference.md says what schemas/vehicle.schema.json says: every key of the vehicle file with
what it is, its value, what counts when it is left out, and an example.

    format_reference.py SOURCE            fails when the page is not what the schema gives now
    format_reference.py SOURCE --accept   writes the page
"""

import json
import pathlib
import re
import sys
import unicodedata

UNITS = re.compile(r"\(\?:([^\W\d_%°]+[^()|\\]*(?:\|[^()|\\]+)*|[%°][^()\\]*)\)")
LEFT_OUT = "Left out:"  # in a description: what counts then, where that is no fixed value (`default`)
HEAD = """# Every key

<!-- Written from schemas/vehicle.schema.json by tests/docs/format_reference.py --accept. Change the schema. -->

What a vehicle file can hold, key by key. [The vehicle file](vehicle-file.md) explains how the parts go together,
[devices](devices.md) what each kind of device does, and `schemas/vehicle.schema.json` tells an editor the same.

Keys in **bold** are required. *Left out* is what counts when a key is not there; where that is empty, nothing
does. Names that refer to one another, contradictions, and the
sizes and ratings that the tables have are judged by the program alone.
"""


def title_of(name):
    """The heading of a definition: the word that a writer of files knows it by."""
    if name.startswith("kind-"):
        return name[len("kind-"):]
    if name.startswith("inner-") and name != "inner-device":
        return f"{name[len('inner-'):]} inside a unit"
    return {"inner-device": "device inside a unit", "harness": "supplied harness", "plug-face": "plug of a device",
            "stock-item": "line of the stock", "truth": "yes or no"}.get(name, name.replace("-", " "))


def link(name, text=None):
    anchor = re.sub(r"[^\w -]", "", title_of(name).lower()).replace(" ", "-")
    return f"[{text or title_of(name)}](#{anchor})"


def code(value):
    """A value as it is written in a vehicle file, on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {code(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(code, value)) + "]"
    text = str(value)
    return f'"{text}"' if "," in text or ": " in text else text


def shown(value):
    return f"`{code(value)}`".replace("|", "\\|")


def words(values):
    return ", ".join(f"`{value}`" for value in values)


class Page:
    """The sections of the page, and how a key's value is put into words."""

    def __init__(self, schema):
        self.schema = schema
        self.definitions = schema["$defs"]
        self.nested = []  # (heading, node) of maps that are written out inside a key

    def value(self, node, place):
        """The value that a node of the schema stands for, in words."""
        if "$ref" in node:
            return link(node["$ref"].rpartition("/")[2])
        if "const" in node:
            return f"`{node['const']}`"
        if "enum" in node:
            return words(node["enum"])
        for key in ("oneOf", "anyOf"):
            kinds = [option for option in node.get(key, [])
                     if option != {"type": "null"} and set(option) - {"required", "not"}]
            if kinds:
                return " or ".join(dict.fromkeys(self.value(option, place) for option in kinds))
        kind = node.get("type", "string")
        kind = kind if isinstance(kind, str) else next(one for one in kind if one != "null")
        if kind == "array":
            return self.list_of(node, place)
        if "properties" in node:
            if (place, node) not in self.nested:
                self.nested.append((place, node))
            return f"map: {link(place)}"
        if kind == "object":
            return self.named(node, place)
        return {"string": "text", "integer": "whole number", "number": "number", "boolean": "yes or no"}[kind]

    def list_of(self, node, place):
        count = node.get("minItems")
        exactly = f" of {count}" if count is not None and count == node.get("maxItems") else ""
        return f"list{exactly}: {self.value(node['items'], place)}"

    def named(self, node, place):
        """A map whose keys are names of the writer's own."""
        inner = node.get("additionalProperties")
        names = node.get("propertyNames", {}).get("$ref", "").rpartition("/")[2]
        key = link(names) if names else "name"
        return f"{key} : {self.value(inner, place)}" if isinstance(inner, dict) else "map"

    def resolved(self, node, annotation):
        """An annotation of a key: its own, else that of the definition it refers to."""
        if annotation in node:
            return node[annotation]
        if "$ref" in node:
            return self.resolved(self.definitions[node["$ref"].rpartition("/")[2]], annotation)
        return None

    def example(self, node):
        examples = self.resolved(node, "examples")
        return ", ".join(shown(one) for one in examples) if examples else ""

    def table(self, node, place):
        out = ["| key | what | value | left out | example |", "|---|---|---|---|---|"]
        for key, inner in node["properties"].items():
            name = f"**`{key}`**" if key in node.get("required", []) else f"`{key}`"
            default = self.resolved(inner, "default")
            what, _, left_out = (self.resolved(inner, "description") or "").partition(LEFT_OUT)
            out.append("| " + " | ".join([
                name, what.strip(), self.value(inner, f"{place}: {key}"),
                left_out.strip() if default is None else shown(default), self.example(inner)]) + " |")
        return out

    def conditions(self, node):
        """What must stand together, beyond the keys in bold."""
        for key in ("anyOf", "oneOf"):
            sets = [words(option["required"]) for option in node.get(key, []) if "required" in option]
            if sets:
                yield f"{'Just one' if key == 'oneOf' else 'At least one'} of these is required: {'; '.join(sets)}."
        for rule in node.get("allOf", []):
            if "required" in rule.get("then", {}):
                key, test = next(iter(rule["if"]["properties"].items()))
                yield f"With `{key}: {test['const']}` also {words(rule['then']['required'])} is required."

    def section(self, heading, node):
        out = [f"### {heading}", "", node.get("description", ""), ""]
        options = [one for one in node.get("oneOf", []) if "properties" in one] if "properties" not in node else []
        keys = node if "properties" in node else options[0] if options else None
        if heading in map(title_of, ("device", "inner-device")):
            prefix = "kind-" if heading == "device" else "inner-"
            kinds = node["properties"]["is"]["enum"]
            return out + ["**`is`**: one of " + ", ".join(link(prefix + kind, kind) for kind in kinds) + ".", ""]
        if keys is not node:
            out += self.plain(node)
        if keys is not None:
            out += self.table(keys, heading) + [""]
            out += [line for condition in self.conditions(keys) for line in (condition, "")]
        while self.nested:
            place, inner = self.nested.pop(0)
            out += self.section(place, {"description": f"Inside {link(heading)}.", **inner})
        return out

    def plain(self, node):
        """The lines of a definition that is a value and no map."""
        out = []
        units = list(dict.fromkeys(unicodedata.normalize("NFKC", unit)
                                   for group in UNITS.findall(node.get("pattern", "")) for unit in group.split("|")))
        patterns = list(dict.fromkeys(self.patterns(node)))
        if not patterns and ({"oneOf", "anyOf", "enum"} & set(node) or node.get("type") == "object"):
            out.append(f"- Value: {self.value(node, 'retained')}")
        if units:
            out.append(f"- Words and units: {words(units)}")
        if "examples" in node:
            out.append(f"- Example: {', '.join(shown(one) for one in node['examples'])}")
        for pattern in patterns:
            out += ["- Pattern:", "", f"      {pattern}"]
        self.nested.clear()
        return out + [""]

    def patterns(self, node):
        if "pattern" in node:
            yield node["pattern"]
        for option in node.get("oneOf", []):
            if "pattern" in option:
                yield option["pattern"]

    def is_map(self, node):
        return "properties" in node or any("properties" in option for option in node.get("oneOf", []))

    def text(self):
        out = [HEAD, "## The file", ""]
        out += self.table(self.schema, "file") + [""]
        kinds = lambda name: name.startswith(("kind-", "inner-")) or name == "device"
        groups = [("Parts of the file", lambda name, node: self.is_map(node) and not kinds(name)),
                  ("Devices", lambda name, node: self.is_map(node) and kinds(name)),
                  ("Values", lambda name, node: not self.is_map(node))]
        for heading, belongs in groups:
            out += [f"## {heading}", ""]
            for name, node in self.definitions.items():
                if belongs(name, node):
                    out += self.section(title_of(name), node)
        return re.sub(r"\n{3,}", "\n\n", "\n".join(out)).rstrip("\n") + "\n"


def main():
    source = pathlib.Path(sys.argv[1])
    schema = json.loads((source / "schemas/vehicle.schema.json").read_text(encoding="utf-8"))
    page, words_now = source / "docs/format/reference.md", Page(schema).text()
    if "--accept" in sys.argv:
        page.write_text(words_now, encoding="utf-8")
    if not page.exists() or page.read_text(encoding="utf-8") != words_now:
        print(f"{page.name} is not what the schema gives; run this with --accept and look at it")
        return 1
    print(f"{page.name}: {len(words_now.splitlines())} lines")
    return 0


if __name__ == "__main__":
    sys.exit(main())
