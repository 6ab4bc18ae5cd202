# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Plants what each rule of the tree forbids and sees it caught, and what it allows and sees it pass."""

import unittest

import rules

ROOMS = ["base", "diag", "model", "yaml", "loom", "network", "solve", "study", "sheets", "engine", "cli"]


def complaints(path, line, uses=None):
    return rules.check_includes(path, f"#pragma once\n{line}\n", ROOMS, uses or {})


class Includes(unittest.TestCase):
    def assert_caught(self, path, line, word, uses=None):
        found = complaints(path, line, uses)
        self.assertEqual(len(found), 1, found)
        self.assertIn(word, found[0])
        self.assertTrue(found[0].startswith(f"{path}:2: "), found[0])

    def assert_allowed(self, path, line, uses=None):
        self.assertEqual(complaints(path, line, uses), [])

    def test_downward_is_allowed(self):
        self.assert_allowed("lib/study/a.cpp", '#include "solve/heat.hpp"')
        self.assert_allowed("lib/study/a.hpp", '#include "study/b.hpp"')
        self.assert_allowed("cli/a.cpp", '#include "engine/engine.hpp"')
        self.assert_allowed("cli/a.cpp", '#include "files.hpp"')

    def test_upward_is_caught(self):
        self.assert_caught("lib/base/a.hpp", '#include "diag/finding.hpp"', "may not include from diag")
        self.assert_caught("lib/model/a.cpp", '  #  include "study/a.hpp"', "may not include from study")
        self.assert_caught("lib/engine/a.cpp", '#include "cli/files.hpp"', "may not include from cli")

    def test_solve_sees_base_alone(self):
        self.assert_allowed("lib/solve/a.cpp", '#include "base/ids.hpp"')
        self.assert_caught("lib/solve/a.cpp", '#include "model/parts.hpp"', "may not include from model")

    def test_unknown_rooms_and_relative_names(self):
        self.assert_caught("lib/study/a.cpp", '#include "attic/a.hpp"', "no room")
        self.assert_caught("lib/study/a.cpp", '#include "../solve/a.hpp"', "from lib/ on")
        self.assertEqual(len(complaints("lib/attic/a.cpp", "#include <vector>")), 1)

    def test_angle_brackets_round_a_file_of_the_project(self):
        self.assert_caught("lib/study/a.cpp", "#include <solve/heat.hpp>", "with quotes")

    def test_third_parties_have_one_home(self):
        self.assert_allowed("lib/yaml/a.cpp", "#include <yaml-cpp/eventhandler.h>")
        self.assert_caught("lib/model/a.cpp", "#include <yaml-cpp/yaml.h>", "its home is yaml")
        self.assert_allowed("lib/loom/a.cpp", "#include <boost/graph/adjacency_list.hpp>")
        self.assert_caught("lib/study/a.cpp", "#include <boost/graph/graph_traits.hpp>",
                           "loom and network")
        self.assert_allowed("lib/solve/a.cpp", "#include <Eigen/SparseCore>")
        self.assert_caught("lib/study/a.cpp", "#include <Eigen/Dense>", "its home is solve")
        self.assert_caught("lib/study/a.cpp", "#include <cholmod.h>", "its home is solve")
        self.assert_caught("lib/sheets/a.cpp", "#include <graphviz/cgraph.h>", "its home is draw")
        self.assert_caught("lib/sheets/a.cpp", "#include <kainjow/mustache.hpp>", "its home is page")
        self.assert_caught("cli/a.cpp", "#include <xlsxwriter.h>", "its home is sheets")
        self.assert_caught("lib/engine/a.cpp", "#include <CLI/CLI.hpp>", "its home is cli")
        self.assert_caught("lib/base/a.cpp", "#include <absl/strings/str_cat.h>", "no room is home")

    def test_third_parties_stay_out_of_headers(self):
        self.assert_caught("lib/yaml/a.hpp", "#include <yaml-cpp/yaml.h>", ".cpp files only")
        self.assert_allowed("lib/base/a.hpp", "#include <fmt/format.h>")

    def test_files_and_terminals_are_reached_from_cli(self):
        self.assert_allowed("cli/a.cpp", "#include <sys/stat.h>")
        self.assert_caught("lib/yaml/a.cpp", "#include <fstream>", "only cli")
        self.assert_caught("lib/yaml/a.cpp", "#include <unistd.h>", "only cli")

    def test_build_file_names_what_is_used(self):
        uses = {"study": {"base", "solve"}}
        self.assert_allowed("lib/study/a.cpp", '#include "solve/heat.hpp"', uses)
        self.assert_caught("lib/study/a.cpp", '#include "model/parts.hpp"', "after USES", uses)

    def test_comments_and_words_are_not_includes(self):
        self.assert_allowed("lib/base/a.cpp", '// as #include "study/a.hpp" would do')


