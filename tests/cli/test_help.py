# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Every verb explains itself, and the examples in its help are runs that work."""

import re
import shlex
import shutil
import unittest

import yaml

from car import COMMAND, EXAMPLES, FILE_VERBS, OWN_VERBS, SOURCE, VERBS, CarTest, answer, run


def examples_of(verb):
    """The example lines in the help of a verb, without what stands after a pipe."""
    text = answer(verb, "--help", statuses=(0,)).decode()
    for line in text.splitlines():
        line = line.strip()
        if line.startswith(f"loomwright {verb}"):
            yield line.split("|")[0].strip()


class Help(CarTest):
    def test_the_program_lists_its_verbs(self):
        text = answer("--help", statuses=(0,)).decode()
        for verb in VERBS + FILE_VERBS + OWN_VERBS:
            self.assertRegex(text, rf"(?m)^\s+{verb}\s")

    def test_the_program_says_the_cautions(self):
        self.assertIn("isconnect the battery", answer("--help", statuses=(0,)).decode())

    def test_version_and_the_editions_of_the_tables(self):
        first, blank, *rows = answer("--version", statuses=(0,)).decode().splitlines()
        self.assertRegex(first, r"^loomwright \d+\.\d+\.\d+$")
        self.assertEqual(blank, "")
        columns = [at.start() for at in re.finditer(r"(?:^|(?<=  ))-", rows[1])]
        self.assertEqual(len(columns), 3)
        told = {}
        for row in rows[2:-1]:
            cells = [row[a:b].strip() for a, b in zip(columns, [*columns[1:], None])]
            if cells[0]:
                name, told[cells[0]] = cells[0], ["", cells[2]]
            told[name][0] = f"{told[name][0]} {cells[1]}".strip()
        files = {path.stem: yaml.safe_load(path.read_text()) for path in (SOURCE / "lib/tables/data").glob("*.yaml")}
        self.assertEqual(set(told), set(files))
        for name, head in files.items():
            self.assertEqual(told[name][0], " ".join(head["edition"].split()), name)
            marks = {source.split(":")[0] for source in head["sources"].values()}
            self.assertEqual(marks, set(told[name][1].split(", ")), name)

    def test_every_verb_has_examples_and_says_its_exit_status(self):
        for verb in VERBS + FILE_VERBS + OWN_VERBS:
            with self.subTest(verb):
                self.assertGreaterEqual(len(list(examples_of(verb))), 2)
                self.assertIn("Exit status", answer(verb, "--help", statuses=(0,)).decode())

    def test_every_example_runs_on_the_marlow(self):
        shutil.copytree(EXAMPLES / "marlow", self.folder, dirs_exist_ok=True)
        shutil.move(self.folder / "marlow.yaml", self.folder / "car.yaml")
        shutil.copy(self.folder / "car.yaml", self.folder / "as-cut.yaml")
        shutil.copytree(EXAMPLES / "marlow", self.folder / "cars" / "marlow")
        (self.folder / "loads.csv").write_text("device,watts\nWork lamp,21\n")
        (self.folder / "readings.csv").write_text("place,state,reading\nG1.+,ignition-on,12.5 V\n")
        for verb in VERBS + FILE_VERBS + OWN_VERBS:
            for example in examples_of(verb):
                with self.subTest(example):
                    done = run(*shlex.split(example)[1:], cwd=self.folder)
                    self.assertIn(done.returncode, (0, 1), done.stderr.decode())
                    self.assertEqual(done.stderr, b"")

    def test_help_needs_no_file_and_writes_nothing(self):
        for verb in VERBS + FILE_VERBS + OWN_VERBS:
            done = run(verb, "--help", cwd=self.folder)
            self.assertEqual((done.returncode, done.stderr), (0, b""), verb)
        self.assertEqual(self.names(), [])

    def test_the_binary_is_called_loomwright(self):
        self.assertEqual(COMMAND.name, "loomwright")


if __name__ == "__main__":
    unittest.main()
