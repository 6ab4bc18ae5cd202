# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What `check` answers to other programs, read back by readers that are not ours: SARIF into the object
model of the standard's schema, JUnit XML by junitparser and by the XML reader of Python, lines by the
pattern that editors have. Each finding of --json must come back from each of them, at its place."""

import copy
import io
import json
import re
import shutil
import unittest
import urllib.parse
import xml.etree.ElementTree

import junitparser

from car import AS_FOUND, MARLOW, ONE_LAMP, SEVERITIES, SMALL, CarTest, answer, answer_json, changed, run
from sarif_reader import NotSarif, read_sarif

FORMATS = ("--json", "--lines", "--sarif", "--junit")
LINE = re.compile(r"(?P<file>[^\n]+?):(?P<line>\d+):(?P<column>\d+): (?P<severity>\w+)\[(?P<rule>[\w-]+)\] (?P<rest>.*)$")
LEVEL = {"danger": "error", "fault": "error", "caution": "warning", "note": "note"}
# A name that tries everything: markup, the end of a CDATA section, a control character, a mark that turns
# the direction of writing, braces and brackets of SARIF's own.
HOSTILE = "E<b>&\"'{0}[a](1)]]>\a\u202e\ufffe\u00e9"
HOSTILE_IN_YAML = '"E<b>&\\"\'{0}[a](1)]]>\\a\\u202e\\ufffe\\u00e9"'


def fnv1a(data):
    """The 64-bit FNV-1a hash, by its definition (Fowler, Noll, Vo; RFC 9923)."""
    out = 0xcbf29ce484222325
    for byte in data:
        out = (out ^ byte) * 0x100000001b3 % 2 ** 64
    return f"{out:016x}"


def sarif_of(*words, **options):
    return read_sarif(answer("check", *words, "--sarif", **options))


def junit_of(*words, **options):
    return junitparser.JUnitXml.fromstring(answer("check", *words, "--junit", **options))


def cases_of(xml):
    (suite,) = list(xml)
    return suite, {case.name: case for case in suite}


def kind_of(case):
    """"passed", or the kind of what junitparser found in the case."""
    kinds = {type(result).__name__.lower() for result in case.result}
    return kinds.pop() if len(kinds) == 1 else "passed" if not kinds else f"several: {kinds}"


def subject_and_message(finding):
    return (f"{finding['subject']}: " if finding["subject"] else "") + finding["message"]


class Sarif(CarTest):
    def test_every_finding_comes_back_with_its_place(self):
        for car in (*SMALL, MARLOW, AS_FOUND):
            findings = answer_json("check", car, "--json")["findings"]
            results = sarif_of(car).results
            self.assertEqual(len(results), len(findings))
            for finding, result in zip(findings, results):
                with self.subTest(car=car.name, rule=finding["rule"], subject=finding["subject"]):
                    (place,) = result.locations
                    physical = place.physical_location
                    self.assertEqual(result.rule_id, finding["rule"])
                    self.assertEqual(result.level, LEVEL[finding["severity"]])
                    self.assertEqual(result.properties["severity"], finding["severity"])
                    self.assertEqual(result.properties["subject"], finding["subject"])
                    self.assertEqual(result.properties["figures"], finding["figures"])
                    self.assertEqual(urllib.parse.unquote(urllib.parse.urlparse(
                        physical.artifact_location.uri).path), str(car))
                    if finding["line"] is not None:
                        self.assertEqual((physical.region.start_line, physical.region.start_column),
                                         (finding["line"], finding["column"]))
                    self.assertIn(subject_and_message(finding), result.message.text)
                    self.assertIn(finding["remedy"], result.message.text)
                    self.assertEqual([one.justification for one in result.suppressions],
                                     [finding["waived"]] if "waived" in finding else [])
        self.assertGreater(len(findings), 40)  # those of the car with planted faults

    def test_every_rule_is_there_with_its_level(self):
        rules = {rule.id: rule for rule in sarif_of(SMALL[0]).tool.driver.rules}
        documented = re.findall(r"^\| \[([\w-]+)\]\(.*?\) \| (\w+) \| (.*) \|$",
                                (AS_FOUND.parents[2] / "docs/rules/README.md").read_text(), re.MULTILINE)
        self.assertEqual([name for name, _, _ in documented], list(rules))
        for name, severity, title in documented:
            self.assertEqual(rules[name].default_configuration.level, LEVEL.get(severity, "error"), name)
            self.assertEqual(rules[name].short_description.text, title)

    def test_a_fingerprint_does_not_move_with_the_lines(self):
        text = AS_FOUND.read_text(encoding="utf-8")
        shutil.copytree(AS_FOUND.parent, self.folder, dirs_exist_ok=True)  # its parts, and what is frozen
        before = sarif_of(self.car(text)).results
        after = sarif_of(self.car("# one\n# two\n# three\n" + text)).results
        names = [json.dumps(result.partial_fingerprints, sort_keys=True) for result in before]
        self.assertEqual(names, [json.dumps(r.partial_fingerprints, sort_keys=True) for r in after])
        self.assertEqual(len(set(names)), len(names), "two findings with one fingerprint")
        for one, other in zip(before, after):
            self.assertEqual(one.locations[0].physical_location.region.start_line + 3,
                             other.locations[0].physical_location.region.start_line)

    def test_a_digest_is_that_of_its_definition(self):
        # Test vectors that the authors of the hash publish.
        self.assertEqual(fnv1a(b""), "cbf29ce484222325")
        self.assertEqual(fnv1a(b"a"), "af63dc4c8601ec8c")
        self.assertEqual(fnv1a(b"foobar"), "85944171f73967e8")
        for result in sarif_of(AS_FOUND).results:
            prints = result.partial_fingerprints
            self.assertEqual(prints["digest/v1"], fnv1a(prints["ruleAndSubject/v1"].encode()))
            self.assertTrue(prints["ruleAndSubject/v1"].startswith(
                f"{result.rule_id}:{result.properties['subject']}"))

    def test_a_column_counts_characters(self):
        # Two bytes, three, four (two units of UTF-16): each of them one column.
        car = self.car(changed(ONE_LAMP, ("E1: {is: lamp, at", "E1: {title: \"\u00e9\u20ac\U0001f600\", is: lamp, tint: red, at")))
        done = run("check", car, "--sarif")
        self.assertEqual(done.returncode, 2)
        (result,) = read_sarif(done.stdout).results
        region = result.locations[0].physical_location.region
        line = car.read_text(encoding="utf-8").splitlines()[region.start_line - 1]
        self.assertEqual(line[region.start_column - 1:region.end_column - 1], "tint")

    def test_a_uri_is_encoded_and_leads_to_the_file(self):
        odd = "my car #1 50%?\u00e9:a.yaml"
        for name in (odd, f"deep down/{odd}"):
            self.car(changed(ONE_LAMP, ("2.3: {size: 1.5 mm2", "2.3: {size: 0.5 mm2")), name)
            for path in (name, self.folder / name):
                with self.subTest(path=path):
                    results = sarif_of(path, cwd=self.folder).results
                    uri = results[0].locations[0].physical_location.artifact_location.uri
                    parts = urllib.parse.urlsplit(uri)
                    self.assertEqual((parts.query, parts.fragment, parts.netloc), ("", "", ""))
                    self.assertEqual(parts.scheme, "file" if path != name else "")
                    self.assertEqual(urllib.parse.unquote(parts.path), str(path))

    def test_a_parts_file_is_named_from_where_the_command_runs(self):
        self.car(changed(ONE_LAMP, ("  E1: {is: lamp, at: rear, draws: 55 W at 13.5 V}\n", ""),
                         ("title: One lamp\n", "title: One lamp\ninclude: [parts/lamp.yaml]\n")), "cars/car.yaml")
        self.car("devices:\n  E1: {is: lamp, at: rear, draws: 55 W at 13.5 V, tint: red}\n", "cars/parts/lamp.yaml")
        for kind in ("--sarif", "--lines", "--junit"):
            done = run("check", "cars/car.yaml", kind, cwd=self.folder)
            self.assertEqual(done.returncode, 2, kind)
            self.assertIn("cars/parts/lamp.yaml", done.stdout.decode(), kind)

    def test_a_fault_of_the_reader_would_be_seen(self):
        good = json.loads(answer("check", AS_FOUND, "--sarif"))
        read_sarif(json.dumps(good))

        def spoilt(change):
            bad = copy.deepcopy(good)
            change(bad, bad["runs"][0]["results"][0])
            with self.assertRaises(NotSarif):
                read_sarif(json.dumps(bad))
        spoilt(lambda log, result: log.update(version="2.0.0"))
        spoilt(lambda log, result: result.update(place="here"))
        spoilt(lambda log, result: result.pop("message"))
        spoilt(lambda log, result: result.update(level="danger"))
        spoilt(lambda log, result: result.update(ruleIndex=0))
        spoilt(lambda log, result: result["locations"][0]["physicalLocation"]["artifactLocation"].update(uri="a b"))
        spoilt(lambda log, result: result.pop("suppressions"))


class Junit(CarTest):
    def test_counts_and_outcomes_follow_the_findings(self):
        for car in (*SMALL, MARLOW, AS_FOUND):
            with self.subTest(car=car.name):
                findings = answer_json("check", car, "--json", "--fail-on", "caution")["findings"]
                suite, cases = cases_of(junit_of(car))
                kinds = {name: kind_of(case) for name, case in cases.items()}
                self.assertEqual(list(cases), [rule.id for rule in sarif_of(car).tool.driver.rules])
                for name, kind in kinds.items():
                    own = [f for f in findings if f["rule"] == name]
                    open_ones = [f for f in own if "waived" not in f]
                    if any(SEVERITIES.index(f["severity"]) >= SEVERITIES.index("caution") for f in open_ones):
                        self.assertEqual(kind, "failure", name)
                    elif own and not open_ones:
                        self.assertEqual(kind, "skipped", name)
                        self.assertIn(own[0]["waived"], cases[name].result[0].message)
                    elif own or not name.startswith(("short-", "sneak-path")):
                        self.assertEqual(kind, "passed", name)
                    else:
                        self.assertEqual(kind, "skipped", f"{name} is judged by --faults alone")
                listed = list(kinds.values())
                self.assertEqual((suite.tests, suite.failures, suite.errors, suite.skipped),
                                 (len(listed), listed.count("failure"), 0, listed.count("skipped")))
                self.assertEqual(suite.name, str(car))

    def test_every_finding_stands_in_its_case_with_its_place(self):
        findings = answer_json("check", AS_FOUND, "--json")["findings"]
        _, cases = cases_of(junit_of(AS_FOUND))
        for finding in findings:
            case = cases[finding["rule"]]
            if kind_of(case) == "skipped":
                self.assertIn("waived", finding)
                continue
            text = "".join(result.text for result in case.result) + (case.system_out or "")
            place = f"{AS_FOUND}:{finding['line']}:{finding['column']}: {finding['severity']}[{finding['rule']}]"
            self.assertIn(f"{place} {subject_and_message(finding)}\n", text)

    def test_what_fails_is_what_the_exit_status_says(self):
        for least in (*SEVERITIES, "never"):
            done = run("check", AS_FOUND, "--junit", "--fail-on", least)
            suite, _ = cases_of(junitparser.JUnitXml.fromstring(done.stdout))
            self.assertEqual(suite.failures > 0, done.returncode == 1, least)

    def test_with_faults_the_rules_of_the_sweep_are_judged(self):
        _, cases = cases_of(junit_of(SMALL[0], "--faults"))
        self.assertNotEqual(kind_of(cases["short-not-cleared"]), "skipped")

    def test_a_fault_of_the_input_is_an_error_and_nothing_else_is_judged(self):
        done = run("check", self.car(changed(ONE_LAMP, ("zones:\n", "zone:\n"))), "--junit")
        suite, cases = cases_of(junitparser.JUnitXml.fromstring(done.stdout))
        self.assertEqual(done.returncode, 2)
        self.assertEqual(kind_of(cases["unknown-key"]), "error")
        self.assertEqual(kind_of(cases["bad-yaml"]), "passed")
        self.assertEqual(kind_of(cases["drop-limit"]), "skipped")
        self.assertEqual(suite.errors, [kind_of(case) for case in cases.values()].count("error"))


class Lines(CarTest):
    def test_a_line_a_finding_in_the_order_of_the_answer(self):
        for car in (*SMALL, MARLOW, AS_FOUND):
            findings = [f for f in answer_json("check", car, "--json")["findings"] if "waived" not in f]
            lines = answer("check", car, "--lines").decode().splitlines()
            self.assertEqual(len(lines), len(findings))
            for line, finding in zip(lines, findings):
                got = LINE.match(line)
                self.assertEqual((got["file"], int(got["line"]), int(got["column"])),
                                 (str(car), finding["line"] or 1, finding["column"] or 1))
                self.assertEqual((got["severity"], got["rule"]), (finding["severity"], finding["rule"]))
                self.assertEqual(got["rest"], subject_and_message(finding))

    def test_the_input_is_told_of_in_the_same_way(self):
        car = self.car(changed(ONE_LAMP, ("zones:\n", "zone:\n"), ("rating: 10 A", "rating: 10")))
        done = run("check", car, "--lines")
        lines = [LINE.match(line) for line in done.stdout.decode().splitlines()]
        self.assertEqual((done.returncode, done.stderr), (2, b""))
        self.assertTrue(lines and all(line["severity"] == "error" for line in lines))
        self.assertEqual(sorted(int(line["line"]) for line in lines), [int(line["line"]) for line in lines])

    def test_nothing_found_is_nothing_printed(self):
        quiet = [car for car in SMALL if not answer_json("check", car, "--json")["findings"]]
        self.assertTrue(quiet)
        for car in quiet:
            self.assertEqual(answer("check", car, "--lines"), b"")


class EveryFormat(CarTest):
    def rules_in(self, kind, data):
        """The rules that the answer has findings of."""
        if kind == "--json":
            return [finding["rule"] for finding in json.loads(data)["findings"]]
        if kind == "--lines":
            return [LINE.match(line)["rule"] for line in data.decode().splitlines()]
        if kind == "--sarif":
            read = read_sarif(data)
            self.assertFalse(read.invocations[0].execution_successful)
            return [result.rule_id for result in read.results]
        xml.etree.ElementTree.parse(io.BytesIO(data))
        _, cases = cases_of(junitparser.JUnitXml.fromstring(data))
        return [name for name, case in cases.items() if kind_of(case) == "error"]

    def test_what_cannot_be_read_is_in_every_format(self):
        self.car("loomwright: 1\ntitle: [\n", "broken.yaml")
        self.car("", "empty.yaml")
        (self.folder / "bytes.yaml").write_bytes(b"loomwright: 1\ntitle: \xff\xfe\xc3(\nzone\xff: 1\n")
        (self.folder / "folder.yaml").mkdir()
        for name in ("nowhere.yaml", "folder.yaml", "broken.yaml", "empty.yaml", "bytes.yaml", "od\ad\n\u202e<&>.yaml"):
            seen = []
            for kind in FORMATS:
                done = run("check", name, kind, cwd=self.folder)
                self.assertEqual((done.returncode, done.stderr), (2, b""), (name, kind))
                found = self.rules_in(kind, done.stdout)
                self.assertTrue(found, (name, kind))
                seen.append(sorted(set(found)))
            self.assertEqual([seen[0]] * len(FORMATS), seen, name)
            self.assertTrue(name != "nowhere.yaml" or seen[0] == ["bad-file"])

    def assert_harmless(self, text):
        """Nothing in it moves a terminal, turns the direction of writing or is forbidden in XML 1.0."""
        self.assertNotRegex(text, "[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\ufffe\uffff]")

    def test_hostile_names_make_good_documents(self):
        """As a device with findings, and as a key that is not known."""
        device = ONE_LAMP.replace("E1:", HOSTILE_IN_YAML + ":").replace("expect: {off: [E1]}", "{}").replace(
            "expect: {on: [E1]}", f"expect: {{off: [{HOSTILE_IN_YAML}]}}")
        device = device.replace(", {}}", "}").replace("F1 > S1 > E1 > GND2", "G1 > S1")
        key = changed(ONE_LAMP, ("zones:\n", HOSTILE_IN_YAML + ": 1\nzones:\n"))
        for name, text in (("device", device), ("key", key)):
            car = self.car(text, f"{name}.yaml")
            found = json.loads(run("check", car, "--json").stdout)["findings"]
            self.assertTrue(any("<b>" in f["subject"] + f["message"] for f in found), f"{name}: {found}")
            for kind in ("--lines", "--junit"):
                self.assert_harmless(run("check", car, kind).stdout.decode())
            read = read_sarif(run("check", car, "--sarif").stdout)
            self.assertEqual(len(read.results), len(found))
            for result, finding in zip(read.results, found):
                self.assert_harmless(result.message.text)
                self.assertEqual(result.properties["subject"], finding["subject"])  # for programs: as it is
            tree = xml.etree.ElementTree.fromstring(run("check", car, "--junit").stdout)
            self.assertIn("]]>", "".join(tree.itertext()))
            lines = run("check", car, "--lines").stdout.decode().splitlines()
            self.assertTrue(lines and all(LINE.match(line) for line in lines))

    def test_one_format_at_a_time(self):
        for i, one in enumerate(FORMATS):
            for other in FORMATS[i + 1:]:
                done = run("check", SMALL[0], one, other)
                self.assertEqual((done.returncode, done.stdout), (2, b""))
                self.assertIn(one.encode(), done.stderr)
                self.assertIn(other.encode(), done.stderr)

    def test_an_answer_goes_into_a_file(self):
        for kind in FORMATS:
            printed = answer("check", AS_FOUND, kind)
            self.assertEqual(answer("check", AS_FOUND, kind, "-o", self.folder / "answer"), b"")
            self.assertEqual((self.folder / "answer").read_bytes(), printed, kind)

    def test_standard_input(self):
        for kind in FORMATS[1:]:
            done = run("check", "-", kind, stdin=changed(ONE_LAMP, ("zones:\n", "zone:\n")).encode())
            self.assertEqual(done.returncode, 2)
            self.assertIn("unknown-key", self.rules_in(kind, done.stdout))


if __name__ == "__main__":
    unittest.main()
