# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The verb measure: readings against the prediction, bad joints by hand calculation, bad lists."""

import json
import re
import types
import unittest

import car
from car import EXAMPLES, CarTest

RELAY_FAN = EXAMPLES / "relay-fan" / "relay-fan.yaml"


def run(*words, input=""):
    """The command with texts for bytes."""
    done = car.run(*words, stdin=input.encode())
    return types.SimpleNamespace(returncode=done.returncode, stdout=done.stdout.decode(), stderr=done.stderr.decode())


def lit(*readings):
    """A list of volts in the state `lit`."""
    return "place,state,volts\n" + "".join(f"{place},lit,{volts:.4f}\n" for place, volts in readings)


class MeasureTest(CarTest):
    def setUp(self):
        super().setUp()
        self.path = self.car()
        state = next(s for s in json.loads(run("solve", self.path, "--json").stdout)["states"]
                     if s["state"] == "lit")
        nodes = {node["node"]: node["volts"] for node in state["nodes"]}
        self.volts = {name: volts - nodes["G1.-"] for name, volts in nodes.items() if volts is not None}
        self.amps = next(wire["amps"] for wire in state["wires"] if wire["wire"] == "2.3")

    def ask(self, readings, *options):
        done = run("measure", self.path, "-", "--json", *options, input=readings)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        return json.loads(done.stdout), done.returncode

    def test_as_predicted(self):
        answer, status = self.ask(lit(*((p, self.volts[p]) for p in ("G1.+", "S1.2", "E1.+", "E1.-"))))
        self.assertEqual(status, 0)
        self.assertEqual({row["verdict"] for row in answer["readings"]}, {"as predicted"})
        self.assertEqual(answer["culprits"], [])
        self.assertEqual(answer["against"], "G1.-")

    def test_one_joint_by_hand(self):
        # The lamp's law: I = I0 (V / V0)^0.55. All before S1.2 is resistance: what it drops is in
        # proportion to the current; so is what lies behind the lamp. R = V / I less the wire's own.
        # Wires stand as warm as in the prediction.
        shown = 10.0  # across the lamp
        amps = 55.0 / 13.5 * (shown / 13.5) ** 0.55
        before = (12.6 - self.volts["S1.2"]) / self.amps * amps
        behind = self.volts["E1.-"] / self.amps * amps
        own_ohm = (self.volts["S1.2"] - self.volts["E1.+"]) / self.amps
        ohm = (12.6 - before - shown - behind) / amps - own_ohm
        answer, status = self.ask(lit(("S1.2", 12.6 - before), ("E1.+", shown + behind), ("E1.-", behind)))
        self.assertEqual(status, 1)
        self.assertEqual(len(answer["culprits"]), 1)
        best = answer["culprits"][0]["one_of"][0]
        self.assertEqual((best["kind"], best["id"]), ("joint", "2.3"))
        # the readings are written to 0.1 mV, which is 0.1 mV / 3.5 A of a resistance
        self.assertAlmostEqual(best["ohm"], ohm, delta=0.0002)
        self.assertAlmostEqual(best["nominal_ohm"], own_ohm, delta=1e-6)
        self.assertAlmostEqual(best["amps"], amps, delta=0.001)
        self.assertAlmostEqual(best["watts"], amps * amps * ohm, delta=0.01)
        self.assertTrue(best["ohm_low"] < ohm < best["ohm_high"])
        self.assertEqual([row["verdict"] for row in answer["readings"]],
                         ["as predicted", "explained", "as predicted"])

    def test_what_no_reading_parts_is_said_so_and_the_next_reading_parts_it(self):
        drop = 1.2
        answer, _ = self.ask(lit(("F1.out", self.volts["F1.out"]), ("E1.+", self.volts["E1.+"] - drop)))
        named = {fit["id"] for fit in answer["culprits"][0]["one_of"]}
        self.assertEqual(named, {"2.2", "2.3", "S1.1-2"})  # all between the two places
        told = answer["next"]
        volts = [row["volts"] for row in told["foretold"]]
        self.assertEqual(len(volts), 3)
        self.assertGreater(max(volts) - min(volts), 0.9)

    def test_open_joint(self):
        answer, _ = self.ask(lit(("F1.out", 12.6), ("S1.1", 12.6), ("S1.2", 12.6), ("E1.+", 0.0)))
        best = answer["culprits"][0]["one_of"][0]
        self.assertEqual(best["id"], "2.3")
        self.assertTrue(best["open"])
        self.assertIsNone(best["ohm_high"])

    def test_battery_that_gives_less(self):
        # 1.5 V less at the battery; the lamp takes (11.1 / 12.6)^0.55 of its current or a little less
        readings = [(place, self.volts[place] - 1.5) for place in ("G1.+", "F1.in", "S1.2", "E1.+")]
        dark = "".join(f"{place},dark,{12.6 - 1.5}\n" for place in ("G1.+", "F1.in"))
        answer, _ = self.ask(lit(*readings) + dark)
        self.assertEqual(len(answer["culprits"]), 1)
        best = answer["culprits"][0]["one_of"][0]
        self.assertEqual((best["kind"], best["id"]), ("source", "G1"))
        self.assertAlmostEqual(best["volts"], -1.5, delta=0.05)

    def test_reading_that_no_joint_explains(self):
        # the plus side of a lamp above the battery it is fed from: no joint lifts it
        answer, status = self.ask(lit(("G1.+", self.volts["G1.+"]), ("F1.out", self.volts["F1.out"]),
                                      ("S1.2", self.volts["S1.2"] + 0.9), ("E1.+", self.volts["E1.+"])))
        self.assertEqual(status, 1)
        self.assertEqual([row["verdict"] for row in answer["readings"]],
                         ["as predicted", "as predicted", "unexplained", "as predicted"])
        self.assertEqual(answer["culprits"][0]["one_of"][0]["kind"], "reading")

    def test_impossible_readings(self):
        answer, status = self.ask(lit(("E1.+", 24.0), ("E1.-", -6.0), ("S1.2", self.volts["S1.2"])))
        self.assertEqual(status, 1)
        self.assertEqual([row["verdict"] for row in answer["readings"]],
                         ["impossible", "impossible", "as predicted"])
        self.assertIn("no source of the car could make it",
                      run("measure", self.path, "-", input=lit(("E1.+", 24.0))).stdout)

    def test_place_that_nothing_holds(self):
        done = run("measure", RELAY_FAN, "-", "--json", input="place,state,volts\nK1.87a,on,0.0\n")
        self.assertEqual(done.returncode, 0, done.stderr)
        row = json.loads(done.stdout)["readings"][0]
        self.assertEqual((row["verdict"], row["predicted_v"]), ("no prediction", None))

    def test_relay_that_stays_out(self):
        # 5 V at the coil do not pull it in, so the fan stands still: one joint, not two. By hand, with
        # the coil as warm as in the prediction: R = (12.58 V - 5 V) / I, I = 5 V / coil.
        deck = run("export", RELAY_FAN, "--to", "spice", "--state", "on").stdout
        coil, beside = (float(ohm) for ohm in re.findall(r"^R\S+ n11 n10 (\S+)$", deck, re.MULTILINE))
        amps = 5.0 / coil + 5.0 / beside
        done = run("measure", RELAY_FAN, "-", "--json", input="place,state,volts\nK1.30,on,12.6\nM1.+,on,0\n"
                   "S1.1,on,12.58\nS1.2,on,12.58\nK1.86,on,5.0\n")
        culprits = json.loads(done.stdout)["culprits"]
        self.assertEqual([fit["id"] for fit in culprits[0]["one_of"]], ["1.7"])
        self.assertEqual(len(culprits), 1)
        best = culprits[0]["one_of"][0]
        # the meter's error at 12.6 V is 73 mV of the 7.6 V that drop: 1 %
        self.assertAlmostEqual(best["ohm"] + best["nominal_ohm"], 7.58 / amps, delta=0.01 * 7.58 / amps)

    def test_all_on_the_way_of_a_coil_is_suspected(self):
        done = run("measure", RELAY_FAN, "-", "--json",
                   input="place,state,volts\nG1.+,on,12.6\nK1.30,on,12.6\nK1.87,on,0\nM1.+,on,0\n")
        culprits = json.loads(done.stdout)["culprits"]
        self.assertEqual(len(culprits), 1)
        self.assertEqual({fit["id"] for fit in culprits[0]["one_of"]},
                         {"1.5", "F2", "1.6", "S1.1-2", "1.7", "1.8", "K1.30-87"})

    def test_drop_between_two_places_and_units(self):
        drop = self.volts["S1.2"] - self.volts["E1.+"]
        for head, shown in (("reading", f"{drop * 1000:.1f} mV"), ("reading (mV)", f"{drop * 1000:.1f}"),
                            ("Millivolts", f"{drop * 1000:.1f}"), ("volts", f"{drop:.4f}"),
                            ("reading", f'"{drop:.4f} V"'.replace(".", ","))):
            answer, status = self.ask(f"STATE,{head},Place,against\nlit,{shown},s1.2,E1.+\n")
            self.assertEqual(status, 0, (head, shown))
            self.assertAlmostEqual(answer["readings"][0]["predicted_v"], drop, delta=1e-6)
        answer, _ = self.ask(f"Place;state;reading;to\nS1.2;lit;{drop:.4f} V;E1.+\n".replace(".4", ",4"))
        self.assertEqual(answer["readings"][0]["to"], "E1.+")

    def test_units_in_the_head(self):
        """A bare number has the unit of its column, as written there too; a remark at a column of texts is none."""
        volts = self.volts["S1.2"]
        for head, shown in (("volts (V)", f"{volts:.4f}"), ("millivolts [mV]", f"{volts * 1e3:.1f}"),
                            ("reading (mV)", f"{volts * 1e3:.1f}")):
            answer, status = self.ask(f"place (red probe),state,{head},note (who)\nS1.2,lit,{shown},me\n")
            self.assertEqual(status, 0, head)
            self.assertAlmostEqual(answer["readings"][0]["read_v"], volts, delta=1e-3)
            self.assertEqual(answer["readings"][0]["note"], "me")
        # JCGM 100, 4.3.7: limits of +-a have the standard deviation a / sqrt(3)
        for head, given, least in (("accuracy (%)", "3", 0.03 * 12.0), ("accuracy (mV)", "100", 0.1)):
            answer, _ = self.ask(f"place,state,volts,{head}\nS1.2,lit,12.0,{given}\n")
            self.assertAlmostEqual(answer["readings"][0]["meter_sigma_v"], least / 3**0.5, delta=1e-5)

    def test_one_state_need_not_be_named(self):
        """A car with one state: every line is read in it, without a column `state` or with an empty cell."""
        self.path = self.car(car.changed(car.ONE_LAMP, ('  dark: {set: {S1: "off"}, expect: {off: [E1]}}\n', "")))
        for text, volts in (("place,volts\nE1.+,11.6\n", 11.6), ("place,volts (V)\nE1.+,11.6\n", 11.6),
                            ("place,millivolts (mV)\nE1.+,240\n", 0.24), ("place,state,volts\nE1.+,,11.6\n", 11.6)):
            with self.subTest(text=text):
                answer, _ = self.ask(text)
                self.assertEqual([row["state"] for row in answer["readings"]], ["lit"])
                self.assertAlmostEqual(answer["readings"][0]["read_v"], volts, delta=1e-9)
                self.assertAlmostEqual(answer["readings"][0]["predicted_v"], self.volts["E1.+"], delta=1e-6)

    def test_accuracy_weighs(self):
        off = lit(("S1.2", self.volts["S1.2"]), ("E1.+", self.volts["E1.+"] - 0.35))
        self.assertEqual(self.ask(off)[1], 1)
        answer, status = self.ask(off, "--accuracy", "3 % + 100 mV")
        self.assertEqual(status, 0)
        # JCGM 100, 4.3.7: limits of +-a have the standard deviation a / sqrt(3)
        shown = self.volts["E1.+"] - 0.35
        self.assertAlmostEqual(answer["readings"][1]["meter_sigma_v"], (0.03 * shown + 0.1) / 3**0.5, delta=1e-5)

    def words(self, readings):
        """The answer for people; lines that go on are made one."""
        done = run("measure", self.path, "-", input=readings)
        self.assertEqual((done.returncode, done.stderr), (1, ""))
        return done.stdout

    def row(self, text, place):
        """What stands in the table beside a place."""
        (line,) = re.findall(rf"^ +\d+ +{re.escape(place)} +G1\.- +\S+ +(.*?) *$", text, re.MULTILINE)
        return line.split(maxsplit=4)

    def test_open_joint_in_words(self):
        text = self.words(lit(("F1.out", 12.6), ("S1.1", 12.6), ("S1.2", 12.6), ("E1.+", 0.0)))
        self.assertIn("\n1. wire 2.3 with its ends at S1.2 and E1.+: almost certainly (over 99.9 %)\n", text)
        least, own = map(float, re.search(r"\n   open, or at least ([0-9.]+) ohm more than its ([0-9.]+) mohm\n",
                                          text).groups())
        # 4 m of 1.5 mm2 (13.3 mohm/m at 20 C, IEC 60228 class 5), copper of 25 to 30 C: 0.393 % a kelvin
        self.assertGreater(own, 4 * 13.3 * (1 + 0.00393 * 5))
        self.assertLess(own, 4 * 13.3 * (1 + 0.00393 * 10))
        # The lamp's law: at 0.2 V it takes 55 / 13.5 x (0.2 / 13.5)^0.55 = 0.403 A. With less than
        # 12.4 / 0.403 = 30.8 ohm the meter would have shown more than these 0.2 V; with 12.6 ohm over the current
        # at 5.8 mV, the meter's 10 mV / sqrt(3), which is 221 ohm, no more than its own error.
        self.assertGreater(least, 30.8)
        self.assertLess(least, 221)
        volts = f"{self.volts['E1.+']:.3f}"
        self.assertEqual(self.row(text, "E1.+")[:3], ["0.000", volts, f"-{volts}"])
        self.assertEqual(self.row(text, "E1.+")[4], "explained by 1")
        self.assertNotIn("turn to heat", text)  # nothing flows

    def test_load_that_takes_less(self):
        # 12 V at 5 A are 2.4 ohm. By hand: battery 10 mohm, two bonds of 1, switch 6.7 (0.2 V / 30 A), a blade fuse
        # of 10 A 6 to 11 (0.06 to 0.11 V at its rating) and its holder 1; 5.65 m of 13.3 mohm/m and 0.4 m of
        # 1.21 mohm/m, some 3 % warmer than 20 C.
        rest = 0.010 + 0.002 + 0.0067 + 0.010 + (5.65 * 13.3e-3 + 0.4 * 1.21e-3) * 1.03
        self.path = self.car(car.changed(car.ONE_LAMP, ("is: lamp, at: rear, draws: 55 W at 13.5 V",
                                                        "is: heater, at: rear, draws: 60 W at 12 V")))
        state = json.loads(run("solve", self.path, "--json", "--state", "lit").stdout)["states"][0]
        nodes = {node["node"]: node["volts"] for node in state["nodes"]}
        amps = next(wire["amps"] for wire in state["wires"] if wire["wire"] == "2.3")
        self.assertAlmostEqual(amps, 12.6 / (2.4 + rest), delta=0.01 * amps)
        # Half of it: 4.8 ohm. All that drops on the way drops in proportion to the current, on both sides.
        share = (12.6 / (12.6 / amps - 2.4 + 4.8)) / amps
        shown = [(place, 12.6 - (12.6 - (nodes[place] - nodes["G1.-"])) * share) for place in ("S1.2", "E1.+")]
        shown.append(("E1.-", (nodes["E1.-"] - nodes["G1.-"]) * share))
        answer, status = self.ask(lit(*shown))
        self.assertEqual((status, len(answer["culprits"])), (1, 1))
        best = answer["culprits"][0]["one_of"][0]
        self.assertEqual((best["kind"], best["id"]), ("load", "E1"))
        self.assertAlmostEqual(best["share"], 0.5, delta=0.001)
        self.assertAlmostEqual(best["nominal_a"], amps, places=6)
        self.assertTrue(best["share_low"] < 0.5 < best["share_high"])
        text = self.words(lit(*shown))
        self.assertIn("\n1. E1, what it takes: ", text)
        percent, predicted, low, high = map(float, re.search(
            r"\n   ([0-9.]+) % less than the ([0-9.]+) A predicted \(95 %: ([0-9.]+) % to ([0-9.]+) %\)\n",
            text).groups())
        self.assertAlmostEqual(percent, 50, delta=0.1)
        self.assertAlmostEqual(predicted, amps, delta=0.001)
        self.assertTrue(0 < low < 50 < high < 100)
        self.assertIn("remedy: look at its own contacts, its bulb or winding", text)

    def test_reading_that_no_joint_explains_in_words(self):
        # Above the battery, or below what it feeds: 0.9 V either way.
        for off in (0.9, -0.9):
            text = self.words(lit(*((place, self.volts[place] + (off if place == "S1.2" else 0.0))
                                    for place in ("G1.+", "F1.out", "S1.2", "E1.+"))))
            with self.subTest(off):
                self.assertIn("\n1. the reading at S1.2 in lit: ", text)
                said = re.search(r"\n   no joint explains it: ([+-][0-9.]+) V against what the others foretell\n", text)
                self.assertAlmostEqual(float(said.group(1)), off, delta=0.01)
                self.assertIn("remedy: check the meter's place", text)
                self.assertEqual(float(self.row(text, "S1.2")[2]), off)
                self.assertEqual(self.row(text, "S1.2")[4], "unexplained")
                for place in ("G1.+", "F1.out", "E1.+"):
                    self.assertEqual(self.row(text, place)[4], "as predicted")

    def test_same_bytes(self):
        readings = lit(("F1.out", 12.3), ("S1.2", 11.9), ("E1.+", 10.0))
        first = run("measure", self.path, "-", input=readings).stdout
        self.assertTrue(first)
        self.assertEqual(first, run("measure", self.path, "-", input=readings).stdout)


