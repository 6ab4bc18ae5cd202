// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "page/pack.hpp"
#include "sheets/sheet.hpp"

#include <string>
#include <vector>

// Inside the room only: the page of any table.

namespace loomwright::page {

/// One table of a page, with what stands over it.
struct PrintSection {
    std::string heading;               ///< "" for none
    std::vector<std::string> pictures; ///< SVG, side by side under the heading
    Sheet sheet;
};

/// What stands at the head of a page.
struct PageHead {
    std::string title;   ///< "Joint schedule"
    std::string summary; ///< one line under it
    std::vector<std::string> signatures{"done by, date", "checked by, date"};
};

/// Sections one under the other as one self-contained print-ready page. A column whose key is
/// `done` is printed as a box to tick; columns that may wrap share what the others leave.
[[nodiscard]] std::string print_page(const Vehicle& vehicle, const Findings& findings, Paper paper,
                                     const PageHead& head,
                                     const std::vector<PrintSection>& sections);

} // namespace loomwright::page
