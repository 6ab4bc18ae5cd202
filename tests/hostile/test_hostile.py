# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Files made to do harm, each answered with the exit status, the words and the place that `cases.yaml` of
its folder names, in bounded time and memory. Folder `huge` holds recipes: what is too large to be kept is
made from them when it is needed."""

import os
import pathlib
import resource
import shutil
import subprocess
import tempfile
import time
import unittest

import yaml

HERE = pathlib.Path(__file__).resolve().parent
COMMAND = pathlib.Path(os.environ.get("LOOMWRIGHT", HERE.parents[1] / "build/ci/cli/loomwright")).resolve()

# What docs/security.md promises: of any file, and of those that a folder of this corpus holds. The wall
# clock is that of a machine with other work to do; the promise is of processor time.
CPU_SECONDS = {"huge": 20}
SMALL_CPU_SECONDS = 1
MEMORY_MIB = {"huge": 1024}
SMALL_MEMORY_MIB = 128
# Under a sanitizer (tests/instrumented/run) everything takes many times as much, and that is not the question.
INSTRUMENTED = "LOOMWRIGHT_INSTRUMENTED" in os.environ
LEAST_CASES = 150


def made(recipe):
    """The bytes of a recipe: texts in their order, each `times` over, with {n} for the number of the turn."""
    out = []
    for part in recipe:
        text = bytes.fromhex(part["bytes"]) if "bytes" in part else part["text"].encode()
        times = part.get("times", 1)
        if b"{n}" in text:
            before, *after = text.split(b"{n}")
            out += [before + b"".join(b"%d" % i + more for more in after) for i in range(times)]
        else:
            out.append(text * times)
    return b"".join(out)


def run(words, folder, cpu_seconds, address_mib=None):
    """The command with a limit on its processor time, and on what it may ask of the system; what it answered, and
    peak memory in MiB."""
    def limit():
        resource.setrlimit(resource.RLIMIT_CPU, (cpu_seconds, cpu_seconds))
        if address_mib is not None:
            resource.setrlimit(resource.RLIMIT_AS, (address_mib << 20, address_mib << 20))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        process = subprocess.Popen([COMMAND, *words], cwd=folder, stdin=subprocess.DEVNULL, stdout=out, stderr=err,
                                   preexec_fn=limit)
        deadline = time.monotonic() + 300
        status, usage = None, None
        while status is None and time.monotonic() < deadline:
            done, raw, usage = os.wait4(process.pid, os.WNOHANG)
            status = os.waitstatus_to_exitcode(raw) if done else None
            time.sleep(0 if done else 0.002)
        if status is None:
            process.kill()
        process.returncode = status
        texts = []
        for stream in (out, err):
            stream.seek(0)
            texts.append(stream.read())
    return status, *texts, usage.ru_maxrss // 1024


def control_characters(text):
    """What a terminal would obey rather than show, and what turns the direction of writing."""
    return sorted({hex(ord(c)) for c in text if (ord(c) < 0x20 and c != "\n" and c != "\t")
                   or 0x7F <= ord(c) < 0xA0 or ord(c) in range(0x202A, 0x202F) or ord(c) in range(0x2066, 0x206A)
                   or ord(c) in (0x200E, 0x200F)})


class Hostile(unittest.TestCase):
    def answer(self, folder, words):
        seconds = CPU_SECONDS.get(folder.name, SMALL_CPU_SECONDS) * (20 if INSTRUMENTED else 1)
        status, out, err, peak = run(words, folder, seconds)
        told = err.decode() + out.decode()  # fails on bytes that are no text
        if not INSTRUMENTED:
            self.assertLessEqual(peak, MEMORY_MIB.get(folder.name, SMALL_MEMORY_MIB), "MiB of memory")
        self.assertEqual(control_characters(told), [], told[:2000])
        self.assertLess(len(told), 2_000_000, "an answer that nobody reads")
        return status, told

    def check(self, folder, case):
        name = case["file"]
        scratch = None
        words = case.get("run", ["check", "FILE"])
        if name.endswith(".recipe"):
            scratch = tempfile.TemporaryDirectory(prefix="loomwright-")
            self.addCleanup(scratch.cleanup)
            recipe = yaml.safe_load((folder / name).read_text(encoding="utf-8"))
            name = name.removesuffix(".recipe")
            (pathlib.Path(scratch.name) / name).write_bytes(made(recipe))
            work = pathlib.Path(scratch.name) / folder.name
            work.mkdir()
            shutil.move(pathlib.Path(scratch.name) / name, work / name)
        else:
            work = folder
        status, told = self.answer(work, [name if word == "FILE" else word for word in words])
        self.assertEqual(status, case.get("status", 2), told[:2000])
        for word in case["says"]:
            self.assertIn(word, told[:4000] + told[-4000:])
        if case.get("status", 2) == 2:
            self.assertIn("remedy: ", told)

    def test_there_are_enough_and_every_file_is_a_case(self):
        count = 0
        for folder in FOLDERS:
            named = [case["file"] for case in cases_of(folder)]
            there = {path.name for path in folder.iterdir() if path.is_file()} - {"cases.yaml", "car.yaml"}
            self.assertEqual(set(named), there, folder.name)
            count += len(set(named))
        self.assertGreaterEqual(count, LEAST_CASES)


@unittest.skipIf(INSTRUMENTED, "a sanitizer itself takes more addresses than these")
class TooLittleMemory(unittest.TestCase):
    """Where the system gives no more, the command says so and ends with 3; it answers nothing by halves."""

    def test_it_says_so(self):
        with tempfile.TemporaryDirectory(prefix="loomwright-") as scratch:
            folder = pathlib.Path(scratch)
            splices = "".join(f"  X{number}: {{is: splice}}\n" for number in range(150_000))
            (folder / "car.yaml").write_text("loomwright: 1\ndevices:\n" + splices)
            for mib in (140, 200):
                with self.subTest(mib=mib):
                    status, out, err, _ = run(["check", "car.yaml", "-o", "answer.txt"], folder, 20, mib)
                    self.assertEqual((status, out, err), (3, b"", b"loomwright: out of memory\n"))
                    self.assertEqual([path.name for path in folder.iterdir()], ["car.yaml"])


def cases_of(folder):
    return yaml.safe_load((folder / "cases.yaml").read_text(encoding="utf-8"))


FOLDERS = sorted(path.parent for path in HERE.glob("*/cases.yaml"))


def add_case(folder, case, number):
    def test(self):
        self.check(folder, case)
    name = case["file"].replace("-", "_").replace(".", "_")
    setattr(Hostile, f"test_{folder.name}_{name}_{number}", test)


for one_folder in FOLDERS:
    for one_number, one in enumerate(cases_of(one_folder)):
        add_case(one_folder, one, one_number)

if __name__ == "__main__":
    unittest.main()
