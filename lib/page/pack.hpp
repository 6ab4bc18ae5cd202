// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "sizing/sizing.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

enum class Paper : std::uint8_t { a4, letter };

/// The paper of this name ("A4", "letter"; letter case set aside); nothing for another.
[[nodiscard]] std::optional<Paper> paper_named(std::string_view name);

/// A file of the pack: its name (no folder) and what is in it.
struct PackFile {
    std::string name;
    std::string bytes;
};

/// The fabricator's pack: cut-list.csv, cut-list.html, buying-list.csv, buying-list.html,
/// bundle-schedule.csv, feeds.svg and feeds.pdf. `findings` are those of the checks: what is not
/// waived is counted on the first page. Nothing, with the reason in `why_not`, when a drawing
/// cannot be made.
[[nodiscard]] std::optional<std::vector<PackFile>> pack_files(const StudyInput& study,
                                                              const Sizing& sizing,
                                                              const Findings& findings, Paper paper,
                                                              std::string& why_not);

/// The cut list as one self-contained print-ready page.
[[nodiscard]] std::string cut_list_page(const StudyInput& study, const Sizing& sizing,
                                        const Findings& findings, Paper paper);
/// The buying list as one self-contained print-ready page.
[[nodiscard]] std::string buying_list_page(const StudyInput& study, const Sizing& sizing,
                                           const Findings& findings, Paper paper);

} // namespace loomwright
