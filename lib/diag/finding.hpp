// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/rules.hpp"
#include "diag/source.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// What a figure of a finding is: what was seen, what it must keep, or what went into either.
enum class FigureRole : std::uint8_t { observed, limit, input };

[[nodiscard]] std::string_view figure_role_name(FigureRole role);

/// One number that decided. `value` is in the SI unit named by `unit` ("A", "V", "C", "m", "m2",
/// "").
struct Figure {
    std::string label;
    double value = 0.0;
    std::string unit;
    FigureRole role = FigureRole::input;
    bool is_least = false; ///< of a limit: the observed figure must not be below it
};

/// A second place that belongs to a finding: the first definition, the fuse upstream.
struct RelatedPlace {
    SourceRange where;
    std::string label;
};

/// One thing that is wrong or worth knowing, with the figures that say so.
struct Finding {
    Rule rule = Rule::bad_file;
    Severity severity = Severity::fault;
    std::string subject; ///< the thing as the user wrote it: "12.2", "F10", "idle-rain-night"
    std::string message; ///< one sentence
    SourceRange where;
    std::vector<RelatedPlace> related;
    std::vector<Figure> figures;
    std::string source; ///< where the limit comes from
    std::string remedy; ///< one imperative sentence
    std::string waived; ///< why it was accepted, and by whom; empty when it was not

    /// (limit - observed) / |limit| of the first figure of each role, the other way round for a
    /// least limit: negative where the limit is not kept. Nothing without both figures.
    [[nodiscard]] std::optional<double> margin() const;
};

/// Of one rule of the input this many faults are told one by one, and the rest is counted: a file
/// with a million slips costs the memory of a hundred.
constexpr std::size_t most_told_of_a_rule = 100;

/// Collects findings: nothing is thrown for what the user wrote.
class Findings {
public:
    /// Adds a finding whose severity and source default to the catalogue's. Returns it for the
    /// caller to fill in further, until the next is added.
    Finding& add(Rule rule, std::string subject, SourceRange where, std::string message,
                 std::string remedy = {});

    [[nodiscard]] const std::vector<Finding>& all() const { return findings_; }
    [[nodiscard]] std::vector<Finding>& all() { return findings_; }
    [[nodiscard]] bool empty() const { return findings_.empty(); }
    /// True when any finding is a fault of the input: the model must not be used.
    [[nodiscard]] bool has_input_fault() const;
    /// Faults of the input: those that are told, and those that are counted alone.
    [[nodiscard]] std::size_t fault_count() const;
    /// Lets the last fault told of a rule say how many more there are. Once, when all are added.
    void mention_untold();
    /// Input faults by place; then findings by severity, waived ones last, then worst margin, then
    /// the order they were added in.
    void sort();
    void append(const Findings& other);

private:
    std::vector<Finding> findings_;
    std::map<Rule, std::size_t> faults_; ///< of the input, by rule: told or not
    Finding untold_;                     ///< the last that was counted alone
};

/// The finding as text for people: "file:line:column: danger[fuse-over-wire] 12.2: message", then
/// figures, the source line with a caret, related places, source and remedy.
[[nodiscard]] std::string describe(const Finding& finding, const SourceFiles& files,
                                   bool with_source_line = true);

} // namespace loomwright
