# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The steps of `explain` that are no arithmetic, by kind, and what each is held against: the published
gates (tests/reference/fuse-gates.csv), the tables, the solved states, the file by a reader that is not
ours, a second heat balance, an integration of our own."""

import concurrent.futures
import csv
import functools
import math
import os
import re

import yaml

from car import SOURCE, answer_json
from heat_by_textbook import convection_w_per_m2_k, given_off_w_per_m, peak_c, root
from pocket_calculator import Range, compute, figure, figures

PROTECTIVE = ("fuse", "breaker", "link")
# The textbook's air and ours differ by a percent in what convection takes.
TWO_BALANCES = 0.02


@functools.lru_cache(maxsize=None)
def table(name):
    got = answer_json("tables", name, "--json")
    names = [re.sub(r" \(.*", "", column) for column in got["columns"]]
    return [dict(zip(names, row)) for row in got["rows"]]


def default(name):
    return float(next(row["value"] for row in table("defaults") if row["name"] == name))


@functools.lru_cache(maxsize=None)
def conductor_row(size):
    standard = "awg" if "AWG" in size else "sae" if "SAE" in size else "iso"
    number = size.split()[0]
    return next(row for row in table(f"conductors-{standard}") if row["size"] == number)


def published_gates(family, rating):
    """{percent: (shortest, longest)} of tests/reference/fuse-gates.csv."""
    with open(SOURCE / "tests/reference/fuse-gates.csv", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["family"] == family and
                float(row["least_a"]) <= rating <= float(row["most_a"])]
    return {float(row["percent"]): (float(row["shortest_s"] or "nan"), float(row["longest_s"] or "nan"))
            for row in rows}


def time_on(points, amps):
    """Straight in log-log between points, constant I^2 t beyond the last, nothing before the first."""
    if amps < points[0][0] * (1 - 1e-4):
        return None
    for (i0, t0), (i1, t1) in zip(points, points[1:]):
        if amps <= i1:
            return t0 * (amps / i0) ** (math.log(t1 / t0) / math.log(i1 / i0))
    return points[-1][1] * (points[-1][0] / amps) ** 2


class Step:
    def __init__(self, section, row):
        self.section, self.formula = section, row["formula"]
        self.given, self.gives, self.source = row.get("with", ""), row["gives"], row["source"]

    def answers(self):
        return figures(self.gives)

    def __str__(self):
        return f"[{self.section}] {self.formula} | {self.given} | {self.gives} | {self.source}"


class Proof:
    """What `explain` says of one thing."""

    def __init__(self, car, name, answer):
        self.car, self.name = car, name
        self.steps = [Step(section["title"], row) for section in answer["sections"] for row in section["steps"]]
        self.titles = [section["title"] for section in answer["sections"]]

    def find(self, formula, section=""):
        return [s for s in self.steps if s.formula.startswith(formula) and s.section.startswith(section)]

    def one(self, formula, section=""):
        found = self.find(formula, section)
        if not found:
            raise AssertionError(f"{self.name}: no step `{formula}` under `{section}`")
        return found[0]

    def before(self, step, formula):
        """The last step of a kind before another of its section."""
        at = self.steps.index(step)
        return next(s for s in reversed(self.steps[:at])
                    if s.formula.startswith(formula) and s.section == step.section)

    def after(self, step, formula):
        at = self.steps.index(step)
        return next(s for s in self.steps[at:] if s.formula.startswith(formula) and s.section == step.section)


class Car:
    """One example: its file by a reader that is not ours, its solved states, everything explained, or
    what `choose` picks of the car."""

    def __init__(self, path, choose=None):
        self.path = path
        self.file = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)  # 1.10 is no number
        self.states = {state["state"]: {kind: {row[one]: row for row in state[kind]}
                                        for kind, one in (("wires", "wire"), ("devices", "device"))}
                       for state in answer_json("solve", path, "--json")["states"]}
        sized = answer_json("size", path, "--json")
        self.fuses = {row["fuse"]: row for row in sized["fuses"]}
        self.wires = {row["wire"]: row for row in sized["wires"]}
        # All of a large car take a minute: a share of them here, everything with LOOMWRIGHT_EVERY_NAME set.
        every = len(self.wires) < 50 or "LOOMWRIGHT_EVERY_NAME" in os.environ
        names = choose(self) if choose else [*list(self.fuses)[:: 1 if every else 2],
                                             *list(self.wires)[:: 1 if every else 6]]
        with concurrent.futures.ThreadPoolExecutor(2) as workers:
            answers = workers.map(lambda name: answer_json("explain", path, name, "--json"), names)
            self.proofs = {name: Proof(self, name, got) for name, got in zip(names, answers)}

    @functools.lru_cache(maxsize=None)
    def proof_of(self, name):
        return self.proofs.get(name) or Proof(self, name, answer_json("explain", self.path, name, "--json"))

    def family(self, name):
        return self.file["devices"][name].get("family", "blade")

    def amps(self, state, kind, name):
        return abs(self.states[state][kind][name]["amps"])

    def lasting(self):
        spec = self.file.get("states", {})
        return [name for name in self.states if (spec.get(name) or {}).get("engine") != "cranking"]

    def band(self, name, side):
        """A side of a device's band by the published gates, in their air of 23 C."""
        rating = self.fuses[name]["rating_a"]
        gates = published_gates(self.family(name), rating)
        at = ("shortest", "longest").index(side)
        return [(percent / 100 * rating, times[at]) for percent, times in sorted(gates.items())
                if not math.isnan(times[at])]


