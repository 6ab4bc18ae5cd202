# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""new and import: vehicle files to go on from."""

import unittest

from car import CarTest, answer, answer_json, by, run

HEAD = "device,place,watts,fuse,length,note\n"
PLAIN = HEAD + """\
Headlamp left,front,55,10 A,2.1 m,
Headlamp right,front,55,10 A,2.9 m,to be moved
Radiator fan,front,130,,1.8,
Heated seat,cabin,60,F9 15 A,1.2,
Heated mirror,cabin,20,F9,1.5,
Radio,dash,,,0.8,
"""

# Each must be refused with status 2, an error of this rule at this line and column, and no file.
REFUSED = {
    "empty": ("", "missing-key", "1:1"),
    "blank lines alone": ("\n\n,,\n", "missing-key", "1:1"),
    "a head alone": (HEAD, "missing-key", "1:1"),
    "no head": ("Lamp,front,55\n", "missing-key", "1:1"),
    "no device column": ("place,watts\nfront,5\n", "missing-key", "1:1"),
    "no demand column": ("device,place\nLamp,front\n", "missing-key", "1:1"),
    "a column twice": ("device,watts,power\nLamp,5,5\n", "duplicate-key", "1:14"),
    "a slip of the pen": ("device,wats\nLamp,5\n", "unknown-key", "1:8"),
    "unit of another kind in the head": ("device,length (A),watts\nLamp,1,5\n", "unknown-word", "1:8"),
    "unknown unit in the head": ("device,watts,length (cubit)\nLamp,5,2\n", "unknown-word", "1:14"),
    "no device": (HEAD + ",front,55,,1,\n", "missing-key", "2:1"),
    "the same device twice": (HEAD + "Lamp,front,5,,1,\nLamp,rear,5,,1,\n", "duplicate-key", "3:1"),
    "no watts": (HEAD + "Lamp,front,,,1,\n", "missing-key", "2:1"),
    "negative watts": (HEAD + "Lamp,front,-55,,1,\n", "out-of-range", "2:12"),
    "no watts at all": (HEAD + "Lamp,front,0,,1,\n", "out-of-range", "2:12"),
    "a word for watts": (HEAD + "Lamp,front,many,,1,\n", "bad-number", "2:12"),
    "nan": (HEAD + "Lamp,front,nan,,1,\n", "bad-number", "2:12"),
    "infinity": (HEAD + "Lamp,front,1e999,,1,\n", "bad-number", "2:12"),
    "a megawatt": (HEAD + "Lamp,front,1000 kW,,1,\n", "out-of-range", "2:12"),
    "a length for watts": (HEAD + "Lamp,front,5 m,,1,\n", "wrong-dimension", "2:12"),
    "an unknown unit": (HEAD + "Lamp,front,5 hp,,1,\n", "unknown-word", "2:12"),
    "a decimal comma between commas": (HEAD + 'Lamp,front,"5,5",,1,\n', "bad-number", "2:12"),
    "marks between thousands": ("device;watts\nLamp;1.300,5\n", "bad-number", "2:6"),
    "two decimal commas": ("device;watts\nLamp;1,300,5\n", "bad-number", "2:6"),
    "a formula for a number": (HEAD + "Lamp,front,=5*11,,1,\n", "bad-number", "2:12"),
    "negative length": (HEAD + "Lamp,front,5,,-1,\n", "out-of-range", "2:15"),
    "a mile": (HEAD + "Lamp,front,5,,1609,\n", "out-of-range", "2:15"),
    "negative fuse": (HEAD + "Lamp,front,5,-10,1,\n", "out-of-range", "2:14"),
    "a fuse that nobody makes": (HEAD + "Lamp,front,5,9000 A,1,\n", "out-of-range", "2:14"),
    "neither rating nor name": (HEAD + "Lamp,front,5,15 A blade,1,\n", "unknown-word", "2:14"),
    "a fuse in volts": (HEAD + "Lamp,front,5,15 V,1,\n", "wrong-dimension", "2:14"),
    "two ratings of one fuse": (HEAD + "Lamp,front,5,F3 5 A,1,\nFan,front,5,F3 10 A,1,\n",
                                "contradiction", "3:13"),
    "watts and amps that do not agree": ("device,watts,amps\nLamp,55,20\n", "contradiction", "2:6"),
    "draws without a unit": ("device,draws\nLamp,55\n", "missing-unit", "2:6"),
    "an unknown kind": ("device,watts,kind\nLamp,5,lampe\n", "unknown-word", "2:8"),
    "two voltages": ("device,watts,volts\nLamp,5,12\nHorn,50,24\n", "contradiction", "3:9"),
    "a mains voltage": ("device,watts,volts\nKettle,2000,230\n", "out-of-range", "2:13"),
    "a line too long": (HEAD + "Lamp,front,5,,1,left, rear\n", "wrong-shape", "2:22"),
    "a sum": (HEAD + "Lamp,front,5,,1,\nTotal,,5,,,\n", "wrong-shape", "3:1"),
    "an open quote": (HEAD + 'Lamp,"front,5,,1,\nFan,front,5,,1,\n', "wrong-shape", "2:6"),
    "text after a quote": (HEAD + '"Lamp"x,front,5,,1,\n', "wrong-shape", "2:7"),
    "a quote in the middle": (HEAD + '7" lamp,front,5,,1,\n', "wrong-shape", "2:2"),
    "a NUL": (HEAD + "La\0mp,front,5,,1,\n", "bad-file", "2:3"),
    "a bell": (HEAD + "La\amp,front,5,,1,\n", "bad-file", "2:3"),
    "line ends of old": (HEAD.replace("\n", "\r") + "Lamp,front,5,,1,\r", "bad-file", "1:"),
    "Latin-1": ((HEAD + "Rückleuchte,rear,5,,1,\n").encode("latin-1"), "bad-file", "2:2"),
    "UTF-16": ((HEAD + "Lamp,rear,5,,1,\n").encode("utf-16"), "bad-file", "1:1"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 4, "bad-file", "1:1"),
    "a very long cell": (HEAD + "x" * 3000 + ",front,5,,1,\n", "out-of-range", "2:1"),
    "very many columns": ("device,watts" + "," * 400 + "\nLamp,5\n", "out-of-range", "1:"),
    "very many lines": ("device,watts\n" + "".join(f"Lamp {i},5\n" for i in range(10_001)),
                        "out-of-range", "10"),
}

