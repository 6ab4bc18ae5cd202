// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "diag/proof.hpp"
#include "tables/catalogue.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace loomwright {

// Single questions, answered by the functions that judge a whole car. What people type is a list of
// options; what is wrong with them becomes findings, all at once, each with its place in its
// option.

/// An option as typed: "--length" with "18 ft".
struct TypedOption {
    std::string name; ///< without the dashes
    std::optional<std::string> text;
};

/// What an option takes, for help and messages.
struct CalcOption {
    std::string_view name;
    std::string_view takes; ///< "LENGTH"; "": nothing, it is a flag
    std::string_view what;
    bool is_required = false;
    bool repeats = false;
};

struct CalcQuestion {
    std::string_view name; ///< "drop"
    std::string_view what;
    std::span<const CalcOption> options;
    std::span<const std::string_view> examples; ///< what stands after "loomwright calc"
};
[[nodiscard]] std::span<const CalcQuestion> calc_questions();
/// The question of this name, or nullptr.
[[nodiscard]] const CalcQuestion* find_calc_question(std::string_view name);

/// One figure of an answer.
struct CalcFigure {
    std::string key; ///< with its SI unit, for programs: "drop_v"
    std::string label;
    std::variant<std::monostate, double, bool, std::string> value; ///< SI; none: not defined
    std::string shown;                                             ///< for people
};

struct CalcAnswer {
    std::string question;
    std::vector<CalcFigure> figures;
    std::vector<std::vector<CalcFigure>> wires; ///< what is told of several wires, each for itself
    std::vector<ProofSection> sections;
    bool holds = true; ///< false: a limit that was asked about is not kept
};

/// The answer; nothing, with findings that name the option and the place in it, when an option
/// cannot be understood, is missing, or says what is not possible.
[[nodiscard]] std::optional<CalcAnswer> answer_question(const CalcQuestion& question,
                                                        std::span<const TypedOption> options,
                                                        const Catalogue& catalogue,
                                                        SourceFiles& files, Findings& findings);

} // namespace loomwright
