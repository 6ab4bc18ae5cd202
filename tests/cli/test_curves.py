# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""`draw --view curves`: what stands on the sheet, read back from the SVG by its own axes, and what is
said of a name that is no fuse. The gates are those of tests/reference/fuse-gates.csv."""

import csv
import math
import re
import unittest
import xml.etree.ElementTree

from car import MARLOW, ONE_LAMP, SOURCE, CarTest, answer, answer_json, changed, run

SVG = "{http://www.w3.org/2000/svg}"
AT_23_C = ("cabin: {air: 25 C}", "cabin: {air: 23 C}")


class Sheet:
    """An SVG with its two logarithmic axes: places back to amperes and seconds."""

    def __init__(self, svg):
        root = xml.etree.ElementTree.fromstring(svg)
        self.texts = [(t.text, float(t.get("x")), float(t.get("y")), t.get("text-anchor"))
                      for t in root.iter(f"{SVG}text")]
        self.circles = [(float(c.get("cx")), float(c.get("cy")), c.get("fill"))
                        for c in root.iter(f"{SVG}circle")]
        self.lines = [[tuple(map(float, p.split(","))) for p in line.get("points").split()]
                      for line in root.iter(f"{SVG}polyline")]
        upright = [(float(text), y - 0.35 * 2.5) for text, _, y, anchor in self.texts
                   if anchor == "end" and re.fullmatch(r"[0-9.]+(e[0-9]+)?", text)]
        level = {}
        for text, x, y, anchor in self.texts:
            if anchor == "middle" and re.fullmatch(r"[0-9.]+", text):
                level.setdefault(y, []).append((float(text), x))
        self.across = max(level.values(), key=len)
        self.up = upright

    @staticmethod
    def value(place, ticks):
        (low, first), (high, last) = ticks[0], ticks[-1]
        share = (place - first) / (last - first)
        return low * (high / low) ** share

    def amps(self, x):
        return self.value(x, sorted(self.across))

    def seconds(self, y):
        return self.value(y, sorted(self.up))

    def words(self):
        return " ".join(text for text, *_ in self.texts)


def sheet(car, name):
    return Sheet(answer("draw", car, "--view", "curves", name, "--format", "svg").decode())


class Curves(CarTest):
    def test_the_gates_stand_where_the_reference_has_them(self):
        drawn = sheet(self.car(changed(ONE_LAMP, AT_23_C)), "F1")
        marks = [(drawn.amps(x), drawn.seconds(y), fill) for x, y, fill in drawn.circles]
        fills = {"read": "#000", "memory": "#fff"}
        with open(SOURCE / "tests/reference/fuse-gates.csv", encoding="utf-8") as rows:
            gates = [row for row in csv.DictReader(rows)
                     if row["family"] == "blade" and row["most_a"] == "30"]
        wanted = [(10.0 * float(row["percent"]) / 100.0, float(row[side]), fills[row["provenance"]])
                  for row in gates for side in ("shortest_s", "longest_s") if row[side]]
        wanted = [gate for gate in wanted if gate[1] <= 1e4]  # 100 h is beyond the sheet
        self.assertEqual(len(marks), len(wanted))
        for amps, seconds, fill in wanted:
            with self.subTest(amps=amps, seconds=seconds):
                # A hundredth of a millimetre of 40 mm to the decade, and the axes' own rounding.
                near = [mark for mark in marks if math.isclose(mark[0], amps, rel_tol=0.01)
                        and math.isclose(mark[1], seconds, rel_tol=0.01)]
                self.assertEqual([mark[2] for mark in near], [fill])

    def test_hot_air_moves_the_fast_side_alone(self):
        cool = sheet(self.car(changed(ONE_LAMP, AT_23_C)), "F1")
        hot = sheet(self.car(changed(ONE_LAMP, ("cabin: {air: 25 C}", "cabin: {air: 73 C}"))), "F1")

        def at(drawn, seconds):
            return [drawn.amps(x) for x, y, _ in drawn.circles
                    if math.isclose(drawn.seconds(y), seconds, rel_tol=0.01)]
        # 1 - 0.0014 x (73 - 23) = 0.93 of the currents; the slow side stays.
        for seconds in (0.75, 0.15, 0.08):
            self.assertAlmostEqual(at(hot, seconds)[0] / at(cool, seconds)[0], 0.93, delta=0.005)
        for seconds in (600.0, 5.0, 0.5):
            self.assertAlmostEqual(at(hot, seconds)[0] / at(cool, seconds)[0], 1.0, delta=0.005)

    def test_what_the_sheet_says(self):
        words = sheet(self.car(ONE_LAMP), "F1").words()
        for part in ("F1 opens no sooner", "F1 is sure to have opened", "as hot as its insulation",
                     "load", "least short", "greatest short", "can break 1000 A", "(read)",
                     "(memory)"):
            self.assertIn(part, words)
        # F24 of the Marlow is fed by F15: its band stands beside it.
        self.assertIn("F15 is sure to have opened", sheet(MARLOW, "F24").words())

    def test_the_greatest_short_is_that_of_a_hand_calculation(self):
        # 12.6 V over 10 mohm of the battery, 0.15 m of 1.5 mm2 (13.3 mohm/m, IEC 60228 class 5, the
        # higher of two standards'), 0.4 m of 16 mm2 (1.21 mohm/m) and 1 mohm bond, all at 20 C; the
        # fuse as a piece of metal, as breaking capacity asks.
        drawn = sheet(self.car(ONE_LAMP), "F1")
        said = re.search(r"greatest short ([0-9.]+) A", drawn.words())
        self.assertIsNotNone(said, drawn.words())
        by_hand = 12.6 / (10e-3 + 0.15 * 13.3e-3 + 0.4 * 1.21e-3 + 1e-3)
        self.assertAlmostEqual(float(said.group(1)) / by_hand, 1.0, delta=0.001)
        upright = [x for (x, _), (x2, _) in (line for line in drawn.lines if len(line) == 2)
                if x == x2 and math.isclose(drawn.amps(x), float(said.group(1)), rel_tol=0.01)]
        self.assertTrue(upright)

    def test_formats(self):
        car = self.car(ONE_LAMP)
        for name, head in (("svg", b"<?xml"), ("pdf", b"%PDF-"), ("png", b"\x89PNG")):
            drawn = answer("draw", car, "--view", "curves", "F1", "--format", name)
            self.assertTrue(drawn.startswith(head), name)
            self.assertEqual(drawn, answer("draw", car, "--view", "curves", "F1", "--format", name))

    def test_names_that_have_no_curve(self):
        car = self.car(ONE_LAMP)
        for words, said in ((["F11"], "there is no device `F11`; did you mean `F1`?"),
                            (["E1"], "`E1` is a lamp, which has no time-current curve"),
                            ([], "which fuse, breaker or link?")):
            got = run("draw", car, "--view", "curves", *words)
            self.assertEqual(got.returncode, 2, got)
            self.assertIn(said, got.stderr.decode())
            self.assertEqual(got.stdout, b"")
        self.assertEqual(run("draw", car, "F1").returncode, 2)

    def test_a_fuse_of_which_no_times_are_known(self):
        car = self.car(changed(ONE_LAMP, ("family: blade, rating: 10 A", "family: torpedo, rating: 8 A")))
        drawn = sheet(car, "F1")
        self.assertIn("F1: no opening times are known of conical ends, 6 x 25 mm, as in old cars, 8 A.", drawn.words())
        # No band: neither of its sides nor a gate, and nothing is said of where its times are from.
        self.assertEqual(drawn.circles, [])
        for word in ("opens no sooner", "sure to have opened", "can break", "Times from"):
            self.assertNotIn(word, drawn.words())
        # What it has to carry and to open is there all the same, each upright at its current: the load that
        # `solve` has, and the greatest short of the hand calculation above.
        solved = next(state for state in answer_json("solve", car, "--json")["states"] if state["state"] == "lit")
        load = next(row["amps"] for row in solved["wires"] if row["wire"] == "2.2")
        greatest = 12.6 / (10e-3 + 0.15 * 13.3e-3 + 0.4 * 1.21e-3 + 1e-3)
        for name, amps in (("load", load), ("greatest short", greatest)):
            with self.subTest(name):
                self.assertTrue([line for line in drawn.lines if len(line) == 2 and line[0][0] == line[1][0]
                                 and math.isclose(drawn.amps(line[0][0]), amps, rel_tol=0.01)])
                said = re.search(rf"{name} ([0-9.]+)", drawn.words())
                self.assertAlmostEqual(float(said.group(1)) / amps, 1.0, delta=0.001)
        self.assertRegex(drawn.words(), r"least short [0-9.]+ A, wire 2\.3")

    def test_a_fusible_link_s_band_is_derived(self):
        fuse = "F1: {is: fuse, at: front, family: blade, rating: 10 A}"
        drawn = sheet(self.car(changed(ONE_LAMP, (fuse, "F1: {is: fusible-link, at: front, size: 0.35 mm2}"))), "F1")
        self.assertIn("Time and current of F1: fusible link", drawn.words())
        self.assertIn("0.35 mm2", drawn.words())
        # Neither read (black) nor from memory (white).
        self.assertGreater(len(drawn.circles), 2)
        self.assertFalse({fill for _, _, fill in drawn.circles} & {"#000", "#fff"})
        # docs/method/curves.md, air of 25 C. Fast side: I2t = (226 S)^2 ln((234.5 + 1083) / (234.5 + 25)), S the least
        # copper: 54.4 mohm/m at most (ISO 6722-1, 0.35 mm2) of 17.241 mohm mm2/m are 0.317 mm2; 8340 A2s, and
        # it begins at Im / 1.25. Slow side: (A + L) / ((I / 1.25)^2 - Im^2), S the nominal area: A = 10166 A2s,
        # L = 1.84 J/mm3 S^2 / rho(1083 C), rho = 17.241e-6 ohm mm x (1 + 0.00393 x 1063): 2525 A2s.
        warms = math.log(1317.5 / 259.5)
        points = sorted((drawn.amps(x), drawn.seconds(y)) for x, y, _ in drawn.circles)
        first, seconds = points[0]
        self.assertAlmostEqual(first ** 2 * seconds / ((226 * 17.241 / 54.4) ** 2 * warms), 1.0, delta=0.01)
        melts = 1.84 * 0.35 ** 2 / (17.241e-6 * (1 + 0.00393 * 1063))
        for amps, seconds in points[1:]:
            by_hand = ((226 * 0.35) ** 2 * warms + melts) / ((amps / 1.25) ** 2 - (1.25 * first) ** 2)
            self.assertAlmostEqual(seconds / by_hand, 1.0, delta=0.03)  # the sheet is read to 0.01 mm

    def test_a_curve_of_the_file_is_drawn_in_place_of_the_tables(self):
        own = changed(ONE_LAMP, ("circuits:\n", """\
curves:
  sheet:
    devices: F1
    source: my own sheet
    gates: [{at: 120 %, shortest: 100 s}, {at: 300 %, shortest: 1 s, longest: 20 s}]
circuits:
"""), AT_23_C)
        drawn = sheet(self.car(own), "F1")
        marks = sorted((round(drawn.amps(x), 1), round(drawn.seconds(y), 2))
                       for x, y, _ in drawn.circles)
        self.assertEqual([mark[0] for mark in marks], [12.0, 30.0, 30.0])
        self.assertIn("my own sheet", drawn.words())


if __name__ == "__main__":
    unittest.main()
