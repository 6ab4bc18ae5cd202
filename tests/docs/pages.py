# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Reads the fenced blocks of a page, runs the commands among them and compares what they print.

```sh      every line is a command; the ```text block right after it is what the commands print, in
           which a line of three dots stands for any number of lines
```yaml    a vehicle when it opens with `loomwright: 1`, else a piece of one; one whose first line is a
           comment with a file name (`# lamp.yaml`) is written to that file for the commands that follow
```text    what a program prints, or what a page of a rule is tested for by itself

Nothing else is fenced. A block is left out only where the line before it says why:

    <!-- not run: it builds the program, which runs this test -->
"""

import os
import pathlib
import re
import subprocess

FENCE = re.compile(r"^```(\w*)\s*$")
LANGUAGES = ("sh", "yaml", "text")
ANY_FENCE = re.compile(r"^\s*(```|~~~)")
NOT_RUN = re.compile(r"^<!-- not run: (.+) -->$")
DOTS = "..."


class Block:
    """One fenced block: its language, its lines, where it stands, and why it is not run, if so."""

    def __init__(self, language, first, last, lines, reason=None):
        self.language = language
        self.reason = reason
        self.first = first  # index of the line with the opening fence
        self.last = last    # index of the line with the closing fence
        self.lines = lines

    @property
    def text(self):
        return "".join(line + "\n" for line in self.lines)


def reason_before(lines, first):
    """Why the block that is opened in this line is not run; None: it is."""
    match = next((NOT_RUN.match(line) for line in reversed(lines[:first]) if line.strip()), None)
    return match.group(1) if match else None


def odd_fences(page):
    """Lines that open or close a block in a way that no test would see."""
    inside = False
    for number, line in enumerate(page.split("\n"), 1):
        if not ANY_FENCE.match(line):
            continue
        match = FENCE.match(line)
        if match is None or match.group(1) not in (("",) if inside else LANGUAGES):
            yield number
        inside = not inside


def blocks_of(page):
    """The fenced blocks of a page's text, in order."""
    found, language, first, inside, lines = [], None, 0, [], page.split("\n")
    for index, line in enumerate(lines):
        match = FENCE.match(line)
        if language is None and match:
            language, first, inside = match.group(1), index, []
        elif language is not None and line.rstrip() == "```":
            found.append(Block(language, first, index, inside, reason_before(lines, first)))
            language = None
        elif language is not None:
            inside.append(line)
    if language is not None:
        raise ValueError(f"a block is opened in line {first + 1} and never closed")
    return found


def outputs_of(page):
    """(sh block, the text block right after it or None)."""
    lines = page.split("\n")
    blocks = blocks_of(page)
    for index, block in enumerate(blocks):
        if block.language != "sh":
            continue
        after = blocks[index + 1] if index + 1 < len(blocks) else None
        if after is not None and (after.language != "text" or
                                  any(line.strip() for line in lines[block.last + 1:after.first])):
            after = None
        yield block, after


def agrees(expected, printed):
    """Whether the lines printed are the lines expected, three dots standing for any of them."""
    parts, part = [], []
    for line in expected:
        if line.strip() == DOTS:
            parts.append(part)
            part = []
        else:
            part.append(line.rstrip())
    parts.append(part)
    printed = [line.rstrip() for line in printed]
    if len(parts) == 1:
        return parts[0] == printed
    head, *middle, tail = parts
    if printed[:len(head)] != head or (tail and printed[-len(tail):] != tail):
        return False
    at, end = len(head), len(printed) - len(tail)
    for wanted in middle:
        while at + len(wanted) <= end and printed[at:at + len(wanted)] != wanted:
            at += 1
        if at + len(wanted) > end:
            return False
        at += len(wanted)
    return at <= end


def run(commands, folder, program):
    """What the commands print, both streams together, and the last exit status."""
    env = {**os.environ, "PATH": f"{program.parent}{os.pathsep}{os.environ['PATH']}", "NO_COLOR": "1"}
    text, status = "", 0
    for command in commands:
        done = subprocess.run(["bash", "-c", command], cwd=folder, env=env, stdin=subprocess.DEVNULL,
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=300, check=False)
        text += done.stdout.decode(errors="replace")
        status = done.returncode
    return text, status


def write_named_files(block, folder):
    """Writes a yaml block that names its file."""
    name = re.match(r"#\s*([\w./-]+\.yaml)\s*$", block.lines[0]) if block.lines else None
    if block.language == "yaml" and name:
        path = pathlib.Path(folder, name.group(1))
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(block.text, encoding="utf-8")
