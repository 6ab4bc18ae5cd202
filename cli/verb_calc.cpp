// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verb calc: cuts the words into options for the question and hands them on.
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "checks/calc.hpp"
#include "sheets/calc_answer.hpp"
#include "sheets/characters.hpp"
#include "sheets/json.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright::cli {
namespace {

constexpr std::string_view exit_text =
    "Exit status: 0 answered, 1 a limit that was asked about is not kept, or no size or rating\n"
    "will do, 2 the input is wrong, 3 the machine failed.\n";

struct Request {
    std::vector<TypedOption> options;
    Arguments arguments; ///< -o and --json
    bool wants_help = false;
};

std::string examples_text(const CalcQuestion& question) {
    std::string out;
    for (const std::string_view example : question.examples) {
        out += fmt::format("  loomwright calc {}\n", example);
    }
    return out;
}

std::string general_help() {
    std::string out = "Single questions, answered as a whole car is checked: with the formula, the "
                      "numbers put\nin and the source of each.\n"
                      "Usage: loomwright calc QUESTION --OPTION VALUE ...\n\nQuestions:\n";
    for (const CalcQuestion& question : calc_questions()) {
        out += fmt::format("  {:<8} {}\n", question.name, question.what);
    }
    out += "\nQuantities carry their unit: \"18 ft\", \"60 C\", \"4 mohm\". `loomwright calc "
           "QUESTION --help` shows\na question's options.\n\nExamples:\n";
    for (const CalcQuestion& question : calc_questions()) {
        out += fmt::format("  loomwright calc {}\n", question.examples.front());
    }
    return out + "\n" + std::string(exit_text);
}

std::string question_help(const CalcQuestion& question) {
    std::string out = fmt::format("{}\nUsage: loomwright calc {} --OPTION VALUE ...\n\nOptions:\n",
                                  question.what, question.name);
    const auto add = [&](std::string head, const std::string& what) {
        constexpr std::size_t column = 28;
        head.resize(std::max(head.size() + 1, column), ' ');
        for (const std::string& line :
             wrap(what, terminal_width().columns - static_cast<int>(column))) {
            out += head + line + "\n";
            head.assign(column, ' ');
        }
    };
    for (const CalcOption& option : question.options) {
        add(fmt::format("  --{}{}{}", option.name, option.takes.empty() ? "" : " ", option.takes),
            std::string(option.what) + (option.is_required ? " (needed)" : ""));
    }
    add("  --json", "answer as JSON; numbers are SI, the unit is in the key");
    add("  -o,--output FILE", "write the answer to this file instead");
    return out + "\nExamples:\n" + examples_text(question) + "\n" + std::string(exit_text);
}

/// Takes options and their values from the words; what belongs to none is told of, and false.
bool read_words(const CalcQuestion& question, std::span<const char* const> words, Request& out) {
    bool is_good = true;
    for (std::size_t i = 0; i < words.size(); ++i) {
        std::string_view word = words[i];
        const auto next = [&]() -> std::optional<std::string> {
            const bool has_next =
                i + 1 < words.size() && !std::string_view(words[i + 1]).starts_with("--");
            return has_next ? std::optional<std::string>(words[++i]) : std::nullopt;
        };
        if (word == "--help" || word == "-h") {
            out.wants_help = true;
        } else if (word == "--json") {
            out.arguments.json = true;
        } else if (word == "-o" || word == "--output" || word.starts_with("--output=")) {
            const auto file =
                word.starts_with("--output=") ? std::optional<std::string>(word.substr(9)) : next();
            is_good = is_good && file.has_value();
            if (!file) {
                print_error("loomwright: -o has no file name\n");
            }
            out.arguments.output = file.value_or("-");
        } else if (word.starts_with("--") && word.size() > 2) {
            word.remove_prefix(2);
            const std::size_t equals = word.find('=');
            TypedOption option{std::string(word.substr(0, equals)), std::nullopt};
            const auto known = std::ranges::find(question.options, option.name, &CalcOption::name);
            if (equals != std::string_view::npos) {
                option.text = word.substr(equals + 1);
            } else if (known == question.options.end() || !known->takes.empty()) {
                option.text = next();
            }
            out.options.push_back(std::move(option));
        } else {
            print_error(fmt::format(
                "loomwright: `{}` belongs to no option\n  remedy: write each value after its "
                "option, with blanks in quotes: --length \"18 ft\"\n",
                printable(word)));
            is_good = false;
        }
    }
    return is_good;
}

int complain_of_question(std::string_view word) {
    std::vector<std::string_view> names;
    std::string list;
    for (const CalcQuestion& question : calc_questions()) {
        names.push_back(question.name);
        list += (list.empty() ? "" : ", ") + std::string(question.name);
    }
    const auto near = nearest_word(word, names);
    print_error(fmt::format("loomwright: {}{}\n  the questions are: {}\n",
                            word.empty()
                                ? std::string("calc answers a question")
                                : fmt::format("there is no question `{}`", printable(word)),
                            near ? fmt::format("; did you mean `{}`?", *near) : "", list));
    return bad_input;
}

int report_faults(const Arguments& arguments, const Findings& findings, const SourceFiles& files) {
    if (arguments.json) {
        const int delivered = deliver(arguments, check_json(findings, files));
        return delivered == clean ? bad_input : delivered;
    }
    return complain_of_faults(findings, files, "the options: nothing was computed");
}

} // namespace

int run_calc(std::span<const char* const> words) {
    const std::string_view name = words.empty() ? std::string_view() : words.front();
    if (name == "--help" || name == "-h") {
        return print_text(general_help()) ? clean : machine_failed;
    }
    const CalcQuestion* const question = find_calc_question(name);
    if (question == nullptr) {
        return complain_of_question(name);
    }
    Request request;
    const bool is_good = read_words(*question, words.subspan(1), request);
    if (request.wants_help) {
        return print_text(question_help(*question)) ? clean : machine_failed;
    }
    SourceFiles files;
    Findings findings;
    const Catalogue catalogue = load_catalogue(files, findings);
    const auto answer = answer_question(*question, request.options, catalogue, files, findings);
    if (!answer) {
        return report_faults(request.arguments, findings, files);
    }
    if (!is_good) {
        return bad_input;
    }
    const int delivered =
        deliver(request.arguments,
                request.arguments.json ? calc_json(*answer) : calc_text(*answer, terminal_width()));
    return delivered != clean ? delivered : answer->holds ? clean : found;
}

} // namespace loomwright::cli
