# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The verb calc: help, examples, answers for people and programs, errors with their place, exit status.
The figures themselves are held against published ones in tests/unit/checks/test_calc.cpp."""

import json
import shlex
import unittest

from car import CarTest, answer, answer_json, run

QUESTIONS = ("wire", "drop", "fuse", "bundle", "fault", "lamp")
DROP = ["calc", "drop", "--size", "14 AWG", "--length", "18 ft", "--amps", "15", "--at", "60 C"]


def examples_of(question):
    text = answer("calc", question, "--help", statuses=(0,)).decode()
    return [line.strip() for line in text.splitlines()
            if line.strip().startswith(f"loomwright calc {question} ")]


def numbers_in(value):
    """Every number of an answer, with its key."""
    for key, inner in value.items():
        if isinstance(inner, list):
            for row in inner:
                yield from numbers_in(row)
        elif isinstance(inner, (int, float)) and not isinstance(inner, bool):
            yield key, inner


class Calc(CarTest):
    def test_help_lists_the_questions(self):
        text = answer("calc", "--help", statuses=(0,)).decode()
        for question in QUESTIONS:
            self.assertRegex(text, rf"(?m)^  {question}\s")
        self.assertIn("Exit status", text)
        self.assertRegex(answer("--help", statuses=(0,)).decode(), r"(?m)^\s+calc\s")

    def test_every_question_has_examples_that_answer(self):
        for question in QUESTIONS:
            self.assertGreaterEqual(len(examples_of(question)), 2, question)
            for example in examples_of(question):
                with self.subTest(example):
                    done = run(*shlex.split(example)[1:], cwd=self.folder)
                    self.assertIn(done.returncode, (0, 1), done.stderr.decode())
                    self.assertEqual(done.stderr, b"")
        self.assertEqual(self.names(), [])

    def test_json_has_figures_and_steps(self):
        for question in QUESTIONS:
            for example in examples_of(question):
                with self.subTest(example):
                    words = [word for word in shlex.split(example)[1:] if word != "--json"]
                    found = answer_json(*words, "--json")
                    self.assertEqual(list(found), ["question", "holds", "answer", "steps"])
                    self.assertEqual(found["question"], question)
                    self.assertGreater(len(list(numbers_in(found["answer"]))), 1)
                    for step in found["steps"]:
                        self.assertEqual(list(step), ["formula", "with", "gives", "source"])
                        self.assertTrue(step["gives"], step)
                        self.assertTrue(step["source"], step)

    def test_keys_say_their_unit(self):
        plain = {"factor", "wires", "loaded_wires", "count"}
        units = ("_v", "_a", "_m", "_m2", "_c", "_s", "_w", "_ohm", "_ohm_per_m", "_share")
        for question in QUESTIONS:
            for example in examples_of(question):
                words = [word for word in shlex.split(example)[1:] if word != "--json"]
                for key, _ in numbers_in(answer_json(*words, "--json")["answer"]):
                    self.assertTrue(key in plain or key.endswith(units), key)

    def test_text_and_json_say_the_same(self):
        # 15 A through 18 ft of the 14 AWG of table 8 (3.14 ohm per 1000 ft at 75 C): by hand
        # 3.14 / (1 + 0.00393 x 55) x (1 + 0.00393 x 40) x 0.018 x 15 = 0.8067 V.
        found = answer_json(*DROP, "--json")["answer"]
        self.assertAlmostEqual(found["drop_v"], 0.8067, delta=0.00005)
        self.assertIn(b"0.8067 V", answer(*DROP))

    def test_other_spellings_of_the_same_words(self):
        # 18 ft = 5.4864 m, 60 C = 140 F, 15 A = 15000 mA
        other = ["calc", "drop", "--size=14 AWG", "--length=5.4864 m", "--amps", "15000 mA",
                 "--at", "140 F"]
        a, b = (answer_json(*words, "--json")["answer"] for words in (DROP, other))
        self.assertAlmostEqual(a["drop_v"], b["drop_v"], delta=1e-12)

    def test_the_answer_goes_to_a_file(self):
        done = run(*DROP, "-o", self.folder / "drop.txt")
        self.assertEqual((done.returncode, done.stdout, done.stderr), (0, b"", b""))
        self.assertEqual((self.folder / "drop.txt").read_bytes(), answer(*DROP))

    def test_a_limit_that_is_not_kept_is_status_1(self):
        for more, status in ((["--limit", "1 V"], 0), (["--limit", "0.5 V"], 1),
                             (["--limit", "7 %"], 0), (["--limit", "3 %"], 1)):
            with self.subTest(more):
                self.assertEqual(run(*DROP, *more).returncode, status)

    def test_all_errors_at_once(self):
        done = run("calc", "drop", "--size", "14", "--lenght", "18 ft", "--amps", "x", "--at", "9 V")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        text = done.stderr.decode()
        for part in ("error[unknown-key] --lenght", "did you mean `length`?",
                     "--size:1:1: error[missing-unit]", "--amps:1:1: error[bad-number]",
                     "--at:1:1: error[wrong-dimension]", "4 errors"):
            self.assertIn(part, text)

    def test_errors_as_json(self):
        done = run("calc", "drop", "--size", "14 AWG", "--length", "18", "--amps", "3", "--json")
        self.assertEqual((done.returncode, done.stderr), (2, b""))
        finding, = json.loads(done.stdout)["findings"]
        self.assertEqual((finding["rule"], finding["file"], finding["line"], finding["column"]),
                         ("missing-unit", "--length", 1, 1))
        self.assertIn("m, mm, cm, in or ft", finding["message"])

    def test_words_that_belong_nowhere(self):
        for words, part in ((["calc"], "the questions are"), (["calc", "drip"], "did you mean `drop`?"),
                            ([*DROP, "twice"], "`twice` belongs to no option"),
                            ([*DROP, "-o"], "-o has no file name"),
                            ([*DROP, "--length", "1 m"], "given before"),
                            ([*DROP, "--return=yes"], "takes no value"),
                            ([*DROP, "--limit"], "has no value"),
                            (["calc", "drop"], "3 errors")):
            with self.subTest(words):
                done = run(*words)
                self.assertEqual((done.returncode, done.stdout), (2, b""))
                self.assertIn(part, done.stderr.decode())

    def test_hostile_words_cannot_drive_the_terminal(self):
        for words in (["calc", "\x1b[31m"], ["calc", "drop", "--\x1b[31m", "1"],
                      ["calc", "drop", "--size", "\x1b[31m\u202e", "--amps", "1\n2"],
                      ["calc", "bundle", "--wires", "9" * 400 + " x at at 1 A"]):
            done = run(*words)
            self.assertEqual(done.returncode, 2)
            self.assertNotIn(b"\x1b", done.stderr)
            self.assertNotIn("\u202e".encode(), done.stderr)

    def test_same_bytes(self):
        for question in QUESTIONS:
            words = shlex.split(examples_of(question)[0])[1:]
            self.assertEqual(answer(*words), answer(*words))


if __name__ == "__main__":
    unittest.main()
