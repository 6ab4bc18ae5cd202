# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Reads the source tree and fails on an include that goes upward, a third party outside its home, a
file that is too long, a missing head, a path of one machine, a left-over without an issue or two types of one name."""

import os
import pathlib
import subprocess
import sys

import rules

ROOT = pathlib.Path(os.environ.get("LOOMWRIGHT_SOURCE_DIR", pathlib.Path(__file__).parents[2])).resolve()
CODE = (".cpp", ".hpp")
NOT_OURS = {"build", ".git", "__pycache__"}


def tracked_files():
    """The committed files; without a repository, every file outside build folders."""
    done = subprocess.run(["git", "-C", str(ROOT), "ls-files", "-z"], stdin=subprocess.DEVNULL,
                          capture_output=True, check=False) if (ROOT / ".git").exists() else None
    if done is not None and done.returncode == 0 and done.stdout:
        names = done.stdout.decode().split("\0")
    else:
        names = [path.relative_to(ROOT).as_posix() for path in ROOT.rglob("*")]
    for name in sorted(filter(None, names)):
        if not NOT_OURS & set(name.split("/")) and (ROOT / name).is_file():
            yield name


def read(name):
    """The text of a file; nothing for one that is not text."""
    try:
        return (ROOT / name).read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return None


def reached_rooms(rooms):
    """For each room with a build file: the rooms that it reaches through USES."""
    direct = {}
    for room in rooms:
        text = read(f"lib/{room}/CMakeLists.txt") if (ROOT / f"lib/{room}/CMakeLists.txt").is_file() else None
        if text is not None:
            direct[room] = rules.module_uses(text)
    reached = {}
    for room in rooms:
        if room in direct:
            reached[room] = set(direct[room])
            for other in direct[room]:
                reached[room] |= reached.get(other, set())
    return reached


def main():
    names = list(tracked_files())
    rooms = rules.room_order(read("lib/CMakeLists.txt"))
    uses = reached_rooms(rooms)
    complaints = []
    code = {}
    counted = 0
    for name in names:
        text = read(name)
        if text is None:
            continue
        complaints += rules.check_text(name, text)
        top = name.split("/")[0]
        is_code = name.endswith(CODE) and top in ("lib", "cli", "tests", "examples")
        if is_code or (name.endswith(".py") and top == "tests"):
            complaints += rules.check_head(name, text)
            complaints += rules.check_length(name, text, 600 if top in ("lib", "cli") else 800)
        if is_code and top in ("lib", "cli"):
            complaints += rules.check_includes(name, text, rooms, uses)
            code[name] = text
            counted += 1
    complaints += rules.check_types(code)
    print("\n".join(complaints))
    print(f"{len(names)} files, {counted} of lib and cli, {len(complaints)} complaints")
    # A tree in which nothing was found to look at has not been looked at.
    return 1 if complaints or counted == 0 or len(rooms) < 3 else 0


if __name__ == "__main__":
    sys.exit(main())
