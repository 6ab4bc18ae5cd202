// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "sheets/sheet.hpp"
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

/// The fabricator's pack.
struct Pack {
    std::vector<PackFile> files; ///< every table as CSV and as a print-ready page, and the drawings
    std::vector<Sheet> tables;   ///< the tables once more, for a workbook
};

/// Cut list, buying list, cutting plan, joint schedule, connector tables, bundle schedule, labels,
/// continuity and first-power sheets; the feeds, the loom to scale and at full size on that paper.
/// `findings` are those of the checks: what is not waived is counted on the head of every page.
/// Nothing, with the reason in `why_not`, when a drawing cannot be made.
[[nodiscard]] std::optional<Pack> make_pack(const StudyInput& study, const Sizing& sizing,
                                            const Findings& findings, Paper paper,
                                            std::string& why_not);

/// The tables alone.
[[nodiscard]] std::vector<Sheet> pack_tables(const StudyInput& study, const Sizing& sizing);

/// The cut list as one self-contained print-ready page.
[[nodiscard]] std::string cut_list_page(const StudyInput& study, const Sizing& sizing,
                                        const Findings& findings, Paper paper);

} // namespace loomwright
