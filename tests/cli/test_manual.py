# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Manual pages: as the formatter wants them, and nothing of --help is missing in them."""

import re
import shutil
import subprocess
import unittest

from car import CarTest, answer, run
from test_completion import WITH_OPTIONS, options_in_help


def page(*words):
    return answer("manual", *words, statuses=(0,)).decode()


def all_pages():
    program = page()
    verbs = re.findall(r"(?m)^\.It Xr loomwright-(\w+) 1$", program)
    return {"loomwright": program, **{f"loomwright-{verb}": page(verb) for verb in verbs}}


class Manual(CarTest):
    def test_each_verb_has_a_page_and_the_program_lists_it(self):
        self.assertLessEqual({f"loomwright-{verb}" for verb in (*WITH_OPTIONS, "calc")}, set(all_pages()))

    def test_every_option_of_the_help_is_in_the_page(self):
        for verb in WITH_OPTIONS:
            items = "".join(re.findall(r"(?m)^\.It .*$", page(verb)))
            for option in options_in_help(verb):
                word = option.lstrip("-").replace("-", "\\-")
                flag = ("Fl Fl " if option.startswith("--") else "Fl ") + f'"{word}"'
                self.assertIn(flag, items, f"{verb} {option}")

    def test_every_option_of_each_question_is_in_its_part(self):
        text = page("calc")
        for question in ("wire", "drop", "fuse", "bundle", "fault", "lamp"):
            part = text.split(f"\n.Ss {question}\n")[1].split("\n.S")[0]
            said = answer("calc", question, "--help", statuses=(0,)).decode()
            for option in re.findall(r"(?m)^  --([\w-]+)", said):
                self.assertIn('Fl Fl "' + option.replace("-", "\\-") + '"', part)

    def test_parts_of_a_page(self):
        for name, text in all_pages().items():
            for part in ("NAME", "SYNOPSIS", "DESCRIPTION", "ENVIRONMENT", "EXIT STATUS", "EXAMPLES",
                         "SEE ALSO", "CAVEATS"):
                self.assertIn(f"\n.Sh {part}\n", text, name)
            self.assertIn("NO_COLOR", text)
            self.assertIn("isconnect the battery", text)

    def test_pages_named_are_there(self):
        pages = all_pages()
        for name, text in pages.items():
            for other in re.findall(r"(?m)^\.Xr (\S+) 1", text):
                self.assertIn(other, pages, name)

    @unittest.skipUnless(shutil.which("mandoc"), "mandoc is not here")
    def test_the_formatter_has_nothing_to_say(self):
        for name, text in all_pages().items():
            (self.folder / f"{name}.1").write_text(text)
        done = subprocess.run(["mandoc", "-Tlint", "-W", "warning", *sorted(self.folder.glob("*.1"))],
                              capture_output=True, text=True, check=False)
        self.assertEqual((done.stdout, done.stderr, done.returncode), ("", "", 0))

    @unittest.skipUnless(shutil.which("mandoc"), "mandoc is not here")
    def test_what_a_reader_sees(self):
        (self.folder / "draw.1").write_text(page("draw"))
        text = subprocess.run(["mandoc", "-Tascii", "-O", "width=78", self.folder / "draw.1"],
                              capture_output=True, text=True, check=True).stdout
        text = re.sub(".\b", "", text)
        self.assertIn("--view TEXT", text)
        self.assertIn("One of: feeds, loom, circuit, drive, curves", re.sub(r"\s+", " ", text))
        self.assertIn("loomwright draw car.yaml --view feeds --format dot -o -\n", text)

    def test_a_page_of_no_verb(self):
        done = run("manual", "chekc")
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"did you mean `check`", done.stderr)


if __name__ == "__main__":
    unittest.main()
