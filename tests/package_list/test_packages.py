# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What is installed, what docs/dependencies.md says of it and what the build files and include lines
use are one list."""

import os
import pathlib
import re
import shutil
import subprocess
import unittest

SOURCE = pathlib.Path(os.environ.get("LOOMWRIGHT_SOURCE_DIR", pathlib.Path(__file__).parents[2])).resolve()

# What a build file asks for -> the package that has it. Empty: part of the compiler, of CMake, or what is
# installed from here.
ASKED = {"loomwright": "", "Threads": "", "fmt": "libfmt-dev", "yaml-cpp": "libyaml-cpp-dev", "Boost": "libboost-graph-dev",
         "Eigen3": "libeigen3-dev", "amd": "libsuitesparse-dev", "CLI11": "libcli11-dev", "doctest": "doctest-dev",
         "nlohmann_json": "nlohmann-json3-dev", "benchmark": "libbenchmark-dev",
         "rapidcheck": "librapidcheck-dev", "PkgConfig": "pkg-config", "libgvc": "libgraphviz-dev",
         "libcgraph": "libgraphviz-dev", "cairo": "libcairo2-dev", "xlsxwriter": "libxlsxwriter-dev",
         "BZip2": "libbz2-dev", "ZLIB": "zlib1g-dev", "LAPACK": "liblapack-dev",
         "python3": "python3", "cpp-httplib": "libcpp-httplib-dev", "mimalloc": "libmimalloc-dev", "node": "nodejs", "clang-tidy": "clang-tidy", "ngspice": "ngspice", "lowdown": "lowdown"}
# The beginning of an include path -> the package that has it.
INCLUDED = {"fmt/": "libfmt-dev", "yaml-cpp/": "libyaml-cpp-dev", "boost/": "libboost-graph-dev",
            "Eigen/": "libeigen3-dev", "nlohmann/": "nlohmann-json3-dev", "CLI/": "libcli11-dev", "httplib.h": "libcpp-httplib-dev", "mimalloc.h": "libmimalloc-dev",
            "kainjow/": "libkainjow-mustache-dev", "graphviz/": "libgraphviz-dev",
            "cairo": "libcairo2-dev", "xlsxwriter": "libxlsxwriter-dev", "suitesparse/": "libsuitesparse-dev",
            "CbcModel": "coinor-libcbc-dev", "OsiClp": "coinor-libclp-dev",
            "doctest/": "doctest-dev", "rapidcheck": "librapidcheck-dev", "benchmark/": "libbenchmark-dev"}


def listed():
    """Package -> group, of .ci/packages."""
    rows = [line.split() for line in (SOURCE / ".ci" / "packages").read_text().splitlines()
            if line.strip() and not line.startswith("#")]
    return {row[1]: row[0] for row in rows}


def commands_that_suffice():
    """Package -> the command that may be there from elsewhere, of .ci/packages."""
    rows = [line.split() for line in (SOURCE / ".ci" / "packages").read_text().splitlines()
            if line.strip() and not line.startswith("#")]
    return {row[1]: row[2] for row in rows if len(row) > 2}


def documented():
    """Packages of the tables of docs/dependencies.md, with the number of filled cells beside each."""
    found = {}
    for line in (SOURCE / "docs" / "dependencies.md").read_text().splitlines():
        match = re.match(r"\| `([^`]+)` \|(.*)\|$", line)
        if match:
            found[match.group(1)] = [cell.strip() for cell in match.group(2).split("|")]
    return found


def sources(*endings):
    for top in ("lib", "cli", "tests", "cmake"):
        for path in sorted((SOURCE / top).rglob("*")):
            if path.name.endswith(endings) and path.is_file():
                yield path, path.read_text(encoding="utf-8")
    yield SOURCE / "CMakeLists.txt", (SOURCE / "CMakeLists.txt").read_text()


class Packages(unittest.TestCase):
    def test_the_list_and_the_page_agree(self):
        self.assertEqual(sorted(listed()), sorted(documented()))

    def test_each_has_a_licence_and_a_reason(self):
        for package, cells in documented().items():
            self.assertTrue(cells[0] and cells[-1], package)

    def test_what_build_files_ask_for_is_listed(self):
        for path, text in sources("CMakeLists.txt", ".cmake"):
            asked = re.findall(r"find_package\(\s*(\S+?)[\s)]", text)
            asked += re.findall(r"find_program\(\s*\S+\s+NAMES\s+(\S+?)[\s)]", text)
            for modules in re.findall(r"pkg_check_modules\(\s*\S+\s+([^)]*)\)", text):
                asked += [word.split(">")[0] for word in modules.split()
                          if word not in ("REQUIRED", "IMPORTED_TARGET", "QUIET", "GLOBAL")]
            for name in asked:
                with self.subTest(file=str(path.relative_to(SOURCE)), asked=name):
                    self.assertIn(name, ASKED)
                    self.assertTrue(ASKED[name] == "" or ASKED[name] in listed())

    def test_what_is_included_is_listed_and_what_is_listed_is_included(self):
        used = set()
        for _, text in sources(".cpp", ".hpp"):
            for name in re.findall(r"^\s*#\s*include\s*<([^>]+)>", text, re.MULTILINE):
                used |= {package for start, package in INCLUDED.items() if name.startswith(start)}
        self.assertEqual(sorted(used), sorted(set(INCLUDED.values()) & set(listed())))

    def test_all_are_installed_here(self):
        if shutil.which("dpkg-query") is None:
            self.skipTest("not a Debian system")
        for package, group in listed().items():
            if group == "lint" or shutil.which(commands_that_suffice().get(package, "/")):
                continue
            done = subprocess.run(["dpkg-query", "-W", "-f", "${db:Status-Status}", package],
                                  capture_output=True, text=True, check=False)
            self.assertEqual(done.stdout, "installed", package)


if __name__ == "__main__":
    unittest.main()
