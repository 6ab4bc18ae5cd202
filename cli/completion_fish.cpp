// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Completion for fish.
#include "completion.hpp"

#include <fmt/format.h>

namespace loomwright::cli {
namespace {

constexpr std::string_view fish_functions = R"fish(# Completion of loomwright for fish.

# True when no verb is typed yet.
function __loomwright_begins
    test (count (commandline -opc)) -eq 1
end

# True when the words after the command begin with these.
function __loomwright_in
    set -l words (commandline -opc)
    set -l count (count $argv)
    test (count $words) -gt $count; and test "$words[2..$(math $count + 1)]" = "$argv"
end

# True when the words begin with the verb $argv[1] and $argv[2] words after it are known by their
# place; then the options that take a value.
function __loomwright_at
    __loomwright_in $argv[1]; or return
    set -l place 0
    set -l is_value 0
    for word in (commandline -opc)[3..]
        if test $is_value -eq 1
            set is_value 0
        else if string match -q -- '-*' $word
            contains -- $word $argv[3..]; and set is_value 1
        else
            set place (math $place + 1)
        end
    end
    test $place -eq $argv[2]
end

complete -c loomwright -f
)fish";

std::string fish_word(std::string_view text) {
    std::string out = "'";
    for (const char c : text) {
        out += c == '\'' || c == '\\' ? "\\" : "";
        out += c;
    }
    return out + "'";
}

/// " -r -F", the part of a line that says what is taken. In the words of -a blanks part them and
/// `$`, `(` and quotes act, so that each is a quoted word inside.
std::string value_flags(const OptionWords& option) {
    if (!option.values.empty()) {
        std::string list;
        for (const std::string& value : option.values) {
            list += (list.empty() ? "" : " ") + shell_word(value);
        }
        return " -x -a " + fish_word(list);
    }
    return option.takes_file() || option.takes_folder() ? " -r -F" : " -x";
}

std::string line(const std::string& condition, const std::string& rest, const std::string& what) {
    return fmt::format("complete -c loomwright -n {}{}{}\n", fish_word(condition), rest,
                       what.empty() ? "" : " -d " + fish_word(what));
}

std::string option_line(const OptionWords& option, const std::string& condition) {
    std::string rest;
    for (const std::string& name : option.names) {
        rest += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
    }
    return line(condition, rest + (option.takes.empty() ? "" : value_flags(option)), option.what);
}

std::string verb_lines(const VerbWords& verb, const std::string& condition) {
    std::string out;
    std::vector<std::string> valued;
    for (const OptionWords& option : verb.options) {
        out += option_line(option, condition);
        if (!option.takes.empty()) {
            valued.insert(valued.end(), option.names.begin(), option.names.end());
        }
    }
    for (std::size_t i = 0; i < verb.places.size(); ++i) {
        const OptionWords& place = verb.places[i];
        if (place.values.empty() && !place.takes_file() && !place.takes_folder()) {
            continue;
        }
        const std::string at =
            fmt::format("__loomwright_at {} {}{}", verb.name, i, shell_words(valued));
        out += line(at, place.values.empty() ? " -F" : value_flags(place), "");
    }
    return out;
}

} // namespace

std::string fish_completion(const ProgramWords& program) {
    std::string out(fish_functions);
    for (const OptionWords& option : program.options) {
        out += option_line(option, "__loomwright_begins");
    }
    for (const VerbWords& verb : program.verbs) {
        out += line("__loomwright_begins", " -a " + fish_word(shell_word(verb.name)), verb.what);
    }
    for (const VerbWords& verb : program.verbs) {
        out += verb_lines(verb, "__loomwright_in " + verb.name);
        for (const VerbWords& question : verb.questions) {
            const std::string at = fmt::format("__loomwright_at {} 0", verb.name);
            out += line(at, " -a " + fish_word(shell_word(question.name)), question.what);
            out += verb_lines(question,
                              fmt::format("__loomwright_in {} {}", verb.name, question.name));
        }
    }
    return out;
}

} // namespace loomwright::cli
