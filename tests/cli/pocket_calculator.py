# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""A pocket calculator for printed figures: it knows how far a figure may be from what it was rounded
from, and carries that along.

A figure is printed with four significant digits or more, its zeros at the end dropped. So the number
behind it lies within half a unit of its fourth digit, or of its last where more are printed. A printed
2.5 is [2.4995, 2.5005], a printed 12.345 is [12.3445, 12.3455]. Every operation gives the least and the
most that its operands allow (interval arithmetic), so that the true answer lies in what comes out
whatever the figures were before they were rounded; a printed answer must meet it. What the formula
itself states (the 1 of `1 - slope x ...`, the 1.45 of `1.45 Iz`) and exponents are exact.

Nothing here knows the program: only `+ - x / ^`, brackets, sqrt, ln, min, max, pi, and units."""

import math
import re

UNITS = {"mohm/m": 1e-3, "mohm": 1e-3, "ohm": 1.0, "mA": 1e-3, "A2s": 1.0, "A": 1.0, "mV": 1e-3, "V": 1.0,
         "mm2": 1.0, "mm": 1.0, "ms": 1e-3, "min": 60.0, "m": 1.0, "s": 1.0, "h": 3600.0, "d": 86400.0,
         "C": 1.0, "W/(m2 K)": 1.0, "W/m": 1.0, "K m/W": 1.0, "K": 1.0, "%": 0.01}
NUMBER = r"[0-9]+(?:\.[0-9]+)?(?:e-?[0-9]+)?"
UNIT = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
# A unit ends where a word ends: the `m` of `m` and not of `mm`, the `min` of minutes and not of `min(`.
FIGURE = rf"({NUMBER})(?: ({UNIT})(?![\w/(]))?"
TOKEN = re.compile(rf"\s*(?:{FIGURE}|(sqrt|ln|min|max|pi)\b|(<=|>=|<|>|=|[-+/^(),])|(x)(?=\s))")
RELATIONS = ("<=", ">=", "<", ">", "=")
DIGITS = 4


class CannotCompute(Exception):
    """The text is no arithmetic, or arithmetic that has no answer."""


class Range:
    """All that a number may be."""

    def __init__(self, low, high=None):
        self.low, self.high = low, low if high is None else high
        if not self.low <= self.high or math.isinf(self.low) or math.isinf(self.high):
            raise CannotCompute(f"no number: {low} to {high}")

    @staticmethod
    def over(values):
        values = list(values)
        return Range(min(values), max(values))

    def __add__(self, other):
        return Range(self.low + other.low, self.high + other.high)

    def __neg__(self):
        return Range(-self.high, -self.low)

    def __sub__(self, other):
        return self + -other

    def __mul__(self, other):
        return Range.over(a * b for a in (self.low, self.high) for b in (other.low, other.high))

    def __truediv__(self, other):
        if other.low <= 0.0 <= other.high:
            raise CannotCompute("division by what may be nothing")
        return self * Range(1.0 / other.high, 1.0 / other.low)

    def __pow__(self, other):
        if self.low <= 0.0 and (other.low != other.high or other.low not in (2.0, 4.0)):
            raise CannotCompute("a power of what may be nothing")
        ends = [a ** b for a in (self.low, self.high) for b in (other.low, other.high)]
        return Range.over(ends + ([0.0] if self.low <= 0.0 <= self.high else []))

    def mapped(self, function):
        return Range(function(self.low), function(self.high))

    def meets(self, other):
        slack = 1e-9 * max(abs(self.low), abs(self.high), abs(other.low), abs(other.high))
        return self.low <= other.high + slack and other.low <= self.high + slack

    def middle(self):
        return 0.5 * (self.low + self.high)

    def half(self):
        return 0.5 * (self.high - self.low)

    def __repr__(self):
        return f"{self.middle():.6g} +- {self.half():.2g}"


def rounding(text, digits=DIGITS):
    """Half a unit of the last digit that a printed number was rounded to."""
    mantissa, _, power = text.partition("e")
    last = -len(mantissa.partition(".")[2]) + int(power or 0)
    value = abs(float(text))
    if value == 0.0:
        return 0.5e-12
    kept = math.floor(math.log10(value)) - digits + 1
    return 0.5 * 10.0 ** min(last, kept)


def figure(number, unit="", digits=DIGITS):
    """A printed number with its unit, and what it may have been."""
    value, half, scale = float(number), rounding(number, digits), UNITS[unit] if unit else 1.0
    return Range((value - half) * scale, (value + half) * scale)


def figures(text):
    """Every figure of a text that stands by itself, as ranges."""
    return [figure(number, unit) for number, unit in
            re.findall(rf"(?<![\w.])(-?{NUMBER})(?: ({UNIT})(?![\w/(]))?(?![\w.])", text)]


def constants_of(formula):
    """The numbers that a formula states as its own: not a part of a name (r20), not with a unit."""
    return {number for number, unit in re.findall(rf"(?<![\w.]){FIGURE}(?![\w.])", formula) if not unit}


class Calculator:
    """Computes one text. `exact`: the numbers in it that are no rounded figures."""

    def __init__(self, text, exact=()):
        self.exact = exact
        self.tokens = []
        at = 0
        while text[at:].strip():
            found = TOKEN.match(text, at)
            if not found:
                raise CannotCompute(f"{text[at:]!r} is no arithmetic")
            number, unit, word, sign, times = found.groups()
            self.tokens.append(("number", number, unit) if number else (word or sign or times,))
            at = found.end()
        self.at = 0

    def next_is(self, *kinds):
        return self.at < len(self.tokens) and self.tokens[self.at][0] in kinds

    def take(self, *kinds):
        if not self.next_is(*kinds):
            raise CannotCompute(f"one of {kinds} is missing")
        self.at += 1
        return self.tokens[self.at - 1]

    def relations(self):
        """[value, relation, value, ...]"""
        out = [self.sum()]
        while self.next_is(*RELATIONS):
            out += [self.take(*RELATIONS)[0], self.sum()]
        if self.at != len(self.tokens):
            raise CannotCompute("something is left over")
        return out

    def sum(self):
        out = self.product()
        while self.next_is("+", "-"):
            out = out + self.product() if self.take("+", "-")[0] == "+" else out - self.product()
        return out

    def product(self):
        out = self.power()
        while True:
            if self.next_is("x"):
                self.take("x")
                out = out * self.power()
            elif self.next_is("/"):
                self.take("/")
                out = out / self.power()
            elif self.next_is("sqrt", "ln", "pi", "("):  # 2 pi, 226 sqrt(...)
                out = out * self.power()
            else:
                return out

    def power(self):
        if self.next_is("-"):
            self.take("-")
            return -self.power()
        base = self.atom()
        if not self.next_is("^"):
            return base
        self.take("^")
        if self.next_is("number"):
            return base ** Range(float(self.take("number")[1]))
        return base ** self.atom()

    def atom(self):
        if self.next_is("number"):
            _, number, unit = self.take("number")
            if unit is None and number in self.exact:
                return Range(float(number))
            return figure(number, unit)
        if self.next_is("pi"):
            self.take("pi")
            return Range(math.pi)
        if self.next_is("sqrt", "ln"):
            name = self.take("sqrt", "ln")[0]
            inside = self.bracket()[0]
            if name == "sqrt":
                return Range(max(0.0, inside.low), inside.high).mapped(math.sqrt)
            if inside.low <= 0.0:
                raise CannotCompute("the logarithm of what may be nothing")
            return inside.mapped(math.log)
        if self.next_is("min", "max"):
            choose = min if self.take("min", "max")[0] == "min" else max
            inside = self.bracket()
            return Range(choose(r.low for r in inside), choose(r.high for r in inside))
        return self.bracket()[0]

    def bracket(self):
        self.take("(")
        out = [self.sum()]
        while self.next_is(","):
            self.take(",")
            out.append(self.sum())
        self.take(")")
        return out


def compute(text, exact=()):
    """The value of a text, or with relations in it [value, relation, value, ...]."""
    if not text.strip():
        raise CannotCompute("nothing to compute")
    out = Calculator(text, exact).relations()
    return out[0] if len(out) == 1 else out
