# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What the tests of the installed copy share: where the build is, and running a program."""

import os
import pathlib
import subprocess

SOURCE = pathlib.Path(os.environ["LOOMWRIGHT_SOURCE_DIR"]).resolve()
BUILD = pathlib.Path(os.environ["LOOMWRIGHT_BINARY_DIR"]).resolve()
CMAKE = os.environ["LOOMWRIGHT_CMAKE"]
CPACK = os.environ["LOOMWRIGHT_CPACK"]
COMPILER = os.environ["LOOMWRIGHT_CXX"]
GENERATOR = os.environ["LOOMWRIGHT_GENERATOR"]

BINARIES = ("bin/loomwright", "lib/loomwright/loomwright_drawing.so", "lib/loomwright/loomwright_serving.so")
COMPLETIONS = ("share/bash-completion/completions/loomwright", "share/zsh/vendor-completions/_loomwright",
               "share/fish/vendor_completions.d/loomwright.fish")


def ran(*words, statuses=(0,), **options):
    """Standard output of a program that must end with one of these."""
    done = subprocess.run([str(word) for word in words], capture_output=True, check=False,
                          stdin=subprocess.DEVNULL, **options)
    if done.returncode not in statuses:
        raise AssertionError(f"{words}: {done.returncode}\n{done.stdout.decode()[-2000:]}\n"
                             f"{done.stderr.decode()[-2000:]}")
    return done.stdout


def built_paths(root):
    """Files under a folder in which the place of the source or the build stands."""
    # The machine's own prefix could be the source's too: `/` and `/usr` would be everywhere.
    wanted = [str(path).encode() for path in (SOURCE, BUILD) if len(path.parts) > 2]
    return [path for path in sorted(root.rglob("*"))
            if path.is_file() and any(word in path.read_bytes() for word in wanted)]
