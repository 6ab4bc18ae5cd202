# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What the mutation check finds to change, and what it leaves alone; and, given a build, that what it makes
of a file of the solver compiles."""

import pathlib
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import sites  # noqa: E402
import workshop  # noqa: E402

CODE = r'''// a + b, 1 < 2
#include <vector> // 3
static_assert(sizeof(int) == 4);
/* x * y
   7 */
namespace n {
const char* const text = "a + b 12"; const int worded = 5;
const char letter = 'a';
[[nodiscard]] bool f(const std::vector<int>& a, double* b, int&& c) {
    assert(a.size() > 3);
    if (a.size() > 2 && !g(c)) {
        return true;
    }
    for (int k = 0; k < 10; ++k) {
        *b = std::max(-*b, 1e-3 * c);
    }
    return false;
}
}
'''


class Sites(unittest.TestCase):
    def setUp(self):
        self.found = [(line, before) for _, line, before, _ in sites.found_sites(CODE)]

    def test_nothing_in_comments_strings_includes_assertions_and_wording(self):
        self.assertEqual({line for line, _ in self.found}, {11, 12, 14, 15, 17})

    def test_every_kind_is_found(self):
        line = lambda number: [before for where, before in self.found if where == number]  # noqa: E731
        self.assertEqual(line(11), ["a.size() > 2 && !g(c)", ">", "2", "&&", "!"])
        self.assertEqual(line(12), ["true"])
        self.assertEqual(line(14), ["0", "<", "10", "++"])
        self.assertEqual(line(15), ["max", "1e-3", "*"])
        self.assertEqual(line(17), ["false"])

    def test_brackets_of_templates_pointers_and_references_stay(self):
        self.assertEqual(sites.found_sites("std::map<int, std::array<double, 3>> f(T&& a, char* b, int& c);\n"), [])

    def test_other_numbers(self):
        self.assertEqual(sites.other_number("0"), ["1"])
        self.assertEqual(sites.other_number("1U"), ["0U", "2U"])
        self.assertEqual(sites.other_number("0.0"), ["1.0"])
        self.assertEqual(sites.other_number("40'000"), ["40001", "39999"])
        self.assertEqual(sites.other_number("1e-3"), ["0.0015", "0.0005"])

    def test_a_change_is_one_word(self):
        for name, site in sites.chosen_sites({"a": CODE}, 1):
            self.assertEqual(name, "a")
            other = sites.changed(CODE, site)
            self.assertNotEqual(other, CODE)
            self.assertEqual(other[: site.start], CODE[: site.start])
            self.assertTrue(other.endswith(CODE[site.start + len(site.before) :]))

    def test_the_choice_is_the_seed_s_and_spread_by_lines(self):
        texts = {"long": CODE * 30, "short": CODE * 3}
        self.assertEqual(sites.chosen_sites(texts, 5), sites.chosen_sites(texts, 5))
        self.assertNotEqual(sites.chosen_sites(texts, 5), sites.chosen_sites(texts, 6))
        first = [name for name, _ in sites.chosen_sites(texts, 5)[:44]]
        self.assertTrue(36 <= first.count("long") <= 43, first.count("long"))


class OneMutant(unittest.TestCase):
    BUILD = None

    def test_compiles_and_differs(self):
        if self.BUILD is None:
            self.skipTest("no build folder was named")
        shop = workshop.Workshop(pathlib.Path(self.BUILD))
        name = "lib/solve/laws.cpp"
        path = shop.source / name
        text = path.read_text()
        self.assertTrue(sites.found_sites((shop.source / "lib/solve/heat.cpp").read_text()))
        self.addCleanup(shop.close)
        plain = shop.compile(name, text)
        self.assertIsNotNone(plain)
        again = plain.read_bytes()
        self.assertEqual(shop.compile(name, text).read_bytes(), again)
        self.assertIsNone(shop.compile(name, text + "\nnonsense\n"))
        other = text.replace("return law_current(law, a, b, c, volts, 0.0);",
                             "return law_current(law, a, b, c, volts, 1.0);")
        self.assertNotEqual(other, text)
        self.assertNotEqual(shop.compile(name, other).read_bytes(), again)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        OneMutant.BUILD = sys.argv.pop(1)
    unittest.main()
