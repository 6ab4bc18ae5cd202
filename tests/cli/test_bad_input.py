# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What a slip of the pen in the vehicle file is answered with: exit status 2, the rule, the true line
and column, a word that helps, and no answer. The mark @ in a change stands before the place that must
be named; it is not written to the file."""

import os
import re
import unittest

from car import ONE_LAMP, CarTest, changed, run

# (what is wrong, change of the file, rule, what the message or remedy must hold)
SLIPS = [
    ("unknown key at the top", ("zones:\n", "@zone:\n"), "unknown-key", ["did you mean", "zones"]),
    ("unknown key of a device", ("capacity: 45 Ah", "@capasity: 45 Ah"), "unknown-key",
     ["did you mean", "capacity"]),
    ("key given twice", ("title: One lamp\n", "title: One lamp\n@title: Two lamps\n"), "duplicate-key",
     ["title"]),
    ("device given twice", ("  GND2: {is: ground, at: rear", "  @F1: {is: ground, at: rear"),
     "duplicate-key", ["F1"]),
    ("number without unit", ("rating: 10 A", "rating: @10"), "missing-unit", ["A", "mA"]),
    ("length without unit", ("length: 4 m}\ndevices", "length: @4}\ndevices"), "missing-unit",
     ["m", "mm", "ft"]),
    ("unit of another quantity", ("rating: 10 A", "rating: @10 V"), "wrong-dimension", ["A"]),
    ("temperature where a length belongs", ("length: 4 m}\ndevices", "length: @4 C}\ndevices"),
     "wrong-dimension", ["m"]),
    ("negative length", ("length: 4 m}\ndevices", "length: @-4 m}\ndevices"), "out-of-range", []),
    ("no length at all", ("length: 4 m}\ndevices", "length: @0 m}\ndevices"), "out-of-range", []),
    ("colder than cold can be", ("air: 25 C", "air: @-300 C"), "out-of-range", []),
    ("reference to nothing", ("F1 > S1 > E1", "F1 > @S2 > E1"), "unknown-reference",
     ["did you mean", "S1"]),
    ("point that is not there", ("at: rear, draws", "at: @raer, draws"), "unknown-reference",
     ["did you mean", "rear"]),
    ("state sets what is not there", ('lit:  {set: {S1: "on"}', 'lit:  {set: {@S7: "on"}'),
     "unknown-reference", []),
    ("switch has no such position", ('lit:  {set: {S1: "on"}', "lit:  {set: {S1: @onn}"),
     "unknown-word", ["did you mean", "on"]),
    ("device has no such terminal", ("F1 > S1 > E1", "F1 > @S1.30/2 > E1"), "unknown-terminal",
     ["1", "2"]),
    ("path through what cannot be passed", ("  E1: {is: lamp, at: rear, draws: 55 W at 13.5 V}",
     "  E1: {is: controller, at: rear, draws: 55 W at 13.5 V, terminals: {p: feed, n: ground}}"),
     "cannot-pass", ["E1"]),
    ("two wires with one number", ("2.4: {size", "2.4: {number: @2.3, size"), "duplicate-number",
     ["2.3"]),
    ("wire that no path makes", ("2.4: {size", "@2.9: {size"), "unknown-reference", []),
    ("kind that is not known", ("is: lamp", "is: @lapm"), "unknown-word", ["did you mean", "lamp"]),
    ("needed key left out", ("GND2: {is: ground, at: rear, body: chassis", "@GND2: {is: ground, at: rear"),
     "missing-key", ["body"]),
    ("list where a map belongs", ("  cabin: {air: 25 C}", "  cabin: @[air, 25 C]"), "wrong-shape", []),
    ("size that no standard has", ("{size: 16 mm2", "{size: @17 mm2"), "out-of-range", ["16 mm2", "20 mm2"]),
    ("bare size", ("{size: 16 mm2", "{size: @16"), "missing-unit", ["mm2", "AWG"]),
    ("size written with a decimal comma", ("{size: 16 mm2", '{size: @"2,5 mm2"'), "bad-number", ["decimal point"]),
    ("waiver for a rule that is not there", ("states:\n",
     "waivers:\n  - {rule: @drop-limits, on: E1, because: old, by: me}\nstates:\n"), "unknown-word",
     ["did you mean", "drop-limit"]),
    ("waiver without its reason", ("states:\n",
     "waivers:\n  - @{rule: drop-limit, on: E1, by: me}\nstates:\n"), "missing-key", ["because"]),
    ("text that is not YAML", ("states:\n", "states: [\n"), "bad-yaml", []),
    ("include of nothing", ("title: One lamp\n", "title: One lamp\ninclude: [@parts/nowhere.yaml]\n"),
     "bad-include", ["nowhere.yaml"]),
    ("include outside the folder", ("title: One lamp\n", "title: One lamp\ninclude: [@../car.yaml]\n"),
     "bad-include", ["nor below it"]),
]


class BadInput(CarTest):
    def check_slip(self, what, change, rule, words):
        marked = changed(ONE_LAMP, change)
        before, mark, _ = marked.partition("@")
        text = marked.replace("@", "", 1) if mark else marked
        car = self.car(text)
        for verb in (["check"], ["pack", "-o", self.folder / "papers"]):
            done = run(verb[0], car, *verb[1:])
            told = done.stderr.decode()
            self.assertEqual(done.returncode, 2, f"{what}: {told or done.stdout.decode()}")
            self.assertEqual(done.stdout, b"")
            self.assertIn(f"error[{rule}]", told)
            self.assertEqual(self.names(), ["car.yaml"], "something was written")
        if mark:
            line = before.count("\n") + 1
            column = len(before) - before.rfind("\n")
            self.assertIn(f"car.yaml:{line}:{column}: error[{rule}]", told)
        for word in words:
            self.assertIn(word, told)

    def test_text_is_answered_about_itself(self):
        # The unchanged car must be good, or the slips would prove nothing.
        self.assertEqual(run("check", self.car()).returncode, 0)

    def test_all_faults_are_told_in_one_go_in_the_order_of_the_file(self):
        text = changed(ONE_LAMP, ("zones:\n", "zone:\n"), ("rating: 10 A", "rating: 10"),
                       ("F1 > S1 > E1", "F1 > S2 > E1"), ("{size: 16 mm2", "{size: 16"))
        told = run("check", self.car(text)).stderr.decode()
        lines = [int(line) for line in re.findall(r"car\.yaml:(\d+):\d+: error\[", told)]
        self.assertGreaterEqual(len(lines), 4)
        self.assertEqual(lines, sorted(lines))
        for rule in ("unknown-key", "missing-unit", "unknown-reference"):
            self.assertIn(f"error[{rule}]", told)

    def test_a_key_given_twice_names_both_places(self):
        told = run("check", self.car(changed(ONE_LAMP, ("zones:\n", "title: Again\nzones:\n")))).stderr.decode()
        self.assertIn("car.yaml:3:1: error[duplicate-key]", told)
        self.assertIn("car.yaml:2:1", told)

    def test_two_places_that_contradict_are_both_named(self):
        text = changed(ONE_LAMP, ("wires:\n      2.1: {size: 1.5 mm2, length: 0.15 m}",
                                  "wires:\n      2.1: {size: 1.5 mm2, length: 0.15 m, measured: 3 m}"))
        told = run("check", self.car(text)).stderr.decode()
        self.assertIn("error[contradiction]", told)

    def test_four_ways_to_write_the_big_sizes_stay_two_sizes(self):
        for written, shown in (("0 AWG", "1/0 AWG"), ("1/0 AWG", "1/0 AWG"), ("0000 AWG", "4/0 AWG"),
                               ("4/0 AWG", "4/0 AWG")):
            with self.subTest(written):
                car = self.car(changed(ONE_LAMP, ("{size: 16 mm2", f"{{size: {written}")))
                done = run("size", car, "--json")
                self.assertEqual(done.returncode, 0, done.stderr.decode())
                self.assertIn(f'"{shown}"'.encode(), done.stdout)

    def test_a_fault_in_a_parts_file_names_that_file(self):
        self.car("stock:\n  - {is: wire, size: 1.5 mm2, part: X, price: 1, spol: 10 m}\n", "parts/stock.yaml")
        car = self.car(changed(ONE_LAMP, ("title: One lamp\n",
                                          "title: One lamp\ninclude: [parts/stock.yaml]\n")))
        done = run("check", car)
        self.assertEqual(done.returncode, 2)
        self.assertRegex(done.stderr.decode(), r"parts/stock\.yaml:2:\d+: error\[unknown-key\]")

    def test_files_that_are_no_vehicles_at_all(self):
        for what, text in (("nothing", b""), ("a space", b" \n"), ("no version", b"title: x\n"),
                           ("other version", b"loomwright: 2\n"), ("a list", b"- a\n"),
                           ("a word", b"lamp\n"), ("not text", bytes(range(256))),
                           ("a byte order mark alone", b"\xef\xbb\xbf"),
                           ("deep", b"loomwright: 1\nzones: " + b"[" * 20000 + b"]" * 20000),
                           ("aliases that grow", b"loomwright: 1\na: &a [x,x,x,x,x,x,x,x,x]\n" + b"".join(
                               b"%c: &%c [%s]\n" % (98 + i, 98 + i, b",".join([b"*%c" % (97 + i)] * 9))
                               for i in range(9)))):
            with self.subTest(what):
                done = run("check", "-", stdin=text)
                self.assertEqual(done.returncode, 2, done.stderr[:500])
                self.assertEqual(done.stdout, b"")
                self.assertIn(b"error[", done.stderr)

    def test_a_byte_that_is_no_text_never_comes_to_the_terminal(self):
        # "Caf\xe9" in Latin-1; a character cut short; one of three bytes that UTF-8 (RFC 3629) does not have.
        for raw, shown in ((b"Caf\xe9", "Caf\\xe9"), (b"Caf\xc3", "Caf\\xc3"), (b"\xed\xa0\x80", "\\xed\\xa0\\x80")):
            with self.subTest(raw):
                car = self.folder / "car.yaml"
                car.write_bytes(ONE_LAMP.encode().replace(b"title: One lamp", b"title: " + raw))
                listed = self.folder / "loads.csv"
                listed.write_bytes(b"load,watts\n" + raw + b",55\n")
                for words in (("check", car), ("size", car), ("import", listed, "-o", "-")):
                    done = run(*words)
                    self.assertEqual((done.returncode, done.stdout), (2, b""))
                    self.assertIn(shown, done.stderr.decode())  # decode() takes UTF-8 alone

    def test_a_name_that_is_no_text_never_comes_to_the_terminal(self):
        done = run("check", self.folder / os.fsdecode(b"caf\xe9.yaml"))
        self.assertEqual(done.returncode, 2)
        self.assertIn("caf\\xe9.yaml", done.stderr.decode())

    def test_a_file_that_cannot_be_read_is_told_with_what_to_do(self):
        self.car(name="cars/one-lamp.yaml")
        self.car("", name="cars/notes.txt")
        (self.folder / "empty").mkdir()
        for name, words in (("cars/one-lmap.yaml", ["did you mean `cars/one-lamp.yaml`?"]),
                            ("cars/one-lamp", ["did you mean `cars/one-lamp.yaml`?"]),
                            ("cars/one-lamp.yml", ["did you mean `cars/one-lamp.yaml`?"]),
                            ("crs/one-lamp.yaml", ["did you mean `cars/one-lamp.yaml`?"]),
                            ("cars/truck.yaml", ["in that folder there is: one-lamp.yaml"]),
                            ("cars", ["cars: is a folder", "name a vehicle file in it: one-lamp.yaml"]),
                            ("empty", ["is a folder", "holds none"]),
                            ("empty/truck.yaml", ["loomwright new"]),
                            ("nowhere/at/all.yaml", ["there is no folder `nowhere`"]),
                            ("cars/one-lamp.yaml/x.yaml", ["there is no folder `cars/one-lamp.yaml`"]),
                            ("", ["no file name"])):
            for verb in ("check", "size"):
                with self.subTest(verb=verb, name=name):
                    self.check_unread([f"loomwright: {name}", *words], verb, name)

    def test_a_table_that_cannot_be_read_is_told_with_what_to_do(self):
        car = self.car(name="one-lamp.yaml")
        self.car("load,watts\n", name="loads.csv")
        for name, words in (("laods.csv", ["did you mean `loads.csv`?"]), ("meter.csv", ["there is: loads.csv"]),
                            (".", ["is a folder", "name a table (.csv) in it: loads.csv"]), ("", ["no file name"])):
            for verb in (("import", name, "-o", "-"), ("measure", car, name)):
                with self.subTest(verb=verb[0], name=name):
                    self.check_unread(words, *verb)

    def check_unread(self, words, *command):
        done = run(*command, cwd=self.folder)
        told = done.stderr.decode()
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertEqual(told.count("\n"), 2, told)
        for word in ["remedy: ", *words]:
            self.assertIn(word, told)

    @unittest.skipIf(os.geteuid() == 0, "who is allowed everything reads every file")
    def test_a_file_that_may_not_be_read_is_told_so(self):
        car = self.car()
        car.chmod(0)
        done = run("check", car)
        self.assertEqual(done.returncode, 2)
        self.assertIn("remedy: you may not read it", done.stderr.decode())

    def test_a_file_with_the_line_ends_of_another_system_is_read(self):
        text = ONE_LAMP.replace("\n", "\r\n").encode()
        self.assertEqual(run("check", "-", stdin=text).returncode, 0)
        bad = changed(ONE_LAMP, ("rating: 10 A", "rating: 10")).replace("\n", "\r\n").encode()
        self.assertNotIn(b"\r", run("check", "-", stdin=bad).stderr)


def add_slip(slip):
    def test(self):
        self.check_slip(*slip)
    setattr(BadInput, "test_slip_" + re.sub(r"\W+", "_", slip[0]), test)


for one in SLIPS:
    add_slip(one)

if __name__ == "__main__":
    unittest.main()
