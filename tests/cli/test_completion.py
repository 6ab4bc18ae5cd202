# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Completion scripts, asked in the shells themselves."""

import os
import pty
import re
import select
import shlex
import shutil
import subprocess
import time
import unittest

from car import FILE_VERBS, OWN_VERBS, VERBS, CarTest, answer, run

WITH_OPTIONS = (*VERBS, *FILE_VERBS, *OWN_VERBS, "place")


def options_in_help(verb):
    """The options that a verb's --help names."""
    text = answer(verb, "--help", statuses=(0,)).decode()
    names = set()
    for line in text.split("Examples:")[0].splitlines():
        match = re.match(r"\s+((?:-\w,)?--[\w-]+|-\w)", line)
        if match:
            names |= set(match.group(1).split(","))
    return names


class Completion(CarTest):
    def script(self, shell):
        path = self.folder / f"loomwright.{shell}"
        path.write_bytes(answer("completion", shell, statuses=(0,)))
        return path

    def test_another_shell_is_told_of(self):
        done = run("completion", "sh")
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"bash", done.stderr)


class Bash(Completion):
    def offered(self, *words):
        """What bash offers for the last of these words after the command."""
        script = self.script("bash")
        typed = " ".join(shlex.quote(word) for word in ("loomwright", *words))
        done = subprocess.run(
            ["bash", "--norc", "-c", f"set -u; source {shlex.quote(str(script))}; COMP_WORDS=({typed}); "
             f"COMP_CWORD={len(words)}; _loomwright 2>/dev/null; printf '%s\\n' ${{COMPREPLY[@]+\"${{COMPREPLY[@]}}\"}}"],
            capture_output=True, text=True, check=False, cwd=self.folder)
        self.assertEqual(done.stderr, "")
        return set(done.stdout.split("\n")) - {""}

    def test_the_script_is_registered(self):
        script = self.script("bash")
        done = subprocess.run(["bash", "--norc", "-c", f"source {shlex.quote(str(script))}; complete -p loomwright"],
                              capture_output=True, text=True, check=True)
        self.assertEqual(done.stdout.strip(), "complete -F _loomwright loomwright")

    def test_verbs(self):
        self.assertEqual(self.offered("ch"), {"check"})
        self.assertEqual(self.offered("com"), {"compare", "completion"})
        self.assertLessEqual({*WITH_OPTIONS, "calc"}, self.offered(""))
        self.assertIn("--version", self.offered("--"))

    def test_each_option_of_the_help(self):
        for verb in WITH_OPTIONS:
            self.assertEqual(self.offered(verb, "-"), options_in_help(verb), verb)

    def test_values(self):
        self.assertEqual(self.offered("check", "car.yaml", "--fail-on", ""),
                         {"note", "caution", "fault", "danger", "never"})
        self.assertEqual(self.offered("draw", "--view", "s"), {"sneaks", "section"})
        self.assertEqual(self.offered("draw", "--view", "=", "s"), {"sneaks", "section"})  # --view=s
        self.assertEqual(self.offered("draw", "--view", "="), self.offered("draw", "--view", ""))
        self.assertEqual(self.offered("completion", ""), {"bash", "zsh", "fish"})

    def test_tables(self):
        self.assertEqual(self.offered("tables", "fuse"), {"fuses", "fuse-ratings", "fuse-gates"})
        self.assertEqual(self.offered("tables", "fuses", "x"), set())

    def test_files_stand_where_a_file_is_taken(self):
        (self.folder / "my car.yaml").write_text("")
        (self.folder / "it's.yaml").write_text("")
        (self.folder / "parts").mkdir()
        files = {"my car.yaml", "it's.yaml", "parts", "loomwright.bash"}
        self.assertEqual(self.offered("check", ""), files)
        self.assertEqual(self.offered("check", "--fail-on", "note", ""), files)
        self.assertEqual(self.offered("check", "--fail-on", "=", "note", ""), files)
        self.assertEqual(self.offered("check", "--json", "my"), {"my car.yaml"})
        self.assertEqual(self.offered("size", "my car.yaml", "-o", ""), files)
        self.assertEqual(self.offered("new", ""), {"parts"})
        self.assertEqual(self.offered("compare", "it's.yaml", "my"), {"my car.yaml"})
        self.assertEqual(self.offered("explain", "my car.yaml", ""), set())  # an id, which is no file

    def test_questions(self):
        self.assertEqual(self.offered("calc", "f"), {"fuse", "fault"})
        self.assertEqual(self.offered("calc", "drop", "--le"), {"--length"})
        for question in ("wire", "drop", "fuse", "bundle", "fault", "lamp"):
            text = answer("calc", question, "--help", statuses=(0,)).decode()
            named = set(re.findall(r"(?m)^  (--[\w-]+)", text))
            self.assertGreater(len(named), 2)
            self.assertLessEqual(named, self.offered("calc", question, "--"))