# Each is taken, and must read and check with no input error and no danger.
TAKEN = {
    "semicolons and decimal commas": "device;place;watts;fuse;length;note\nLamp;front;5,5;;1,5;a, b\n",
    "tabs": "device\tplace\twatts\nLamp\tfront\t5\n",
    "a line that names the separator": "sep=;\ndevice;watts\nLamp;5\n",
    "CR LF and a mark": "\ufeffdevice,place,watts\r\nLamp,front,5\r\n\r\n",
    "no line end at the end": "device,watts\nLamp,5",
    "any order, large letters": "NOTE,Watts,DEVICE\nhello,5,Lamp\n",
    "units in the head": "device,power in W,length (mm),fuse (A)\nLamp,5,1500,5\n",
    "units in the cells": "device,watts,length\nLamp,0.05 kW,5 ft\nFan,4 A,60 in\n",
    "amps": "device,amps\nLamp,4.6\nClock,5 mA\n",
    "draws": "device,draws\nLamp,55 W\nFan,9 A\n",
    "both, and they agree": "device,watts,amps,volts\nLamp,55,4.2,13.2\n",
    "24 V": "device,watts,volts\nLamp,21,24\nFan,100,28\n",
    "6 V": "device,watts,volts\nLamp,21,6\n",
    "kinds": "device,watts,kind\nA,5,lamp\nB,5,led-lamp\nC,50,motor\nD,90,heater\nE,9,coil\nF,9,electronics\n",
    "columns of other things": "device,watts,price,supplier\nLamp,5,=1+1,+49\n",
    "formulas": 'device,place,watts,note\n"=HYPERLINK(""x"")",@here,5,"=cmd|\' /C calc\'!A0"\n'
                "+Lamp,-rear,5,-x\n@Fan,=1,5,@y\n",
    "text of the file's own language": 'device,place,watts,note\n"a: {b} # c","[x]: &y *z",5,"}\'""\\n"\n'
                                       "!!int 5,- - -,5,null\nyes,no,5,~\n{},[],5,<<\n",
    "several lines in a cell": 'device,place,watts,note\n"Lamp\nfront","fr\nont",5,"a\r\nb"\nFan,rear,50,\n',
    "odd line ends of Unicode": "device,place,watts,note\nLamp\u2028x,fr\u2029ont,5,a\u0085states: {}\n",
    "no letters at all": "device,place,watts\n———,★,5\n日本語,日本,5\n...,...,5\n",
    "names that come to one": "device,place,watts\nLamp 1,A b,5\nlamp-1,a-b,5\nLAMP_1,a.b,5\n",
    "names of the file's own things": "device,place,watts,fuse\nGND1,battery,5,G1\nST1,fuse-panel,5,ST1\n"
                                      "supply,Battery,5,F1\nG1,main,5,GND1\nparked,to-main,5,S1\n",
    "names with paths in them": "device,place,watts,fuse\nA > B,x > y,5,F.3\n../../etc,/etc/passwd,5,F3>F4\n",
    "a place without a length": "device,place,watts,length\nLamp,front,5,\nFan,front,50,2\nHorn,rear,40,\n",
    "a length without a place": "device,place,watts,length\nLamp,,5,4\n",
    "a shared fuse": "device,place,watts,fuse,length\nA lamp,x,5,F3 (10A),1\nB lamp,x,5,F3,2\nC lamp,y,5,F3,3\n",
    "large": "device,place,amps,fuse,length\nWinch,front,250,,3\nHeater,front,60,,2\nInverter,rear,150,200 A,4\n",
}


