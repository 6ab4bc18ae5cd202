# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The same input gives the same bytes: in another language, time zone, folder and order of memory."""

import pathlib
import re
import shutil
import unittest

from car import EXAMPLES, ONE_LAMP, SOURCE, CarTest, answer, changed, run

ANSWERS = [["check", "@"], ["check", "@", "--json"], ["size", "@"], ["size", "@", "--json"],
           ["solve", "@"], ["solve", "@", "--json"], ["explain", "@", "12.2"], ["explain", "@", "F10"],
           ["draw", "@", "--format", "svg", "-o", "-"], ["draw", "@", "--format", "dot", "-o", "-"],
           ["draw", "@", "--format", "pdf", "-o", "-"], ["draw", "@", "--format", "png", "-o", "-"],
           ["export", "@", "--to", "spice", "--state", "cranking"], ["tables"], ["tables", "fuses"]]
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
