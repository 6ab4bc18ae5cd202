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
#include <string>
#include <string_view>
#include <vector>

namespace loomwright::cli {
namespace {

constexpr const char* version = LOOMWRIGHT_VERSION;

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
    CLI::App app{"Wiring of re-powered cars: from a vehicle file to sized wires, checked fuses,\n"
                 "a feeds drawing and a cut list.",
                 "loomwright"};
    app.set_version_flag("--version", fmt::format("loomwright {}", version));
    app.require_subcommand(1);
    app.footer(
        "`loomwright VERB --help` shows a verb's options and examples.\n\n"
        "Disconnect the battery before work on a car. Verify by measurement. Local codes and\n"
        "a qualified person decide.");
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
        const int status = app.exit(error);
        return status == 0 ? clean : bad_input;
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
    } catch (const std::exception& error) {
        loomwright::cli::print_error(fmt::format(
            "loomwright: a fault in the program, not in your file: {}\n", error.what()));
    }
    return loomwright::cli::machine_failed;
}
