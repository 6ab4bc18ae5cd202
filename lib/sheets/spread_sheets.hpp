// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "study/spread.hpp"

#include <span>
#include <string>
#include <vector>

namespace loomwright {

/// The samples of one state, with what was asked of them.
struct SpreadAnswer {
    std::vector<SpreadLimit> limits;
    std::vector<SpreadFigure> figures;
    SpreadResult result;
    /// Of a nominal car without an answer: the sample whose loads are judged, from 1 on; 0: none.
    std::uint64_t stands_in = 0;
};

/// Limits with how often each is broken, the worst first; without `with_all` those that only matter
/// when broken (what a state expects, insulation, relays that stay out) are left out while they
/// hold.
[[nodiscard]] Sheet spread_limits_sheet(const StudyInput& study, const SpreadAnswer& answer,
                                        bool with_all);
/// Voltages of the loads that work.
[[nodiscard]] Sheet spread_loads_sheet(const StudyInput& study, const SpreadAnswer& answer);

/// `solve --spread`, for people: for each state the limits, the loads, and what was drawn.
[[nodiscard]] std::string spread_text(const StudyInput& study,
                                      std::span<const SpreadAnswer> answers, TextWidth width = {});
/// `solve --spread --csv`: one table of all states, limits first; see docs/method/spread.md.
[[nodiscard]] std::string spread_csv(const StudyInput& study,
                                     std::span<const SpreadAnswer> answers);
/// `solve --spread --json`: {"samples","seed","spreads":[],"states":[{"state","converged",
/// "answered","no_answer","chattering","limits":[],"wires":[],"devices":[]}]}.
[[nodiscard]] std::string spread_json(const StudyInput& study, const SpreadTable& table,
                                      std::span<const SpreadAnswer> answers);

} // namespace loomwright