def state_in(text):
    return re.search(r"\bin ([\w-]+)(?:,.*)?$", text).group(1)


# The kinds of steps that are no arithmetic. Each function returns nothing when the step holds, else
# what is wrong with it.

def differs(got, expected, share=0.0):
    """`got` as printed must meet `expected`, give or take a share of it."""
    slack = share * abs(expected) + 1e-9
    return None if got.meets(Range(expected - slack, expected + slack)) else f"{got} is not {expected:.6g}"


def first_wrong(*results):
    return next((result for result in results if result), None)


def ok(condition, what):
    return None if condition else what


def of_conductor(proof, step):
    row = conductor_row(step.formula.split(" of ")[-1])
    columns = ("used: r20", "used: area", "used: copper", "used: strand")
    # Both are printed, and rounded: their ranges meet.
    return first_wrong(*(ok(got.meets(figure(row[column], unit)), f"not the table's {column}")
                         for got, column, unit in zip(step.answers(), columns, ("mohm", "", "", ""))))


def of_insulation(proof, step):
    row = next(r for r in table("insulation") if r["name"] == step.formula.split(" class of ")[1])
    return differs(step.answers()[0], float(row["limit"]))


def of_sure_copper(proof, step):
    row = conductor_row(step.source.split("conductors, ")[1])
    return ok(step.answers()[0].meets(figure(row["used: copper"])), "not the table's")


def of_lasting_current(proof, step):
    state = state_in(step.formula)
    most = max(proof.car.amps(name, "wires", proof.name) for name in proof.car.lasting())
    return first_wrong(differs(step.answers()[0], proof.car.amps(state, "wires", proof.name)),
                       differs(step.answers()[0], most))


def of_no_current(proof, step):
    most = max(proof.car.amps(name, "wires", proof.name) for name in proof.car.lasting())
    return ok(most < 1e-9, f"{most} A flow")


def airs(car):
    zones = [zone.get("air") for zone in car.file.get("zones", {}).values()]
    states = [state.get("air") for state in (car.file.get("states") or {}).values() if state]
    return {float(air.split()[0]) for air in zones + states if air} | {default("air")}


def of_wire_air(proof, step):
    return ok(any(step.answers()[0].meets(Range(air)) for air in airs(proof.car)), "air of no place")


def device_air(car, name, state):
    """Air round a device: that of the state, else of its zone."""
    spot = car["devices"][name].get("at")
    zone = (car.get("points", {}).get(spot) or {}).get("zone")
    here = car.get("zones", {}).get(zone, {}).get("air")
    air = ((car.get("states") or {}).get(state) or {}).get("air", here)
    return float(air.split()[0]) if air else default("air")


