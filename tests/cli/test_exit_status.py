# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Exit status: 0 nothing at or above the failing severity, 1 findings, 2 the input is wrong, 3 the
machine failed. Outputs are written whole or not at all."""

import os
import pathlib
import subprocess
import unittest

from car import COMMAND, ONE_LAMP, SEVERITIES, VERBS, CarTest, answer_json, changed, run

# A thin wire behind a big fuse: a danger of its own rule.
DANGEROUS = changed(ONE_LAMP, ("rating: 10 A", "rating: 30 A"),
                    ("2.3: {size: 1.5 mm2", "2.3: {size: 0.5 mm2"))
WRONG = changed(ONE_LAMP, ("rating: 10 A", "rating: 10"))


def words_for(verb, car, output):
    """A run of `verb` on a file, with an output."""
    more = {"explain": ["2.3"], "export": ["--to", "spice", "--state", "lit"]}.get(verb, [])
    return [verb, car, *more, "-o", output]


class ExitStatus(CarTest):
    def test_clean(self):
        done = run("check", self.car())
        self.assertEqual(done.returncode, 0, done.stdout.decode() + done.stderr.decode())

    def test_findings(self):
        done = run("check", self.car(DANGEROUS))
        self.assertEqual(done.returncode, 1, done.stdout.decode() + done.stderr.decode())
        self.assertIn(b"danger[fuse-over-wire] 2.3", done.stdout)

    def test_failing_severity_is_a_threshold(self):
        car = self.car(DANGEROUS)
        counts = answer_json("check", car, "--json")["counts"]
        for least in SEVERITIES:
            bad = sum(counts[name] for name in SEVERITIES[SEVERITIES.index(least):])
            with self.subTest(least):
                self.assertEqual(run("check", car, "--fail-on", least).returncode, 1 if bad else 0)
        self.assertEqual(run("check", car, "--fail-on", "danger").returncode, 1)
        self.assertEqual(run("check", car, "--fail-on", "never").returncode, 0)

    def test_notes_alone_are_clean(self):
        # A splice that nothing ends at is worth a note, no more.
        car = self.car(changed(ONE_LAMP, ("  E1: {is", "  SP9: {is: splice, at: rear}\n  E1: {is")))
        self.assertGreaterEqual(answer_json("check", car, "--json")["counts"]["note"], 1)
        self.assertEqual(run("check", car).returncode, 0)
        self.assertEqual(run("check", car, "--fail-on", "note").returncode, 1)

    def test_wrong_input_is_told_on_standard_error_and_nothing_is_written(self):
        car = self.car(WRONG)
        for verb in VERBS:
            if verb == "tables":
                continue
            with self.subTest(verb):
                done = run(*words_for(verb, car, self.folder / "out"))
                self.assertEqual(done.returncode, 2, done.stderr.decode())
                self.assertEqual(done.stdout, b"")
                self.assertIn(b"missing-unit", done.stderr)
                self.assertEqual(self.names(), ["car.yaml"])

    def test_wrong_use_of_the_command(self):
        car = self.car()
        for words in ([], ["chekc", car], ["check"], ["check", car, "--jsn"], ["check", car, "x"],
                      ["check", self.folder / "nowhere.yaml"], ["check", self.folder],
                      ["check", car, "--fail-on", "everything"], ["draw", car, "--view", "nothing"],
                      ["draw", car, "-o", self.folder / "feeds.xyz"], ["pack", car],
                      ["solve", car, "--state", "litt"], ["explain", car, "F99"], ["explain", car],
                      ["tables", "no-such-table"], ["export", car],
                      ["export", car, "--to", "paper"], ["export", car, "--to", "spice", "--state", "x"]):
            with self.subTest(words):
                done = run(*words)
                self.assertEqual(done.returncode, 2, done.stdout.decode() + done.stderr.decode())
                self.assertEqual(done.stdout, b"")
                self.assertNotEqual(done.stderr.strip(), b"")
        self.assertEqual(self.names(), ["car.yaml"])

    def test_a_name_that_is_nearly_right_is_offered(self):
        car = self.car()
        for words, offered in ((["solve", car, "--state", "litt"], b"lit"),
                               (["explain", car, "F11"], b"F1"), (["tables", "fusse"], b"fuse")):
            with self.subTest(words):
                self.assertIn(b"did you mean", run(*words).stderr)
                self.assertIn(offered, run(*words).stderr)

    def test_a_verb_that_is_nearly_right_is_offered(self):
        done = run("chek", self.car())
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"there is no verb `chek`; did you mean `check`?", done.stderr)
        for verb in VERBS:
            self.assertIn(verb.encode(), done.stderr)

    def test_a_full_disk_is_the_machine_s_fault(self):
        if not os.path.exists("/dev/full"):
            self.skipTest("no full device here")
        with open("/dev/full", "wb") as full:
            done = subprocess.run([str(COMMAND), "check", str(self.car()), "--json"], stdout=full,
                                  stderr=subprocess.PIPE, stdin=subprocess.DEVNULL, check=False)
        self.assertEqual(done.returncode, 3)
        self.assertNotEqual(done.stderr, b"")

    def test_an_output_that_cannot_be_written_leaves_nothing_behind(self):
        car = self.car()
        (self.folder / "taken").write_text("a file where a folder is wanted")
        before = self.names()
        for words in (["size", car, "-o", self.folder / "no" / "such" / "folder.txt"],
                      ["size", car, "-o", self.folder],
                      ["pack", car, "-o", self.folder / "taken"],
                      ["draw", car, "-o", self.folder / "taken" / "feeds.svg"]):
            with self.subTest(words):
                self.assertEqual(run(*words).returncode, 3)
                self.assertEqual(self.names(), before)

    def test_an_old_output_stays_whole_when_the_new_one_fails(self):
        (self.folder / "sizes.txt").write_text("old")
        run("size", self.car(WRONG), "-o", self.folder / "sizes.txt")
        self.assertEqual((self.folder / "sizes.txt").read_text(), "old")


class Outputs(CarTest):
    def test_nothing_is_written_beside_what_was_asked_for(self):
        car = self.car()
        for verb in VERBS:
            if verb in ("pack", "tables"):
                continue
            with self.subTest(verb):
                out = "out.svg" if verb == "draw" else "out.txt"
                done = run(*words_for(verb, car, self.folder / out), cwd=self.folder)
                self.assertIn(done.returncode, (0, 1), done.stderr.decode())
                self.assertEqual((done.stdout, done.stderr), (b"", b""))
                self.assertEqual(self.names(), sorted(["car.yaml", out]))
                (self.folder / out).unlink()

    def test_dash_and_json_go_to_standard_output_alone(self):
        car = self.car()
        for words in (["check", car, "--json"], ["size", car, "--json"], ["solve", car, "--json"],
                      ["explain", car, "2.3", "--json"], ["tables", "fuses", "--json"],
                      ["draw", car, "--format", "svg", "-o", "-"],
                      ["export", car, "--to", "spice", "--state", "lit", "-o", "-"]):
            with self.subTest(words):
                done = run(*words, cwd=self.folder)
                self.assertEqual((done.returncode, done.stderr), (0, b""))
                self.assertGreater(len(done.stdout), 20)
                self.assertEqual(self.names(), ["car.yaml"])

    def test_a_file_holds_what_standard_output_would(self):
        car = self.car()
        for words in (["check", car], ["size", car, "--json"], ["solve", car], ["explain", car, "F1"]):
            with self.subTest(words):
                run(*words, "-o", self.folder / "out")
                self.assertEqual((self.folder / "out").read_bytes(), run(*words).stdout)

    def test_the_vehicle_may_come_by_standard_input(self):
        by_file = run("size", self.car(), "--json").stdout
        self.assertEqual(run("size", "-", "--json", stdin=ONE_LAMP.encode()).stdout, by_file)
        done = run("check", "-", stdin=WRONG.encode())
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"missing-unit", done.stderr)

    def test_the_pack_writes_its_files_into_its_folder_alone(self):
        done = run("pack", self.car(), "-o", self.folder / "papers" / "one")
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        written = [name for name in self.names() if pathlib.PurePath(name).suffix]
        self.assertTrue(all(name == "car.yaml" or name.startswith("papers/one/") for name in written))
        for name in ("cut-list.csv", "cut-list.html", "buying-list.csv", "buying-list.html"):
            self.assertIn(f"papers/one/{name}", written)

    def test_names_in_a_file_cannot_drive_the_terminal(self):
        text = changed(ONE_LAMP, ("title: One lamp", 'title: "\\e[31mOne\\u202elamp"'),
                       ("rating: 10 A", 'rating: "\\e]0;x\\a"'))
        done = run("check", self.car(text))
        self.assertEqual(done.returncode, 2)
        self.assertNotIn(b"\x1b", done.stderr)

    def test_no_colour_when_piped(self):
        self.assertNotIn(b"\x1b", run("check", self.car(DANGEROUS)).stdout)


if __name__ == "__main__":
    unittest.main()
