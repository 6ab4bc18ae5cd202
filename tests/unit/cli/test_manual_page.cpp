// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "manual_page.hpp"

#include <doctest/doctest.h>

using namespace loomwright::cli;

TEST_CASE("what the language of manual pages would take for its own is escaped") {
    CHECK(manual_text("plain") == "plain");
    CHECK(manual_text(".Sh not a heading") == "\\&.Sh not a heading");
    CHECK(manual_text("a\n'b") == "a\n\\&\\(aqb");
    CHECK(manual_text("--json \\n `x` 'y'") == "\\-\\-json \\en \\(gax\\(ga \\(aqy\\(aq");
    // each sentence on a line of its own
    CHECK(manual_text("One. Two.") == "One.\nTwo.");
}

TEST_CASE("a page has what its verb has") {
    VerbWords verb;
    verb.name = "try";
    verb.what = "a \"quoted\" thing";
    verb.places = {{{}, "FILE", "the file"}};
    verb.options = {{{"-k", "--kind"}, "WORD", "which kind", {"one", "two"}, true}};
    verb.examples = {"loomwright try 'a b.yaml' --kind one"};
    verb.exit_status = "0 good, 1 bad.";
    ProgramWords program;
    program.cautions = "Mind the gap.";
    program.verbs = {verb};
    const std::string page = verb_page(program, verb);
    const auto has = [&](const char* part) { return page.find(part) != std::string::npos; };
    CHECK(has(".Dd March 4, 2021\n.Dt LOOMWRIGHT-TRY 1\n.Os Loomwright 1.2.3\n"));
    CHECK(has(".Nd \"a \"\"quoted\"\" thing\"\n"));
    CHECK(has(".It Fl \"k\" , Fl Fl \"kind\" Ar \"WORD\"\nwhich kind\n"));
    CHECK(has("One of: one, two."));
    CHECK(has("loomwright try \\(aqa b.yaml\\(aq \\-\\-kind one\n"));
    CHECK(has(".Sh EXIT STATUS\n0 good, 1 bad.\n"));
    CHECK(has("Mind the gap."));
}