def of_device_air(proof, step):
    return first_wrong(differs(step.answers()[0],
                               device_air(proof.car.file, proof.name, state_in(step.formula))),
                       of_least_rating(proof))


def of_convection(proof, step):
    diameter, surface, air = (float(number) for number in
                              re.match(r"D = (\S+) mm, Ts = (\S+) C, Ta = (\S+) C", step.given).groups())
    if surface - air < 1e-3:  # the figures leave nothing of the difference
        return ok(0 < step.answers()[0].middle() < 100, "no film coefficient")
    return differs(step.answers()[0], convection_w_per_m2_k(diameter * 1e-3, surface, air), TWO_BALANCES)


def of_settled(proof, step):
    state = state_in(proof.before(step, "I, in").formula)
    return differs(step.answers()[0], proof.car.states[state]["wires"][proof.name]["conductor_c"])


def loaded_wires(step):
    return re.split(r", | and ", step.given)


def of_loaded(proof, step):
    """Each name on the list carries a tenth of its free-air ampacity, in that state."""
    state, names = state_in(step.formula), loaded_wires(step)
    free = {name: proof.car.proof_of(name).one("I_free = ").answers()[0] for name in names}
    low = [name for name in names if proof.car.amps(state, "wires", name) < 0.0999 * free[name].low]
    ratio = proof.after(step, "L = sum I").given.strip("()").split(") / (")
    return first_wrong(ok(not low, f"{low} are not loaded"), differs(step.answers()[0], len(names)),
                       *(differs(figure(a), proof.car.amps(state, "wires", name)) or
                         ok(figure(b).meets(free[name]), f"I_free of {name}")
                         for name, a, b in zip(names, ratio[0].split(" + "), ratio[1].split(" + "))))


def of_bundle_factor(proof, step):
    count, loading = re.match(r"N = (\d+), L = (\S+) %", step.given).groups()
    rows = table("bundle-factors")
    if int(count) < 2:
        return differs(step.answers()[0], 1.0)
    row = rows[min(int(count), len(rows)) - 1]
    points = [(share, float(row[f"{share} %"])) for share in (20, 40, 60, 80, 100)]
    at = min(max(float(loading), 20.0), 100.0)
    for (x0, y0), (x1, y1) in zip(points, points[1:]):
        if at <= x1:
            return differs(step.answers()[0], y0 + (y1 - y0) * (at - x0) / (x1 - x0), 2e-4)
    return "beyond the table"


def bundle_of(proof, step):
    """Diameter (m), conductivity inside, air and class of the bundle that a step speaks of."""
    diameter = proof.after(step, "D = sqrt").answers()[0].middle()
    inside = float(re.search(r"\(2 pi x (\S+?)\)", proof.after(step, "B = ln").given).group(1).strip("()"))
    air = float(re.search(r"in air of (\S+) C", proof.after(step, "Q(T_s)").formula).group(1))
    limit = proof.one("temperature class").answers()[0].middle()
    return diameter * 1e-3, inside, air, limit


def of_cover_heat(proof, step):
    """Open by the second balance; under a cover less leaves (its layers: tests/unit/solve/test_skin)."""
    under, open_w = step.answers()
    try:
        diameter, inside, air, limit = bundle_of(proof, step)
    except StopIteration:
        return ok(under.low <= open_w.high, "a cover cools")
    middle = 1 / (4 * math.pi * inside)
    heat = root(lambda w: w - given_off_w_per_m(diameter, max(limit - w * middle, air), air), 0.0, 1e4)
    return first_wrong(ok(under.low <= open_w.high, "a cover cools"), differs(open_w, heat, TWO_BALANCES))


