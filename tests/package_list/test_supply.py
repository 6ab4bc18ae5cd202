# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What CMake linked is what docs/dependencies.md lists, under the licences that the packages themselves state; and
neither a build nor a run asks anything of a network."""

import os
import pathlib
import re
import shutil
import subprocess
import unittest

from test_packages import SOURCE, documented, listed

COMMAND = pathlib.Path(os.environ.get("LOOMWRIGHT", SOURCE / "build/ci/cli/loomwright")).resolve()
BUILD = COMMAND.parents[1]
# What comes with the compiler and the machine's C library.
OF_THE_COMPILER = {"gcc-12", "glibc", "llvm-toolchain-14"}
# The words of a licence by which a package's own copyright file shows it.
WORDS = {"MIT": "MIT|Expat|Permission is hereby granted, free of charge", "BSD": "BSD|Redistributions? (of|in)|Redistribution and use",
         "LGPL": "Lesser General|LGPL", "GPL": "General Public License|GPL", "Apache": "Apache", "EPL": "Eclipse Public|EPL",
         "MPL": "Mozilla Public|MPL", "BSL-1.0": "Boost Software|BSL", "Zlib": "zlib|Zlib|as-is", "PSF": "PSF|Python Software",
         "ISC": "ISC|Permission to use, copy, modify", "bzip2": "bzip2", "Bitstream": "Bitstream", "Artistic": "Artistic"}
# Calls that speak to other machines or wait for them.
NETWORK_CALLS = {"socket", "connect", "bind", "listen", "accept", "accept4", "getaddrinfo", "gethostbyname", "sendto", "recvfrom"}
FETCHES = re.compile(r"FetchContent|ExternalProject|file\(\s*DOWNLOAD|\bcurl\b|\bwget\b|git clone|pip3? install|npm (ci|install)")


def dpkg(*words):
    return subprocess.run(["dpkg-query", *words], capture_output=True, text=True, check=False).stdout


def owners(paths):
    """Path -> packages that it belongs to, by its own name or where its links lead, with or without /usr."""
    names = {path: {name.removeprefix(cut) for name in (path, os.path.realpath(path)) for cut in ("", "/usr")}
             for path in paths}
    found = {}
    for line in dpkg("-S", *sorted(set().union(*names.values()))).splitlines():
        packages, name = line.split(": ", 1)
        found[name] = {owner.strip().split(":")[0] for owner in packages.split(",")}
    return {path: set().union(*(found.get(name, set()) for name in names[path])) for path in paths}


def sources_of(packages):
    return {package.split(":")[0]: source for package, source in
            (line.split(" ") for line in dpkg("-W", "-f", "${Package} ${source:Package}\n", *packages).splitlines())}


def copyright_of(package):
    """What a package says of its licence; one that only brings another (clang: clang-14), what that says."""
    depends = re.findall(r"[a-z0-9][a-z0-9.+-]+", dpkg("-W", "-f", "${Depends}", package))
    paths = [pathlib.Path("/usr/share/doc") / name / "copyright" for name in (package, *depends[:2])]
    return "\n".join(path.read_text(errors="replace") for path in paths if path.is_file())


def linked_files():
    """Paths outside the build folder that any edge of build.ninja links."""
    text = (BUILD / "build.ninja").read_text()
    found = set()
    for line in re.findall(r"^  LINK_LIBRARIES = (.*)$", text, re.MULTILINE):
        found |= {word for word in line.split() if word.startswith("/") and not word.startswith(str(BUILD))}
    return sorted(found)


@unittest.skipIf(shutil.which("dpkg-query") is None, "not a Debian system")
class Licences(unittest.TestCase):
    def test_what_is_linked_comes_of_a_listed_package(self):
        files = linked_files()
        self.assertGreater(len(files), 8)
        owned = owners(files)
        sources = sources_of([*listed(), *set().union(*owned.values())])
        allowed = {sources[package] for package in listed() if package in sources} | OF_THE_COMPILER
        for file, packages in owned.items():
            with self.subTest(file):
                self.assertTrue(packages, "no package has it")
                self.assertTrue({sources[package] for package in packages} & allowed, packages)

    def test_the_licence_is_in_the_package_s_own_words(self):
        for package, cells in documented().items():
            said = copyright_of(package)
            if not said:
                continue  # installed from elsewhere, or a tool of another group
            licence = re.sub(r"\(.*?\)", "", cells[0])
            words = [pattern for start, pattern in WORDS.items() if re.search(rf"(?<![A-Z]){re.escape(start)}", licence)]
            with self.subTest(package):
                self.assertTrue(words, f"no words are known for {cells[0]}")
                self.assertTrue(all(re.search(pattern, said) for pattern in words), cells[0])


class NoNetwork(unittest.TestCase):
    def test_build_files_fetch_nothing(self):
        paths = [SOURCE / "CMakeLists.txt", SOURCE / "CMakePresets.json", SOURCE / "tests/run", SOURCE / "examples/run"]
        for top in ("lib", "cli", "tests", "cmake", "docs"):
            paths += sorted((SOURCE / top).rglob("CMakeLists.txt")) + sorted((SOURCE / top).rglob("*.cmake"))
        self.assertGreater(len(paths), 30)
        for path in paths:
            found = FETCHES.search(path.read_text())
            self.assertIsNone(found, f"{path}: {found}")

    def test_only_the_part_that_serves_a_page_can_open_a_connection(self):
        parts = [COMMAND, *BUILD.rglob("loomwright_*.so")]
        self.assertGreaterEqual(len(parts), 3)
        for part in parts:
            names = subprocess.run(["nm", "-D", "--undefined-only", part], capture_output=True, text=True, check=True).stdout
            calls = {line.split()[-1].split("@")[0] for line in names.splitlines()} & NETWORK_CALLS
            needs = subprocess.run(["readelf", "-d", part], capture_output=True, text=True, check=True).stdout
            self.assertEqual(bool(calls) or "httplib" in needs, part.name == "loomwright_serving.so", (part.name, calls))

    def test_it_works_where_there_is_no_network_at_all(self):
        car = SOURCE / "examples/marlow/marlow.yaml"
        alone = ["unshare", "--net", "--map-root-user"]
        if shutil.which("unshare") is None or subprocess.run([*alone, "true"], capture_output=True, check=False).returncode:
            self.skipTest("a process cannot be cut off from the network here")
        for words in (["check", car, "--json"], ["report", car, "--no-faults"]):
            cut_off = subprocess.run([*alone, COMMAND, *words], capture_output=True, check=False)
            at_home = subprocess.run([COMMAND, *words], capture_output=True, check=False)
            self.assertEqual((cut_off.returncode, cut_off.stdout), (at_home.returncode, at_home.stdout))
            self.assertTrue(cut_off.stdout)


if __name__ == "__main__":
    unittest.main()
