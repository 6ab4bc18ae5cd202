// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "explanation_lists.hpp"

#include "checked.hpp"
#include "pocket_calculator.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

namespace loomwright {
namespace {

/// Characters of the figure at the beginning of a text, its sign with it; 0 for none.
std::size_t figure_length(std::string_view text) {
    std::size_t at = text.starts_with('-') ? 1 : 0;
    const std::size_t first = at;
    while (at < text.size() && (is_digit(text[at]) || (text[at] == '.' && at > first))) {
        ++at;
    }
    if (at == first) {
        return 0;
    }
    if (at + 1 < text.size() && text[at] == 'e' &&
        (is_digit(text[at + 1]) || text[at + 1] == '-')) {
        at += 2;
        while (at < text.size() && is_digit(text[at])) {
            ++at;
        }
    }
    return at;
}

/// A line of an explanation as a list has it, without its `=` or `-`.
std::string line_of(const ProofStep& step) {
    return fmt::format("{} | {} | {}", step.formula, step.with, step.gives);
}

bool is_this(const Told& told, const std::string& listed) {
    if (listed.starts_with("## ")) {
        return told.step == nullptr && is_like(told.line, listed);
    }
    const std::size_t source = listed.find(" || ");
    return told.step != nullptr && is_like(told.line, listed.substr(0, source).substr(2)) &&
           (source == std::string::npos || told.step->source == listed.substr(source + 4));
}

} // namespace

bool is_like(std::string_view text, std::string_view pattern) {
    while (!pattern.empty()) {
        if (pattern == "*") {
            return true;
        }
        if (pattern.front() == '*') {
            const std::size_t length = figure_length(text);
            if (length == 0) {
                return false;
            }
            text.remove_prefix(length);
        } else if (text.empty() || text.front() != pattern.front()) {
            return false;
        } else {
            text.remove_prefix(1);
        }
        pattern.remove_prefix(1);
    }
    return text.empty();
}

std::vector<Told> told(const std::vector<ProofSection>& proof) {
    std::vector<Told> out;
    for (const ProofSection& section : proof) {
        out.push_back({"## " + section.title, nullptr});
        for (const ProofStep& step : section.steps) {
            out.push_back({line_of(step), &step});
        }
    }
    return out;
}

std::vector<Listed> read_list(const std::string& path) {
    std::vector<Listed> out;
    std::istringstream text(text_of(path));
    std::string line;
    while (std::getline(text, line)) {
        if (line.starts_with("# ")) {
            out.push_back({line.substr(2), {}});
        } else if (!line.empty() && !line.starts_with(";")) {
            REQUIRE_MESSAGE(!out.empty(), line);
            out.back().lines.push_back(line);
        }
    }
    return out;
}

std::vector<Listed> explained_list(const std::string& name) {
    return read_list(std::string(LOOMWRIGHT_SOURCE_DIR) + "/tests/unit/checks/explained/" + name);
}

void check_listed(const Listed& listed, const std::vector<Told>& lines) {
    CAPTURE(listed.name);
    std::size_t at = 0;
    bool may_skip = false;
    for (const std::string& line : listed.lines) {
        if (line.find_first_of("=-#.") != 0) {
            continue;
        }
        if (line == "...") {
            may_skip = true;
            continue;
        }
        while (may_skip && at < lines.size() && !is_this(lines[at], line)) {
            ++at;
        }
        may_skip = false;
        REQUIRE_MESSAGE(at < lines.size(), "not told: ", line);
        REQUIRE_MESSAGE(is_this(lines[at], line), "listed: ", line, "\n  told: ", lines[at].line);
        if (line.starts_with("=")) {
            const ProofStep& step = *lines[at].step;
            CHECK_MESSAGE(wrong_in(step.formula, step.with, step.gives) == "", lines[at].line);
        }
        ++at;
    }
    CHECK_MESSAGE((may_skip || at == lines.size()), "told too: ", lines[at].line);
}

} // namespace loomwright