class BadListTest(CarTest):
    """Lists with faults: exit status 2, the place in the file, and what to do."""

    CASES = (
        ("place,state,volts\nE1,lit,11\n", ":2:1: error[unknown-terminal]", "E1.+, E1.-"),
        ("place,state,volts\nE1.x,lit,11\n", ":2:1: error[unknown-terminal]", "E1.+, E1.-"),
        ("place,state,volts\nE11.+,lit,11\n", ":2:1: error[unknown-reference]", "did you mean `E1.+`?"),
        ("place,state,volts\nE1.+,lid,11\n", ":2:6: error[unknown-reference]", "did you mean `lit`?"),
        ("place,state,volts\nE1.+,,11\n", "error[missing-key]", "the states are dark, lit"),
        ("place,volts\nE1.+,11\n", ":1:1: error[missing-key]", "`state`"),
        ("place,state\nE1.+,lit\n", ":1:1: error[missing-key]", "`reading`, `volts` or `millivolts`"),
        ("state,volts\nlit,11\n", ":1:1: error[missing-key]", "`place`"),
        ("place,state,voltz\nE1.+,lit,11\n", ":1:13: error[unknown-key]", "did you mean `volts`?"),
        ("place,state,volts,volts\nE1.+,lit,11,12\n", ":1:19: error[duplicate-key]", "keep one"),
        ("place,state,reading\nE1.+,lit,11\n", ":2:10: error[missing-unit]", "V"),
        ("place,state,reading\nE1.+,lit,11 A\n", ":2:10: error[wrong-dimension]", "V"),
        ("place,state,volts\nE1.+,lit,=B1*2\n", ":2:10: error[bad-number]", "formula"),
        ("place,state,volts\nE1.+,lit,nan\n", ":2:10: error[", ""),
        ("place,state,volts\nE1.+,lit,inf\n", ":2:10: error[", ""),
        ("place,state,volts\nE1.+,lit,1e9\n", ":2:10: error[out-of-range]", "unit"),
        ("place,state,volts\nE1.+,lit,\n", "error[missing-key]", "no reading"),
        ("place,state,volts\nE1.+,lit,11,6\n", ":2:13: error[wrong-shape]", "quotes"),
        ("place,state,volts\nE1.+,lit,11\nE1.+,lit,11.1\n", ":3:1: error[duplicate-key]", "first is here"),
        ("place,state,volts,millivolts\nE1.+,lit,11,200\n", ":2:13: error[contradiction]", "two readings"),
        ("place,state,volts,to\nE1.+,lit,0,E1.+\n", ":2:12: error[contradiction]", "two places"),
        ("place,state,volts,accuracy\nE1.+,lit,11,good\n", ":2:13: error[", "0.5 % + 10 mV"),
        ("place,state,volts,accuracy\nE1.+,lit,11,90 %\n", ":2:13: error[out-of-range]", "20 %"),
        ("place,state,volts (mV)\nE1.+,lit,11\n", ":1:13: error[unknown-word]", "`mV` is not a unit of `volts`"),
        ("place,state,reading (A)\nE1.+,lit,11\n", ":1:13: error[unknown-word]", "`A` is not a unit of `reading`"),
        ("place,state,volts,accuracy (Ah)\nE1.+,lit,11,1 %\n", ":1:19: error[unknown-word]", "`accuracy`"),
        ("place,state,volts\n", ":1:1: error[missing-key]", "no reading under the head line"),
        ("", "error[missing-key]", "place, state, reading"),
        ('place,state,volts\n"E1.+,lit,11\n', ":2:1: error[wrong-shape]", "never closed"),
        ("place,state,volts\nE1.+,lit,11\x00\n", "error[bad-file]", ""),
    )

    def test_each(self):
        path = self.car()
        for text, place, remedy in self.CASES:
            with self.subTest(text=text):
                done = run("measure", path, "-", input=text)
                self.assertEqual(done.returncode, 2, done.stdout + done.stderr)
                self.assertEqual(done.stdout, "")
                self.assertIn(place, done.stderr)
                self.assertIn(remedy, done.stderr)

    def test_all_faults_at_once(self):
        path = self.car()
        done = run("measure", path, "-", input="place,state,volts\nE9.+,lit,11\nE1.+,lid,x\n")
        self.assertIn("3 errors in the readings", done.stderr)

    def test_options(self):
        path = self.car()
        self.assertEqual(run("measure", path, "-", "--accuracy", "very", input="").returncode, 2)
        self.assertEqual(run("measure", "-", "-", input="").returncode, 2)
        self.assertEqual(run("measure", path, "/nowhere/readings.csv").returncode, 2)

    def test_empty_lines_are_nothing(self):
        path = self.car()
        done = run("measure", path, "-", input="\nplace,state,volts\n\nGND1,lit,0\n\n,,\n")
        self.assertEqual(done.returncode, 0, done.stderr)


if __name__ == "__main__":
    unittest.main()