def of_skin(proof, step):
    diameter, surface = (float(x) for x in re.match(r"D = (\S+) mm, T_s = (\S+) C", step.given).groups())
    air = float(re.search(r"in air of (\S+) C", step.formula).group(1))
    both = proof.after(step, "P_n + q").answers()[0]
    open_w = given_off_w_per_m(diameter * 1e-3, surface, air)
    got = step.answers()[0]
    return first_wrong(differs(got, both.middle(), 0.005 + 1e-3),
                       differs(got, open_w, TWO_BALANCES) if " under " not in step.formula
                       else ok(got.low <= open_w * (1 + TWO_BALANCES), "a cover cools"))


def of_size_asked(proof, step):
    asked = figures(step.gives)
    chosen = figures(proof.one("r20, area").gives)[1]
    return ok(not asked or asked[0].low <= chosen.high, "chosen smaller than asked")


def of_size(proof, step):
    return ok(step.gives == proof.car.wires[proof.name]["size"], "not what `size` says")


def of_devices(proof, step):
    """Names of protective devices of the file; which: tests/unit holds the zones against NetworkX."""
    if step.gives.startswith(("none", "only through")):
        return None
    names = re.split(r", | and ", step.gives)
    return ok(all(name in proof.car.fuses for name in names), f"{names} are not all protective devices")


def of_peak(proof, step):
    if step.section.startswith("Protection of "):
        proof = proof.car.proof_of(step.section.split()[2].rstrip(","))
    pattern = r"I = (\S+) A, t = (\S+) s, from (\S+) C in air of (\S+) C, f = (\S+), C = 3\.45 x (\S+) J"
    amps, seconds, start, air, share, copper = (float(x) for x in re.match(pattern, step.given).groups())
    r20 = proof.one("r20, area").answers()[0].middle()
    tube = proof.one("Ts = T - q", "Ampacity").given
    outside, strand, conducts = (float(x) for x in
                                 re.search(r"ln\((\S+) / (\S+)\) / \(2 pi x (\S+)\)", tube).groups())
    expected = peak_c(amps, seconds, start, air, share, copper, r20, (strand, outside, conducts))
    slack = TWO_BALANCES * (expected - air) / expected
    return differs(step.answers()[0], expected, slack)


def of_part(proof, step):
    """A contact, joint, fuse or bond on the way: the solved state has its voltage."""
    name = re.match(r"V = I R in (\S+)", step.formula).group(1)
    state = re.search(r" in ([\w-]+)$", step.section).group(1)
    row = proof.car.states[state]["devices"].get(name)
    is_simple = row is not None and proof.car.file["devices"].get(name, {}).get("is") in (
        *PROTECTIVE, "ground")
    # Against the way of the path where its current is that of another source.
    got = step.answers()[0]
    return differs(got if got.low >= 0 else -got, abs(row["volts"])) if is_simple else \
        ok(proof.after(step, "drop = sum").answers(), "in no sum")


def of_load_through(proof, step):
    name, state = step.given, state_in(step.source.replace(" of ", " in "))
    return differs(step.answers()[0], proof.car.amps(state, "devices", name))


def of_state_current(proof, step):
    state = state_in(step.given)
    return differs(step.answers()[0], proof.car.amps(state, "devices", proof.name))


def of_least_rating(proof):
    """No state asks for more: I / (share x f) of each, f from the rule printed in the proof."""
    slope, start = (figures(part)[0].middle() for part in re.search(
        r"1 - (\S+) x \(\S+ - (\S+)\)", proof.one("f = 1 - slope").given).groups())
    share = default("fuse-loading")
    asked = proof.one("least rating").answers()[0]
    for state in proof.car.states:
        air = device_air(proof.car.file, proof.name, state)
        keeps = min(1.0, max(0.1, 1 - slope * (air - start)))
        part = share if state in proof.car.lasting() else 1.0
        if proof.car.amps(state, "devices", proof.name) / (part * keeps) > asked.high * (1 + 1e-6):
            return f"{state} asks for more"
    return None


def of_rating(proof, step):
    return differs(step.answers()[0], proof.car.fuses[proof.name]["rating_a"])


def of_share(proof, step):
    policy = (proof.car.file.get("policy") or {}).get("fuse-loading")
    share = 1.0 if "cranking" in step.source else \
        float(str(policy).split()[0]) / (100.0 if "%" in str(policy) else 1.0) if policy else default("fuse-loading")
    return differs(step.answers()[0], share)


