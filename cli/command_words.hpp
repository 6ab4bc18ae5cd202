// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>
#include <vector>

namespace loomwright::cli {

/// An option of a verb, or a word that is known by its place (a file).
struct OptionWords {
    std::vector<std::string> names;  ///< "-o", "--output"; none: known by its place
    std::string takes;               ///< "FILE"; "": nothing, it is a flag
    std::string what;                ///< what --help says of it
    std::vector<std::string> values; ///< the only ones it takes; empty: any
    bool is_needed = false;
    bool may_repeat = false;

    [[nodiscard]] bool takes_file() const {
        return takes == "FILE" || takes == "CSV" || takes == "OLD" || takes == "NEW" ||
               takes == "READINGS";
    }
    [[nodiscard]] bool takes_folder() const { return takes == "DIR"; }
};

/// A verb with all that can be typed after it.
struct VerbWords {
    std::string name;
    std::string what;
    std::vector<OptionWords> places;  ///< in the order they are typed
    std::vector<OptionWords> options; ///< --help is among them
    std::vector<std::string> examples;
    std::string exit_status;          ///< "0 answered, 1 ..."
    std::vector<VerbWords> questions; ///< of calc: each has options of its own
};

/// Everything that can be typed, for completion scripts and manual pages.
struct ProgramWords {
    std::string what;
    std::string cautions;
    std::vector<OptionWords> options; ///< before any verb
    std::vector<VerbWords> verbs;
};

/// Read out of the parser that reads the command line, so that nothing can be forgotten.
[[nodiscard]] ProgramWords program_words();

} // namespace loomwright::cli