@unittest.skipUnless(shutil.which("fish"), "fish is not here")
class Fish(Completion):
    def offered(self, line):
        script = self.script("fish")
        done = subprocess.run(["fish", "--no-config", "-c", f"source {shlex.quote(str(script))}; "
                               f"complete -C {shlex.quote(line)}"], capture_output=True, text=True,
                              check=False, cwd=self.folder, env={**os.environ, "HOME": str(self.folder)})
        self.assertEqual(done.stderr, "")
        return {row.split("\t")[0] for row in done.stdout.splitlines()}

    def test_the_script_is_good(self):
        subprocess.run(["fish", "--no-execute", self.script("fish")], check=True)

    def test_words(self):
        (self.folder / "my car.yaml").write_text("")
        self.assertEqual(self.offered("loomwright ch"), {"check"})
        self.assertEqual(self.offered("loomwright check --fail-on d"), {"danger"})
        self.assertEqual(self.offered("loomwright draw --view=se"), {"--view=section"})
        self.assertEqual(self.offered("loomwright tables fuse-"), {"fuse-ratings", "fuse-gates"})
        self.assertEqual(self.offered("loomwright check my"), {"my car.yaml"})
        self.assertEqual(self.offered("loomwright explain my\\ car.yaml my"), set())
        self.assertEqual(self.offered("loomwright calc f"), {"fuse", "fault"})
        self.assertEqual(self.offered("loomwright calc drop --le"), {"--length"})
        for verb in ("check", "draw"):
            long_names = {name for name in options_in_help(verb) if name.startswith("--")}
            self.assertLessEqual(long_names, self.offered(f"loomwright {verb} --"))


@unittest.skipUnless(shutil.which("zsh"), "zsh is not here")
class Zsh(Completion):
    def completed(self, *lines):
        """What stands on the command line after a tab behind each of these."""
        shutil.copy(self.script("zsh"), self.folder / "_loomwright")
        (self.folder / ".zshrc").write_text(
            "PS1='> '; unsetopt zle_bracketed_paste PROMPT_SP; bindkey -e; setopt no_beep\n"
            f"fpath=({shlex.quote(str(self.folder))} $fpath); autoload -Uz compinit; compinit -u -D\n"
            # What is on the line is told, and the line is thrown away.
            "tell() { print -r -- \"<$BUFFER>\"; BUFFER= }; zle -N tell; bindkey '^X' tell; print ready\n")
        pid, terminal = pty.fork()
        if pid == 0:
            os.chdir(self.folder)
            os.execvpe("zsh", ["zsh", "-i"], {**os.environ, "ZDOTDIR": str(self.folder), "TERM": "dumb",
                                             "HOME": str(self.folder)})
        try:
            text = self.read_until(terminal, lambda text: "ready" in text)
            told = []
            for line in lines:
                os.write(terminal, line.encode() + b"\t\x18")
                text = self.read_until(terminal, lambda text: re.search(r"<loomwright[^<>]*>", text))
                told.append(re.findall(r"<(loomwright[^<>]*)>", text)[-1].strip())
            return told
        finally:
            os.close(terminal)
            os.waitpid(pid, 0)

    def read_until(self, terminal, is_there):
        text, end = "", time.monotonic() + 20
        while not is_there(text):
            self.assertLess(time.monotonic(), end, f"zsh says {text!r}")
            if select.select([terminal], [], [], 0.2)[0]:
                text += os.read(terminal, 4096).decode(errors="replace")
        return text

    def test_the_script_is_good(self):
        subprocess.run(["zsh", "-n", self.script("zsh")], check=True)

    def test_words(self):
        (self.folder / "my car.yaml").write_text("")
        self.assertEqual(self.completed("loomwright che", "loomwright tables cover-", "loomwright check --fai",
                                        "loomwright check --fail-on dan", "loomwright draw --view=sec",
                                        "loomwright check my", "loomwright calc bun",
                                        "loomwright calc drop --leng"),
                         ["loomwright check", "loomwright tables cover-sizes", "loomwright check --fail-on=",
                          "loomwright check --fail-on danger", "loomwright draw --view=section",
                          "loomwright check my\\ car.yaml", "loomwright calc bundle",
                          "loomwright calc drop --length="])


if __name__ == "__main__":
    unittest.main()
