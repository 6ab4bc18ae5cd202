// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/finding.hpp"

#include "diag/figure_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <tuple>

namespace loomwright {
namespace {

/// The caret stands under the column, which counts characters; tabs before it are kept as they are.
std::string caret_line(const std::string& line, const SourceRange& where) {
    std::string pad;
    int column = 1;
    for (std::size_t i = 0; i < line.size() && column < where.column; ++i) {
        const auto c = static_cast<unsigned char>(line[i]);
        if ((c & 0xC0U) == 0x80U) {
            continue; // the rest of a character that has its space already
        }
        pad += c == '\t' ? '\t' : ' ';
        ++column;
    }
    const int width = std::clamp(where.end_column - where.column, 1, 60);
    return pad + std::string(static_cast<std::size_t>(width), '^');
}

} // namespace

std::string_view figure_role_name(FigureRole role) {
    switch (role) {
    case FigureRole::observed:
        return "observed";
    case FigureRole::limit:
        return "limit";
    case FigureRole::input:
        return "input";
    }
    return "input";
}

std::optional<double> Finding::margin() const {
    const auto observed = std::ranges::find(figures, FigureRole::observed, &Figure::role);
    const auto limit = std::ranges::find(figures, FigureRole::limit, &Figure::role);
    if (observed == figures.end() || limit == figures.end() || limit->value == 0.0) {
        return std::nullopt;
    }
    const double room = limit->value - observed->value;
    return (limit->is_least ? -room : room) / std::abs(limit->value);
}

Finding& Findings::add(Rule rule, std::string subject, SourceRange where, std::string message,
                       std::string remedy) {
    const RuleInfo& info = rule_info(rule);
    const bool is_told = !info.is_input || ++faults_[rule] <= most_told_of_a_rule;
    Finding& finding = is_told ? findings_.emplace_back() : untold_;
    finding = Finding{};
    finding.rule = rule;
    finding.severity = info.severity;
    finding.subject = std::move(subject);
    finding.message = std::move(message);
    finding.where = where;
    finding.source = std::string(info.standard);
    finding.remedy = std::move(remedy);
    return finding;
}

bool Findings::has_input_fault() const {
    return std::ranges::any_of(findings_,
                               [](const Finding& f) { return rule_info(f.rule).is_input; });
}

std::size_t Findings::fault_count() const {
    std::size_t count = 0;
    for (const auto& [rule, faults] : faults_) {
        count += faults;
    }
    return count;
}

void Findings::mention_untold() {
    for (const auto& [rule, faults] : faults_) {
        if (faults <= most_told_of_a_rule) {
            continue;
        }
        const auto last =
            std::ranges::find(findings_.rbegin(), findings_.rend(), rule, &Finding::rule);
        if (last != findings_.rend()) {
            last->message +=
                fmt::format(" (and {} more findings of this rule)", faults - most_told_of_a_rule);
        }
    }
}

void Findings::append(const Findings& other) {
    for (const auto& [rule, faults] : other.faults_) {
        faults_[rule] += faults;
    }
    findings_.insert(findings_.end(), other.findings_.begin(), other.findings_.end());
}

void Findings::sort() {
    const auto key = [](const Finding& f) {
        const bool is_input = rule_info(f.rule).is_input;
        // A missing margin sorts after any known one of the same severity.
        const double margin = f.margin().value_or(1e300);
        return std::tuple(!is_input, is_input ? f.where.file.is_valid() : false,
                          is_input && f.where.file.is_valid() ? f.where.file.index() : 0,
                          is_input ? f.where.line : 0, is_input ? f.where.column : 0,
                          !f.waived.empty(), -static_cast<int>(f.severity),
                          is_input ? 0.0 : -std::abs(margin) * (margin < 0 ? 1.0 : -1.0));
    };
    std::ranges::stable_sort(findings_,
                             [&](const Finding& a, const Finding& b) { return key(a) < key(b); });
}

std::string describe(const Finding& finding, const SourceFiles& files, bool with_source_line) {
    const RuleInfo& info = rule_info(finding.rule);
    std::string out;
    const std::string place = files.place(finding.where);
    if (!place.empty()) {
        out += place + ": ";
    }
    out += fmt::format("{}[{}] ", verdict_name(finding), info.id);
    if (!finding.subject.empty()) {
        out += finding.subject + ": ";
    }
    out += finding.message + "\n";
    if (!finding.waived.empty()) {
        out += fmt::format("  waived: {}\n", finding.waived);
    }
    if (!finding.figures.empty()) {
        out += fmt::format("  {}\n", figures_line(finding));
    }
    if (with_source_line && finding.where.is_known() && finding.where.file.is_valid()) {
        const std::string line = files.line(finding.where.file, finding.where.line);
        if (!line.empty() && line.size() <= 200) {
            const std::string number = fmt::format("  {} | ", finding.where.line);
            out += number + line + "\n";
            out +=
                std::string(number.size() - 2, ' ') + "| " + caret_line(line, finding.where) + "\n";
        }
    }
    for (const RelatedPlace& related : finding.related) {
        out += fmt::format("  {}: {}\n", files.place(related.where), related.label);
    }
    if (!finding.source.empty() && !info.is_input) {
        out += fmt::format("  source: {}\n", finding.source);
    }
    if (!finding.remedy.empty()) {
        out += fmt::format("  remedy: {}\n", finding.remedy);
    }
    return out;
}

} // namespace loomwright
