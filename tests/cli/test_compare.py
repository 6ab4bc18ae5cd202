# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""compare OLD NEW: what is to be done to a loom that was built from OLD."""

import csv
import io
import unittest

from car import AS_FOUND, MARLOW, ONE_LAMP, CarTest, answer, answer_json, changed, run

KINDS = ("cut_again", "added", "removed", "re_terminated", "re_labelled", "still_fit", "same")


class Compare(CarTest):
    def compare(self, new, old=ONE_LAMP):
        return answer_json("compare", self.car(old, "old.yaml"), self.car(new, "new.yaml"), "--json",
                           statuses=(0,))

    def kinds(self, compared):
        """The kind of each wire of an answer, the same ones left out."""
        return {row["wire"]: kind for kind in KINDS if kind != "same"
                for row in compared["wires"][kind]}

    def only(self, compared, kind):
        rows = compared["wires"][kind]
        self.assertEqual(len(rows), 1)
        return rows[0]

    def test_a_file_and_itself(self):
        for path in (MARLOW, AS_FOUND):
            compared = answer_json("compare", path, path, "--json")
            self.assertEqual(self.kinds(compared), {})
            self.assertGreater(len(compared["wires"]["same"]), 100)
            self.assertEqual((compared["ratings"], compared["verdicts"]), ([], []))
            self.assertEqual(run("compare", path, path, "--fail-on-change").returncode, 0)

    def test_every_wire_is_in_one_list(self):
        compared = answer_json("compare", MARLOW, AS_FOUND, "--json")
        numbers = [row["wire"] for kind in KINDS if kind != "removed"
                   for row in compared["wires"][kind]]
        self.assertEqual(len(numbers), len(set(numbers)))
        sized = answer_json("size", AS_FOUND, "--json")["wires"]
        cut = {wire["wire"] for wire in sized}
        self.assertEqual(set(numbers), cut)

    def test_thicker_other_colour_other_insulation_is_cut_again(self):
        for new, word in ((changed(ONE_LAMP, ("2.3: {size: 1.5 mm2", "2.3: {size: 2.5 mm2")),
                           "2.5 mm2 instead of 1.5 mm2"),
                          (changed(ONE_LAMP, ("length: 4 m}\n      2.4",
                                              "length: 4 m, insulation: thin-wall xlpe}\n      2.4")),
                           "thin-wall xlpe instead of thin-wall pvc"),
                          (changed(ONE_LAMP, ("length: 4 m}\n      2.4",
                                              "length: 4 m, colour: RD}\n      2.4")),
                           "RD, where no colour was chosen")):
            compared = self.compare(new)
            self.assertEqual(self.kinds(compared), {"2.3": "cut_again"})
            self.assertEqual(self.only(compared, "cut_again")["why"], word)

    def test_lengths(self):
        # The loops at the two ends take 2 x 0.05 m (tables defaults, service-loop); 4 m are cut.
        for length, kind in ((4.0, None), (4.002, "cut_again"), (4.3, "cut_again"),
                             (3.998, None), (3.95, "still_fit"), (3.9, "still_fit"),
                             (3.89, "cut_again"), (2.0, "cut_again")):
            compared = self.compare(changed(ONE_LAMP, ("2.3: {size: 1.5 mm2, length: 4 m",
                                                       f"2.3: {{size: 1.5 mm2, length: {length} m")))
            self.assertEqual(self.kinds(compared), {"2.3": kind} if kind else {}, length)
        row = self.only(compared, "cut_again")
        self.assertEqual((row["cut_m"], row["needed_m"]), (4.0, 2.0))
        self.assertIn("too long", row["why"])

    def test_the_policy_says_how_long_a_loop_is(self):
        longer = changed(ONE_LAMP, ("2.3: {size: 1.5 mm2, length: 4 m",
                                    "2.3: {size: 1.5 mm2, length: 3.5 m"))
        self.assertEqual(self.kinds(self.compare(longer)), {"2.3": "cut_again"})
        loops = ("title: One lamp", "title: One lamp\npolicy: {service-loop: 0.25 m}")
        compared = self.compare(changed(longer, loops), changed(ONE_LAMP, loops))
        self.assertEqual(self.kinds(compared), {"2.3": "still_fit"})

    def test_measured_replaces_the_estimate(self):
        old = changed(ONE_LAMP, ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {size: 1.5 mm2}"))
        new = changed(ONE_LAMP, ("2.3: {size: 1.5 mm2, length: 4 m}",
                                 "2.3: {size: 1.5 mm2, measured: 3.6 m}"))
        row = self.only(self.compare(new, old), "cut_again")
        self.assertEqual(row["needed_m"], 3.6)
        self.assertGreater(row["cut_m"], 4.0)

    def test_another_fuse_at_the_same_place_is_re_terminated(self):
        new = changed(ONE_LAMP, ("  E1: {is", "  F2: {is: fuse, at: front, rating: 10 A}\n  E1: {is"),
                      ("G1 > F1 > S1", "G1 > F2 > S1"))
        compared = self.compare(new)
        self.assertEqual(self.kinds(compared), {"2.1": "re_terminated", "2.2": "re_terminated"})
        self.assertIn("F2.in instead of F1.in", compared["wires"]["re_terminated"][0]["why"])
        self.assertEqual([(r["fuse"], r["was"], r["now"]) for r in compared["ratings"]],
                         [("F2", None, "blade 10 A")])

    def test_written_the_other_way_round_with_one_end_moved_is_re_terminated(self):
        # F1 and F2 are at one point: the end at the lamp stays, the other is made again.
        old = ("loomwright: 1\npoints: {panel: {}, front: {}}\n"
               "runs: {wing: {from: panel, to: front, length: 1 m}}\n"
               "devices:\n"
               "  G1: {is: battery, at: panel, capacity: 55 Ah, case: chassis}\n"
               "  F1: {is: fuse, at: panel, rating: 10 A}\n"
               "  F2: {is: fuse, at: panel, rating: 10 A}\n"
               "  E1: {is: lamp, at: front, draws: 21 W, case: chassis}\n"
               "circuits:\n"
               "  lamp: {number: 1, size: 1 mm2, wires: {1.1: {from: G1, to: F1}, 1.2: {from: F1.out, to: E1.+}}}\n"
               "states: {lit: {}}\n")
        row = self.only(self.compare(changed(old, ("from: F1.out, to: E1.+", "from: E1.+, to: F2.out")), old),
                        "re_terminated")
        self.assertEqual((row["wire"], row["why"]), ("1.2", "it ends at F2.out instead of F1.out"))

    def test_another_fitting_at_the_same_terminal_is_re_terminated(self):
        # Both wires of the lamp end in its plug, the terminals of which are narrower now.
        compared = self.compare(changed(ONE_LAMP, ("draws: 55 W at 13.5 V}",
                                                   "draws: 55 W at 13.5 V, plug: {terminal: receptacle 4.8 mm}}")))
        self.assertEqual(self.kinds(compared), {"2.3": "re_terminated", "2.4": "re_terminated"})
        self.assertEqual([row["why"] for row in compared["wires"]["re_terminated"]],
                         ["receptacle 4.8 mm at E1.+ instead of receptacle 6.3 mm",
                          "receptacle 4.8 mm at E1.- instead of receptacle 6.3 mm"])

    def test_an_end_in_another_place_is_cut_again(self):
        new = changed(ONE_LAMP,
                      ("  GND2: {is: ground, at: rear", "  GND3: {is: ground, at: front, body: chassis}\n"
                       "  GND2: {is: ground, at: rear"), ("E1 > GND2", "E1 > GND3"))
        row = self.only(self.compare(new), "cut_again")
        self.assertEqual(row["wire"], "2.4")
        self.assertIn("GND3 in front instead of GND2 in rear", row["why"])

    def test_a_pair_is_twisted_or_untwisted(self):
        pair = changed(ONE_LAMP, ("2.3: {size", "2.3: {twisted: P1, size"), ("2.4: {size", "2.4: {twisted: P1, size"))
        for old, new, why in ((ONE_LAMP, pair, "it is of pair P1 now"),
                              (pair, ONE_LAMP, "it is of no pair now, it was of P1")):
            compared = self.compare(new, old)
            self.assertEqual(self.kinds(compared), {"2.3": "still_fit", "2.4": "still_fit"})
            self.assertEqual({row["why"] for row in compared["wires"]["still_fit"]}, {why})

    def test_another_number_is_a_label(self):
        compared = self.compare(changed(ONE_LAMP, ("2.3: {size", "2.3: {number: 2.30, size")))
        self.assertEqual(self.kinds(compared), {"2.30": "re_labelled"})
        self.assertEqual(self.only(compared, "re_labelled")["was_wire"], "2.3")

    def test_a_wire_put_in_before_others_moves_their_labels_only(self):
        # A connector splits 2.1 and every later wire of the path gets the next number.
        new = changed(ONE_LAMP, ("G1 > F1 > S1", "G1 > ST1 > F1 > S1"),
                      ("  F1: {is", "  ST1: {is: stud, at: front}\n  F1: {is"),
                      ("2.4: {size: 1.5 mm2, length: 0.3 m}",
                       "2.4: {size: 1.5 mm2, length: 4 m}\n      2.5: {size: 1.5 mm2, length: 0.3 m}"),
                      ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {size: 1.5 mm2, length: 1.2 m}"),
                      ("2.2: {size: 1.5 mm2, length: 1.2 m}", "2.2: {size: 1.5 mm2, length: 0.2 m}"))
        compared = self.compare(new)
        self.assertEqual(self.kinds(compared), {"2.1": "re_terminated", "2.2": "added",
                                                "2.3": "re_labelled", "2.4": "re_labelled",
                                                "2.5": "re_labelled"})

    def test_added_and_pulled(self):
        new = changed(ONE_LAMP, ("S1 > E1 > GND2]", "S1 > E1 > GND2, S1.2 > E2, E2 > GND2]"),
                      ("  GND2: {is", "  E2: {is: lamp, at: rear, draws: 5 W}\n  GND2: {is"))
        compared = self.compare(new)
        # 2.5 goes into the terminal of 2.3 at S1.2; at the ground each wire has a lug of its own.
        self.assertEqual(self.kinds(compared), {"2.3": "re_terminated", "2.5": "added", "2.6": "added"})
        self.assertEqual(self.only(compared, "re_terminated")["why"], "receptacle 6.3 mm at S1.2 is made again, with 2.5")
        # The other way both are cut off, and nothing is made again.
        back = answer_json("compare", self.folder / "new.yaml", self.folder / "old.yaml", "--json")
        self.assertEqual(self.kinds(back), {"2.5": "removed", "2.6": "removed"})

    def test_a_splice_is_made_again_for_a_wire_that_is_new_in_it_or_cut_again(self):
        spliced = changed(ONE_LAMP, ("  E1: {is", "  SP1: {is: splice, at: rear}\n  E1: {is"),
                          ("S1 > E1 > GND2]", "S1 > SP1 > E1 > GND2]"),
                          ("2.4: {size: 1.5 mm2, length: 0.3 m}",
                           "2.4: {size: 1.5 mm2, length: 0.3 m}\n      2.5: {size: 1.5 mm2, length: 0.3 m}"))
        more = changed(spliced, ("SP1 > E1 > GND2]", "SP1 > E1 > GND2, SP1 > E2 > GND2]"),
                       ("  E1: {is", "  E2: {is: lamp, at: rear, draws: 5 W}\n  E1: {is"))
        # SP1 joins 2.3 and 2.4, and 2.6 goes into the barrel; 2.5 and 2.7 are lugs on one ground.
        compared = self.compare(more, spliced)
        self.assertEqual(self.kinds(compared), {"2.3": "re_terminated", "2.4": "re_terminated",
                                                "2.6": "added", "2.7": "added"})
        self.assertEqual({row["why"] for row in compared["wires"]["re_terminated"]},
                         {"crimp splice at SP1 is made again, with 2.6"})
        # Pulled again: cut off before the barrel.
        back = answer_json("compare", self.folder / "new.yaml", self.folder / "old.yaml", "--json")
        self.assertEqual(self.kinds(back), {"2.6": "removed", "2.7": "removed"})
        # 2.3 cut anew, longer by 1 m: 2.4 comes into a new barrel with it.
        longer = changed(spliced, ("2.3: {size: 1.5 mm2, length: 4 m", "2.3: {size: 1.5 mm2, length: 5 m"))
        compared = self.compare(longer, spliced)
        self.assertEqual(self.kinds(compared), {"2.3": "cut_again", "2.4": "re_terminated"})
        self.assertEqual(self.only(compared, "re_terminated")["why"], "crimp splice at SP1 is made again, with 2.3")

    def test_a_seal_goes_on_before_the_terminal(self):
        plug = changed(ONE_LAMP, ("draws: 55 W at 13.5 V}",
                                  "draws: 55 W at 13.5 V, plug: {terminal: receptacle 4.8 mm}}"))
        sealed = changed(plug, ("plug: {terminal", "plug: {sealed: yes, terminal"))
        compared = self.compare(sealed, plug)
        self.assertEqual(self.kinds(compared), {"2.3": "re_terminated", "2.4": "re_terminated"})
        self.assertEqual([row["why"] for row in compared["wires"]["re_terminated"]],
                         ["a seal goes onto it at E1.+", "a seal goes onto it at E1.-"])
        # A seal that is no longer wanted is taken off without the terminal.
        back = answer_json("compare", self.folder / "new.yaml", self.folder / "old.yaml", "--json")
        self.assertEqual(self.kinds(back), {})

    def test_parallel_wires_pair_one_to_one(self):
        old = changed(ONE_LAMP, ("E1 > GND2]", "E1 > GND2, E1.- > GND2]"))
        compared = self.compare(ONE_LAMP, old)
        self.assertEqual(self.kinds(compared), {"2.5": "removed"})

    def test_a_wire_written_the_other_way_is_the_same(self):
        old = changed(ONE_LAMP, ("paths: [G1.- > GND1]", "paths: [GND1 > G1.-]"))
        self.assertEqual(self.kinds(self.compare(ONE_LAMP, old)), {})

    def test_old_wiring(self):
        kept = changed(ONE_LAMP, ("2.4: {size: 1.5 mm2,", "2.4: {retained: yes, size: 1.5 mm2,"))
        compared = self.compare(ONE_LAMP, kept)
        self.assertEqual(self.kinds(compared), {"2.4": "cut_again"})
        self.assertEqual(self.kinds(self.compare(kept, kept)), {})

    def test_a_rating_and_the_verdict_that_it_brings(self):
        compared = self.compare(changed(ONE_LAMP, ("rating: 10 A", "rating: 30 A")))
        self.assertEqual([(r["fuse"], r["was_a"], r["now_a"]) for r in compared["ratings"]],
                         [("F1", 10.0, 30.0)])
        came = {(v["rule"], v["subject"]) for v in compared["verdicts"] if v["change"] == "came"}
        self.assertIn(("fuse-over-wire", "2.3"), came)
        back = answer_json("compare", self.folder / "new.yaml", self.folder / "old.yaml", "--json")
        went = {(v["rule"], v["subject"]) for v in back["verdicts"] if v["change"] == "went"}
        self.assertEqual(went, came)

    def test_another_fusible_link_by_its_size(self):
        """A link has no rating (docs/method/protection.md): what it is made of stands for one."""
        fuse = "F1: {is: fuse, at: front, family: blade, rating: 10 A}"
        thick, thin = (changed(ONE_LAMP, (fuse, f"F1: {{is: fusible-link, at: front, size: {size} mm2}}"))
                       for size in ("0.35", "0.22"))
        (row,) = self.compare(thin, thick)["ratings"]
        self.assertEqual((row["fuse"], row["was"], row["now"]),
                         ("F1", "fusible-link 0.35 mm2", "fusible-link 0.22 mm2"))
        self.assertEqual((row["was_a"], row["now_a"]), (None, None))
        (row,) = self.compare(thin)["ratings"]
        self.assertEqual((row["was"], row["was_a"], row["now"], row["now_a"]),
                         ("blade 10 A", 10.0, "fusible-link 0.22 mm2", None))
        self.assertEqual(self.compare(thick, thick)["ratings"], [])

    def test_verdicts_are_the_difference_of_two_checks(self):
        def findings(path):
            return {(f["rule"], f["subject"]) for f in answer_json("check", path, "--json")["findings"]}
        before, now = findings(MARLOW), findings(AS_FOUND)
        verdicts = answer_json("compare", MARLOW, AS_FOUND, "--json")["verdicts"]
        self.assertEqual({(v["rule"], v["subject"]) for v in verdicts if v["change"] == "came"} - before,
                         now - before)
        self.assertEqual({(v["rule"], v["subject"]) for v in verdicts if v["change"] == "went"} - now,
                         before - now)

    def test_a_waiver_changes_the_verdict(self):
        bad = changed(ONE_LAMP, ("rating: 10 A", "rating: 30 A"))
        waived = bad + "waivers:\n  - {rule: fuse-over-wire, on: '2.3', because: a test, by: nobody}\n"
        compared = self.compare(waived, bad)
        self.assertEqual([(v["change"], v["subject"], v["why"]) for v in compared["verdicts"]],
                         [("changed", "2.3", "waived now")])

    def test_what_was_frozen_is_what_was_cut(self):
        auto = changed(ONE_LAMP, ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {length: 4 m}"))
        path = self.car(auto, "old.yaml")
        answer("size", path, "--freeze")
        frozen = self.folder / "old.frozen.yaml"
        frozen.write_text(frozen.read_text().replace("4.000 m", "4.080 m"))
        old = changed(auto, ("title: One lamp", "title: One lamp\nfrozen: old.frozen.yaml"))
        compared = self.compare(changed(ONE_LAMP, ("2.3: {size: 1.5 mm2, length: 4 m}",
                                                   "2.3: {length: 4.07 m}")), old)
        row = self.only(compared, "still_fit")
        self.assertEqual((row["wire"], row["cut_m"], row["needed_m"]), ("2.3", 4.08, 4.07))

    def test_text_and_csv_and_status(self):
        old = self.car(ONE_LAMP, "old.yaml")
        new = self.car(changed(ONE_LAMP, ("2.3: {size: 1.5 mm2", "2.3: {size: 2.5 mm2")), "new.yaml")
        text = answer("compare", old, new, statuses=(0,)).decode()
        self.assertIn("1 to cut again", text)
        self.assertIn("2.5 mm2 instead of 1.5 mm2", text)
        rows = list(csv.DictReader(io.StringIO(answer("compare", old, new, "--csv").decode())))
        self.assertEqual([(row["change"], row["subject"]) for row in rows], [("cut-again", "2.3")])
        self.assertEqual(run("compare", old, new, "--fail-on-change").returncode, 1)
        self.assertEqual(answer("compare", old, new), answer("compare", old, new))

    def test_csv_has_a_word_for_each_change(self):
        # One wire of each kind: 1.1 thicker; 2.2 with another number; 2.3 shorter by one of its two loops of
        # 0.05 m (tables defaults, service-loop); 2.4 to another ground at the same place; 2.5 new.
        changes = (("1.1: {size: 16 mm2", "1.1: {size: 25 mm2"), ("2.2: {size", "2.2: {number: 2.20, size"),
                   ("2.3: {size: 1.5 mm2, length: 4 m", "2.3: {size: 1.5 mm2, length: 3.95 m"),
                   ("  GND2: {is", "  GND3: {is: ground, at: rear, body: chassis, bond: 1 mohm}\n"
                    "  E2: {is: lamp, at: rear, draws: 5 W}\n  GND2: {is"),
                   ("E1 > GND2]", "E1 > GND3, G1.+ > E2.+]"),
                   ("      2.4: {size", "      2.5: {size: 0.75 mm2, length: 3 m}\n      2.4: {size"))
        old = self.car(ONE_LAMP, "old.yaml")
        new = self.car(changed(ONE_LAMP, *changes), "new.yaml")

        def rows(*files):
            return {row["subject"]: row for row in
                    csv.DictReader(io.StringIO(answer("compare", *files, "--csv", statuses=(0,)).decode()))
                    if not row["change"].startswith("verdict-")}
        there = rows(old, new)
        self.assertEqual({name: row["change"] for name, row in there.items()},
                         {"1.1": "cut-again", "2.20": "re-label", "2.3": "still-fits", "2.4": "re-terminate",
                          "2.5": "added"})
        self.assertEqual({name: (row["is cut (m)"], row["to cut (m)"]) for name, row in there.items()},
                         {"1.1": ("0.400", "0.400"), "2.20": ("1.200", "1.200"), "2.3": ("4.000", "3.950"),
                          "2.4": ("0.300", "0.300"), "2.5": ("", "3.000")})
        self.assertEqual(there["2.20"]["why"], "its number was 2.2")
        self.assertEqual(there["2.4"]["why"], "it ends at GND3 instead of GND2")
        self.assertEqual((there["2.5"]["was"], there["2.5"]["now"]), ("", "0.75 mm2 thin-wall pvc"))
        # The other way: what was new is pulled, and what is 3.95 m long is too short for 4 m.
        back = rows(new, old)
        self.assertEqual({name: row["change"] for name, row in back.items()},
                         {"1.1": "cut-again", "2.2": "re-label", "2.3": "cut-again", "2.4": "re-terminate",
                          "2.5": "pull"})
        self.assertEqual((back["2.5"]["is cut (m)"], back["2.5"]["to cut (m)"]), ("3.000", ""))
        self.assertEqual((back["2.5"]["was"], back["2.5"]["now"]), ("0.75 mm2 thin-wall pvc", ""))

    def test_bad_input(self):
        good = self.car()
        bad = self.car(ONE_LAMP.replace("lamp, at: rear", "lampe, at: rear"), "bad.yaml")
        for words in ((bad, good), (good, bad), (bad, bad)):
            done = run("compare", *words)
            self.assertEqual((done.returncode, done.stdout), (2, b""))
            self.assertIn(b"bad.yaml:15:", done.stderr)
        self.assertEqual(run("compare", "-", "-", stdin=ONE_LAMP.encode()).returncode, 2)
        self.assertEqual(run("compare", good, self.folder / "none.yaml").returncode, 2)
        self.assertEqual(run("compare", "-", good, stdin=ONE_LAMP.encode()).returncode, 0)


if __name__ == "__main__":
    unittest.main()
