# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""watch: checks again on every save, in whatever way an editor saves; what it shows is reached from
this machine alone."""

import http.client
import json
import os
import pathlib
import re
import signal
import socket
import subprocess
import tempfile
import threading
import time
import queue
import unittest

from car import COMMAND, ONE_LAMP, answer_json, run

PATIENCE = 30  # seconds, for a machine that is busy


class Watching:
    """A running `watch` with the lines that it says."""

    def __init__(self, *words):
        self.process = subprocess.Popen([str(COMMAND), "watch", *map(str, words)], stdin=subprocess.DEVNULL,
                                        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8")
        self.lines, self.errors = queue.Queue(), queue.Queue()
        for stream, lines in ((self.process.stdout, self.lines), (self.process.stderr, self.errors)):
            threading.Thread(target=lambda s=stream, q=lines: [q.put(line) for line in s], daemon=True).start()

    def until(self, pattern, of=None):
        """The lines up to one that fits."""
        seen, end = [], time.monotonic() + PATIENCE
        while time.monotonic() < end:
            try:
                seen.append((of or self.lines).get(timeout=0.2))
            except queue.Empty:
                if self.process.poll() is not None:
                    break
                continue
            if re.search(pattern, seen[-1]):
                return seen
        raise AssertionError(f"no line fits {pattern!r} after {''.join(seen)!r}")

    def end(self):
        self.process.send_signal(signal.SIGTERM)
        status = self.process.wait(PATIENCE)
        self.process.stdout.close()
        self.process.stderr.close()
        return status

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.end()


COUNT = r"^(no findings|\d+ (danger|fault|caution|note|error))"


class Watch(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="loomwright-")
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)
        self.car = self.folder / "car.yaml"
        self.car.write_text(ONE_LAMP, encoding="utf-8")

    def with_small_fuse(self):
        return ONE_LAMP.replace("rating: 10 A", "rating: 3 A")

    def test_says_what_is_new_and_what_is_gone(self):
        with Watching(self.car) as watch:
            first = watch.until(COUNT)
            self.car.write_text(self.with_small_fuse(), encoding="utf-8")
            after = watch.until(COUNT)
            self.assertTrue(any(line.startswith("new: ") and "[fuse-loading] F1" in line for line in after), after)
            self.car.write_text(ONE_LAMP, encoding="utf-8")
            back = watch.until(COUNT)
            self.assertTrue(any(re.match(r"gone: \w+\[fuse-loading\] F1: ", line) for line in back), back)
            self.assertEqual(back[-1], first[-1])
            self.assertEqual(watch.end(), 0)

    def test_every_way_of_saving_is_seen(self):
        def in_place(text):
            self.car.write_text(text, encoding="utf-8")

        def put_in_its_place(text):
            other = self.folder / "car.yaml~new"
            other.write_text(text, encoding="utf-8")
            os.replace(other, self.car)

        def moved_away_first(text):
            os.replace(self.car, self.folder / "car.yaml~")
            self.car.write_text(text, encoding="utf-8")

        for save in (in_place, put_in_its_place, moved_away_first):
            with self.subTest(save.__name__):
                self.car.write_text(ONE_LAMP, encoding="utf-8")
                with Watching(self.car) as watch:
                    watch.until(COUNT)
                    save(self.with_small_fuse())
                    watch.until(r"\[fuse-loading\] F1")

    def test_a_file_that_cannot_be_read_is_told_and_forgotten_when_it_can(self):
        with Watching(self.car) as watch:
            watch.until(COUNT)
            self.car.write_text(ONE_LAMP.replace("devices:", "devcies:"), encoding="utf-8")
            told = "".join(watch.until(r"^\d+ errors? in the input"))
            self.assertIn("car.yaml:10:1: error[unknown-key]", told)
            self.assertNotIn("gone:", told)
            self.car.write_text(ONE_LAMP, encoding="utf-8")
            self.assertIn("nothing changed", "".join(watch.until(COUNT)))
            self.car.unlink()
            told = "".join(watch.until(r"^\d+ errors? in the input"))
            self.assertIn("error[bad-file]", told)
            self.assertIn("it cannot be read: ", told)
            self.assertIn("give the path of a vehicle file that can be read", told)
            self.car.write_text(ONE_LAMP, encoding="utf-8")
            self.assertIn("nothing changed", "".join(watch.until(COUNT)))

    def test_parts_files_are_watched_too_also_those_that_are_not_there_yet(self):
        self.car.write_text("loomwright: 1\ninclude: [parts.yaml]\n" + ONE_LAMP.split("\n", 1)[1], encoding="utf-8")
        with Watching(self.car) as watch:
            watch.until(r"^\d+ errors? in the input")
            (self.folder / "parts.yaml").write_text("parts: {}\n", encoding="utf-8")
            watch.until(COUNT)

    def test_other_files_of_the_folder_wake_nothing(self):
        with Watching(self.car) as watch:
            watch.until(COUNT)
            (self.folder / "notes.txt").write_text("x", encoding="utf-8")
            time.sleep(0.6)
            self.assertTrue(watch.lines.empty())

    def test_json_gives_a_line_for_each_check(self):
        with Watching(self.car, "--json") as watch:
            first = json.loads(watch.until(r"^\{")[-1])
            whole = answer_json("check", self.car, "--json")
            self.assertEqual(first["new"], whole["findings"])
            self.assertEqual(first["counts"], whole["counts"])
            self.car.write_text(self.with_small_fuse(), encoding="utf-8")
            second = json.loads(watch.until(r"^\{")[-1])
            self.assertIn(("fuse-loading", "F1"), {(one["rule"], one["subject"]) for one in second["new"]})
            self.assertEqual(second["gone"], [])

    def test_bad_words_are_told(self):
        for words in (["-"], [self.car, "--port", "80"], [self.car, "--serve", "--port", "70000"],
                      [self.car, "--serve", "--port", "x"]):
            done = run("watch", *words)
            self.assertEqual(done.returncode, 2, words)
            self.assertTrue(done.stderr)

    def served(self, watch):
        line = watch.until(r"http://127\.0\.0\.1:\d+/", watch.errors)[-1]
        return int(re.search(r":(\d+)/", line).group(1))

    @staticmethod
    def ask(port, path="/", method="GET", host=None):
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        connection.putrequest(method, path, skip_host=True)
        connection.putheader("Host", host or f"127.0.0.1:{port}")
        connection.endheaders()
        response = connection.getresponse()
        body = response.read()
        connection.close()
        return response, body

    def test_serves_the_report_and_a_number_that_grows(self):
        with Watching(self.car, "--serve") as watch:
            port = self.served(watch)
            response, page = self.ask(port)
            self.assertEqual(response.status, 200)
            self.assertEqual(response.getheader("Content-Type"), "text/html; charset=utf-8")
            self.assertIn(b"One lamp", page)
            _, before = self.ask(port, "/version")
            self.car.write_text(ONE_LAMP.replace("title: One lamp", "title: Another"), encoding="utf-8")
            end = time.monotonic() + PATIENCE
            while self.ask(port, "/version")[1] == before and time.monotonic() < end:
                time.sleep(0.05)
            self.assertIn(b"Another", self.ask(port)[1])

    def test_other_hosts_and_other_verbs_are_refused(self):
        with Watching(self.car, "--serve") as watch:
            port = self.served(watch)
            for host in ("example.invalid", f"example.invalid:{port}", "127.0.0.1", "localhost"):
                self.assertEqual(self.ask(port, host=host)[0].status, 403, host)
            self.assertEqual(self.ask(port, host=f"localhost:{port}")[0].status, 200)
            for method in ("POST", "PUT", "DELETE"):
                self.assertEqual(self.ask(port, method=method)[0].status, 403, method)
            for path in ("/../car.yaml", "/car.yaml", "/%2e%2e/etc/passwd"):
                self.assertEqual(self.ask(port, path)[0].status, 404, path)

    def test_nothing_is_reached_from_other_machines(self):
        with Watching(self.car, "--serve") as watch:
            port = self.served(watch)
            # What the machine itself says of who listens: 127.0.0.1 and nothing else.
            listening = []
            for table in ("/proc/net/tcp", "/proc/net/tcp6"):
                rows = pathlib.Path(table).read_text().splitlines()[1:] if os.path.exists(table) else []
                listening += [row.split()[1] for row in rows if row.split()[3] == "0A"]
            self.assertEqual([one for one in listening if one.endswith(f":{port:04X}")], [f"0100007F:{port:04X}"])
            # And the machine's other addresses answer nothing there.
            for _, _, _, _, (address, *_) in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
                if not address.startswith("127."):
                    with self.assertRaises(OSError):
                        socket.create_connection((address, port), timeout=2).close()

    def test_a_port_that_is_taken_is_told(self):
        with socket.socket() as taken:
            taken.bind(("127.0.0.1", 0))
            taken.listen()
            port = taken.getsockname()[1]
            with Watching(self.car, "--serve", "--port", port) as watch:
                watch.until(rf"port {port} of 127\.0\.0\.1 cannot be had", watch.errors)
                self.assertEqual(watch.process.wait(PATIENCE), 3)


if __name__ == "__main__":
    unittest.main()
