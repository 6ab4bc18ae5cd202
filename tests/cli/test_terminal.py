# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""In a terminal no line is wider than it, columns stand under each other in every script, and colour is
used where it is wanted and never alone."""

import re
import unittest

from car import AS_FOUND, EXAMPLES, MARLOW, ONE_LAMP, TRUCK_BODY, CarTest, run
from pseudo_terminal import columns, lines_of, shown

WIDTHS = (40, 60, 80, 100, 160)
# Each with a state, a fuse and a device.
CARS = {AS_FOUND: ("cranking", "F10", "A1"), TRUCK_BODY: ("loading", "F1", "E1"),
        EXAMPLES / "relay-fan" / "relay-fan.yaml": ("on", "F1", "K1")}
SEVERITY = re.compile(r"\x1b\[[0-9;]+m(\S+)\[[a-z-]+\]\x1b\[0m")


def answers(car, state, fuse, device):
    """What each answering verb is asked about a car."""
    yield ("check", car)
    yield ("size", car)
    yield ("solve", car, "--state", state)
    yield ("energy", car)
    yield ("explain", car, fuse)
    yield ("place", car, device)
    yield ("compare", car, AS_FOUND)


GENERAL = [("tables",), ("tables", "fuses"), ("tables", "conductors-iso"), ("--version",), ("--help",),
           ("check", "--help"), ("draw", "--help"), ("calc", "--help"), ("calc", "bundle", "--help"),
           ("calc", "drop", "--size", "14 AWG", "--length", "18 ft", "--amps", "15"),
           ("calc", "fault", "--cca", "500", "--way", "14 AWG 3 m", "--rating", "15 A"),
           ("check", "no-such-file.yaml"), ("chek",), ("check", MARLOW, "--fail-on", "often"),
           ("tables", "fusses"), ("explain", MARLOW, "F1O"), ("faults", MARLOW, "--wire", "12.2"),
           ("solve", MARLOW, "--state", "cranking", "--spread", "50")]

# One lamp whose names are of other scripts: wide characters, and letters with marks of their own.
ODD_CAR = ONE_LAMP.replace("E1", "灯具前照燈").replace("S1", "Scha\u0308lter").replace(
    "title: One lamp", "title: 車の配線 One lamp")


class Terminal(CarTest):
    def check_width(self, words, width, cwd=None):
        text, status = shown(*words, width=width, cwd=cwd)
        self.assertIn(status, (0, 1, 2), text[-500:])
        self.assertGreater(len(text), 5)
        for line in lines_of(text):
            self.assertLessEqual(columns(line), width, f"{words} at {width}: {line!r}")
        return text

    def test_no_line_is_wider_than_the_terminal(self):
        for car, (state, fuse, device) in CARS.items():
            for words in answers(car, state, fuse, device):
                for width in WIDTHS if car is not TRUCK_BODY else (40, 100):
                    self.check_width(words, width)

    def test_what_is_asked_without_a_car(self):
        for words in GENERAL:
            for width in WIDTHS:
                self.check_width(words, width)

    def test_faults_of_small_cars(self):
        for name in ("one-lamp", "relay-fan", "split-lights"):
            for width in WIDTHS:
                self.check_width(("faults", EXAMPLES / name / f"{name}.yaml"), width)

    def test_names_of_every_script(self):
        car = self.car(ODD_CAR)
        for words in (("check", car), ("size", car), ("solve", car), ("faults", car),
                      ("explain", car, "灯具前照燈")):
            for width in WIDTHS:
                self.check_width(words, width)

    def test_columns_stand_under_each_other(self):
        """Under a line of dashes every row has blanks where the line has."""
        car = self.car(ODD_CAR)
        seen = 0
        for words in (("size", car), ("solve", car), ("size", MARLOW)):
            for width in WIDTHS:
                gaps = None
                for line in lines_of(shown(*words, width=width)[0]):
                    if re.fullmatch(r"-+(  -+)*", line) and len(line) > 3:
                        gaps = [at.start() for at in re.finditer("  ", line)]
                    elif not line.strip() or gaps is None:
                        gaps = None
                    else:
                        cells = "".join(letter * len(letter) if columns(letter) == 1 else
                                        letter + "." if columns(letter) == 2 else "" for letter in line)
                        for gap in gaps:
                            self.assertEqual(cells[gap:gap + 2].strip(), "", f"{words} at {width}: {line!r}")
                            seen += 1
        self.assertGreater(seen, 500)

    def test_a_caret_stays_under_what_it_points_at(self):
        car = self.car(ONE_LAMP.replace("rating: 10 A", "rating: 10 bananas"))
        for width in WIDTHS:
            lines = lines_of(shown("check", car, width=width)[0])
            at = next(i for i, line in enumerate(lines) if re.fullmatch(r"\s+\| *\^+", line))
            caret = lines[at].index("^")
            self.assertTrue(lines[at - 1][caret:].startswith("10 bananas"), lines[at - 1:at + 1])

    def test_severities_are_words_with_a_colour_beside(self):
        text, _ = shown("check", AS_FOUND, width=100)
        coloured = SEVERITY.findall(text)
        self.assertGreater(len(coloured), 10)
        self.assertTrue(set(coloured) <= {"danger", "fault", "caution", "note", "error"}, set(coloured))
        # no colour but round such a word
        self.assertEqual(text.count("\x1b"), 2 * len(coloured))

    def test_where_no_colour_is_wanted_there_is_none(self):
        for environment in ({"NO_COLOR": "1"}, {"NO_COLOR": "0"}, {"NO_COLOR": "false"}, {"TERM": "dumb"}):
            for words in (("check", AS_FOUND), ("check", self.car("loomwright: 1\nnonsense: 2\n"))):
                self.assertNotIn("\x1b", shown(*words, width=100, environment=environment)[0])
        self.assertIn("\x1b", shown("check", AS_FOUND, width=100, environment={"NO_COLOR": ""})[0])

    def test_a_pipe_gets_no_colour_no_bar_and_whole_lines(self):
        done = run("check", AS_FOUND)
        self.assertNotIn(b"\x1b", done.stdout + done.stderr)
        self.assertGreater(max(map(len, done.stdout.splitlines())), 160)
        done = run("faults", MARLOW)
        self.assertEqual(done.stderr, b"")

    def test_answers_for_programs_are_not_folded(self):
        text, _ = shown("check", AS_FOUND, "--json", width=40)
        self.assertEqual(text.replace("\r\n", "\n"), run("check", AS_FOUND, "--json").stdout.decode())

    def test_a_file_is_written_the_same_from_any_terminal(self):
        for width in (40, 160):
            shown("check", AS_FOUND, "-o", self.folder / f"{width}.txt", width=width)
        self.assertEqual((self.folder / "40.txt").read_bytes(), (self.folder / "160.txt").read_bytes())

    def test_a_bar_tells_its_share_and_is_gone_at_the_end(self):
        text, _ = shown("check", MARLOW, "--faults", width=60)
        bars = re.findall(r"\rfaults \[(#*)(\.*)\] +(\d+) %(, about [^\x1b\r]*left)?\x1b\[K", text)
        for done, rest, share, _ in bars:
            whole = len(done) + len(rest)
            self.assertLessEqual(abs(len(done) / whole - int(share) / 100), 1 / whole)
        if bars:
            self.assertIn("\r\x1b[K", text)
        self.assertNotIn("faults [", shown("check", MARLOW, "--faults", width=60,
                                           environment={"TERM": "dumb"})[0])


if __name__ == "__main__":
    unittest.main()