TIMES = {"ms": 1e-3, "s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0}


def of_gate(proof, step):
    percent, amps = re.match(r"opens at (\S+) % of its rating, (.*)", step.formula).groups()
    rating = proof.car.fuses[proof.name]["rating_a"]
    shortest, longest = published_gates(proof.car.family(proof.name), rating)[float(percent)]
    low, high = step.gives.split(" to ")
    is_same = [ok(math.isnan(value) == (text in ("never", "not known")), f"{text}: {value}") or
               (None if math.isnan(value) else differs(figures(text)[0], value))
               for text, value in ((low, shortest), (high, longest))]
    return first_wrong(differs(figures(amps)[0], float(percent) / 100 * rating), *is_same)


def of_soonest(proof, step):
    seconds = float(re.match(r"opens in (\S+) s", step.formula).group(1))
    rating = proof.car.fuses[proof.name]["rating_a"]
    moved = [s for s in proof.steps if " the opening times are at so much" in s.formula]
    share = moved[0].answers()[0].middle() if moved else 1.0
    gates = published_gates(proof.car.family(proof.name), rating)
    amps = [percent / 100 * rating * share for percent, times in gates.items() if times[0] == seconds]
    return ok(any(not differs(step.answers()[0], one, 1e-4) for one in amps), f"not {amps}")


def of_running(proof, step):
    return differs(step.answers()[0], proof.car.amps(state_in(step.formula), "devices", proof.name))


def of_prospect(proof, step):
    """V is that of a source and R what the sum of the proof's own wires and a source cannot exceed; the
    equations behind both are held against ngspice and by hand in tests/unit/study/test_prospective."""
    volts, ohms = step.answers()
    return ok(0 < volts.low and volts.high < 33 and 0 < ohms.low, "no source")


def of_meeting(proof, step):
    """Both bands from the published gates: they meet there, and not before."""
    amps = step.answers()[0].middle()
    lower, upper = re.match(r"(\S+) before (\S+) of", step.section).groups()
    slow, fast = proof.car.band(lower, "longest"), proof.car.band(upper, "shortest")
    first = fast[0][0]

    def is_lost(current):
        late = time_on(slow, current)
        return current > first and (late is None or late >= time_on(fast, current))
    grid = [first * (amps / first) ** (k / 200) for k in range(1, 199)]
    return first_wrong(ok(not any(is_lost(i) for i in grid if i < 0.999 * amps), "they meet before"),
                       ok(is_lost(amps * 1.001), "they do not meet there"))


def of_every_current(proof, step):
    lower, upper = re.match(r"(\S+) before (\S+) of", step.section).groups()
    slow, fast = proof.car.band(lower, "longest"), proof.car.band(upper, "shortest")
    most, first = figures(step.given)[0].middle(), fast[0][0]
    grid = [first * (most / first) ** (k / 200) for k in range(1, 201)] if most > first else []
    lost = [i for i in grid if time_on(slow, i) is None or time_on(slow, i) >= time_on(fast, i)]
    return ok(not lost, f"lost at {lost[:1]}")


def of_no_time(proof, step):
    left, _, right = compute(step.given)
    return ok(left.low <= right.high, "it would open")


def of_no_free_current(proof, step):
    limit, _, air = compute(step.given)
    return first_wrong(ok(limit.low <= air.high and step.gives == "0 A", "heat could leave"),
                       ok(limit.meets(proof.one("temperature class").answers()[0]), "another class"))


def of_wire_iz(proof, step):
    number, size = re.match(r"Iz of (\S+), (.*)", step.formula).groups()
    other = proof.car.proofs.get(number)
    same = other is None or other.one("Iz, the lowest").gives == step.gives
    return first_wrong(ok(same, f"not what `explain {number}` has"),
                       differs(step.answers()[0], proof.car.wires[number]["ampacity_a"]),
                       ok(proof.car.wires[number]["size"] == size, "another size"))


def of_length(proof, step):
    spec = next((circuit["wires"][proof.name] for circuit in proof.car.file["circuits"].values()
                 if proof.name in (circuit.get("wires") or {})), None) or {}
    for key in ("measured", "length"):
        if key in spec:
            return differs(step.answers()[0], figures(spec[key])[0].middle(), 1e-4)
    return differs(step.answers()[0], default("same-place-length" if "one point" in step.source
                                              else "assumed-length"), 0.0)


def words_only(*words):
    return lambda proof, step: ok(step.gives in words, "other words")


def of_shortest_way(proof, step):
    """By length alone: no longer than the way that was taken (which it is, NetworkX says elsewhere)."""
    taken = proof.one("runs = sum", "Length").answers()[0]
    found = step.answers()[0]
    return ok(found.meets(taken) if "is this one" in step.formula else found.low <= taken.high, "longer")


# Custom of older cars: a reference page on DIN 72551-7 (read). What it does not know has the circuit's.
CUSTOM = {"ground": "BN", "always live (terminal 30)": "RD", "side and tail lamps (terminal 58)": "GY",
          "high beam (terminal 56a)": "WH", "low beam (terminal 56b)": "YE"}
IEC_60757 = "BK BN RD OG YE GN BU VT GY WH PK TQ".split()


def of_base_colour(proof, step):
    duty = step.formula.removeprefix("base: ")
    if duty in CUSTOM:
        return ok(step.gives == CUSTOM[duty], f"not {CUSTOM[duty]}")
    return ok(step.gives in IEC_60757 and re.search("colour of circuit|terminal", duty), "of no duty")


def of_colour(proof, step):
    base = proof.one("base: ", "Colour").gives
    codes = step.gives.split("/")
    taken = int(re.match(r"(\d+) before it are taken", step.given).group(1))
    return first_wrong(ok(all(code in IEC_60757 for code in codes), "no colour of IEC 60757"),
                       ok(len(set(codes)) == len(codes), "a tracer that does not show"),
                       ok(taken > 0 or step.formula.startswith("as the wire") or step.gives == base,
                          "not the base, though that is free"))


KINDS = [
    (r"base: ", of_base_colour),
    (r"the first that no wire beside it has|as the wire that it goes on from", of_colour),
    (r"the shortest way, by length", of_shortest_way),
    (r"asked for in the file", lambda proof, step: ok(step.given and step.gives, "nothing told")),
    (r"L$", of_length),
    (r"r20, area, copper", of_conductor),
    (r"temperature class of", of_insulation),
    (r"S, copper that", of_sure_copper),
    (r"I, in ", of_lasting_current),
    (r"I$", of_no_current),
    (r"air round it, hottest place", of_wire_air),
    (r"air round it in ", of_device_air),
    (r"h = Nu k_air / D", of_convection),
    (r"T settled in that state", of_settled),
    (r"N, wires with a tenth", of_loaded),
    (r"F\(N, L\)$", of_bundle_factor),
    (r"P: heat of the bundle", of_cover_heat),
    (r"Q\(T_s\): what the skin", of_skin),
    (r"smallest size that", of_size_asked),
    (r"chosen$", of_size),
    (r"protective devices between it|fed$|an overload of|fed from both ends", of_devices),
    (r"peak at its slow gates", words_only("beyond every limit: its place leaves it no current")),
    (r"peak at ", of_peak),
    (r"I_free, none", of_no_free_current),
    (r"load through it", of_load_through),
    (r"I, of the state that asks", of_state_current),
    (r"rating$", of_rating),
    (r"share of its rating that", of_share),
    (r"opens at ", of_gate),
    (r"opens in ", of_soonest),
    (r"I_run, through it", of_running),
    (r"once more at once", words_only("without the filaments", "as the first")),
    (r"V and R of all before it", of_prospect),
    (r"breaking capacity$|prospective current$", words_only("not known", "no source drives any")),
    (r"the least current at which the two", of_meeting),
    (r"Iz of ", of_wire_iz),
    (r"what goes dead besides", words_only("nothing")),
    (r"wires that it alone feeds", words_only("none")),
]
