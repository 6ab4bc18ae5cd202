// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "completion.hpp"

#include <doctest/doctest.h>

using namespace loomwright::cli;

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// One verb with the characters that shells act on.
ProgramWords odd_program() {
    VerbWords verb;
    verb.name = "try";
    verb.what = "it's $(odd) [or `not`]: \"50 %\" \\";
    verb.places = {{{}, "FILE", "a file"}};
    verb.options = {{{"-k", "--kind"}, "TEXT", "what's [that]", {"a b", "it's", "$HOME"}},
                    {{"--json"}, "", "as JSON"}};
    ProgramWords program;
    program.options = {{{"-h", "--help"}, "", "help"}};
    program.verbs = {verb};
    return program;
}

} // namespace

TEST_CASE("one word of a shell, whatever is in it") {
    CHECK(shell_word("check") == "check");
    CHECK(shell_word("--fail-on") == "--fail-on");
    CHECK(shell_word("") == "''");
    CHECK(shell_word("a b") == "'a b'");
    CHECK(shell_word("it's") == R"('it'\''s')");
    CHECK(shell_word("$HOME") == "'$HOME'");
}

TEST_CASE("values and descriptions are words of the shell") {
    const ProgramWords program = odd_program();
    const std::string bash = bash_completion(program);
    CHECK(has(bash, R"(-k | --kind) _loomwright_words "$current" 'a b' 'it'\''s' '$HOME';)"));
    const std::string zsh = zsh_completion(program);
    CHECK(has(zsh, R"('(-k --kind)--kind=[what'\''s \[that\]]:TEXT:(a\ b it\'\''s \$HOME)')"));
    CHECK(has(zsh, R"('try:it'\''s $(odd) [or `not`]: "50 %" \\')"));
    CHECK(has(zsh, "'1:FILE:_files'"));
    const std::string fish = fish_completion(program);
    CHECK(
        has(fish, R"(-s k -l kind -x -a '\'a b\' \'it\'\\\'\'s\' \'$HOME\'' -d 'what\'s [that]')"));
    CHECK(has(fish, R"(-n '__loomwright_at try 0 -k --kind' -F)"));
}
