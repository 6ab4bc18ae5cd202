# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Outputs are there whole or not at all: under kill -9 at a hundred moments, on a full disk, in a folder that
cannot be written, with files, folders and links in the way, and with two runs at once; and never outside the
folder that was asked for."""

import ctypes
import os
import pathlib
import random
import resource
import shutil
import signal
import stat
import subprocess
import tempfile
import time
import unittest

from car import COMMAND, ONE_LAMP, CarTest, answer, changed, run

OTHER_LAMP = changed(ONE_LAMP, ("2.3: {size: 1.5 mm2", "2.3: {size: 2.5 mm2"))
TRIES = 100  # kills, over the three kinds below
NOBODY = 65534


def contents(folder):
    """Bytes by name of the files that a person sees in a folder."""
    return {path.name: path.read_bytes() for path in folder.iterdir() if not path.name.startswith(".")}


def hidden(folder):
    return [path for path in folder.rglob(".*")]


class Killed(CarTest):
    """The reference is a run that nobody disturbed; what a killed one leaves is held against its bytes."""

    def setUp(self):
        super().setUp()
        self.draw = random.Random(20260101)
        self.cars = [self.car(ONE_LAMP, "one/car.yaml"), self.car(OTHER_LAMP, "other/car.yaml")]
        self.whole, began = [], time.monotonic()
        for i, car in enumerate(self.cars):
            answer("pack", car, "-o", self.folder / f"whole{i}")
            self.whole.append(contents(self.folder / f"whole{i}"))
        self.takes = (time.monotonic() - began) / 2
        self.assertNotEqual(*self.whole)

    def kill(self, words, folder, when_writing):
        """Starts a run and kills it at a moment of its own: anywhere, or while it writes."""
        process = subprocess.Popen([str(COMMAND), *map(str, words)], stdin=subprocess.DEVNULL,
                                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        if when_writing:
            end = time.monotonic() + 60
            while process.poll() is None and not hidden(folder) and time.monotonic() < end:
                time.sleep(0.0005)
            time.sleep(self.draw.uniform(0, 0.01))
        else:
            time.sleep(self.draw.uniform(0, 1.2 * self.takes))
        process.kill()
        process.wait()
        return process.returncode == -signal.SIGKILL

    def test_a_new_folder_is_there_with_everything_or_not_at_all(self):
        killed = 0
        for k in range(TRIES * 4 // 10):
            place = self.folder / f"new{k}"
            place.mkdir()
            killed += self.kill(["pack", self.cars[0], "-o", place / "out"], place, k % 2 == 0)
            if (place / "out").exists():
                self.assertEqual(contents(place / "out"), self.whole[0])
            self.assertLessEqual(set(contents_names(place)), {"out"})
        self.assertGreater(killed, TRIES * 4 // 10 // 4)

    def test_every_file_of_an_old_folder_is_the_old_or_the_new_one(self):
        killed = 0
        for k in range(TRIES * 3 // 10):
            place = self.folder / f"old{k}"
            shutil.copytree(self.folder / "whole1", place / "out")
            (place / "out" / "mine.txt").write_text("somebody's own")
            killed += self.kill(["pack", self.cars[0], "-o", place / "out"], place, k % 2 == 0)
            found = contents(place / "out")
            self.assertEqual(found.pop("mine.txt"), b"somebody's own")
            self.assertEqual(set(found), set(self.whole[0]))
            for name, data in found.items():
                self.assertIn(data, (self.whole[0][name], self.whole[1][name]), name)
        self.assertGreater(killed, TRIES * 3 // 10 // 4)

    def test_a_file_alone(self):
        whole = answer("report", self.cars[0])
        killed = 0
        for k in range(TRIES * 3 // 10):
            place = self.folder / f"file{k}"
            place.mkdir()
            had = k % 3 == 0
            if had:
                (place / "report.html").write_bytes(b"the old one")
            killed += self.kill(["report", self.cars[0], "-o", place / "report.html"], place, k % 2 == 0)
            found = contents(place)
            if had or found:
                self.assertIn(found.get("report.html"), (whole, b"the old one") if had else (whole,))
            self.assertLessEqual(set(found), {"report.html"})
        self.assertGreater(killed, TRIES * 3 // 10 // 4)

    def test_what_a_killed_run_left_behind_is_taken_away_by_a_later_one(self):
        place = self.folder / "left"
        place.mkdir()
        names = [place / ".out.Abc123", place / ".sizes.txt.Abc123"]
        names[0].mkdir()
        (names[0] / "cut-list.csv").write_text("half of a li")
        names[1].write_text("half of a li")
        others = [place / ".out.Abc12", place / ".out.Abc1234", place / ".output", place / ".out.Abc12!"]
        for path in others:
            path.write_text("somebody's own")
        for path in names + others:
            os.utime(path, (1_000_000_000, 1_000_000_000))
        answer("pack", self.cars[0], "-o", place / "out")
        answer("size", self.cars[0], "-o", place / "sizes.txt")
        self.assertEqual([path for path in names if path.exists()], [])
        self.assertEqual([path for path in others if not path.exists()], [])
        self.assertEqual(contents(place / "out"), self.whole[0])


def contents_names(folder):
    return [path.name for path in folder.iterdir() if not path.name.startswith(".")]


class InTheWay(CarTest):
    def tree(self):
        """Everything below the folder: bytes of files, targets of links, names of folders."""
        out = {}
        for path in sorted(self.folder.rglob("*")):
            name = path.relative_to(self.folder).as_posix()
            out[name] = os.readlink(path) if path.is_symlink() else path.read_bytes() if path.is_file() else None
        return out

    def refused(self, words, needle):
        before = self.tree()
        done = run(*words)
        self.assertEqual(done.returncode, 3, done.stderr.decode())
        self.assertIn(needle, done.stderr.decode())
        self.assertEqual(self.tree(), before)

    def test_a_file_where_a_folder_is_wanted(self):
        car = self.car()
        (self.folder / "out").write_text("a file")
        self.refused(["pack", car, "-o", self.folder / "out"], "is not a folder")
        self.refused(["pack", car, "-o", self.folder / "out" / "deeper"], "ot a")
        (self.folder / "dangling").symlink_to("nowhere")
        self.refused(["pack", car, "-o", self.folder / "dangling"], "is not a folder")

    def test_a_folder_where_a_file_is_wanted(self):
        car = self.car()
        (self.folder / "out" / "labels.csv").mkdir(parents=True)
        self.refused(["pack", car, "-o", self.folder / "out"], "labels.csv: is a folder")
        self.refused(["size", car, "-o", self.folder / "out"], "is a folder")

    def test_a_link_in_the_way_is_replaced_and_what_it_leads_to_stays(self):
        car = self.car()
        (self.folder / "precious.txt").write_text("precious")
        (self.folder / "out").mkdir()
        (self.folder / "out" / "labels.csv").symlink_to(self.folder / "precious.txt")
        (self.folder / "sizes.txt").symlink_to(self.folder / "precious.txt")
        answer("pack", car, "-o", self.folder / "out")
        answer("size", car, "-o", self.folder / "sizes.txt")
        self.assertEqual((self.folder / "precious.txt").read_text(), "precious")
        for path in (self.folder / "out" / "labels.csv", self.folder / "sizes.txt"):
            self.assertFalse(path.is_symlink())
            self.assertGreater(path.stat().st_size, 20)

    def test_the_answer_never_goes_onto_a_file_that_it_is_made_of(self):
        car = self.car()
        other = self.car(OTHER_LAMP, "other.yaml")
        readings = self.car("place,state,volts\nE1.+,lit,12\n", "readings.csv")
        (self.folder / "in").mkdir()
        before = self.tree()
        for words in (["check", car, "-o", car], ["size", car, "--json", "-o", self.folder / "in" / ".." / "car.yaml"],
                      ["compare", car, other, "-o", other], ["measure", car, readings, "-o", readings],
                      ["export", car, "--to", "csv", "-o", car]):
            with self.subTest(words=words):
                done = run(*words)
                self.assertEqual(done.returncode, 2, done.stderr.decode())
                self.assertIn(f"{words[-1]} is the file that was read: nothing was written", done.stderr.decode())
                self.assertIn("remedy: give -o another name", done.stderr.decode())
                self.assertEqual(done.stdout, b"")
                self.assertEqual(self.tree(), before)

    def test_an_empty_name_is_no_file_and_no_folder(self):
        car = self.car()
        before = self.tree()
        for words, said in ((["size", car, "-o", ""], "-o is given no file name"), (["new", ""], "no folder is named")):
            with self.subTest(words=words):
                done = run(*words, cwd=self.folder)
                self.assertEqual(done.returncode, 2, done.stderr.decode())
                self.assertIn(said, done.stderr.decode())
                self.assertEqual(self.tree(), before)

    def test_a_pipe_is_written_into_and_stays_a_pipe(self):
        car, pipe = self.car(), self.folder / "pipe"
        os.mkfifo(pipe)
        reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)  # so that the writer need not wait; 64 KiB fit
        self.addCleanup(os.close, reader)
        done = run("size", car, "-o", pipe)
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        self.assertTrue(stat.S_ISFIFO(pipe.lstat().st_mode))
        self.assertEqual(os.read(reader, 1 << 16), answer("size", car))
        self.assertEqual(self.names(), ["car.yaml", "pipe"])

    def test_a_folder_by_way_of_a_link_is_that_folder(self):
        car = self.car()
        (self.folder / "real").mkdir()
        (self.folder / "link").symlink_to("real")
        answer("pack", car, "-o", self.folder / "link")
        self.assertTrue((self.folder / "link").is_symlink())
        self.assertIn("labels.csv", contents(self.folder / "real"))

    def test_nothing_is_written_beside_the_folder_asked_for_nor_left_among_temporary_files(self):
        car = self.car()
        (self.folder / "tmp").mkdir()
        before = set(self.tree())
        for words in (["pack", car], ["export", car, "--to", "spice"]):
            out = self.folder / words[0]
            done = run(*words, "-o", f"{out}/", env={"TMPDIR": str(self.folder / "tmp")})
            self.assertEqual(done.returncode, 0, done.stderr.decode())
            new = set(self.tree()) - before
            self.assertTrue(new)
            self.assertTrue(all(name.split("/")[0] == words[0] for name in new), new)
            before |= new
        modes = {path.stat().st_mode & 0o777 for path in (self.folder / "pack").iterdir()}
        mask = os.umask(0)
        os.umask(mask)
        self.assertEqual(modes, {0o666 & ~mask})
        self.assertEqual((self.folder / "pack").stat().st_mode & 0o777, 0o777 & ~mask)

    def test_two_runs_at_once_into_one_folder_leave_the_files_of_one(self):
        cars = [self.car(ONE_LAMP, "one/car.yaml"), self.car(OTHER_LAMP, "other/car.yaml")]
        whole = []
        for i, car in enumerate(cars):
            answer("pack", car, "-o", self.folder / f"whole{i}")
            whole.append(contents(self.folder / f"whole{i}"))
        for k in range(8):
            place = self.folder / f"both{k}"
            place.mkdir()
            if k % 2:
                (place / "out").mkdir()
            runs = [subprocess.Popen([str(COMMAND), "pack", str(car), "-o", str(place / "out")],
                                     stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) for car in cars]
            for one in runs:
                self.assertEqual((one.communicate()[1], one.returncode), (b"", 0))
            self.assertIn(contents(place / "out"), whole)
            self.assertEqual(hidden(place), [])


class NoRoom(CarTest):
    def test_a_file_that_may_not_grow_so_large(self):
        car = self.car()

        def small_files():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
        for words in (["pack", car, "-o", self.folder / "out"], ["report", car, "-o", self.folder / "r.html"]):
            before = self.names()
            done = subprocess.run([str(COMMAND), *map(str, words)], capture_output=True, check=False,
                                  preexec_fn=small_files)
            self.assertEqual(done.returncode, 3, done.stderr)
            self.assertIn(b"too large", done.stderr)
            self.assertEqual(self.names(), before)

    def test_a_full_disk(self):
        """A disk of 64 KiB in memory, where this user may mount one."""
        libc = ctypes.CDLL(None, use_errno=True)
        disk = self.folder / "disk"
        disk.mkdir()
        if libc.mount(b"none", bytes(disk), b"tmpfs", 0, b"size=64k") != 0:
            self.skipTest(f"no disk can be mounted here: {os.strerror(ctypes.get_errno())}")
        self.addCleanup(libc.umount, bytes(disk))
        car = self.car()
        (disk / "keep.html").write_text("the old one")
        (disk / "out").mkdir()
        for words in (["pack", car, "-o", disk / "new"], ["pack", car, "-o", disk / "out"],
                      ["report", car, "-o", disk / "keep.html"]):
            before = {path.relative_to(disk) for path in disk.rglob("*")}
            done = run(*words)
            self.assertEqual(done.returncode, 3, done.stderr.decode())
            self.assertIn(b"No space left on device", done.stderr)
            self.assertEqual({path.relative_to(disk) for path in disk.rglob("*")}, before)
        self.assertEqual((disk / "keep.html").read_text(), "the old one")

    def test_a_folder_that_cannot_be_written(self):
        if os.geteuid() == 0 and not hasattr(os, "setuid"):
            self.skipTest("no other user to be")
        # A user who may do less than root must reach the command and the car.
        folder = pathlib.Path(tempfile.mkdtemp(prefix="loomwright-"))
        self.addCleanup(shutil.rmtree, folder, True)
        shutil.copy(COMMAND, folder / "loomwright")
        (folder / "car.yaml").write_text(ONE_LAMP)
        (folder / "locked").mkdir()
        (folder / "locked" / "sizes.txt").write_text("the old one")
        for path in (folder, folder / "locked"):
            path.chmod(0o555)
        self.addCleanup(folder.chmod, 0o755)

        def as_nobody():
            if os.geteuid() == 0:
                os.setgroups([])
                os.setgid(NOBODY)
                os.setuid(NOBODY)
        for words in (["size", "car.yaml", "-o", "locked/sizes.txt"], ["new", "locked"], ["new", "unmade"],
                      ["export", "car.yaml", "--to", "spice", "-o", "locked/"]):
            done = subprocess.run([str(folder / "loomwright"), *words], cwd=folder, capture_output=True,
                                  check=False, preexec_fn=as_nobody)
            self.assertEqual(done.returncode, 3, (words, done.stderr))
            self.assertIn(b"Permission denied", done.stderr)
        self.assertEqual(sorted(path.name for path in folder.iterdir()), ["car.yaml", "locked", "loomwright"])
        self.assertEqual([path.read_text() for path in (folder / "locked").iterdir()], ["the old one"])


if __name__ == "__main__":
    unittest.main()
