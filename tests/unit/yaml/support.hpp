// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "yaml/tree.hpp"

#include <memory>
#include <string>

/// A text read into a tree, with what was said about it.
struct ReadText {
    loomwright::SourceFiles files;
    loomwright::Findings findings;
    std::unique_ptr<const loomwright::Tree> tree;

    explicit ReadText(const std::string& text, const loomwright::YamlLimits& limits = {},
                      loomwright::PieceShelf* shelf = nullptr) {
        const loomwright::FileId file = files.add("car.yaml", text);
        tree = loomwright::read_tree(file, text, findings, limits, shelf);
    }
    [[nodiscard]] loomwright::Node root() const { return tree->root(); }
    /// "rule line:column" of every finding, each on its line.
    [[nodiscard]] std::string said() const {
        std::string out;
        for (const loomwright::Finding& finding : findings.all()) {
            out += std::string(loomwright::rule_info(finding.rule).id) + " " +
                   std::to_string(finding.where.line) + ":" + std::to_string(finding.where.column) +
                   "\n";
        }
        return out;
    }
    [[nodiscard]] std::string message() const {
        return findings.empty() ? "" : findings.all().front().message;
    }
    [[nodiscard]] std::string remedy() const {
        return findings.empty() ? "" : findings.all().front().remedy;
    }
};

/// "line:column-end" of a range.
inline std::string show_place(const loomwright::SourceRange& range) {
    return std::to_string(range.line) + ":" + std::to_string(range.column) + "-" +
           std::to_string(range.end_column);
}
