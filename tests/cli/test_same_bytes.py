# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The same input gives the same bytes: in another language, time zone, folder and order of memory, and on one
processor as on all."""

import os
import pathlib
import re
import shutil
import subprocess
import unittest

from car import COMMAND, EXAMPLES, ONE_LAMP, SOURCE, CarTest, answer, changed, run

ANSWERS = [["check", "@"], ["check", "@", "--json"], ["size", "@"], ["size", "@", "--json"],
           ["solve", "@"], ["solve", "@", "--json"], ["explain", "@", "12.2"], ["explain", "@", "F10"],
           ["draw", "@", "--format", "svg", "-o", "-"], ["draw", "@", "--format", "dot", "-o", "-"],
           ["draw", "@", "--format", "pdf", "-o", "-"], ["draw", "@", "--format", "png", "-o", "-"],
           ["export", "@", "--to", "spice", "--state", "cranking"], ["tables"], ["tables", "fuses"]]
# What is worked out by several threads, on top of these: states, faults, samples, places of joints, pages.
BY_THREADS = [["faults", "@", "--json"], ["energy", "@", "--json"],
              ["solve", "@", "--state", "cruise-night", "--spread", "300", "--json"], ["report", "@", "-o", "-"],
              ["measure", "@", "readings.csv", "--json"]]
READINGS = """place,state,reading
F1.out,cruise-night,11.9 V
E1.56b,cruise-night,11.2 V
"""
# A language with a decimal comma, far from Greenwich, in another home.
ELSEWHERE = {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "TZ": "Pacific/Chatham", "HOME": "/nowhere",
             "USER": "somebody", "COLUMNS": "40", "MALLOC_PERTURB_": "165"}


class SameBytes(CarTest):
    def setUp(self):
        super().setUp()
        for name in ("here", "there"):
            shutil.copytree(EXAMPLES / "marlow", self.folder / name)

    def both(self, words):
        words = ["marlow.yaml" if word == "@" else word for word in words]
        here = answer(*words, cwd=self.folder / "here")
        there = answer(*words, cwd=self.folder / "there", env=ELSEWHERE)
        return here, there

    def test_answers(self):
        for words in ANSWERS:
            with self.subTest(words):
                here, there = self.both(words)
                self.assertTrue(here)
                self.assertEqual(here, there)

    def test_pack(self):
        run("pack", "marlow.yaml", "-o", "out", cwd=self.folder / "here")
        run("pack", "marlow.yaml", "-o", "out", cwd=self.folder / "there", env=ELSEWHERE)
        here = sorted((self.folder / "here" / "out").iterdir())
        self.assertGreaterEqual(len(here), 4)
        for path in here:
            with self.subTest(path.name):
                self.assertEqual(path.read_bytes(), (self.folder / "there" / "out" / path.name).read_bytes())

    def test_one_processor_or_all(self):
        folder = self.folder / "here"
        (folder / "readings.csv").write_text(READINGS)
        one = [min(os.sched_getaffinity(0))]

        def made(words, processors):
            words = [str(COMMAND), *("marlow.yaml" if word == "@" else word for word in words)]
            done = subprocess.run(words, cwd=folder, capture_output=True, check=False,
                                  preexec_fn=lambda: os.sched_setaffinity(0, processors))
            self.assertIn(done.returncode, (0, 1), done.stderr)
            return done.stdout

        for words in ANSWERS[:6] + BY_THREADS:
            with self.subTest(words):
                first = made(words, one)
                self.assertTrue(first)
                self.assertEqual(first, made(words, os.sched_getaffinity(0)))
        made(["pack", "@", "-o", "alone"], one)
        made(["pack", "@", "-o", "together"], os.sched_getaffinity(0))
        for path in sorted((folder / "alone").iterdir()):
            with self.subTest(path.name):
                self.assertEqual(path.read_bytes(), (folder / "together" / path.name).read_bytes())

    def test_answers_tell_nothing_of_the_machine(self):
        for words in ANSWERS:
            text = self.both(words)[0].decode("latin-1")
            with self.subTest(words):
                for secret in (str(SOURCE), str(self.folder), str(pathlib.Path.home())):
                    if len(secret) > 5:
                        self.assertNotIn(secret, text)

    def test_answers_hold_no_date_of_today(self):
        stamp = re.compile(r"\b20\d\d-\d\d-\d\d\b|\b\d\d:\d\d:\d\d\b|CreationDate")
        for words in ANSWERS[:10]:
            with self.subTest(words):
                self.assertIsNone(stamp.search(self.both(words)[0].decode("latin-1")))

    def test_the_order_of_maps_in_the_file_is_the_order_of_the_answer(self):
        state = '  dark: {set: {S1: "off"}, expect: {off: [E1]}}\n'
        turned = changed(ONE_LAMP, (state, "")) + state
        names = re.findall(rb'"state": "(\w+)"', answer("solve", self.car(turned), "--json"))
        self.assertEqual(names, [b"lit", b"dark"])


if __name__ == "__main__":
    unittest.main()
