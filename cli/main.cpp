// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/spelling.hpp"
#include "memory.hpp"
#include "terminal.hpp"
#include "verb_list.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <new>
#include <span>
#include <sstream>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

namespace loomwright::cli {
namespace {

/// A first word that is no verb is told of with the verbs there are; false when there is none such.
bool complain_of_verb(const CLI::App& app, std::string_view word) {
    std::vector<std::string> verbs;
    for (const CLI::App* verb : app.get_subcommands([](const CLI::App*) { return true; })) {
        verbs.push_back(verb->get_name());
    }
    if (word.starts_with('-') || std::ranges::find(verbs, word) != verbs.end()) {
        return false;
    }
    const auto near = nearest_word(word, verbs);
    print_error(fmt::format("loomwright: there is no verb `{}`{}\n  the verbs are: {}\n",
                            printable(word), near ? fmt::format("; did you mean `{}`?", *near) : "",
                            fmt::join(verbs, ", ")));
    return true;
}

int run(int count, const char* const* words) {
    CLI::App app{"", "loomwright"};
    describe_program(app);
    Arguments arguments;
    ChosenVerb chosen;
    add_verbs(app, arguments, chosen);
    if (count > 1 && complain_of_verb(app, words[1])) {
        return bad_input;
    }
    if (count > 1 && std::string_view(words[1]) == "calc") {
        return run_calc(std::span(words, static_cast<std::size_t>(count)).subspan(2));
    }
    try {
        app.parse(count, words);
    } catch (const CLI::ParseError& error) {
        std::ostringstream answer;
        std::ostringstream complaint;
        const int status = app.exit(error, answer, complaint);
        print_error(complaint.str());
        const bool is_written = print_text(answer.str());
        return status != 0 ? bad_input : is_written ? clean : machine_failed;
    }
    return chosen(arguments);
}

} // namespace
} // namespace loomwright::cli

int main(int count, char** words) {
    try {
        loomwright::cli::take_memory_once();
        return loomwright::cli::run(count, words);
    } catch (const std::bad_alloc&) {
        loomwright::cli::print_error("loomwright: out of memory\n");
    } catch (const std::system_error& error) {
        loomwright::cli::print_error(
            fmt::format("loomwright: the system refuses: {}\n", error.what()));
    } catch (const std::exception& error) {
        loomwright::cli::print_error(fmt::format(
            "loomwright: a fault in the program, not in your file: {}\n", error.what()));
    }
    return loomwright::cli::machine_failed;
}
