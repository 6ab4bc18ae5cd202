# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Places in a C++ text where one thing can be changed, as functions from texts to lists: no file is opened
here, so that tests can plant what must be found and what must be left alone.

Words are told apart by the layout that clang-format gives: an operator between two operands has a blank on
both sides, a template's brackets, a pointer's star and a reference's `&&` have not."""

import random
import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Site:
    """One change: `before` at `start` becomes `after`."""
    start: int
    line: int
    before: str
    after: str


# What is blanked before anything is looked for. The order matters: the first that matches takes its text.
HIDDEN = re.compile(
    r"""//[^\n]*
      | /\*.*?\*/
      | ^[ \t]*\#(?:[^\n]*\\\n)*[^\n]*
      | R"(?P<mark>[^()\s]*)\(.*?\)(?P=mark)"
      | "(?:\\.|[^"\\\n])*"
      | (?<![0-9A-Fa-f])'(?:\\.|[^'\\\n])+'
      | \[\[.*?\]\]""",
    re.VERBOSE | re.DOTALL | re.MULTILINE)
ASSERTION = re.compile(r"\b(?:static_assert|assert)\s*\(")


def blank(text):
    """As many blanks, the lines kept."""
    return re.sub(r"[^\n]", " ", text)


def end_of_bracket(text, opening):
    """Just after the bracket that closes the one at `opening`."""
    depth = 0
    for place in range(opening, len(text)):
        depth += {"(": 1, ")": -1}.get(text[place], 0)
        if depth == 0:
            return place + 1
    return len(text)


def code_of(text):
    """The text with everything blanked in which nothing is to be changed: comments, strings, characters, lines of
    the preprocessor, attributes, assertions, and lines that hold a string, which are wording."""
    worded = {text.count("\n", 0, match.start()) for match in HIDDEN.finditer(text) if '"' in match.group()[:2]}
    code = HIDDEN.sub(lambda match: blank(match.group()), text)
    for match in reversed(list(ASSERTION.finditer(code))):
        end = end_of_bracket(code, match.end() - 1)
        code = code[: match.start()] + blank(code[match.start() : end]) + code[end:]
    lines = code.split("\n")
    return "\n".join(blank(line) if number in worded else line for number, line in enumerate(lines))


BETWEEN = {  # operators with blanks around them
    "+": ["-"], "-": ["+"], "*": ["/"], "/": ["*"], "%": ["*"],
    "<": ["<=", ">="], "<=": ["<", ">"], ">": [">=", "<="], ">=": [">", "<"],
    "==": ["!="], "!=": ["=="], "&&": ["||"], "||": ["&&"],
    "+=": ["-="], "-=": ["+="], "*=": ["/="], "/=": ["*="],
}
WORDS = {"min": ["max"], "max": ["min"], "min_element": ["max_element"], "max_element": ["min_element"],
         "lower_bound": ["upper_bound"], "upper_bound": ["lower_bound"],
         "floor": ["ceil"], "ceil": ["floor"], "true": ["false"], "false": ["true"],
         "any_of": ["all_of"], "all_of": ["any_of"], "break": ["continue"]}
OPERATOR = re.compile(r"(?<=\s)(?:[<>=!+\-*/]=|&&|\|\||[<>+\-*/%])(?=\s)")
WORD = re.compile(r"(?<![\w.])(?:" + "|".join(WORDS) + r")(?=\(|;|,|\)|\s*[;}])(?!\w)")
RANGES_WORD = re.compile(r"(?<=::)(?:" + "|".join(w for w in WORDS if w not in ("true", "false", "break")) + r")(?=\()")
STEP = re.compile(r"\+\+|--")
NOT = re.compile(r"(?<=[\s(])!(?=[\w(:])")
SIGN = re.compile(r"(?<=[(\[{ ])-(?=[\w(])")
CONDITION = re.compile(r"\b(?:if|while) \(")
NUMBER = re.compile(r"(?<![\w.'<])(?:\d[\d']*\.?\d*(?:[eE][+-]?\d+)?)[uUlLzZfF]*(?![\w.'>])")


def other_number(word):
    """Numbers that are not this one, as text."""
    suffix = re.search(r"[uUlLzZfF]*$", word).group()
    body = word[: len(word) - len(suffix)]
    if re.fullmatch(r"[\d']+", body):
        value = int(body.replace("'", ""))
        return [f"{other}{suffix}" for other in ({0: [1], 1: [0, 2]}.get(value, [value + 1, value - 1]))]
    value = float(body.replace("'", ""))
    return [f"{other!r}{suffix}" for other in ([1.0] if value == 0.0 else [value * 1.5, value * 0.5])]


def negated_condition(code, match):
    """`if (c)` into `if (!(c))`; nothing for one that declares something or stands over several lines."""
    opening = match.end() - 1
    inside = code[opening + 1 : end_of_bracket(code, opening) - 1]
    if ";" in inside or " = " in inside or "\n" in inside or not inside.strip() or len(inside.split()) == 0:
        return None
    return inside, f"!({inside})"


def found_sites(text):
    """Every site of a text, each with all that may stand there instead, in the order of the text."""
    code = code_of(text)
    found = []

    def add(start, before, after):
        found.append((start, before, after))

    for match in OPERATOR.finditer(code):
        if match.group() in BETWEEN:
            add(match.start(), match.group(), BETWEEN[match.group()])
    for pattern in (WORD, RANGES_WORD):
        for match in pattern.finditer(code):
            add(match.start(), match.group(), WORDS[match.group()])
    for match in STEP.finditer(code):
        add(match.start(), match.group(), ["--" if match.group() == "++" else "++"])
    for match in NOT.finditer(code):
        add(match.start(), "!", [""])
    for match in SIGN.finditer(code):
        add(match.start(), "-", [""])
    for match in CONDITION.finditer(code):
        change = negated_condition(code, match)
        if change:
            add(match.end(), change[0], [change[1]])
    for match in NUMBER.finditer(code):
        add(match.start(), match.group(), other_number(match.group()))
    line_starts = [0] + [match.end() for match in re.finditer("\n", text)]
    out = []
    line = 0
    for start, before, after in sorted(set((s, b, tuple(a)) for s, b, a in found)):
        while line + 1 < len(line_starts) and line_starts[line + 1] <= start:
            line += 1
        out.append((start, line + 1, before, after))
    return out


def lines_of_code(text):
    return sum(1 for line in code_of(text).split("\n") if line.strip())


def chosen_sites(texts, seed):
    """(name, site) of all sites of all texts by name, one change each, in an order of which any beginning is spread
    over the texts by their lines of code. The same for the same seed."""
    ranked = []
    for name in sorted(texts):
        dice = random.Random(f"{seed} {name}")
        sites = [Site(start, line, before, dice.choice(after)) for start, line, before, after in found_sites(texts[name])]
        dice.shuffle(sites)
        step = 1.0 / max(1, lines_of_code(texts[name]))
        begin = dice.random()
        ranked += [((begin + place) * step, name, site) for place, site in enumerate(sites)]
    return [(name, site) for _, name, site in sorted(ranked, key=lambda entry: (entry[0], entry[1]))]


def changed(text, site):
    end = site.start + len(site.before)
    if text[site.start : end] != site.before:
        raise ValueError(f"line {site.line} does not say {site.before!r}")
    return text[: site.start] + site.after + text[end:]
