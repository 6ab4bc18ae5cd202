# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The steps of `explain` that are no arithmetic, of devices, states, runs and points (those of wires and
fuses are in explain_kinds.py): by kind, and what each is held against: the vehicle file by a reader that
is not ours, the solved states, the tables."""

import math
import re

from explain_kinds import (KINDS, airs, conductor_row, default, differs, first_wrong, ok, table, words_only)
from pocket_calculator import Range, compute, figure, figures

PROTECTIVE = ("fuse", "breaker", "link")
SOURCES = ("battery", "alternator", "charger")


def spec_of(proof):
    """What the file has of a device, of one in a unit too."""
    unit, _, inner = proof.name.partition("/")
    spec = proof.car.file["devices"][unit]
    return spec["inside"][inner] if inner else spec


def states_in(text, car):
    """The states named at the end of a formula: "... in parked, accessory and lit"."""
    return [name for name in re.split(r", | and ", text) if name in car.states]


def row_of(proof, state, name=None):
    return proof.car.states[state]["devices"][name or proof.name]


def last_word(step):
    return step.formula.rsplit(" in ", 1)[1]


def written(key):
    """As the file has it under that key."""
    return lambda proof, step: differs(step.answers()[0], figures(str(spec_of(proof)[key]))[0].middle())


# --- sources

def of_limit(proof, step):
    row = row_of(proof, last_word(step))
    share = proof.before(step, "share = I / I_most")
    return first_wrong(differs(step.answers()[0], row["volts"]), differs(share.answers()[0], 1.0))


def of_nothing_given(proof, step):
    row = row_of(proof, last_word(step))
    return first_wrong(differs(step.answers()[0], row["volts"]), ok(abs(row["amps"]) < 1e-5, "it gives"),
                       ok(row["volts"] >= figures(step.given)[0].low, "under its own voltage"))


def of_rest(proof, step):
    names = states_in(step.formula.removeprefix("I given in "), proof.car)
    name = source_of(proof, step)
    return first_wrong(ok(names and step.gives == "none", "no state"),
                       *(ok(abs(row_of(proof, state, name)["amps"]) < 1e-6, f"it gives in {state}")
                         for state in names))


def source_of(proof, step):
    return step.section.removeprefix("Source ") if step.section.startswith("Source ") else proof.name


# --- coils and contacts

def of_winding(proof, step):
    # The program settles a winding to 0.01 K.
    value = compute(step.given)
    return ok(value.low - 0.02 <= step.answers()[0].middle() <= value.high + 0.02, f"computed {value}")


def of_winding_at_rest(proof, step):
    air = step.answers()[0]
    return ok(any(air.meets(Range(one)) for one in airs(proof.car) | {default("coil-temperature")}), "no air")


def of_no_coil_current(proof, step):
    names = states_in(step.formula.removeprefix("current of the coil in "), proof.car)
    return first_wrong(ok(names and step.gives == "none", "no state"),
                       *(ok(row_of(proof, state)["on"] is False, f"it is on in {state}") for state in names))


def of_contact_current(proof, step):
    """No contact carries more than the busiest one, which the solved state has."""
    if step.formula.endswith("in every state"):
        return ok(step.gives == "none", "other words")
    if proof.car.file["devices"].get(proof.name, {}).get("is") == "controller":
        return ok(step.answers()[0].low > 0, "no current")
    most = abs(row_of(proof, last_word(step))["amps"])
    return ok(step.answers()[0].low <= most * (1 + 1e-6), f"more than {most}")


def of_no_rating(proof, step):
    spec = spec_of(proof)
    return ok(step.gives == "not given" and ("contact" not in spec or spec["is"] == "controller"), "it is given")


# --- loads

def of_current_taken(proof, step):
    if step.gives == "none":
        return ok(step.formula.endswith("in every state"), "other words")
    return differs(step.answers()[0], row_of(proof, last_word(step))["amps"])


# --- joints

def of_cavity(proof, step):
    wires = [figures(s.gives)[0].high for s in proof.find("largest current of ", "Wires at it")]
    return ok(step.gives == "none" or step.answers()[0].low <= sum(wires), "more than its wires carry")


def of_inside(proof, step):
    if step.formula == "it is inside":
        return ok(proof.name.startswith(step.gives + "/"), "another unit")
    unit, _, inner = step.gives.partition("/")
    return ok(unit == proof.name and inner in spec_of(proof)["inside"], "not inside")


def of_wire_at_it(proof, step):
    number, start, end = re.match(r"largest current of (\S+), (\S+) to (\S+),", step.formula).groups()
    row = proof.car.wires[number]
    return first_wrong(differs(step.answers()[0], row["amps"]), ok(f", {row['size']}," in step.formula, "its size"),
                       ok(any(one.split(".")[0] == proof.name for one in (start, end)), "not at it"))


def of_no_wires(proof, step):
    text = str(proof.car.file["circuits"])
    return ok(step.gives == "none" and not re.search(rf"\b{re.escape(proof.name)}\b(?!/)", text), "a path has it")


# --- states

def state_spec(proof):
    return (proof.car.file.get("states") or {}).get(proof.name) or {}


def of_state_key(key, otherwise=None):
    def check(proof, step):
        there = state_spec(proof).get(key, otherwise)
        numbers = figures(str(there))
        return differs(step.answers()[0], numbers[0].middle()) if numbers else ok(step.gives == there, "not the file's")
    return check


SWITCHED = {"off": ("off", "false", "no", "0"), "on": ("on", "true", "yes", "1", "100 %")}


def of_setting(proof, step):
    name = step.formula.removesuffix(" is set to")
    there = str(state_spec(proof)["set"][name])
    if there == step.gives or there.lower() in SWITCHED.get(step.gives, ()):
        return None
    return differs(step.answers()[0], figures(there)[0].middle())


def of_turning(proof, step):
    there = state_spec(proof)["turning"][step.formula.removesuffix(" is turned at a speed of")]
    return differs(step.answers()[0], figures(str(there))[0].middle())


def of_zone_air(proof, step):
    name = step.formula.removeprefix("air of zone ")
    air = state_spec(proof).get("air") or proof.car.file["zones"][name].get("air")
    return differs(step.answers()[0], figures(air)[0].middle() if air else default("air"))


def kinds_of(car):
    """Name -> the kind of every device of the file, those inside units by their long name."""
    out = {}
    for name, spec in car.file["devices"].items():
        out[name] = spec["is"]
        out.update({f"{name}/{inner}": one["is"] for inner, one in (spec.get("inside") or {}).items()})
    return out


def of_relays_in(proof, step):
    rows = proof.car.states[proof.name]["devices"]
    on = [name for name, kind in kinds_of(proof.car).items() if kind == "relay" and rows[name]["on"]]
    named = [] if step.gives == "none" else re.split(r", | and ", step.gives)
    return ok(sorted(named) == sorted(on), f"{on} are")


def of_delivered(proof, step):
    rows = proof.car.states[proof.name]["devices"]
    given = sum(max(rows[name]["amps"], 0.0) for name, kind in kinds_of(proof.car).items() if kind in SOURCES)
    turned = state_spec(proof).get("turning")
    return ok(step.answers()[0].high >= given * (1 - 1e-3), "less than they give") if turned else \
        differs(step.answers()[0], given, 1e-3)


def of_left_over(proof, step):
    delivered = proof.one("current that all sources deliver").answers()[0]
    # Kirchhoff holds to the thousandth part of a millionth of what flows.
    return ok(0 <= float(step.gives.split()[0]) <= max(1e-9 * delivered.high, 1e-9), "too much is left over")


def of_power_error(proof, step):
    if proof.find("P given") and not proof.find("P given ="):
        return ok(float(step.gives) == 0, "of nothing")
    given, taken = (proof.one(name).answers()[0] for name in ("P given =", "P taken ="))
    return first_wrong(ok(0 <= float(step.gives) <= 1e-6, "too much"),
                       ok(Range(given.low * 0.999, given.high * 1.001).meets(taken), f"{given} is not {taken}"))


def of_expected(proof, step):
    name, should = re.match(r"(\S+) should be (on|off)", step.formula).groups()
    row = proof.car.states[proof.name]["devices"][name]
    volts, amps = figures(step.given)
    is_so = row["on"] == (should == "on")
    return first_wrong(differs(volts, row["volts"], 1e-6), differs(amps, row["amps"], 1e-6),
                       ok(step.gives == f"it is {'on' if row['on'] else 'off'}" + ("" if is_so else ", not as expected"),
                          "the solved state says otherwise"))


# --- runs and points

def of_run_length(proof, step):
    return differs(step.answers()[0], figures(proof.car.file["runs"][proof.name]["length"])[0].middle())


def of_diameter(proof, step):
    number, size = re.match(r"d of (\S+), (.*)", step.formula).groups()
    sold = [figure(value) for column, value in conductor_row(size).items()
            if column.startswith("used: outside") and value]
    return first_wrong(ok(any(step.answers()[0].meets(one) for one in sold), f"not of {sold}"),
                       differs(figures(step.given)[0], proof.car.wires[number]["amps"], 1e-3))


def of_packing(proof, step):
    """Between the circle of the same area and that of twice the area, in which any circles can be laid
    (Fekete, Keldenich, Scheffer: the critical density of circles in a circle is a half). A twisted pair
    or a screen is laid as one circle of its own, and that is laid by the same rule."""
    least = proof.one("sqrt(sum of d^2)").answers()[0]
    most = 2.0 if any("twisted" in str(wire) for circuit in proof.car.file["circuits"].values()
                      for wire in (circuit.get("wires") or {}).values()) or "shields" in proof.car.file else math.sqrt(2)
    bare = step.answers()[0]
    return ok(least.low <= bare.high and bare.low <= most * least.high, f"{bare} round {least}")


def of_cover(proof, step):
    bare = proof.one("D of its wires").answers()[0]
    return first_wrong(ok(step.answers()[0].high >= bare.low, "thinner than what is in it"),
                       ok(step.formula.endswith(proof.car.file["runs"][proof.name]["cover"]), "another cover"))


def of_device_there(proof, step):
    return ok(proof.car.file["devices"][step.gives]["at"] == proof.name, "it is elsewhere")


def of_run_there(proof, step):
    name, other = step.formula.split(" to ")
    run = proof.car.file["runs"][name]
    length = differs(step.answers()[0], figures(run["length"])[0].middle()) if "length" in run else None
    return first_wrong(length, ok({run["from"], run["to"]} == {proof.name, other}, "it ends elsewhere"))


THINGS = [
    (r"E, open-circuit voltage, as written", written("voltage")),
    (r"R while it gives, as written", written("resistance")),
    (r"V at its limit in ", of_limit),
    (r"V, with nothing given, in ", of_nothing_given),
    (r"I given in ", of_rest),
    (r"T = T_air \+ k V I", of_winding),
    (r"T = T_air, the winding", of_winding_at_rest),
    (r"current of the coil in ", of_no_coil_current),
    (r"current through (?!it )", of_contact_current),
    (r"(rating|limit) of \S+$", of_no_rating),
    (r"current taken in ", of_current_taken),
    (r"current through it in every state", words_only("none")),
    (r"largest lasting current of ", of_cavity),
    (r"a device inside it|it is inside", of_inside),
    (r"largest current of ", of_wire_at_it),
    (r"wires that end at it", of_no_wires),
    (r"the path to it", words_only("in no state is it judged")),
    (r"engine$", of_state_key("engine", "stopped")),
    (r"follows on", of_state_key("after")),
    (r"lasts$", of_state_key("lasts")),
    (r"charge of the batteries", of_state_key("charge")),
    (r"temperature of the batteries", of_state_key("battery-temperature")),
    (r"state$", words_only("the vehicle names none: every switch at rest")),
    (r"\S+ is set to", of_setting),
    (r"\S+ is turned at a speed of", of_turning),
    (r"air of zone ", of_zone_air),
    (r"P of every load|P given$", words_only("nothing")),
    (r"relays that are pulled in", of_relays_in),
    (r"current that all sources deliver", of_delivered),
    (r"largest sum of currents that is left over", of_left_over),
    (r"\|P given - P taken\|", of_power_error),
    (r"steps of Newton's method", lambda proof, step: ok(int(step.gives) > 0, "none")),
    (r"\S+ should be (on|off)", of_expected),
    (r"L of the run", of_run_length),
    (r"d of ", of_diameter),
    (r"D of its wires, packed", of_packing),
    (r"D with its cover", of_cover),
    (r"wires in it", words_only("none")),
    (r"a device there", of_device_there),
    (r"what is there", words_only("nothing")),
    (r"[\w-]+ to [\w-]+$", of_run_there),
]
ALL_KINDS = THINGS + KINDS
