// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "engine/engine.hpp"
#include "page/pack.hpp"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright::cli {

/// What the user typed, for every verb.
struct Arguments {
    std::string file;                  ///< the vehicle file, "-" for standard input
    std::string output = "-";          ///< -o
    bool json = false;                 ///< --json
    std::string fail_on = "caution";   ///< --fail-on
    std::vector<std::string> states;   ///< --state
    std::vector<std::string> wires;    ///< faults --wire
    bool faults = false;               ///< check --faults
    std::string each;                  ///< check --each
    std::string id;                    ///< explain ID, place ID, tables NAME, draw --view curves ID
    std::string view = "feeds";        ///< draw --view
    std::string format;                ///< export --to, draw --format
    std::string drive;                 ///< draw --view drive --drive NAME, energy --drive NAME
    bool csv = false;                  ///< energy, solve, faults, place --csv
    std::string paper = "A4";          ///< pack --paper, draw --paper
    bool full_size = false;            ///< draw --view loom --full-size
    std::string board;                 ///< draw --view loom --board, as typed
    std::optional<std::string> spread; ///< solve --spread, as typed
    std::optional<std::string> seed;   ///< solve --seed, as typed
    bool freeze = false;               ///< size --freeze
    std::string new_file;              ///< compare OLD NEW: the second
    bool fail_on_change = false;       ///< compare --fail-on-change
    std::string folder;                ///< new DIR
    bool overwrite = false;            ///< import --overwrite
    bool sarif = false;                ///< check --sarif
    bool junit = false;                ///< check --junit
    bool lines = false;                ///< check --lines
    std::string readings;              ///< measure FILE READINGS
    std::optional<std::string> accuracy; ///< measure --accuracy, as typed
    bool serve = false;                  ///< watch --serve
    std::string port;                    ///< watch --port, as typed
    bool no_faults = false;              ///< report --no-faults
};

/// Makes a project the one of this process. It is never freed: the process ends with its answer,
/// and to take apart a hundred thousand parts one by one would only make it wait.
[[nodiscard]] Project* keep(std::unique_ptr<Project> project);

/// Reads the vehicle and keeps it; with faults in it they are printed and nullptr comes back.
[[nodiscard]] Project* open_project(const Arguments& arguments, int& status);

/// Tells of what cannot be read in an input that is no vehicle, of how much, and of what came of
/// it: "the list: nothing was written". Gives the exit status.
[[nodiscard]] int complain_of_faults(const Findings& findings, const SourceFiles& files,
                                     std::string_view outcome);

/// Reads the vehicle, keeps it and sizes it; nullptr, with the exit status, after a complaint.
[[nodiscard]] Project* sized_project(const Arguments& arguments, int& status);

/// The drive of `--drive`, or the only one there is; complains and gives nullptr of any other.
[[nodiscard]] const Drive* chosen_drive(const Arguments& arguments, const Project& project);

/// The states asked for, all of them when none was, taken out of the project; false, and told of,
/// with a name that is none.
[[nodiscard]] bool choose_states(const Arguments& arguments, Project& project,
                                 std::vector<StateSolution>& chosen);

/// Reads the vehicle, solves the states asked for and takes them out of the project; nullptr, with
/// the exit status, after a complaint.
[[nodiscard]] Project* solved_project(const Arguments& arguments,
                                      std::vector<StateSolution>& chosen, int& status);
/// Tells that a state has no answer, and why.
void complain_of_no_answer(const Project& project, const StateSolution& solution);

/// Sends an answer to standard output or to the file of `-o`, whole or not at all.
/// What people read is folded to the terminal's width.
[[nodiscard]] int deliver(const Arguments& arguments, std::string bytes);
/// The same of what is a file in itself (a drawing, a deck, a script): not a byte is changed.
[[nodiscard]] int deliver_bytes(const Arguments& arguments, std::string bytes);

/// The severity of `--fail-on`; nothing for "never".
[[nodiscard]] std::optional<Severity> fails_from(const std::string& name);
/// A finding that nobody has accepted is of that severity or worse.
[[nodiscard]] bool has_failing(const Findings& findings, const std::string& fail_on);
/// "2 dangers, 1 caution; 1 waived".
[[nodiscard]] std::string findings_count_line(const Findings& findings);

/// Runs every check on a sized project; with a sweep of faults a bar shows how far it is.
void check_with_bar(Project& project, bool with_faults);

// Each verb gives the exit status.
[[nodiscard]] int run_check(const Arguments& arguments);
/// `check --each`: every car of a folder.
[[nodiscard]] int run_check_each(const Arguments& arguments);
[[nodiscard]] int run_size(const Arguments& arguments);
[[nodiscard]] int run_solve(const Arguments& arguments);
[[nodiscard]] int run_energy(const Arguments& arguments);
[[nodiscard]] int run_spread(const Arguments& arguments);
[[nodiscard]] int run_faults(const Arguments& arguments);
[[nodiscard]] int run_explain(const Arguments& arguments);
[[nodiscard]] int run_draw(const Arguments& arguments);
[[nodiscard]] int run_place(const Arguments& arguments);
[[nodiscard]] int run_measure(const Arguments& arguments);
[[nodiscard]] int run_pack(const Arguments& arguments);
[[nodiscard]] int run_report(const Arguments& arguments);
[[nodiscard]] int run_watch(const Arguments& arguments);
[[nodiscard]] int run_compare(const Arguments& arguments);
[[nodiscard]] int run_new(const Arguments& arguments);
[[nodiscard]] int run_import(const Arguments& arguments);
[[nodiscard]] int run_export(const Arguments& arguments);
[[nodiscard]] int run_tables(const Arguments& arguments);
/// `calc`: its options are those of the question, so that it reads the words after it on its own.
[[nodiscard]] int run_calc(std::span<const char* const> words);

[[nodiscard]] int run_manual(const Arguments& arguments);
[[nodiscard]] int run_completion(const Arguments& arguments);
/// `--version`: the program's, and the edition of each built-in table.
[[nodiscard]] std::string version_text();

} // namespace loomwright::cli
