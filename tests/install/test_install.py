# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""`cmake --install` gives a copy that can be moved, and that other programs can build against."""

import json
import os
import pathlib
import re
import shutil
import tempfile
import unittest

from installed import BINARIES, BUILD, CMAKE, COMPILER, COMPLETIONS, GENERATOR, SOURCE, built_paths, ran

CONSUMER = SOURCE / "tests" / "install" / "consumer"
COMMAND = pathlib.Path(os.environ["LOOMWRIGHT"])


class Install(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.held = tempfile.TemporaryDirectory()
        folder = pathlib.Path(cls.held.name)
        ran(CMAKE, "--install", BUILD, "--prefix", folder / "first")
        cls.prefix = folder / "moved" / "here"  # nothing may know where it was installed
        cls.prefix.parent.mkdir()
        shutil.move(folder / "first", cls.prefix)
        cls.marlow = cls.prefix / "share/doc/loomwright/examples/marlow/marlow.yaml"

    @classmethod
    def tearDownClass(cls):
        cls.held.cleanup()

    def test_all_is_there(self):
        for name in (*BINARIES, "lib/libloomwright.a",
                     "include/loomwright/engine/engine.hpp", "lib/pkgconfig/loomwright.pc",
                     "lib/cmake/loomwright/loomwrightConfig.cmake", "share/man/man1/loomwright.1",
                     "share/man/man1/loomwright-check.1", "share/man/man1/loomwright-calc.1",
                     "share/doc/loomwright/copyright", "share/loomwright/vehicle.schema.json", *COMPLETIONS):
            self.assertTrue((self.prefix / name).is_file(), name)
        if shutil.which("lowdown"):
            self.assertTrue((self.prefix / "share/man/man5/loomwright-vehicle.5").is_file())
            self.assertTrue((self.prefix / "share/doc/loomwright/README.html").is_file())

    def test_every_example_is_there(self):
        examples = SOURCE / "examples"
        for path in sorted(examples.rglob("*.yaml")) + sorted(examples.rglob("*.csv")):
            there = self.prefix / "share/doc/loomwright/examples" / path.relative_to(examples)
            self.assertEqual(there.read_bytes(), path.read_bytes())

    def test_nothing_knows_where_it_was_built(self):
        self.assertEqual(built_paths(self.prefix), [])
        text = b"".join(path.read_bytes() for path in (self.prefix / "lib").rglob("*")
                        if path.suffix in (".cmake", ".pc"))
        self.assertNotIn(str(self.prefix.parent.parent / "first").encode(), text)

    def test_the_command_answers_and_draws(self):
        command = self.prefix / "bin/loomwright"
        self.assertIn(b"loomwright ", ran(command, "--version"))
        ran(command, "check", self.marlow)
        self.assertIn(b"<svg", ran(command, "draw", self.marlow, "-o", "-"))

    def test_headers_name_each_other_by_their_installed_names(self):
        headers = sorted((self.prefix / "include").rglob("*.hpp"))
        self.assertGreater(len(headers), 20)
        for header in headers:
            for name in re.findall(r'#include "([^"]+)"', header.read_text()):
                self.assertTrue((self.prefix / "include" / name).is_file(), f"{header}: {name}")

    def check_consumer(self, program, folder):
        """Its answers are those of the command, byte for byte."""
        out = folder / "out"
        out.mkdir()
        said = ran(program, self.marlow, out).decode()
        findings = ran(COMMAND, "check", self.marlow, "--json", statuses=(0, 1))
        self.assertEqual(said, f"{len(json.loads(findings)['findings'])} findings\n")
        self.assertEqual((out / "findings.json").read_bytes(), findings)
        self.assertEqual((out / "sizes.json").read_bytes(), ran(COMMAND, "size", self.marlow, "--json"))
        self.assertEqual((out / "feeds.svg").read_bytes(), ran(COMMAND, "draw", self.marlow, "-o", "-"))

    def test_a_program_by_find_package(self):
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            ran(CMAKE, "-S", CONSUMER, "-B", folder / "build", "-G", GENERATOR,
                f"-DCMAKE_PREFIX_PATH={self.prefix}", f"-DCMAKE_CXX_COMPILER={COMPILER}")
            ran(CMAKE, "--build", folder / "build")
            self.check_consumer(folder / "build" / "consumer", folder)

    def test_a_program_by_pkg_config_alone(self):
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            environment = {**os.environ, "PKG_CONFIG_PATH": str(self.prefix / "lib/pkgconfig")}
            flags = ran("pkg-config", "--cflags", "--libs", "loomwright", env=environment).decode().split()
            ran(COMPILER, "-std=c++20", CONSUMER / "main.cpp", "-o", folder / "consumer", *flags)
            self.check_consumer(folder / "consumer", folder)

    def test_another_version_is_not_taken(self):
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            (folder / "CMakeLists.txt").write_text(
                "cmake_minimum_required(VERSION 3.23)\nproject(c LANGUAGES CXX)\n"
                "find_package(loomwright 99.0 QUIET)\n"
                'if(loomwright_FOUND)\n  message(FATAL_ERROR "taken")\nendif()\n')
            ran(CMAKE, "-S", folder, "-B", folder / "b", "-G", GENERATOR,
                f"-DCMAKE_PREFIX_PATH={self.prefix}", f"-DCMAKE_CXX_COMPILER={COMPILER}")


if __name__ == "__main__":
    unittest.main()
