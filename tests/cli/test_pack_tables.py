# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The tables of the pack: the cutting plan against the cut list, milliohms against
the resistivity of copper, volts against `solve`, and the workbook opened again by another reader (openpyxl)."""

import csv
import io
import re
import unittest
import zipfile

import yaml

from car import EXAMPLES, MARLOW, ONE_LAMP, SMALL, CarTest, answer, answer_json, changed

try:
    import openpyxl
except ImportError:
    openpyxl = None


def rows_of(path):
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))


def title(rows, start):
    return next(name for name in rows[0] if name.startswith(start))


class Tables(CarTest):
    def pack(self, car, *words):
        folder = self.folder / "papers"
        answer("pack", car, "-o", folder, *words, statuses=(0,))
        return folder

    def test_every_wire_of_a_spool_is_in_the_plan_once_and_no_spool_is_overfull(self):
        folder = self.pack(MARLOW)
        cut = {row["wire"]: float(row[title([row], "length")]) for row in rows_of(folder / "cut-list.csv")}
        planned = []
        rows = rows_of(folder / "cutting-plan.csv")
        for row in rows:
            pieces = re.findall(r"([^ ,()]+) \((\d+)\)", row[title(rows, "cut in this order")])
            self.assertEqual(len(pieces), int(row["pieces"]))
            used = sum(float(length) for _, length in pieces)
            for number, length in pieces:
                self.assertEqual(float(length), cut[number], number)
            spool = 1e3 * float(row[title(rows, "its length")])
            self.assertLessEqual(used, spool)
            # Pieces are of whole 5 mm: three decimals of a metre hold their sum and what is left.
            self.assertAlmostEqual(used / 1e3, float(row[title(rows, "used")]), delta=1e-6)
            self.assertAlmostEqual((spool - used) / 1e3, float(row[title(rows, "left")]), delta=1e-6)
            planned += [number for number, _ in pieces]
        self.assertEqual(len(planned), len(set(planned)))
        # What is not in it is of a kind that the shop keeps no spool of.
        kinds = {row["wire"]: [row["size"], row["insulation"], row["colour"]] for row in rows_of(folder / "cut-list.csv")}
        spools = {row["what"]: row for row in rows_of(folder / "buying-list.csv") if row["group"] == "wire"}
        self.assertGreater(len(planned), 300)
        for number in set(cut) - set(planned):
            self.assertEqual(spools[" ".join(kinds[number])]["spool (m)"], "", number)

    def test_pieces_that_do_not_fit_take_one_spool_more_and_that_is_bought(self):
        # Three wires of 6 m from spools of 10 m: 18 m and a tenth spare would be two by the sum.
        car = changed(ONE_LAMP, ("    insulation: thin-wall pvc", "    insulation: thin-wall pvc\n    colour: RD"),
                      ("length: 0.15 m", "length: 6 m"), ("length: 1.2 m", "length: 6 m"),
                      ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {size: 1.5 mm2, length: 6 m}"))
        car += "stock:\n  - {is: wire, name: lead, size: 1.5 mm2, spool: 10 m, part: L15}\n"
        folder = self.pack(self.car(car))
        cut = [row for row in rows_of(folder / "cut-list.csv") if row["colour"] == "RD" and row["size"] == "1.5 mm2"]
        numbers = [row["wire"] for row in cut if float(row[title(cut, "length")]) > 5000]
        self.assertGreaterEqual(len(numbers), 3)
        plan = rows_of(folder / "cutting-plan.csv")
        mine = [row for row in plan if row["wire"].startswith("1.5 mm2") and row["wire"].endswith("RD")]
        # No two pieces of 6 m share a spool of 10 m.
        self.assertEqual(len(mine), len(numbers))
        bought = [row for row in rows_of(folder / "buying-list.csv") if row["what"].startswith("1.5 mm2") and row["what"].endswith("RD")]
        self.assertEqual([int(row["spools"]) for row in bought], [len(numbers)])

    def test_a_wire_longer_than_a_spool_is_bought_by_the_metre(self):
        # 12 + 0.15 + 1.2 + 0.3 = 13.65 m, and a tenth spare (tables defaults): 15.015 m. The 12 m come by the
        # metre; 15.015 - 12 = 3.015 m are one spool of 10 m: 22 m in all, at 1 a metre. Of the spool
        # 0.15 + 1.2 + 0.3 = 1.65 m are cut and 8.35 m are left.
        car = changed(ONE_LAMP, ("    insulation: thin-wall pvc", "    insulation: thin-wall pvc\n    colour: RD"),
                      ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {size: 1.5 mm2, length: 12 m}"))
        car += "stock:\n  - {is: wire, name: lead, size: 1.5 mm2, spool: 10 m, price: 1}\n"
        folder = self.pack(self.car(car))
        (bought,) = [row for row in rows_of(folder / "buying-list.csv") if row["what"].startswith("1.5 mm2")]
        figures = {name: float(bought[name]) for name in ("needed", "with spare", "spool (m)", "spools", "buy", "cost")}
        self.assertEqual(figures, {"needed": 13.65, "with spare": 15.015, "spool (m)": 10, "spools": 1, "buy": 22,
                                   "cost": 22})
        plan = rows_of(folder / "cutting-plan.csv")
        (spool,) = plan
        self.assertEqual(spool[title(plan, "cut in this order")], "2.2 (1200), 2.4 (300), 2.1 (150)")
        self.assertEqual([float(spool[title(plan, name)]) for name in ("spool", "pieces", "used", "left")],
                         [1, 3, 1.65, 8.35])
        page = (folder / "cutting-plan.html").read_text(encoding="utf-8")
        self.assertRegex(page, r"1\.5 mm2 thin-wall pvc RD: wire 2\.3 of 12000 mm is longer than a spool of "
                               r"10(\.0+)? m: order it by the metre\.")

    def test_sums_on_the_pages_are_those_of_the_tables(self):
        # 0.155 + 1.2 + 4 + 0.3 = 5.655 m of 1.5 mm2, and a tenth spare (tables defaults): 6.2205 m, 6.221 in the
        # table; 0.4 m of 16 mm2; 6.055 m in all. Of a spool of 25 ft = 7.62 m 7.62 - 5.655 = 1.965 m are left.
        car = changed(ONE_LAMP, ("2.1: {size: 1.5 mm2, length: 0.15 m}", "2.1: {size: 1.5 mm2, length: 0.155 m}"))
        car += "stock:\n  - {is: wire, name: lead, size: 1.5 mm2, spool: 25 ft}\n"
        folder = self.pack(self.car(car))
        (bought,) = [row for row in rows_of(folder / "buying-list.csv") if row["what"].startswith("1.5 mm2")]
        self.assertEqual(float(bought["needed"]), 5.655)
        self.assertIn('<td class="number">5.655</td>', (folder / "buying-list.html").read_text(encoding="utf-8"))
        page = (folder / "cut-list.html").read_text(encoding="utf-8")
        self.assertIn("4 wires, 5.655 m", page)
        self.assertIn("6.055 m in all", page)
        rows = rows_of(folder / "cutting-plan.csv")
        self.assertEqual([float(rows[0][title(rows, name)]) for name in ("its length", "used", "left")],
                         [7.62, 5.655, 1.965])

    def test_what_the_buying_list_leaves_out_is_not_on_it(self):
        car = changed(ONE_LAMP, ("draws: 55 W at 13.5 V}", "draws: 55 W at 13.5 V, plug: {sealed: yes, part: H-2}}"))
        folder = self.pack(self.car(car))
        groups = {row["group"] for row in rows_of(folder / "buying-list.csv")}
        self.assertLessEqual({"seal", "housing"}, groups)
        page = " ".join((folder / "buying-list.html").read_text(encoding="utf-8").split())
        self.assertIn("Housings are on this list", page)
        self.assertNotIn("Housings, seals, sleeves and tape are not", page)

    def test_an_offset_is_told_where_no_wire_leaves_by_a_run(self):
        # All that SP1 joins is at its point: its wires are cut to 0.12 m from there.
        car = changed(ONE_LAMP, ("  E1: {is", "  SP1: {is: splice, at: rear, offset: 120 mm}\n  E1: {is"),
                      ("S1 > E1 > GND2]", "S1 > E1 > SP1 > GND2]"),
                      ("2.4: {size: 1.5 mm2, length: 0.3 m}", "2.4: {size: 1.5 mm2}\n      2.5: {size: 1.5 mm2}"))
        rows = rows_of(self.pack(self.car(car)) / "joint-schedule.csv")
        row = next(row for row in rows if row["kind"] == "splice")
        self.assertEqual([row[name] for name in ("joint", "place", "along run", "offset (mm)")],
                         ["SP1", "rear", "", "120"])

    def test_a_fusible_link_is_bought_by_its_size(self):
        car = changed(ONE_LAMP, ("F1: {is: fuse, at: front, family: blade, rating: 10 A}",
                                 "F1: {is: fusible-link, at: front, size: 0.35 mm2}"))
        (row,) = [row for row in rows_of(self.pack(self.car(car)) / "buying-list.csv") if row["group"] == "fuse"]
        # One, and a tenth spare: 1.1, which are two pieces.
        self.assertEqual({name: row[name] for name in ("what", "needed", "with spare", "unit", "buy", "used at")},
                         {"what": "fusible link 0.35 mm2", "needed": "1", "with spare": "2", "unit": "pieces",
                          "buy": "2", "used at": "F1"})

    def test_the_joint_schedule_has_strip_and_crimp_height_of_the_stock(self):
        car = ONE_LAMP + ("stock:\n  - {is: terminal, name: ring M6, wire: 1 mm2 to 2.5 mm2, strip: 6 mm, "
                          "crimp-height: 1.9 mm, part: R6}\n")
        rows = {row["joint"]: row for row in rows_of(self.pack(self.car(car)) / "joint-schedule.csv")}
        self.assertEqual(set(rows), {"GND1", "GND2"})

        def crimp(joint):
            return tuple(rows[joint][name] for name in ("wire", "made with", "part number", "strip (mm)",
                                                        "crimp height (mm)"))
        self.assertEqual(crimp("GND2"), ("2.4", "ring M6", "R6", "6.0", "1.90"))
        # 16 mm2 is none of that part's: the strip is that of the tables (strip-lengths, lug of 16 mm2), and what
        # is to come of the crimp is not known.
        self.assertEqual(crimp("GND1"), ("1.1", "ring M6", "", "12.0", ""))

    def test_milliohms_are_those_of_copper(self):
        sizes = {wire["wire"]: wire["size"] for wire in answer_json("size", MARLOW, "--json")["wires"]}
        folder = self.pack(MARLOW)
        rows = rows_of(folder / "continuity.csv")
        cut = {row["wire"] for row in rows_of(folder / "cut-list.csv")}
        self.assertEqual({row["wire"] for row in rows}, cut)
        for row in rows:
            length = float(row[title(rows, "length")]) * 1e-3
            expected = float(row[title(rows, "expected")])
            # Copper of that area at the resistivity of IEC 60028, 1/58 ohm mm2/m, is the least that
            # it can have; stranding and the standard's tolerances add up to a quarter.
            area = answer_area(sizes[row["wire"]])
            copper = 1e3 * length / (58.0 * area)
            self.assertGreaterEqual(expected, copper * 0.9)
            self.assertLessEqual(expected, copper * 1.3 + 1.1)
            self.assertGreater(float(row[title(rows, "make again")]), expected)

    def test_volts_are_those_of_the_states(self):
        car = MARLOW
        rows = rows_of(self.pack(car) / "first-power.csv")
        states = answer_json("solve", car, "--json")["states"]
        minus = "G1.-"
        compared = 0
        for state in states:
            volts = {node["node"]: node["volts"] for node in state["nodes"]}
            black = volts.get(minus)
            head = title(rows, state["state"] + " ")
            for row in rows:
                place = row["probe at"]
                if place in volts and volts[place] is not None and black is not None:
                    self.assertAlmostEqual(float(row[head]), volts[place] - black, delta=0.0051, msg=(place, head))
                    compared += 1
                elif place in volts and volts[place] is None:
                    self.assertEqual(row[head], "")
        self.assertGreater(compared, 1000)

    def test_the_black_lead_is_on_the_lowest_post_of_a_row(self):
        # Two batteries in series: nothing that a source holds is below their lowest minus, and the
        # top plus is two batteries above it.
        rows = rows_of(self.pack(EXAMPLES / "truck-body" / "truck-body.yaml") / "first-power.csv")
        parked = title(rows, "parked")
        volts = {row["probe at"]: float(row[parked]) for row in rows if row[parked]}
        self.assertGreaterEqual(min(volts.values()), -0.01)
        self.assertAlmostEqual(max(volts["G1.+"], volts["G2.+"]), 2 * min(volts["G1.+"], volts["G2.+"]), delta=0.05)
        self.assertEqual(min(volts["G1.-"], volts["G2.-"]), 0)

    def test_each_wire_has_its_labels(self):
        folder = self.pack(MARLOW)
        labels = rows_of(folder / "labels.csv")
        cut = {row["wire"]: float(row[title([row], "length")]) for row in rows_of(folder / "cut-list.csv")}
        for number, length in cut.items():
            mine = [row for row in labels if row["wire"] == number]
            # FAA AC 43.13-1B 11-208: none under 3 in, one up to 7 in, else at both ends.
            if length < 76.2:
                self.assertEqual(mine, [])
            elif length < 177.8:
                self.assertEqual(len(mine), 1)
            else:
                self.assertGreaterEqual(len(mine), 2)
            self.assertEqual({row["text"] for row in mine} | {number}, {number})

    def test_every_page_is_whole_and_asks_for_nothing(self):
        from test_papers import words_of
        folder = self.pack(MARLOW, "--paper", "letter")
        for page in sorted(folder.glob("*.html")):
            with self.subTest(page.name):
                text = page.read_text(encoding="utf-8")
                words = words_of(text)
                self.assertEqual(words.outside, [])
                self.assertIn("size: letter landscape", text)
                self.assertNotIn("{{", text)

    def test_one_more_state_or_less_does_not_break_the_sheet(self):
        for car in SMALL:
            rows = rows_of(self.pack(car) / "first-power.csv")
            self.assertTrue(rows)


def answer_area(size):
    """Square millimetres of a size as `size` writes it: ISO by its name, gauges by ASTM B258."""
    number, word = size.split()
    if word == "mm2":
        return float(number)
    gauge = 1 - int(number.split("/")[0]) if "/" in number else int(number)
    diameter = 0.127 * 92 ** ((36 - gauge) / 39)
    return 3.14159265 / 4 * diameter ** 2


@unittest.skipIf(openpyxl is None, "no openpyxl here")
class Workbook(CarTest):
    def tables(self, car):
        folder = self.folder / "papers"
        answer("pack", car, "-o", folder, statuses=(0,))
        return folder, openpyxl.load_workbook(folder / "tables.xlsx")

    def test_every_table_is_in_it_as_in_its_csv_file(self):
        folder, book = self.tables(MARLOW)
        names = {path.stem for path in folder.glob("*.csv")}
        self.assertEqual(set(book.sheetnames), names)
        for name in names:
            rows = list(csv.reader(io.StringIO((folder / f"{name}.csv").read_text(encoding="utf-8"), newline="")))
            page = book[name]
            for r, row in enumerate(rows):
                for c, text in enumerate(row):
                    value = page.cell(r + 1, c + 1).value
                    with self.subTest(sheet=name, row=r, column=c):
                        if value is None:
                            self.assertEqual(text, "")
                        elif isinstance(value, str):
                            self.assertEqual(text.removeprefix("'"), value)
                        else:
                            digits = len(text.partition(".")[2])
                            self.assertAlmostEqual(float(text), value, delta=0.5000001 * 10 ** -digits + 1e-9 * abs(value))

    def test_what_looks_like_a_formula_stays_a_text(self):
        car = self.car(changed(ONE_LAMP, ("draws: 55 W at 13.5 V}",
                                          "draws: 55 W at 13.5 V, title: '=cmd|calc'}")))
        _, book = self.tables(car)
        found = [cell for page in book for row in page.iter_rows() for cell in row
                 if isinstance(cell.value, str) and cell.value.startswith("=cmd")]
        self.assertTrue(found)
        for cell in found:
            self.assertEqual(cell.data_type, "s")

    def test_export_gives_the_same_workbook_and_twice_the_same_bytes(self):
        folder, _ = self.tables(MARLOW)
        first = answer("export", MARLOW, "--to", "xlsx", "-o", "-")
        self.assertEqual(first, answer("export", MARLOW, "--to", "xlsx", "-o", "-"))
        self.assertEqual(first, (folder / "tables.xlsx").read_bytes())
        with zipfile.ZipFile(io.BytesIO(first)) as archive:
            self.assertIsNone(archive.testzip())

    def test_there_is_no_macro_and_no_link_in_it(self):
        with zipfile.ZipFile(io.BytesIO(answer("export", MARLOW, "--to", "xlsx", "-o", "-"))) as archive:
            names = archive.namelist()
        self.assertFalse([name for name in names if "vba" in name.lower() or "externalLink" in name])


if __name__ == "__main__":
    unittest.main()
