# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""A second reader of SARIF logs: into the object model of python3-sarif-python-om, which was made from the
JSON schema of the standard. A member that the schema does not have is refused, and so is an object
without one that it requires. Enumerations, bounds and what the schema cannot say are checked here by the
text of the standard (SARIF 2.1.0, OASIS; the sections are named, from memory)."""

import json
import re

import sarif_om as om

# Member -> the object that stands there, or in the list there. Whatever is not here is a plain value.
OBJECTS = {"runs": om.Run, "tool": om.Tool, "driver": om.ToolComponent, "rules": om.ReportingDescriptor,
           "shortDescription": om.MultiformatMessageString, "fullDescription": om.MultiformatMessageString,
           "help": om.MultiformatMessageString, "defaultConfiguration": om.ReportingConfiguration,
           "results": om.Result, "message": om.Message, "locations": om.Location,
           "relatedLocations": om.Location, "physicalLocation": om.PhysicalLocation,
           "artifactLocation": om.ArtifactLocation, "region": om.Region, "suppressions": om.Suppression,
           "invocations": om.Invocation}
FREE = ("properties", "partialFingerprints")  # bags: any member
LEVELS = ("none", "note", "warning", "error")  # 3.27.10, 3.50.3
URI = re.compile(r"([A-Za-z][A-Za-z0-9+.-]*:)?([A-Za-z0-9\-._~!$&'()*+,;=:@/?#]|%[0-9A-Fa-f]{2})*$")  # RFC 3986


class NotSarif(Exception):
    pass


def need(condition, what):
    if not condition:
        raise NotSarif(what)


def taken(value, kind):
    """`value` as an object of the model."""
    if isinstance(value, list):
        return [taken(one, kind) for one in value]
    need(isinstance(value, dict), f"{value!r} is no object")
    known = {field.metadata["schema_property_name"]: field.name for field in kind.__attrs_attrs__}
    arguments = {}
    for name, inner in value.items():
        need(name in known, f"{kind.__name__} has no member `{name}`")
        is_object = name in OBJECTS and name not in FREE
        arguments[known[name]] = taken(inner, OBJECTS[name]) if is_object else inner
    try:
        return kind(**arguments)
    except TypeError as why:  # one that is required is missing
        raise NotSarif(f"{kind.__name__}: {why}") from why


def check_place(place):
    need(place.physical_location is not None, "3.28.3: a place in nothing")
    uri = place.physical_location.artifact_location.uri
    need(uri and URI.match(uri), f"3.10.1: {uri!r} is no URI reference")
    region = place.physical_location.region
    if region is not None:
        need(region.start_line >= 1 and region.start_column >= 1, "3.30.5, 3.30.6: both count from 1")
        need(region.end_column is None or region.end_column > region.start_column,
             "3.30.8: the end is one past the last character")


def check_message(message):
    need(isinstance(message.text, str) and message.text, "3.11.8: a message without text")
    need("{" not in message.text.replace("{{", "").replace("}}", ""), "3.11.5: a lone brace")


def check_result(result, rules):
    need(result.level in LEVELS, "3.27.10")
    need(0 <= result.rule_index < len(rules) and rules[result.rule_index].id == result.rule_id,
         "3.27.6: ruleIndex is not that of ruleId")
    check_message(result.message)
    for place in [*(result.locations or []), *(result.related_locations or [])]:
        check_place(place)
    numbers = [place.id for place in result.related_locations or []]
    need(len(numbers) == len(set(numbers)) and all(one >= 0 for one in numbers), "3.28.2: ids")
    need(all(isinstance(one, str) for one in (result.partial_fingerprints or {}).values()), "3.27.17")
    for suppression in result.suppressions or []:
        need(suppression.kind in ("inSource", "external"), "3.35.2")


def read_sarif(text):
    """The one run of a log; NotSarif for what is none."""
    whole = json.loads(text, parse_constant=lambda name: need(False, f"{name} is not JSON"))
    log = taken(whole, om.SarifLog)
    need(log.version == "2.1.0", "3.13.2")
    need(len(log.runs) == 1, "one run")
    run = log.runs[0]
    need(run.column_kind in ("utf16CodeUnits", "unicodeCodePoints"), "3.14.17")
    need(all(isinstance(one.execution_successful, bool) for one in run.invocations), "3.20.14")
    rules = run.tool.driver.rules
    need(run.tool.driver.name, "3.19.8")
    need(len({rule.id for rule in rules}) == len(rules), "3.19.23: a rule stands twice")
    for rule in rules:
        need(rule.default_configuration.level in LEVELS, "3.50.3")
        for told in (rule.short_description, rule.full_description, rule.help):
            check_message(told)
    for result in run.results:
        check_result(result, rules)
    given = {result.suppressions is not None for result in run.results}
    need(len(given) < 2, "3.27.23: all results say what suppresses them, or none does")
    return run
