# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Runs the command in a terminal of a given width, as a person does."""

import fcntl
import os
import pty
import re
import struct
import subprocess
import termios
import unicodedata

from car import COMMAND

COLOUR = re.compile(r"\x1b\[[0-9;]*m")


def shown(*words, width, cwd=None, environment=None):
    """(what appears in the terminal, exit status)."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, width, 0, 0))
    asked = {**os.environ, "TERM": "xterm", **(environment or {})}
    if environment is None or "NO_COLOR" not in environment:
        asked.pop("NO_COLOR", None)
    with subprocess.Popen([str(COMMAND), *map(str, words)], stdin=subprocess.DEVNULL, stdout=theirs,
                          stderr=theirs, cwd=cwd, env=asked) as process:
        os.close(theirs)
        out = b""
        while True:
            try:
                part = os.read(ours, 65536)
            except OSError:  # the other end is closed
                break
            if not part:
                break
            out += part
    os.close(ours)
    return out.decode(), process.returncode


def lines_of(text):
    """Lines as they stand in the terminal. A bar of progress, which is written over, is one of its own."""
    return [COLOUR.sub("", line).replace("\x1b[K", "") for line in re.split(r"\r*\n|\r", text)]


def columns(line):
    """Columns that a line fills, by the East Asian Width of Unicode and its combining marks."""
    if line.isascii():
        return len(line)
    return sum(0 if unicodedata.combining(letter) or unicodedata.category(letter) in ("Mn", "Me", "Cf")
               else 2 if unicodedata.east_asian_width(letter) in "WF" else 1 for letter in line)
