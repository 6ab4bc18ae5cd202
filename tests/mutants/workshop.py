# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Compiles one changed file with the options of a build folder, links the programs that use its room with it
in front of the room's library, and runs tests with those programs in the place of the folder's own. Nothing
in the build folder changes."""

import json
import os
import pathlib
import re
import resource
import shlex
import shutil
import signal
import subprocess
import tempfile
import threading

LINKER = ["-fuse-ld=lld"] if shutil.which("ld.lld") else []
# Processor seconds: eight times what a test takes here, and no less than this. Not by the clock, so that a busy
# machine gives the same answer.
LEAST_CPU_S = 5
MOST_CLOCK_S = 1800  # one that waits for something that never comes
# What nearly every file of these rooms includes, compiled once.
COMMON_ROOMS = ("study", "sizing", "checks")
COMMON = '#include "sizing/sizing.hpp"\n#include "study/faults.hpp"\n#include <fmt/format.h>\n#include <map>\n'
QUIET = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "stdin": subprocess.DEVNULL}


class Workshop:
    def __init__(self, build):
        self.build = build.resolve()
        self.compiles = {}
        for entry in json.loads((self.build / "compile_commands.json").read_text()):
            self.compiles[pathlib.Path(entry["file"])] = entry["command"]
        cache = (self.build / "CMakeCache.txt").read_text()
        self.source = pathlib.Path(re.search(r"^CMAKE_HOME_DIRECTORY:INTERNAL=(.*)$", cache, re.MULTILINE).group(1))
        self.scratch = pathlib.Path(tempfile.mkdtemp(prefix="mutant-"))
        self.links = {}
        self.common = False

    def close(self):
        shutil.rmtree(self.scratch, ignore_errors=True)

    def compile(self, name, text):
        """The object of a file of the tree with this text in its place; None when it is no C++."""
        words = self.options(name)
        if name.split("/")[1] in COMMON_ROOMS:
            words[1:1] = ["-include", self.common_header(words)]
        changed = self.scratch / pathlib.Path(name).name
        changed.write_text(text)
        made = self.scratch / "changed.o"
        made.unlink(missing_ok=True)
        words[words.index("-o") + 1] = str(made)
        words[words.index("-c") + 1] = str(changed)
        words.insert(1, f"-iquote{(self.source / name).parent}")
        done = subprocess.run(words, cwd=self.build, check=False, **QUIET)
        return made if done.returncode == 0 else None

    def options(self, name):
        """The compile command of a file. Warnings are not the question, and compiling takes longer than running:
        optimised a little only."""
        words = shlex.split(self.compiles[self.source / name])
        while "ccache" in pathlib.Path(words[0]).name:
            words = words[1:]
        return [{"-O3": "-O1", "-Werror": "-w"}.get(word, word) for word in words]

    def common_header(self, options):
        header = self.scratch / "common.hpp"
        if not self.common:
            header.write_text(COMMON)
            words = list(options)
            words[words.index("-o") + 1] = f"{header}.gch"
            words[words.index("-c") : words.index("-c") + 2] = ["-x", "c++-header", str(header)]
            subprocess.run(words, cwd=self.build, check=False, **QUIET)
            self.common = True
        return str(header)

    def link_of(self, program):
        """The link command of a program of the build folder, as words; its output is the word after -o."""
        if program not in self.links:
            said = subprocess.run(["ninja", "-C", self.build, "-t", "commands", "-s", program], check=True,
                                  capture_output=True, text=True).stdout
            self.links[program] = shlex.split(said.strip().split(" && ")[1])
        return self.links[program]

    def uses(self, program, room):
        return any(word.endswith(f"/libloomwright_{room}.a") for word in self.link_of(program))

    def link(self, program, changed):
        """The program with the changed object; the room's library gives what else is missing."""
        words = list(self.link_of(program))
        place = words.index("-o") + 1
        made = self.scratch / pathlib.Path(program).name
        words[place] = str(made)
        words[place + 1 : place + 1] = [str(changed)]
        subprocess.run([words[0], *LINKER, *words[1:]], cwd=self.build, check=True, **QUIET)
        return made


class Tests:
    """Those that ctest knows in a build folder."""

    def __init__(self, build):
        self.build = build.resolve()
        said = subprocess.run(["ctest", "--show-only=json-v1"], cwd=build, check=True, capture_output=True, text=True)
        # A test whose program is not built has no command.
        self.known = {test["name"]: test for test in json.loads(said.stdout)["tests"] if "command" in test}
        self.cpu_s = {}
        # Parts that the command loads, which it looks for beside itself.
        self.parts = ":".join(sorted({str(path.parent) for path in self.build.rglob("loomwright_*.so")}))

    def programs(self, name):
        """Programs of the build folder that a test runs, as the folder calls them."""
        test = self.known[name]
        words = test["command"] + [value for entry in self.environment(name) for value in entry.split("=", 1)[1:]]
        inside = [pathlib.Path(word) for word in words if word.startswith(f"{self.build}/")]
        return sorted({str(path.relative_to(self.build)) for path in inside if path.is_file()
                       and os.access(path, os.X_OK)})

    def property(self, name, key):
        return next((entry["value"] for entry in self.known[name].get("properties", []) if entry["name"] == key), None)

    def environment(self, name):
        return self.property(name, "ENVIRONMENT") or []

    def run(self, name, instead, more=()):
        """"" for a test that passes, else how it fails. `instead`: programs by the path of those they stand for."""
        def put(word):
            return str(instead.get(word, word))

        words = [put(word) for word in self.known[name]["command"]] + list(more)
        environment = dict(os.environ, LD_LIBRARY_PATH=self.parts)
        for entry in self.environment(name):
            key, _, value = entry.partition("=")
            environment[key] = put(value)
        known = self.cpu_s.get(name)
        limit = MOST_CLOCK_S if known is None else max(LEAST_CPU_S, int(8 * known))

        def bound():
            resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 5))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))

        process = subprocess.Popen(words, cwd=self.property(name, "WORKING_DIRECTORY") or self.build,
                                   env=environment, start_new_session=True, preexec_fn=bound, **QUIET)
        clock = threading.Timer(MOST_CLOCK_S, os.killpg, (process.pid, signal.SIGKILL))
        clock.start()
        _, status, usage = os.wait4(process.pid, 0)
        clock.cancel()
        process.returncode = os.waitstatus_to_exitcode(status)
        used = usage.ru_utime + usage.ru_stime
        self.cpu_s.setdefault(name, used)
        if process.returncode == 0:
            return ""
        ran_out = process.returncode in (-signal.SIGXCPU, -signal.SIGKILL) or used >= limit
        return "timeout" if ran_out else "crash" if process.returncode < 0 else "failed"