class Import(CarTest):
    def list(self, text, name="loads.csv"):
        path = self.folder / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def test_what_is_refused(self):
        self.assertGreaterEqual(len(REFUSED), 25)
        for name, (text, rule, place) in REFUSED.items():
            with self.subTest(name):
                done = run("import", self.list(text), "-o", self.folder / "car.yaml")
                said = done.stderr.decode(errors="replace")
                self.assertEqual(done.returncode, 2, said)
                self.assertIn(f"loads.csv:{place}", said)
                self.assertIn(f"error[{rule}]", said)
                self.assertIn("remedy: ", said)
                self.assertIn("nothing was written", said)
                self.assertEqual(self.names(), ["loads.csv"])

    def test_what_is_taken_checks_without_danger(self):
        for name, text in TAKEN.items():
            with self.subTest(name):
                (self.folder / "car.yaml").unlink(missing_ok=True)
                done = run("import", self.list(text), "-o", self.folder / "car.yaml")
                self.assertEqual(done.returncode, 0, done.stderr.decode())
                done = run("check", self.folder / "car.yaml", "--fail-on", "danger")
                self.assertEqual(done.returncode, 0, (done.stdout + done.stderr).decode())

    def test_every_error_is_told_at_once(self):
        done = run("import", self.list(HEAD + "A,,x,,,\nB,,,,,\nA,,5,,-1,\n"))
        said = done.stderr.decode()
        for place in ("2:4", "3:1", "4:1", "4:7"):
            self.assertIn(f"loads.csv:{place}", said)
        self.assertIn("4 errors in the list", said)
        self.assertEqual(done.stdout, b"")

    def test_a_thousand_errors_are_cut(self):
        done = run("import", self.list(HEAD + "A,,x,,,\n" * 1000))
        self.assertIn("reading stops", done.stderr.decode())
        self.assertLess(done.stderr.count(b"error["), 200)

    def test_a_plain_list(self):
        text = PLAIN.replace("Radio,dash,,,0.8", "Radio,dash,30,,0.8")
        answer("import", self.list(text), "-o", self.folder / "car.yaml", statuses=(0,))
        car = (self.folder / "car.yaml").read_text()
        for line in text.splitlines()[1:]:
            self.assertIn(line, car)  # each line of the list stands over its load
        solved = answer_json("solve", self.folder / "car.yaml", "--state", "all-on", "--json")
        devices = by("device", solved["states"][0]["devices"])
        # 60 W at 13.5 V is 3.0375 ohm: it takes its voltage over that, whatever the voltage.
        seat = devices["E3"]
        self.assertAlmostEqual(seat["amps"], seat["volts"] / (13.5 ** 2 / 60), places=6)
        # A fan takes its current at its rated point: 130 W at 13.5 V.
        self.assertAlmostEqual(devices["M1"]["amps"], 130 / 13.5, places=6)
        # A radio takes its power: 30 W.
        self.assertAlmostEqual(devices["A1"]["amps"] * devices["A1"]["volts"], 30, places=6)
        # What one fuse feeds goes through it: seat and mirror.
        self.assertAlmostEqual(devices["F9"]["amps"], seat["amps"] + devices["E4"]["amps"], places=6)
        fuses = by("fuse", answer_json("size", self.folder / "car.yaml", "--json")["fuses"])
        self.assertEqual(fuses["F9"]["rating_a"], 15)
        self.assertEqual(fuses["F9"]["decided_by"], "given")

    def test_the_length_is_the_way(self):
        answer("import", self.list("device,place,watts,length\nLamp,front,5,4\n"), "-o",
               self.folder / "car.yaml", statuses=(0,))
        wires = by("wire", answer_json("size", self.folder / "car.yaml", "--json")["wires"])
        ends = 2 * (0.15 + 0.05 + 0.01)  # tables defaults: take-out, service-loop, strip; at most
        self.assertGreater(wires["2.3"]["length_m"], 4.0)
        self.assertLess(wires["2.3"]["length_m"], 4.0 + ends)

    def test_the_ends_are_added_to_every_way_to_one_place(self):
        # Two ways to the front: the run there is the longer one, the other stands on its wire. To each are added
        # 2 x (0.05 + 0.05 + 0.006) m = 0.212 m (tables defaults: take-out, service-loop, strip); and to the way
        # to a thing without a place.
        answer("import", self.list("device,place,watts,length\nLamp left,front,5,4\nLamp right,front,5,3\n"
                                   "Radio,,30,1\n"), "-o", self.folder / "car.yaml", statuses=(0,))
        wires = by("wire", answer_json("size", self.folder / "car.yaml", "--json")["wires"])
        for wire, length in (("2.3", 4.212), ("3.3", 3.212), ("4.3", 1.212)):
            self.assertAlmostEqual(wires[wire]["length_m"], length, places=9)

    def test_the_same_list_gives_the_same_bytes(self):
        path = self.list(PLAIN.replace("Radio,dash,,", "Radio,dash,30,"))
        first = answer("import", path, statuses=(0,))
        self.assertEqual(answer("import", path, statuses=(0,)), first)
        with open(path, "rb") as file:
            piped = answer("import", "-", stdin=file.read(), statuses=(0,))
        self.assertEqual(piped.replace(b"standard input", b"loads.csv"), first)

    def test_work_is_not_written_over(self):
        path, car = self.list("device,watts\nLamp,5\n"), self.folder / "car.yaml"
        answer("import", path, "-o", car, statuses=(0,))
        answer("import", path, "-o", car, statuses=(0,))  # it holds just that
        worked = car.read_text() + "# mine\n"
        car.write_text(worked)
        done = run("import", path, "-o", car)
        self.assertEqual(done.returncode, 2)
        self.assertEqual(car.read_text(), worked)
        answer("import", path, "-o", car, "--overwrite", statuses=(0,))
        self.assertNotEqual(car.read_text(), worked)

    def test_formulas_come_out_harmless(self):
        answer("import", self.list(TAKEN["formulas"]), "-o", self.folder / "car.yaml", statuses=(0,))
        answer("pack", self.folder / "car.yaml", "-o", self.folder / "papers", statuses=(0, 1))
        for path in (self.folder / "papers").glob("*.csv"):
            for line in path.read_text(encoding="utf-8").splitlines():
                for cell in line.split(","):
                    self.assertNotRegex(cell.strip('"'), r"^[=+@]", path.name)

    def test_no_such_list(self):
        done = run("import", self.folder / "none.csv")
        self.assertEqual(done.returncode, 2)
        self.assertEqual(run("import", self.folder).returncode, 2)


class New(CarTest):
    def test_the_starter_checks_clean(self):
        done = run("new", self.folder / "a" / "b")
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        self.assertEqual(self.names(), ["a", "a/b", "a/b/car.yaml"])
        car = self.folder / "a" / "b" / "car.yaml"
        self.assertIn(str(car), done.stdout.decode())
        self.assertEqual(run("check", car, "--fail-on", "note").returncode, 0,
                         answer("check", car).decode())
        self.assertEqual(answer_json("check", car, "--json")["findings"], [])
        answer("check", car, "--faults", "--fail-on", "danger", statuses=(0,))

    def test_nothing_is_written_over(self):
        (self.folder / "car.yaml").write_text("mine")
        done = run("new", self.folder)
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertEqual((self.folder / "car.yaml").read_text(), "mine")

    def test_a_file_in_the_way(self):
        (self.folder / "x").write_text("mine")
        self.assertEqual(run("new", self.folder / "x").returncode, 3)
        self.assertEqual((self.folder / "x").read_text(), "mine")


if __name__ == "__main__":
    unittest.main()
