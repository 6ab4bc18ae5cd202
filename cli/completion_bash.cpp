// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Completion for bash, without the package of helpers that not every machine has.
#include "completion.hpp"

#include <fmt/format.h>

namespace loomwright::cli {
namespace {

constexpr std::string_view bash_functions = R"bash(# Completion of loomwright for bash.

# Of the words after the first those that begin with the first.
_loomwright_words() {
    local word quoted
    for word in "${@:2}"; do
        if [[ $word == "$1"* ]]; then
            printf -v quoted %q "$word"
            COMPREPLY+=("$quoted")
        fi
    done
}

_loomwright_files() {
    compopt -o filenames 2> /dev/null
    mapfile -t COMPREPLY < <(compgen -f -- "$1")
}

_loomwright_folders() {
    compopt -o filenames 2> /dev/null
    mapfile -t COMPREPLY < <(compgen -d -- "$1")
}

# How many words before the one that is typed are known by their place. $1: where they begin;
# then the options that take a value.
_loomwright_place() {
    local i word place=0
    for ((i = $1; i < COMP_CWORD; i++)); do
        word=${COMP_WORDS[i]}
        if [[ ${COMP_WORDS[i + 1]} == = ]]; then
            ((i += 2))
        elif [[ $word == -* ]]; then
            [[ " ${*:2} " == *" $word "* ]] && ((i++))
        else
            ((place++))
        fi
    done
    echo "$place"
}

_loomwright() {
    COMPREPLY=()
    local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]}
    # --option=value comes as three words
    if [[ $current == = ]]; then
        current=
    elif [[ $before == = ]]; then
        before=${COMP_WORDS[COMP_CWORD - 2]}
    fi
)bash";

std::string complete_value(const OptionWords& option) {
    if (!option.values.empty()) {
        return fmt::format("_loomwright_words \"$current\"{}", shell_words(option.values));
    }
    if (option.takes_file()) {
        return "_loomwright_files \"$current\"";
    }
    return option.takes_folder() ? "_loomwright_folders \"$current\"" : ":";
}

/// What may follow a verb or a question whose name is word number `at`.
std::string complete_verb(const VerbWords& verb, int at, const std::string& indent) {
    std::vector<std::string> names;
    std::vector<std::string> valued;
    std::string cases;
    for (const OptionWords& option : verb.options) {
        names.insert(names.end(), option.names.begin(), option.names.end());
        if (option.takes.empty()) {
            continue;
        }
        std::string pattern;
        for (const std::string& name : option.names) {
            valued.push_back(name);
            pattern += (pattern.empty() ? "" : " | ") + shell_word(name);
        }
        cases += fmt::format("{}    {}) {}; return ;;\n", indent, pattern, complete_value(option));
    }
    std::string out = fmt::format("{0}case $before in\n{1}{0}esac\n", indent, cases);
    out += fmt::format("{0}if [[ $current == -* ]]; then\n{0}    _loomwright_words "
                       "\"$current\"{1}\n{0}    return\n"
                       "{0}fi\n",
                       indent, shell_words(names));
    if (!verb.places.empty()) {
        out += fmt::format("{}case $(_loomwright_place {}{}) in\n", indent, at + 1,
                           shell_words(valued));
        for (std::size_t i = 0; i < verb.places.size(); ++i) {
            out += fmt::format("{}    {}) {} ;;\n", indent, i, complete_value(verb.places[i]));
        }
        out += indent + "esac\n";
    }
    return out;
}

std::string complete_questions(const VerbWords& verb) {
    std::vector<std::string> names;
    std::string cases;
    for (const VerbWords& question : verb.questions) {
        names.push_back(question.name);
        cases += fmt::format("            {})\n{}                ;;\n", shell_word(question.name),
                             complete_verb(question, 2, "                "));
    }
    return fmt::format("            if ((COMP_CWORD == 2)); then\n"
                       "                _loomwright_words \"$current\"{} --help\n"
                       "                return\n            fi\n"
                       "            case ${{COMP_WORDS[2]}} in\n{}            esac\n",
                       shell_words(names), cases);
}

} // namespace

std::string shell_word(std::string_view text) {
    constexpr std::string_view plain =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./";
    if (!text.empty() && text.find_first_not_of(plain) == std::string_view::npos) {
        return std::string(text);
    }
    std::string out = "'";
    for (const char c : text) {
        out += c == '\'' ? R"('\'')" : std::string(1, c);
    }
    return out + "'";
}

std::string shell_words(const std::vector<std::string>& texts) {
    std::string out;
    for (const std::string& text : texts) {
        out += " " + shell_word(text);
    }
    return out;
}

std::string bash_completion(const ProgramWords& program) {
    std::vector<std::string> first;
    for (const VerbWords& verb : program.verbs) {
        first.push_back(verb.name);
    }
    for (const OptionWords& option : program.options) {
        first.insert(first.end(), option.names.begin(), option.names.end());
    }
    std::string out(bash_functions);
    out += fmt::format("    if ((COMP_CWORD == 1)); then\n"
                       "        _loomwright_words \"$current\"{}\n        return\n    fi\n"
                       "    case ${{COMP_WORDS[1]}} in\n",
                       shell_words(first));
    for (const VerbWords& verb : program.verbs) {
        out += fmt::format("        {})\n{}            ;;\n", shell_word(verb.name),
                           verb.questions.empty() ? complete_verb(verb, 1, "            ")
                                                  : complete_questions(verb));
    }
    return out + "    esac\n}\n\ncomplete -F _loomwright loomwright\n";
}

} // namespace loomwright::cli
