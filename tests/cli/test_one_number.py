# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""One number of the file is moved, and the answer must move the way physics says. The expected values
are computed here from the law, never taken from the program."""

import unittest

from car import ONE_LAMP, CarTest, answer_json, by, changed

# ISO 6722-1, greatest resistance of a bare conductor at 20 C in mohm/m (memory; IEC 60228 class 5,
# read, allows up to 5 % more).
R20_MOHM = {"0.5 mm2": 37.1, "0.75 mm2": 24.7, "1 mm2": 18.5, "1.5 mm2": 12.7, "2.5 mm2": 7.6, "4 mm2": 4.71}
# Temperature coefficient of copper at 20 C, per kelvin (IEC 60028).
ALPHA = 0.00393


class OneNumber(CarTest):
    def state(self, *changes, state="lit", text=ONE_LAMP):
        """Wires and devices by name, and the state itself."""
        got = answer_json("solve", self.car(changed(text, *changes)), "--json", "--state", state)["states"][0]
        self.assertIs(got["converged"], True)
        return by("wire", got["wires"]), by("device", got["devices"]), got

    def sizes(self, *changes, text=ONE_LAMP):
        got = answer_json("size", self.car(changed(text, *changes)), "--json")
        return by("wire", got["wires"]), by("fuse", got["fuses"])

    def rules(self, *changes, text=ONE_LAMP):
        found = answer_json("check", self.car(changed(text, *changes)), "--json")["findings"]
        return {(f["rule"], f["subject"]) for f in found}

    def test_a_wire_s_resistance_is_its_length_times_that_of_its_standard_hot(self):
        for size, mohm in R20_MOHM.items():
            with self.subTest(size):
                wires, _, _ = self.state(("2.3: {size: 1.5 mm2", f"2.3: {{size: {size}"))
                wire = wires["2.3"]
                ohms = mohm * 1e-3 * 4.0 * (1 + ALPHA * (wire["conductor_c"] - 20))
                # The catalogue may hold the safer of two sources: up to 5 % more, never less.
                ratio = abs(wire["drop_v"] / wire["amps"]) / ohms
                self.assertGreaterEqual(ratio, 1 - 1e-6)
                self.assertLessEqual(ratio, 1.055)

    def test_twice_the_length_is_twice_the_resistance(self):
        def ohms_at_20(length):
            wire = self.state(("2.3: {size: 1.5 mm2, length: 4 m}",
                               f"2.3: {{size: 1.5 mm2, length: {length} m}}"))[0]["2.3"]
            return wire["drop_v"] / wire["amps"] / (1 + ALPHA * (wire["conductor_c"] - 20))
        self.assertAlmostEqual(ohms_at_20(8) / ohms_at_20(4), 2.0, places=6)

    def test_a_lamp_follows_its_law(self):
        _, devices, _ = self.state()
        lamp = devices["E1"]
        expected = 55 / 13.5 * (lamp["volts"] / 13.5) ** 0.55
        self.assertAlmostEqual(lamp["amps"], expected, delta=1e-6 * expected)

    def test_a_relay_that_stays_out_is_told_by_its_coil(self):
        # Its contact lies open at the battery's 12.6 V, which says nothing. The winding wants more volts
        # warm than at 20 C, by the resistance of copper; half of them are lost in a resistor as large.
        relay = [("  F1: {is: fuse",
                  "  K1: {is: relay, at: front, contact: 30 A, coil: 850 ohm, pulls-in: 7 V, drops-out: 2 V}\n"
                  "  R1: {is: resistor, at: front, resistance: 850 ohm}\n"
                  "  F1: {is: fuse"),
                 ("[G1 > F1 > S1 > E1 > GND2]", "[G1 > F1 > S1 > K1 > E1 > GND2, S1 > R1 > K1.86, K1.85 > GND1]"),
                 ("expect: {on: [E1]}", "expect: {on: [E1, K1]}")]
        for air, switch, volts in (("20 C", "on", 6.3), ("60 C", "off", 0.0)):
            with self.subTest(switch):
                car = self.car(changed(ONE_LAMP, *relay, ("air: 25 C", f"air: {air}"),
                                       ('lit:  {set: {S1: "on"}', f'lit:  {{set: {{S1: "{switch}"}}')))
                found = [row for row in answer_json("check", car, "--json")["findings"]
                         if (row["rule"], row["subject"]) == ("state-not-met", "K1")]
                self.assertEqual(len(found), 1)
                figures = by("label", found[0]["figures"])
                wanted = 7.0 * (1 + ALPHA * (float(air.split()[0]) - 20))
                # The resistor's half: the winding warms itself by a few kelvins at 47 mW.
                self.assertAlmostEqual(figures["voltage at the coil"]["value"], volts, delta=0.02 * volts + 1e-6)
                self.assertAlmostEqual(figures["comes in at"]["value"], wanted, delta=0.02 * wanted)
                self.assertIn("coil", found[0]["remedy"])

    def test_each_load_follows_its_law(self):
        for kind, law in (("heater", lambda v: 55 / 13.5 * v / 13.5), ("led-lamp", lambda v: 55 / 13.5),
                          ("motor", lambda v: 55 / 13.5), ("electronics", lambda v: 55 / v)):
            with self.subTest(kind):
                _, devices, _ = self.state(("E1: {is: lamp", f"E1: {{is: {kind}"))
                load = devices["E1"]
                self.assertAlmostEqual(load["amps"], law(load["volts"]), delta=1e-6 * load["amps"])

    def test_one_current_flows_all_the_way_round(self):
        wires, devices, _ = self.state()
        amps = {abs(wires[number]["amps"]) for number in ("1.1", "2.1", "2.2", "2.3", "2.4")}
        self.assertLess(max(amps) - min(amps), 1e-9)
        self.assertAlmostEqual(max(amps), abs(devices["E1"]["amps"]), places=9)

    def test_the_volts_lost_on_the_way_are_those_missing_at_the_lamp(self):
        # 12.6 V behind 10 mohm; two bonds of 1 mohm; four wires and the strap; fuse and switch.
        wires, devices, _ = self.state()
        amps = devices["E1"]["amps"]
        lost = sum(abs(wire["drop_v"]) for wire in wires.values())
        lost += amps * (0.010 + 0.001 + 0.001) + devices["F1"]["volts"] + devices["S1"]["volts"]
        self.assertAlmostEqual(12.6 - lost, devices["E1"]["volts"], places=9)

    def test_a_switch_that_is_off_stops_everything(self):
        wires, devices, _ = self.state(state="dark")
        self.assertTrue(all(abs(wire["amps"]) < 1e-9 for wire in wires.values()))
        self.assertIs(devices["E1"]["on"], False)
        self.assertAlmostEqual(devices["E1"]["volts"], 0.0, places=9)

    def test_a_source_with_more_resistance_gives_less(self):
        stiff = self.state()[1]["E1"]["volts"]
        soft = self.state(("resistance: 10 mohm", "resistance: 100 mohm"))[1]["E1"]["volts"]
        self.assertLess(soft, stiff - 0.3)

    def test_hotter_air_gives_less_ampacity_and_more_drop(self):
        cool_wires, hot_wires = self.state()[0], self.state(("air: 25 C", "air: 70 C"))[0]
        self.assertGreater(hot_wires["2.3"]["drop_v"], cool_wires["2.3"]["drop_v"])
        cool, hot = self.sizes()[0]["2.3"], self.sizes(("air: 25 C", "air: 70 C"))[0]["2.3"]
        self.assertLess(hot["ampacity_a"], cool["ampacity_a"])
        # All heat leaves by a difference of temperature: with a limit of 105 C (thin-wall PVC as the
        # trade sells it) or 85 C the ratio lies under the square root of that of the differences,
        # since convection and radiation grow faster than the difference.
        self.assertLess(hot["ampacity_a"] / cool["ampacity_a"], ((105 - 70) / (105 - 25)) ** 0.5)

    def test_a_thicker_wire_carries_more_and_drops_less(self):
        seen = []
        for size in R20_MOHM:
            change = ("2.3: {size: 1.5 mm2", f"2.3: {{size: {size}")
            seen.append((self.sizes(change)[0]["2.3"]["ampacity_a"], self.state(change)[0]["2.3"]["drop_v"]))
        self.assertEqual(seen, sorted(seen, key=lambda pair: pair[0]))
        self.assertEqual(seen, sorted(seen, key=lambda pair: -pair[1]))

    def test_a_fuse_above_the_ampacity_of_its_wire_is_found_and_one_below_is_not(self):
        ampacity = self.sizes(("2.3: {size: 1.5 mm2", "2.3: {size: 0.5 mm2"))[0]["2.3"]["ampacity_a"]
        thin = ("2.3: {size: 1.5 mm2", "2.3: {size: 0.5 mm2")
        self.assertIn(("fuse-over-wire", "2.3"), self.rules(thin, ("rating: 10 A", "rating: 30 A")))
        self.assertLess(ampacity, 30)
        self.assertNotIn(("fuse-over-wire", "2.3"), self.rules(thin, ("rating: 10 A", "rating: 5 A")))

    def test_a_load_beyond_the_share_of_its_fuse_is_found(self):
        # 55 W at 13.5 V is 4.07 A: 81 % of 5 A, 41 % of 10 A.
        self.assertIn(("fuse-loading", "F1"), self.rules(("rating: 10 A", "rating: 5 A")))
        self.assertNotIn(("fuse-loading", "F1"), self.rules())
        policy = ("states:\n", "policy: {fuse-loading: 30 %}\nstates:\n")
        self.assertIn(("fuse-loading", "F1"), self.rules(policy))

    def test_an_auto_fuse_carries_the_load_and_no_more_than_the_next_rating(self):
        fuse = self.sizes(("rating: 10 A", "rating: auto"))[1]["F1"]
        # 4 A at 75 % asks for 5.4 A: 7.5 A is the next of the blade ratings (ISO 8820-3).
        self.assertEqual(fuse["rating_a"], 7.5)
        bigger = self.sizes(("rating: 10 A", "rating: auto"), ("draws: 55 W", "draws: 110 W"))[1]["F1"]
        self.assertGreater(bigger["rating_a"], fuse["rating_a"])

    def test_a_longer_way_asks_for_more_copper(self):
        def area(length):
            wire = self.sizes(("2.3: {size: 1.5 mm2, length: 4 m}", f"2.3: {{length: {length} m}}"),
                              ("draws: 55 W", "draws: 80 W"))[0]["2.3"]
            return wire["area_mm2"], wire["decided_by"]
        areas = [area(length) for length in (1, 5, 15, 40)]
        self.assertEqual(areas, sorted(areas, key=lambda pair: pair[0]))
        self.assertGreater(areas[-1][0], areas[0][0])
        self.assertEqual(areas[-1][1], "drop")

    def test_a_tighter_limit_of_the_drop_is_kept_or_found(self):
        self.assertIn(("drop-limit", "E1"), self.rules(("states:\n", "policy: {drop: {lighting: 10 mV}}\nstates:\n")))
        self.assertNotIn(("drop-limit", "E1"), self.rules(("states:\n", "policy: {drop: {lighting: 3 V}}\nstates:\n")))

    def test_a_run_s_length_moves_the_wires_that_lie_in_it(self):
        routed = ("2.3: {size: 1.5 mm2, length: 4 m}", "2.3: {size: 1.5 mm2}")
        short = self.sizes(routed)[0]["2.3"]["length_m"]
        longer = self.sizes(routed, ("length: 4 m}\ndevices", "length: 6.5 m}\ndevices"))[0]["2.3"]["length_m"]
        self.assertGreaterEqual(short, 4.0)
        self.assertAlmostEqual(longer - short, 2.5, places=9)

    def test_a_missing_fuse_and_a_missing_ground_are_found(self):
        self.assertTrue(any(rule == "fuse-missing" for rule, _ in self.rules(
            ("paths: [G1 > F1 > S1 > E1 > GND2]", "paths: [G1 > S1 > E1 > GND2, F1.in > F1.out]"))))
        self.assertIn(("no-return", "E1"), self.rules(("E1 > GND2]", "E1]"), (
            "      2.4: {size: 1.5 mm2, length: 0.3 m}\n", "")))

    def test_a_lamp_that_is_dark_when_it_should_be_lit_is_found(self):
        self.assertNotIn(("state-not-met", "E1"), self.rules())
        self.assertIn(("state-not-met", "E1"), self.rules(('lit:  {set: {S1: "on"}', 'lit:  {set: {S1: "off"}')))

    def test_a_weak_contact_is_found(self):
        self.assertIn(("switch-contact", "S1"), self.rules(("contact: 30 A", "contact: 2 A")))
        self.assertNotIn(("switch-contact", "S1"), self.rules())


if __name__ == "__main__":
    unittest.main()
