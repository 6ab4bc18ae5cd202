// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "diag/finding.hpp"
#include "page/pack.hpp"

#include <optional>
#include <string>

namespace loomwright {

/// What a report is made from: a checked car. `checked.faults` may be missing; the page then says
/// that no fault was tried.
struct ReportOrder {
    CheckInput checked;
    const Findings& findings; ///< sorted
    const SourceFiles& files;
    Paper paper = Paper::a4;
    bool is_served = false; ///< it asks the program that shows it whether it has changed
};

/// The inspector's report as one self-contained HTML page: verdict and dangers first, then states,
/// protection, voltage drops, wires, faults, loom, feeds, waivers, old wiring, assumptions, method,
/// and the working of every figure. It needs no network and is read without scripts; the same car
/// gives the same bytes. Nothing, with the reason in `why_not`, when a drawing cannot be made.
[[nodiscard]] std::optional<std::string> make_report(const ReportOrder& order,
                                                     std::string& why_not);

/// The page that stands in for a served report while the vehicle file has faults.
[[nodiscard]] std::string input_faults_page(const std::string& file, const Findings& findings,
                                            const SourceFiles& files);

} // namespace loomwright
