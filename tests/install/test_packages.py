# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The Debian packages: what is in them, what they say of themselves, and that what the program loads
belongs to a package they depend on."""

import pathlib
import re
import shutil
import tempfile
import unittest

from installed import BINARIES, BUILD, COMPLETIONS, CPACK, built_paths, ran

TOOLS = ("dpkg-deb", "dpkg-shlibdeps", "dpkg-query", "ldd")


def fields(package):
    """The control fields of a package file."""
    text = ran("dpkg-deb", "--field", package).decode()
    return dict(re.findall(r"(?m)^([A-Za-z-]+): ((?:.*\n?)(?: .*\n?)*)", text))


def named(relation):
    """The package names of a relation field."""
    return {re.split(r"[\s(:]", part.strip())[0] for part in re.split(r"[,|]", relation) if part.strip()}


@unittest.skipUnless(all(shutil.which(tool) for tool in TOOLS), "not a Debian system")
class Packages(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.held = tempfile.TemporaryDirectory()
        cls.folder = pathlib.Path(cls.held.name)
        # Pressed less than those that are given away: that takes most of the time.
        ran(CPACK, "-G", "DEB", "-B", cls.folder / "made", "--config", BUILD / "CPackConfig.cmake",
            "-D", "CPACK_DEBIAN_COMPRESSION_TYPE=gzip", cwd=BUILD)
        made = sorted((cls.folder / "made").glob("*.deb"))
        cls.program = next(path for path in made if path.name.startswith("loomwright_"))
        cls.library = next(path for path in made if path.name.startswith("libloomwright-dev_"))
        cls.root = cls.folder / "root"
        for package in (cls.program, cls.library):
            ran("dpkg-deb", "--extract", package, cls.root)

    @classmethod
    def tearDownClass(cls):
        cls.held.cleanup()

    def test_names_and_fields(self):
        for package, name, section in ((self.program, "loomwright", "electronics"),
                                       (self.library, "libloomwright-dev", "libdevel")):
            told = fields(package)
            self.assertEqual(told["Package"].strip(), name)
            self.assertEqual(told["Section"].strip(), section)
            self.assertRegex(told["Version"], r"^\d+\.\d+\.\d+-1\n")
            self.assertRegex(told["Maintainer"], r"^Loomwright contributors <\S+@\S+>\n")
            summary, *more = told["Description"].splitlines()
            self.assertLess(len(summary), 80)
            self.assertGreaterEqual(len(more), 2)
            architecture = ran("dpkg", "--print-architecture").decode()
            self.assertEqual(told["Architecture"], architecture)

    def test_what_is_in_which(self):
        program = ran("dpkg-deb", "--contents", self.program).decode()
        library = ran("dpkg-deb", "--contents", self.library).decode()
        for name in (*BINARIES, "share/man/man1/loomwright.1", "share/doc/loomwright/copyright",
                     "share/doc/loomwright/examples/marlow/marlow.yaml",
                     *COMPLETIONS):
            self.assertIn(f"./usr/{name}\n", program)
        for name in ("lib/libloomwright.a", "include/loomwright/engine/engine.hpp",
                     "lib/pkgconfig/loomwright.pc", "share/doc/libloomwright-dev/copyright"):
            self.assertIn(f"./usr/{name}\n", library)
            self.assertNotIn(f"./usr/{name}\n", program)

    def test_everything_is_the_machine_s_and_readable(self):
        for package in (self.program, self.library):
            for line in ran("dpkg-deb", "--contents", package).decode().splitlines():
                self.assertRegex(line, r"^[d-]rw[x-]r-[x-]r-[x-] root/root ", line)

    def test_nothing_knows_where_it_was_built(self):
        self.assertEqual(built_paths(self.root), [])

    def test_each_library_belongs_to_a_package_depended_on(self):
        depends = named(fields(self.program)["Depends"])
        self.assertIn("fonts-dejavu-core", depends)
        for binary in BINARIES:
            needed = re.findall(r"NEEDED\s+(\S+)", ran("objdump", "-p", self.root / "usr" / binary).decode())
            self.assertTrue(needed)
            loaded = dict(re.findall(r"(\S+) => (\S+)", ran("ldd", self.root / "usr" / binary).decode()))
            for library in needed:
                if library.startswith("ld-linux"):
                    continue
                owners = self.owners(pathlib.Path(loaded[library]))
                self.assertTrue((owners | self.provided(owners)) & depends,
                                f"{binary} needs {library} of {owners}, which is not among {depends}")

    @staticmethod
    def owners(path):
        """The packages that a file is of. dpkg knows it by the path it was packed under, from before
        /lib became a link to /usr/lib."""
        names = {str(path), str(path.resolve())}
        names |= {"/usr" + name for name in names} | {re.sub("^/usr", "", name) for name in names}
        found = ran("dpkg-query", "-S", *sorted(names), statuses=(0, 1)).decode()
        return {line.split(":")[0] for line in found.splitlines()}

    @staticmethod
    def provided(packages):
        """What these packages stand for too: liblapack3 is liblapack.so.3."""
        return named(ran("dpkg-query", "-W", "-f", "${Provides},", *sorted(packages), statuses=(0, 1)).decode())

    def test_the_library_s_package_brings_what_it_is_linked_with(self):
        told = named(fields(self.library)["Depends"])
        self.assertIn("loomwright", told)
        flags = (self.root / "usr/lib/pkgconfig/loomwright.pc").read_text()
        for package in sorted(told - {"loomwright"}):
            self.assertEqual(ran("dpkg-query", "-W", "-f", "${db:Status-Status}", package), b"installed")
        owned = "".join(ran("dpkg-query", "-L", package).decode() for package in told - {"loomwright"})
        for name in re.findall(r"-l:?([A-Za-z0-9.+-]+)", flags):
            if name in ("loomwright", "dl"):
                continue
            file_name = name if name.endswith(".a") else f"lib{name}.so"
            is_alternative = file_name == "liblapack.so"  # a link that update-alternatives makes
            self.assertTrue(f"/{file_name}\n" in owned or is_alternative, file_name)


if __name__ == "__main__":
    unittest.main()
