# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The inspector's report, read back: every link leads somewhere, every number is the one that the other
verbs answer, parts add up to their sums, and the page needs nothing from outside. How it looks and
behaves in a browser: tests/browser."""

import html.parser
import re
import unittest

from car import AS_FOUND, MARLOW, ONE_LAMP, SIX_VOLT, SMALL, CarTest, answer, answer_json, run

VOID = {"meta", "br", "input"}


class Page(html.parser.HTMLParser):
    """The tables, ids and links of a page."""

    def __init__(self, text):
        super().__init__()
        self.ids, self.links, self.outside, self.tables, self.open = [], [], [], {}, []
        self.table = self.row = self.cell = None
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if "id" in given:
            self.ids.append(given["id"])
        for name in ("href", "src", "action", "data"):
            if name in given:
                (self.links if given[name].startswith("#") else self.outside).append(given[name])
        if tag == "table":
            self.table = self.tables[given["id"]] = []
        elif tag == "tr" and self.table is not None:
            self.row = []
            self.table.append(self.row)
        elif tag in ("td", "th") and self.row is not None:
            self.cell = {"text": "", "small": "", "sort": given.get("data-sort"), "bars": []}
            self.row.append(self.cell)
        elif tag == "rect" and self.cell is not None:
            self.cell["bars"].append((given["class"], float(given["width"])))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        self.open.pop()

    def handle_endtag(self, tag):
        if self.open.pop() != tag:
            raise AssertionError(f"</{tag}> closes another element")
        if tag in ("td", "th"):
            self.cell = None
        elif tag == "table":
            self.table = self.row = None

    def handle_data(self, data):
        if self.cell is not None:
            self.cell["small" if self.open[-1] == "small" else "text"] += data

    def rows(self, table):
        """Rows of a table under the titles of its columns; the running head is left out."""
        heads = [cell["text"] for cell in self.tables[table][1]]
        return [dict(zip(heads, row)) for row in self.tables[table][2:]]


def report(*words):
    return answer("report", *words, "-o", "-").decode("utf-8")


class Report(CarTest):
    @classmethod
    def setUpClass(cls):
        cls.text = report(MARLOW)
        cls.page = Page(cls.text)

    def test_every_link_leads_to_what_is_there_and_ids_are_given_once(self):
        for text in (self.text, report(AS_FOUND), report(SIX_VOLT), *(report(path) for path in SMALL)):
            page = Page(text)
            self.assertEqual(len(page.ids), len(set(page.ids)))
            self.assertEqual(sorted({link[1:] for link in page.links} - set(page.ids)), [])
            self.assertEqual(page.open, [])

    def test_needs_nothing_from_outside(self):
        self.assertEqual(self.page.outside, [])
        self.assertNotIn("@import", self.text)
        self.assertNotRegex(self.text, r"url\(")
        self.assertIn("default-src 'none'", self.text)

    def test_the_same_bytes_each_time(self):
        self.assertEqual(self.text, report(MARLOW))

    def test_wires_are_those_of_size(self):
        sized = {wire["wire"]: wire for wire in answer_json("size", MARLOW, "--json")["wires"]}
        rows = self.page.rows("wires")
        self.assertEqual([row["wire"]["text"] for row in rows], list(sized))
        for row in rows:
            wire = sized[row["wire"]["text"]]
            self.assertEqual(row["size"]["text"], wire["size"])
            self.assertAlmostEqual(float(row["amps (A)"]["text"]), wire["amps"], delta=0.0051)
            self.assertAlmostEqual(float(row["length (m)"]["text"]), wire["length_m"], delta=0.0051)
            self.assertAlmostEqual(float(row["drop (V)"]["text"]), wire["drop_v"], delta=0.00051)

    def test_the_schedule_is_that_of_size_and_names_each_device(self):
        sized = {fuse["fuse"]: fuse for fuse in answer_json("size", MARLOW, "--json")["fuses"]}
        rows = self.page.rows("protection-schedule")
        self.assertEqual([row["device"]["text"] for row in rows], list(sized))
        for row in rows:
            fuse = sized[row["device"]["text"]]
            self.assertAlmostEqual(float(row["rating (A)"]["text"]), fuse["rating_a"], delta=0.051)
            self.assertAlmostEqual(float(row["load (A)"]["text"]), fuse["load_a"], delta=0.0051)
            self.assertEqual([name for name in row["protects"]["text"].split(", ") if name != "-"], fuse["protects"])
        self.assertEqual(len(re.findall(r'aria-label="Time and current of ', self.text)), len(rows))

    def test_sources_give_what_solve_says_and_bars_are_shares(self):
        solved = {state["state"]: {device["device"]: device for device in state["devices"]}
                  for state in answer_json("solve", MARLOW, "--json")["states"]}
        rows = self.page.rows("state-sources")
        self.assertEqual({row["state"]["text"] for row in rows}, set(solved))
        for row in rows:
            device = solved[row["state"]["text"]][row["source"]["text"]]
            self.assertAlmostEqual(float(row["volts (V)"]["text"]), device["volts"], delta=0.0051)
            self.assertAlmostEqual(float(row["gives (A)"]["text"]), device["amps"], delta=0.0051)
            most = float(row["can give (A)"]["text"])
            if most > 0.0:
                share = max(0.0, device["amps"]) / most
                drawn = sum(width for kind, width in row["share of it"]["bars"]) / 100.0
                self.assertAlmostEqual(drawn, min(share, 1.2), delta=0.02 + 0.01 * share)

    def test_what_a_battery_can_give_is_its_cold_cranking_current_in_the_cold(self):
        """SAE J537: at -18 C the cranking current brings a full battery down to 7.2 V of 12 V."""
        text = ONE_LAMP.replace("capacity: 45 Ah, voltage: 12.6 V, resistance: 10 mohm", "capacity: 45 Ah, cranking-amps: 400 A")
        text = text.replace('lit:  {set: {S1: "on"}, expect', 'lit:  {set: {S1: "on"}, air: -18 C, battery-temperature: -18 C, expect')
        page = Page(report(self.car(text)))
        can = {row["state"]["text"]: float(row["can give (A)"]["text"]) for row in page.rows("state-sources")}
        self.assertAlmostEqual(can["lit"], 400.0, delta=1.0)
        self.assertGreater(can["dark"], 500.0)

    def test_drops_are_the_sum_of_their_parts_and_end_at_the_load(self):
        rows = self.page.rows("voltage-drops")
        self.assertGreater(len(rows), 40)
        for row in rows:
            number = {name: float(row[f"{name} (V)"]["text"])
                      for name in ("supply", "at the load", "drop", "wires", "contacts", "grounds")}
            self.assertAlmostEqual(number["wires"] + number["contacts"] + number["grounds"], number["drop"], delta=0.002)
            self.assertLessEqual(number["drop"], number["supply"] - number["at the load"] + 0.011)

    def test_a_worse_ground_shows_in_the_white_part_alone(self):
        """Ohm: 99 mohm more in the ground joint at the lamp's current."""
        def row(bond):
            text = ONE_LAMP.replace("GND2: {is: ground, at: rear, body: chassis, bond: 1 mohm}",
                                    f"GND2: {{is: ground, at: rear, body: chassis, bond: {bond} mohm}}")
            return {name: float(cell["text"]) for name, cell in Page(report(self.car(text))).rows("voltage-drops")[0].items()
                    if name.endswith(("(V)", "(A)"))}
        good, bad = row(1), row(100)
        self.assertAlmostEqual(bad["grounds (V)"] - good["grounds (V)"],
                               0.101 * bad["amps (A)"] - 0.002 * good["amps (A)"], delta=0.002)
        self.assertAlmostEqual(bad["wires (V)"], good["wires (V)"] * bad["amps (A)"] / good["amps (A)"], delta=0.004)

    def test_a_fuse_without_known_times_and_one_without_a_rating(self):
        """Opening times of torpedo fuses are not known; a link by its size has no rating that could be loaded."""
        fuse = "F1: {is: fuse, at: front, family: blade, rating: 10 A}"

        def schedule(device):
            page = Page(report(self.car(ONE_LAMP.replace(fuse, f"F1: {device}"))))
            for row in page.tables["protection-schedule"][1:]:
                self.assertEqual(len(row), len(page.tables["protection-schedule"][1]))
            (row,) = page.rows("protection-schedule")
            return {name: cell["text"] for name, cell in row.items()}, row
        torpedo, cells = schedule("{is: fuse, at: front, family: torpedo, rating: 8 A}")
        self.assertEqual((torpedo["rating (A)"], torpedo["open within"]), ("8.0", "not known"))
        self.assertEqual(cells["greatest short (A)"]["small"], "breaks: not known")
        self.assertIn("no opening times are known of conical ends, 6 x 25 mm, as in old cars, 8 A",
                      report(self.car(ONE_LAMP.replace("family: blade, rating: 10 A", "family: torpedo, rating: 8 A"))))
        link, cells = schedule("{is: fusible-link, at: front, size: 0.35 mm2}")
        self.assertEqual((link["device"], cells["device"]["small"]), ("F1", "fusible-link"))
        self.assertEqual((link["rating (A)"], link["load of what is allowed"]), ("-", "-"))
        self.assertEqual((cells["load of what is allowed"]["bars"], link["protects"]),
                         ([], "1.1, 2.1, 2.2, 2.3, 2.4"))
        # It protects 2.53 times its area (SAE J156 practice): 0.886 mm2, and these are 1.5 mm2 and more.
        self.assertEqual(link["verdict"], "nothing open")
        # 0.75 mm2 would do for 1.9 mm2.
        self.assertEqual(schedule("{is: fusible-link, at: front, size: 0.75 mm2}")[0]["verdict"], "danger")

    def test_findings_and_waivers_are_those_of_the_check(self):
        found = answer_json("check", AS_FOUND, "--faults", "--json")["findings"]
        text = report(AS_FOUND)
        shown = re.findall(r'<article class="finding (\w+)" id="(f\d+)">', text)
        self.assertEqual(len(shown), len(found))
        self.assertEqual(text.count("<b>accepted:</b>"), sum(1 for one in found if one.get("waived")))
        self.assertRegex(text, r"NOT READY: 7 dangers and \d+ faults")

    def test_shorts_are_the_worst_of_the_sweep(self):
        sweep = answer_json("faults", MARLOW, "--json")
        worst = {}
        for short in sweep["shorts"]:
            key = (short["wire"], short["end"])
            worst[key] = max(worst.get(key, 0.0), short["hottest"]["peak_c"] if short.get("hottest") and
                             short["hottest"].get("peak_c") else 0.0)
        rows = self.page.rows("shorts")
        self.assertGreater(len(rows), 100)
        for row in rows:
            if row["peak (C)"]["text"] != "-":
                peak = float(row["peak (C)"]["text"])
                wire = row["wire"]["text"]
                self.assertLessEqual(peak, max(value for (name, _), value in worst.items() if name == wire) + 0.51)

    def test_without_the_sweep_it_says_so(self):
        text = report(MARLOW, "--no-faults")
        self.assertIn("No fault was tried for this page.", text)
        self.assertNotIn('<table id="shorts"', text)
        # Verdicts may differ: sneak paths are found by the sweep.
        def figures(page):
            return [{head: cell for head, cell in row.items() if head != "verdict"} for row in page.rows("wires")]
        self.assertEqual(figures(Page(text)), figures(self.page))

    def test_bad_input_writes_nothing(self):
        path = self.car(ONE_LAMP.replace("devices:", "devcies:"))
        out = path.parent / "report.html"
        done = run("report", path, "-o", out)
        self.assertEqual(done.returncode, 2)
        self.assertFalse(out.exists())
        self.assertIn(b"unknown-key", done.stderr)


if __name__ == "__main__":
    unittest.main()
