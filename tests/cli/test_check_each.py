# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""`check --each`: what is told of a car among many is what is told of it alone, in the order of names, with any
number of threads; the exit status is that of the worst."""

import json
import os
import subprocess
import unittest

from car import COMMAND, ONE_LAMP, CarTest, answer, answer_json, changed, run

DANGEROUS = changed(ONE_LAMP, ("rating: 10 A", "rating: 30 A"),
                    ("2.3: {size: 1.5 mm2", "2.3: {size: 0.5 mm2"))
WRONG = changed(ONE_LAMP, ("rating: 10 A", "rating: 10"))


class CheckEach(CarTest):
    def fleet(self):
        for name, text in (("b.yaml", DANGEROUS), ("a.yaml", ONE_LAMP), ("c/c.yaml", WRONG), ("d/d.yaml", ONE_LAMP),
                           ("d/parts.yaml", "devices: {}\n"), ("e/other.yaml", ONE_LAMP), (".hidden.yaml", WRONG),
                           ("notes.txt", "no car")):
            self.car(text, "fleet/" + name)
        return self.folder / "fleet"

    def test_one_line_a_car_in_the_order_of_names(self):
        fleet = self.fleet()
        done = run("check", "--each", fleet)
        lines = done.stdout.decode().splitlines()
        alone = answer("check", fleet / "b.yaml").decode().splitlines()[-1]
        self.assertEqual(lines[0], f"{fleet}/a.yaml: no findings")
        self.assertEqual(lines[1], f"{fleet}/b.yaml: {alone}")
        self.assertRegex(lines[2], r"/c/c\.yaml: not computed, the input is wrong: 1 fault$")
        self.assertEqual(lines[3], f"{fleet}/d/d.yaml: no findings")
        self.assertEqual(lines[4], "4 cars: 2 clean, 1 with findings, 1 that could not be read")
        self.assertEqual((len(lines), done.returncode, done.stderr), (5, 2, b""))

    def test_status_is_that_of_the_worst(self):
        fleet = self.fleet()
        (fleet / "c" / "c.yaml").unlink()
        self.assertEqual(run("check", "--each", fleet).returncode, 1)
        self.assertEqual(run("check", "--each", fleet, "--fail-on", "never").returncode, 0)
        (fleet / "b.yaml").unlink()
        self.assertEqual(run("check", "--each", fleet).returncode, 0)

    def test_json_and_lines_say_what_a_car_alone_says(self):
        fleet = self.fleet()
        rows = [json.loads(line) for line in run("check", "--each", fleet, "--json").stdout.splitlines()]
        self.assertEqual([row["file"] for row in rows],
                         [f"{fleet}/{name}" for name in ("a.yaml", "b.yaml", "c/c.yaml", "d/d.yaml")])
        self.assertEqual([row["input_is_good"] for row in rows], [True, True, False, True])
        for row in rows:
            alone = json.loads(run("check", row["file"], "--json").stdout)
            self.assertEqual({key: row[key] for key in ("findings", "counts")}, alone)
        lines = run("check", "--each", fleet, "--lines").stdout
        alone = b"".join(run("check", row["file"], "--lines").stdout for row in rows)
        self.assertTrue(lines)
        self.assertEqual(lines, alone)

    def test_faults_are_followed_too(self):
        fleet = self.fleet()
        rows = [json.loads(line) for line in run("check", "--each", fleet, "--json", "--faults").stdout.splitlines()]
        self.assertEqual(rows[0]["counts"], answer_json("check", fleet / "a.yaml", "--json", "--faults")["counts"])

    def test_the_same_bytes_on_one_processor_and_on_all(self):
        fleet = self.folder / "many"
        for k in range(24):
            self.car(DANGEROUS if k % 3 else ONE_LAMP, f"many/car-{k:02}.yaml")
        answers = set()
        for processors in (sorted(os.sched_getaffinity(0)), [min(os.sched_getaffinity(0))]):
            for form in ([], ["--json"], ["--lines"]):
                done = subprocess.run([str(COMMAND), "check", "--each", str(fleet), *form], capture_output=True,
                                      check=False, preexec_fn=lambda who=processors: os.sched_setaffinity(0, who))
                self.assertEqual(done.returncode, 1)
                answers.add((tuple(form), done.stdout))
        self.assertEqual(len(answers), 3)

    def test_wrong_use(self):
        fleet = self.fleet()
        (self.folder / "empty").mkdir()
        for words, told in ((["--each", self.folder / "empty"], "no car is in it"),
                            (["--each", self.folder / "nowhere"], "No such file"),
                            (["--each", fleet / "a.yaml"], "Not a directory"),
                            (["--each", fleet, fleet / "a.yaml"], "either FILE or --each is required"),
                            ([], "either FILE or --each is required"),
                            (["--each", fleet, "--sarif"], "--each answers as text"),
                            (["--each", fleet, "-o", self.folder / "out"], "--each answers as text")):
            with self.subTest(words):
                done = run("check", *words)
                self.assertEqual((done.returncode, done.stdout), (2, b""))
                self.assertIn(told, done.stderr.decode())

    def test_a_full_disk_ends_it(self):
        if not os.path.exists("/dev/full"):
            self.skipTest("no full device here")
        with open("/dev/full", "wb") as full:
            done = subprocess.run([str(COMMAND), "check", "--each", str(self.fleet())], stdout=full,
                                  stderr=subprocess.PIPE, check=False)
        self.assertEqual(done.returncode, 3)


if __name__ == "__main__":
    unittest.main()
