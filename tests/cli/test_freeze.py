# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""size --freeze: what is cut stays as it is, and what no longer fits is told of."""

import json
import shutil
import unittest

from car import AS_FOUND, MARLOW, ONE_LAMP, SMALL, CarTest, answer, answer_json, by, changed, run

# Everything is left to the program.
AUTO = changed(ONE_LAMP,
               ("rating: 10 A", "rating: auto"),
               ("2.1: {size: 1.5 mm2, length: 0.15 m}", "2.1: {length: 0.15 m}"),
               ("2.2: {size: 1.5 mm2, length: 1.2 m}", "2.2: {length: 1.2 m}"),
               ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {length: 4 m}"),
               ("2.4: {size: 1.5 mm2, length: 0.3 m}", "2.4: {length: 0.3 m}"))
HEAVY = ("draws: 55 W at 13.5 V", "draws: 160 W at 13.5 V")
FROZEN_KEY = ("title: One lamp", "title: One lamp\nfrozen: car.frozen.yaml")


class Freeze(CarTest):
    def frozen_car(self, text=AUTO):
        """A car whose sizes are frozen and which follows them; gives its path."""
        path = self.car(text)
        answer("size", path, "--freeze", statuses=(0,))
        path.write_text(changed(text, FROZEN_KEY), encoding="utf-8")
        return path

    def findings(self, path, rule="frozen-differs"):
        found = answer_json("check", path, "--json")["findings"]
        return [finding for finding in found if finding["rule"] == rule]

    def test_says_where_and_which_line_to_add(self):
        path = self.car(AUTO)
        said = answer("size", path, "--freeze", statuses=(0,)).decode()
        self.assertIn("car.frozen.yaml: 5 wires and 1 fuse frozen", said)
        self.assertIn("frozen: car.frozen.yaml", said)
        self.assertEqual(self.names(), ["car.frozen.yaml", "car.yaml"])
        again = (self.folder / "car.frozen.yaml").read_bytes()
        answer("size", path, "--freeze", statuses=(0,))
        self.assertEqual((self.folder / "car.frozen.yaml").read_bytes(), again)

    def test_json_stays_json(self):
        path = self.car(AUTO)
        done = run("size", path, "--freeze", "--json")
        self.assertEqual(done.returncode, 0)
        self.assertEqual(len(json.loads(done.stdout)["wires"]), 5)
        self.assertIn(b"car.frozen.yaml", done.stderr)

    def test_standard_input_has_no_folder(self):
        done = run("size", "-", "--freeze", stdin=AUTO.encode())
        self.assertEqual(done.returncode, 2)
        self.assertEqual(self.names(), [])

    def test_what_is_frozen_is_not_chosen_anew(self):
        before = answer_json("size", self.car(AUTO), "--json")
        path = self.frozen_car()
        after = answer_json("size", path, "--json")
        self.assertEqual({w["wire"]: w["size"] for w in after["wires"]},
                         {w["wire"]: w["size"] for w in before["wires"]})
        # 1.1 has its size from the file itself.
        reasons = {w["wire"]: w["decided_by"] for w in after["wires"]}
        self.assertEqual(reasons, {"1.1": "given", **{f"2.{i}": "frozen" for i in range(1, 5)}})
        self.assertEqual(after["fuses"][0]["decided_by"], "frozen")
        self.assertIn("F1: frozen: it is fitted already", answer("size", path).decode())
        self.assertIn("frozen", answer("explain", path, "2.3").decode())
        self.assertIn("frozen", answer("explain", path, "F1").decode())
        self.assertEqual(self.findings(path), [])

    def test_a_larger_load_finds_the_frozen_wire_and_fuse_too_small(self):
        path = self.frozen_car()
        before = by("wire", answer_json("size", path, "--json")["wires"])
        path.write_text(changed(AUTO, FROZEN_KEY, HEAVY), encoding="utf-8")
        after = by("wire", answer_json("size", path, "--json")["wires"])
        self.assertEqual(after["2.3"]["size"], before["2.3"]["size"])
        rules = {f["rule"] for f in answer_json("check", path, "--json")["findings"]}
        # 160 W at 13.5 V are 11.9 A: more than the fuse for 4.1 A carries, and three times the drop.
        self.assertIn("fuse-loading", rules)
        self.assertIn("drop-limit", rules)
        # Without the frozen file the program would have grown them.
        free = by("wire", answer_json("size", self.car(changed(AUTO, HEAVY), "free.yaml"),
                                      "--json")["wires"])
        self.assertGreater(free["2.3"]["area_mm2"], after["2.3"]["area_mm2"])

    def test_the_file_goes_before_what_is_frozen(self):
        path = self.frozen_car()
        path.write_text(changed(AUTO, FROZEN_KEY, ("2.3: {length: 4 m}",
                                                   "2.3: {size: 6 mm2, length: 4 m}")))
        sizes = by("wire", answer_json("size", path, "--json")["wires"])
        self.assertEqual(sizes["2.3"]["size"], "6 mm2")
        found = self.findings(path)
        self.assertEqual([f["subject"] for f in found], ["2.3"])
        self.assertIn("6 mm2 is written and", found[0]["message"])
        path.write_text(changed(AUTO, FROZEN_KEY, ("rating: auto", "rating: 20 A")))
        found = self.findings(path)
        self.assertEqual([f["subject"] for f in found], ["F1"])
        self.assertIn("20 A is written", found[0]["message"])

    def test_too_short_and_too_long(self):
        # 4 m are cut; the loops at the two ends are 0.05 m each (tables defaults, service-loop).
        path = self.frozen_car()
        for length, word, severity in (("4.01 m", "too short", "caution"), ("4 m", None, None),
                                       ("3.91 m", None, None), ("3.8 m", "more is over", "note")):
            path.write_text(changed(AUTO, FROZEN_KEY, ("2.3: {length: 4 m}",
                                                       f"2.3: {{length: {length}}}")))
            found = self.findings(path)
            if word is None:
                self.assertEqual(found, [], length)
            else:
                self.assertEqual([(f["subject"], f["severity"]) for f in found],
                                 [("2.3", severity)], length)
                self.assertIn(word, found[0]["message"])

    def test_a_wire_or_fuse_that_is_gone(self):
        path = self.frozen_car()
        path.write_text(changed(AUTO, FROZEN_KEY,
                                ("paths: [G1 > F1 > S1 > E1 > GND2]",
                                 "paths: [G1 > F2 > S1 > E1 > GND2]"),
                                ("F1: {is: fuse", "F2: {is: fuse")))
        found = {f["subject"]: f for f in self.findings(path)}
        # Both wires at the fuse end at another device now; the fuse itself is of no file.
        self.assertEqual(set(found), {"2.1", "2.2", "F1"})
        self.assertIn("the file has no such device", found["F1"]["message"])
        self.assertIn("F2.in", found["2.1"]["message"])
        reasons = {w["wire"]: w["decided_by"] for w in
                   answer_json("size", path, "--json")["wires"]}
        self.assertNotEqual(reasons["2.1"], "frozen")
        self.assertEqual(reasons["2.3"], "frozen")

    def test_freezing_again_keeps_the_length_of_a_wire_that_still_fits(self):
        path = self.frozen_car()
        path.write_text(changed(AUTO, FROZEN_KEY, ("2.3: {length: 4 m}", "2.3: {length: 3.95 m}"),
                                ("2.2: {length: 1.2 m}", "2.2: {length: 1.3 m}")))
        answer("size", path, "--freeze", statuses=(0,))
        frozen = (self.folder / "car.frozen.yaml").read_text()
        self.assertIn("length: 4.000 m", frozen)
        self.assertIn("length: 1.300 m", frozen)
        self.assertNotIn("3.950", frozen)

    def test_a_wire_that_was_shortened_is_frozen_as_it_is_now(self):
        # 4 m were cut and 3.8 m are needed: 0.2 m over, and the loops take 2 x 0.05 m. The remedy of the note
        # is to shorten it and to freeze again; then nothing is left to say.
        path = self.frozen_car()
        path.write_text(changed(AUTO, FROZEN_KEY, ("2.3: {length: 4 m}", "2.3: {length: 3.8 m}")))
        self.assertEqual([f["subject"] for f in self.findings(path)], ["2.3"])
        answer("size", path, "--freeze", statuses=(0,))
        self.assertIn("length: 3.800 m", (self.folder / "car.frozen.yaml").read_text())
        self.assertEqual(self.findings(path), [])

    def test_a_wire_that_was_cut_anew_in_another_colour_is_as_long_as_it_was_cut(self):
        path = self.frozen_car()
        path.write_text(changed(AUTO, FROZEN_KEY, ("2.3: {length: 4 m}", "2.3: {length: 3.95 m, colour: RD}")))
        answer("size", path, "--freeze", statuses=(0,))
        # No colour was frozen: it is the wire that was cut, and it keeps its 4 m.
        self.assertRegex((self.folder / "car.frozen.yaml").read_text(), r"2\.3: .*colour: RD, length: 4\.000 m")
        path.write_text(changed(AUTO, FROZEN_KEY, ("2.3: {length: 4 m}", "2.3: {length: 3.95 m, colour: BU}")))
        answer("size", path, "--freeze", statuses=(0,))
        self.assertRegex((self.folder / "car.frozen.yaml").read_text(), r"2\.3: .*colour: BU, length: 3\.950 m")

    def test_measured_goes_before_the_way(self):
        car = changed(AUTO, ("2.3: {length: 4 m}", "2.3: {measured: 3.5 m}"))
        sizes = by("wire", answer_json("size", self.car(car), "--json")["wires"])
        self.assertAlmostEqual(sizes["2.3"]["length_m"], 3.5)
        routed = changed(AUTO, ("      2.3: {length: 4 m}\n", ""))
        sizes = by("wire", answer_json("size", self.car(routed), "--json")["wires"])
        self.assertGreater(sizes["2.3"]["length_m"], 4.0)  # the run, and what the ends take
        answer("pack", self.car(car), "-o", self.folder / "papers", statuses=(0,))
        rows = (self.folder / "papers" / "cut-list.csv").read_text().splitlines()
        self.assertEqual([row for row in rows if ",2.3," in row][0].split(",")[5], "3500")

    def test_a_size_not_found_freezes_nothing(self):
        path = self.car(changed(AUTO, ("draws: 55 W at 13.5 V", "draws: 90 kW at 13.5 V")))
        done = run("size", path, "--freeze")
        self.assertEqual(done.returncode, 1)
        self.assertIn(b"nothing is frozen", done.stderr)
        self.assertEqual(self.names(), ["car.yaml"])

    def test_bad_frozen_files(self):
        path = self.car(changed(AUTO, FROZEN_KEY))
        frozen = self.folder / "car.frozen.yaml"
        good = ("loomwright: 1\nfrozen:\n  wires:\n    2.3: {size: 1.5 mm2, length: 4 m, "
                "from: S1.2, to: E1.+}\n")
        frozen.write_text(good)
        self.assertEqual(run("size", path).returncode, 0)
        for text, rule, place in (
                (good.replace("1.5 mm2", "1.6 mm2"), "out-of-range", ":4:17"),
                (good.replace("4 m", "-4 m"), "out-of-range", ":4:34"),
                (good.replace("4 m", "4"), "missing-unit", ":4:34"),
                (good.replace("from: S1.2, ", ""), "missing-key", ":4:5"),
                (good.replace("frozen:", "frozn:"), "unknown-key", ":2:1"),
                (good.replace("wires:", "wire:"), "unknown-key", ":3:3"),
                (good + "title: x\n", "unknown-key", ":5:1"),
                (good.replace("loomwright: 1", "loomwright: 2"), "out-of-range", ":1:13"),
                ("loomwright: 1\nfrozen: {fuses: {F1: 10}}\n", "missing-unit", ":2:22"),
                ("loomwright: 1\nfrozen: {fuses: {F1: [10 A]}}\n", "wrong-shape", ":2:22"),
                ("loomwright: 1\nfrozen: [1]\n", "wrong-shape", ":2:9"),
                ("[1]\n", "wrong-shape", ":1:1"),
                ("", "", "")):
            frozen.write_text(text)
            done = run("check", path)
            self.assertEqual(done.returncode, 2, text)
            self.assertIn(f"error[{rule}".encode(), done.stderr, text)
            self.assertIn(f"car.frozen.yaml{place}".encode(), done.stderr, text)
        frozen.unlink()
        done = run("check", path)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"error[bad-include]", done.stderr)
        self.assertIn(b"--freeze", done.stderr)
        for name in ("/etc/passwd", "../car.frozen.yaml", "car.yaml", "[a.yaml]"):
            path.write_text(changed(AUTO, ("title: One lamp", f"title: One lamp\nfrozen: {name}")))
            self.assertEqual(run("check", path).returncode, 2, name)

    def test_frozen_in_a_parts_file_is_refused(self):
        (self.folder / "part.yaml").write_text("frozen: car.frozen.yaml\n")
        path = self.car(changed(AUTO, ("title: One lamp", "title: One lamp\ninclude: part.yaml")))
        done = run("check", path)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"belongs in the vehicle file alone", done.stderr)

    def test_a_car_is_judged_the_same_with_its_chosen_sizes_written_down(self):
        # A size is good or not whoever wrote it: the program's own choice, given back to it as
        # frozen, must carry what it was said to carry and bring no other verdict.
        for original in (MARLOW, AS_FOUND, *SMALL):
            with self.subTest(original.name):
                folder = self.folder / original.stem
                shutil.copytree(original.parent, folder)
                path = folder / original.name
                done = run("size", path, "--freeze")
                if done.returncode == 1:  # the car as found asks for a size that there is not
                    self.assertIn(b"nothing is frozen", done.stderr)
                    continue
                path.write_text(path.read_text(encoding="utf-8").replace(
                    "\ntitle:", f"\nfrozen: {original.stem}.frozen.yaml\ntitle:", 1))
                before = by("wire", answer_json("size", original, "--json")["wires"])
                after = by("wire", answer_json("size", path, "--json")["wires"])
                for number, wire in before.items():
                    self.assertEqual(after[number]["size"], wire["size"], number)
                    # The same sums in another order of rounds: a last bit may differ.
                    self.assertAlmostEqual(after[number]["ampacity_a"], wire["ampacity_a"], places=6,
                                           msg=number)
                compared = answer_json("compare", original, path, "--json")
                self.assertEqual(compared["verdicts"], [])
                self.assertEqual(compared["ratings"], [])

    def test_a_wire_over_long_runs_can_be_read_back(self):
        # Each run is as long as one may be written, and the wire lies in both.
        path = self.frozen_car(changed(
            AUTO, ("  rear:  {zone: cabin}", "  rear:  {zone: cabin}\n  half:  {zone: cabin}"),
            ("floor: {from: front, to: rear, length: 4 m}",
             "floor: {from: front, to: half, length: 100 m}\n"
             "  rails: {from: half, to: rear, length: 100 m}"),
            ("      2.3: {length: 4 m}\n", ""), ("55 W", "5 W")))
        sizes = by("wire", answer_json("size", path, "--json")["wires"])
        self.assertGreater(sizes["2.3"]["length_m"], 200.0)
        self.assertEqual(sizes["2.3"]["decided_by"], "frozen")

    def test_hostile_names_come_back(self):
        odd = AUTO.replace("E1", '"E#1:,"').replace("  2.3:", "  \"2.3\":")
        odd = odd.replace('paths: [G1 > F1 > S1 > "E#1:," > GND2]', "paths: ['G1 > F1 > S1 > E#1:, > GND2']")
        odd = odd.replace("title: One lamp", 'title: "a\\nb: {c} \\u2028"')
        path = self.car(odd)
        answer("size", path, "--freeze", statuses=(0,))
        path.write_text("loomwright: 1\nfrozen: car.frozen.yaml\n" + odd.split("\n", 1)[1])
        reasons = {w["wire"]: w["decided_by"] for w in answer_json("size", path, "--json")["wires"]}
        self.assertEqual(reasons["2.3"], "frozen")
        self.assertEqual(self.findings(path), [])


if __name__ == "__main__":
    unittest.main()
