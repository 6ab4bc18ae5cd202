// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "command_words.hpp"

#include "verb_list.hpp"

#include "checks/calc.hpp"
#include "tables/catalogue.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <sstream>
#include <string_view>
#include <utility>

namespace loomwright::cli {
namespace {

/// "TEXT:{feeds,loom}" names the kind of value and those that there are.
void read_type(const std::string& type, OptionWords& out) {
    out.takes = type.substr(0, type.find(':'));
    const std::size_t open = type.find('{');
    const std::size_t close = type.find('}', open);
    if (open == std::string::npos || close == std::string::npos) {
        return;
    }
    std::istringstream list(type.substr(open + 1, close - open - 1));
    for (std::string value; std::getline(list, value, ',');) {
        out.values.push_back(value);
    }
}

OptionWords option_words(const CLI::Option& option) {
    OptionWords out;
    for (const std::string& name : option.get_snames()) {
        out.names.push_back("-" + name);
    }
    for (const std::string& name : option.get_lnames()) {
        out.names.push_back("--" + name);
    }
    if (option.get_expected_max() != 0) {
        read_type(option.get_type_name(), out);
    }
    if (out.names.empty()) {
        out.takes = option.get_name();
    }
    out.what = option.get_description();
    out.is_needed = option.get_required();
    out.may_repeat = option.get_expected_max() > 1;
    return out;
}

/// The lines of a footer that are runs of the program, and what it says of the exit status.
void read_footer(const std::string& footer, VerbWords& out) {
    constexpr std::string_view exit_head = "Exit status: ";
    std::istringstream lines(footer);
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("  loomwright ")) {
            out.examples.push_back(line.substr(2));
        } else if (line.starts_with(exit_head)) {
            out.exit_status = line.substr(exit_head.size());
        } else if (!out.exit_status.empty()) {
            out.exit_status += " " + line;
        }
    }
}

VerbWords verb_words(const CLI::App& verb) {
    VerbWords out;
    out.name = verb.get_name();
    out.what = verb.get_description();
    for (const CLI::Option* option : verb.get_options()) {
        (option->get_positional() ? out.places : out.options).push_back(option_words(*option));
    }
    read_footer(verb.get_footer(), out);
    return out;
}

VerbWords question_words(const CalcQuestion& question) {
    VerbWords out;
    out.name = question.name;
    out.what = question.what;
    out.options.push_back({{"-h", "--help"}, "", "Print this help message and exit"});
    for (const CalcOption& option : question.options) {
        out.options.push_back({{fmt::format("--{}", option.name)},
                               std::string(option.takes),
                               std::string(option.what),
                               {},
                               option.is_required,
                               option.repeats});
    }
    out.options.push_back(
        {{"--json"}, "", "answer as JSON; numbers are SI, the unit is in the key"});
    out.options.push_back({{"-o", "--output"}, "FILE", "write the answer to this file instead"});
    for (const std::string_view example : question.examples) {
        out.examples.push_back(fmt::format("loomwright calc {}", example));
    }
    return out;
}

void add_questions(VerbWords& calc) {
    calc.exit_status = "0 answered, 1 a limit that was asked about is not kept, or no size or "
                       "rating will do, 2 the input is wrong, 3 the machine failed.";
    for (const CalcQuestion& question : calc_questions()) {
        calc.questions.push_back(question_words(question));
        calc.examples.push_back(calc.questions.back().examples.front());
    }
}

/// The one word that is known by its place and not by the parser: the name of a table.
void add_table_names(VerbWords& tables) {
    SourceFiles files;
    Findings findings;
    for (OptionWords& place : tables.places) {
        place.values = load_catalogue(files, findings).table_names();
    }
}

} // namespace

ProgramWords program_words() {
    Arguments arguments;
    ChosenVerb chosen;
    CLI::App app{"", "loomwright"};
    describe_program(app);
    add_verbs(app, arguments, chosen);
    ProgramWords out;
    out.what = app.get_description();
    out.cautions = cautions_text();
    for (const CLI::Option* option : std::as_const(app).get_options()) {
        out.options.push_back(option_words(*option));
    }
    const auto any = [](const CLI::App*) { return true; };
    for (const CLI::App* verb : std::as_const(app).get_subcommands(any)) {
        out.verbs.push_back(verb_words(*verb));
        if (out.verbs.back().name == "calc") {
            add_questions(out.verbs.back());
        } else if (out.verbs.back().name == "tables") {
            add_table_names(out.verbs.back());
        }
    }
    return out;
}

} // namespace loomwright::cli