class Texts(unittest.TestCase):
    HEAD = "// SPDX-License-Identifier: MIT\n// SPDX-FileCopyrightText: Loomwright contributors\n"

    def test_head(self):
        self.assertEqual(rules.check_head("lib/a.cpp", self.HEAD + "int a;\n"), [])
        self.assertEqual(len(rules.check_head("lib/a.cpp", "int a;\n" + self.HEAD)), 1)
        self.assertEqual(rules.check_head("a.py", "#!/usr/bin/python3\n" + self.HEAD.replace("//", "#")), [])
        self.assertEqual(len(rules.check_head("a.py", self.HEAD)), 1)

    def test_length(self):
        self.assertEqual(rules.check_length("a.cpp", "x\n" * 600, 600), [])
        self.assertEqual(len(rules.check_length("a.cpp", "x\n" * 601, 600)), 1)

    def test_paths_of_one_machine(self):
        for folder in ("wor" + "k/main", "roo" + "t/x", "tm" + "p/x", "hom" + "e/me", "tm" + "p"):
            self.assertEqual(len(rules.check_text("a", f"open('/{folder}')")), 1, folder)
        for line in ("net" + "work/design.hpp", "and/or", "60/work-hours", "/usr/bin/python3",
                     "docs/wor" + "k/a.md", "${HOME}/ro" + "ot/a"):
            self.assertEqual(rules.check_text("a", line), [], line)

    def test_left_overs(self):
        word = "TO" + "DO"
        self.assertEqual(len(rules.check_text("a", f"// {word}: later")), 1)
        self.assertEqual(rules.check_text("a", f"// {word} #12: later"), [])
        self.assertEqual(rules.check_text("a", f"my{word}list"), [])

    def test_two_types_of_one_name(self):
        def within(name, body):
            return f"namespace loomwright {{\n{body}\n}} // namespace loomwright\n" + f"// {name}\n"

        def told(one, other):
            return len(rules.check_types({"a.hpp": within("a", one), "b.cpp": within("b", other)}))

        self.assertEqual(told("struct Row {\n    int a;\n};", "class Row final : public Base {\n};"), 1)
        self.assertEqual(told("struct Row {};", "enum class Row : char { one };"), 1)
        self.assertEqual(told("struct Row {\n};", "struct Row;\nclass Row;"), 0)
        self.assertEqual(told("struct Row {\n};", "namespace {\nstruct Row {\n};\n} // namespace"), 0)
        self.assertEqual(told("struct Row {\n};", "namespace page {\nstruct Row {\n};\n} // namespace page"), 0)
        self.assertEqual(told("struct Row {\n};", "struct Other {\n    struct Row {\n    };\n};"), 0)

    def test_order_and_uses_are_read_from_the_build_files(self):
        self.assertEqual(rules.room_order("set(rooms base diag\n  model)"), ["base", "diag", "model", "cli"])
        text = "loomwright_module(loom SOURCES a.cpp USES base model\n    LINKS Boost::headers)"
        self.assertEqual(rules.module_uses(text), {"base", "model"})
        self.assertEqual(rules.module_uses("loomwright_module(loom SOURCES a.cpp USES base)"), {"base"})
        self.assertEqual(rules.module_uses("loomwright_module(base SOURCES a.cpp)"), set())


if __name__ == "__main__":
    unittest.main()
