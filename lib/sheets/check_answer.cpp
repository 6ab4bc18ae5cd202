// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/check_answer.hpp"

#include "diag/figure_text.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {

std::string path_from_here(const CheckAnswer& answer, FileId file) {
    if (!file.is_valid() || file.index() >= answer.files.size()) {
        return {};
    }
    const std::string& name = answer.files.file(file).name;
    const FileId vehicle = answer.vehicle_file;
    // Files read after the vehicle file are its parts; before it stand the built-in tables.
    if (!vehicle.is_valid() || file.index() <= vehicle.index()) {
        return name;
    }
    const std::string& main = answer.files.file(vehicle).name;
    const std::size_t slash = main.rfind('/');
    return slash == std::string::npos ? name : main.substr(0, slash + 1) + name;
}

std::string finding_line(const CheckAnswer& answer, const Finding& finding) {
    const bool has_line = finding.where.is_known();
    return plain_text(fmt::format(
        "{}:{}:{}: {}[{}] {}{}{}", path_from_here(answer, finding.where.file),
        has_line ? finding.where.line : 1, has_line ? std::max(finding.where.column, 1) : 1,
        verdict_name(finding), rule_info(finding.rule).id, finding.subject,
        finding.subject.empty() ? "" : ": ", finding.message));
}

std::string finding_lines(const CheckAnswer& answer) {
    std::string out;
    for (const Finding& finding : answer.findings.all()) {
        if (finding.waived.empty()) {
            out += finding_line(answer, finding) + "\n";
        }
    }
    return out;
}

} // namespace loomwright
