// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Completion for zsh, by its function _arguments.
#include "completion.hpp"

#include <fmt/format.h>

namespace loomwright::cli {
namespace {

/// `text` with a backslash before each of `special` and each backslash.
std::string escaped(std::string_view text, std::string_view special) {
    std::string out;
    for (const char c : text) {
        if (c == '\\' || special.find(c) != std::string_view::npos) {
            out += '\\';
        }
        out += c;
    }
    return out;
}

/// ":FILE:_files", the part of a specification that says what is taken.
std::string value_action(const OptionWords& option) {
    std::string how = " ";
    if (!option.values.empty()) {
        how = "(";
        for (const std::string& value : option.values) {
            how += (how.size() > 1 ? " " : "") + escaped(value, " ()[]{}:;&|<>'\"`$*?~#^=");
        }
        how += ")";
    } else if (option.takes_file()) {
        how = "_files";
    } else if (option.takes_folder()) {
        how = "_files -/";
    }
    return fmt::format(":{}:{}", escaped(option.takes, ":"), how);
}

std::string option_lines(const OptionWords& option, const std::string& indent) {
    std::string rivals;
    for (const std::string& name : option.names) {
        rivals += (rivals.empty() ? "" : " ") + name;
    }
    std::string out;
    for (const std::string& name : option.names) {
        const bool is_long = name.starts_with("--");
        std::string text = option.may_repeat ? "*" : fmt::format("({})", rivals);
        text += name;
        if (!option.takes.empty()) {
            text += is_long ? "=" : "+";
        }
        text += fmt::format("[{}]", escaped(option.what, "[]"));
        text += option.takes.empty() ? "" : value_action(option);
        out += fmt::format(" \\\n{}    {}", indent, shell_word(text));
    }
    return out;
}

std::string arguments_call(const VerbWords& verb, const std::string& indent) {
    std::string out = indent + "_arguments -s -S";
    for (const OptionWords& option : verb.options) {
        out += option_lines(option, indent);
    }
    for (std::size_t i = 0; i < verb.places.size(); ++i) {
        out += fmt::format(" \\\n{}    {}", indent,
                           shell_word(fmt::format("{}{}", i + 1, value_action(verb.places[i]))));
    }
    return out + "\n";
}

std::string described(const std::vector<VerbWords>& verbs, const std::string& kind,
                      const std::string& indent) {
    std::string out = fmt::format("{}local -a {}s=(", indent, kind);
    for (const VerbWords& verb : verbs) {
        out += fmt::format("\n{}    {}", indent,
                           shell_word(escaped(verb.name, ":") + ":" + escaped(verb.what, "")));
    }
    return out + fmt::format(")\n{0}_describe -t {1}s {1} {1}s\n", indent, kind);
}

std::string questions_case(const VerbWords& verb) {
    std::string out = "            if (( CURRENT == 2 )); then\n";
    out += described(verb.questions, "question", "                ");
    out += "                return\n            fi\n            shift words\n"
           "            (( CURRENT-- ))\n            case $words[1] in\n";
    for (const VerbWords& question : verb.questions) {
        out += fmt::format("            {})\n{}                ;;\n", shell_word(question.name),
                           arguments_call(question, "                "));
    }
    return out + "            esac\n";
}

} // namespace

std::string zsh_completion(const ProgramWords& program) {
    std::string out =
        "#compdef loomwright\n# Completion of loomwright for zsh.\n\n_loomwright() {\n"
        "    local curcontext=$curcontext state line\n"
        "    typeset -A opt_args\n    _arguments -C";
    for (const OptionWords& option : program.options) {
        out += option_lines(option, "    ");
    }
    out += " \\\n        '1:verb:->verb' '*::argument:->argument'\n"
           "    case $state in\n    verb)\n";
    out += described(program.verbs, "verb", "        ");
    out += "        ;;\n    argument)\n        case $words[1] in\n";
    for (const VerbWords& verb : program.verbs) {
        out += fmt::format("        {})\n{}            ;;\n", shell_word(verb.name),
                           verb.questions.empty() ? arguments_call(verb, "            ")
                                                  : questions_case(verb));
    }
    // As a file of the function path it is run with the first completion; read by `source` it is
    // not.
    return out + "        esac\n        ;;\n    esac\n}\n\n"
                 "if [[ $funcstack[1] == _loomwright ]]; then\n    _loomwright \"$@\"\n"
                 "elif (( $+functions[compdef] )); then\n    compdef _loomwright loomwright\nfi\n";
}

} // namespace loomwright::cli
