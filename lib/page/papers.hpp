// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "page/pack.hpp"
#include "sheets/bundle_schedule.hpp"
#include "sheets/buying_list.hpp"
#include "sheets/continuity.hpp"
#include "sheets/cut_list.hpp"
#include "sheets/first_power.hpp"
#include "sheets/labels.hpp"

#include <string>
#include <vector>

// Inside the room only: the print-ready pages of the pack, one function each.

namespace loomwright::page {

[[nodiscard]] std::string cut_page(const StudyInput& study, const CutList& list,
                                   const Findings& findings, Paper paper);
[[nodiscard]] std::string buying_page(const StudyInput& study, const BuyingList& list,
                                      const Findings& findings, Paper paper);
[[nodiscard]] std::string cutting_plan_page(const StudyInput& study, const BuyingList& list,
                                            const Findings& findings, Paper paper);
[[nodiscard]] std::string bundle_page(const StudyInput& study, const Sheet& schedule,
                                      const Findings& findings, Paper paper);
[[nodiscard]] std::string joint_page(const StudyInput& study, const Sheet& schedule,
                                     const Findings& findings, Paper paper);
/// A table for each housing, with both its faces.
[[nodiscard]] std::string connectors_page(const StudyInput& study, const Sizing& sizing,
                                          const Findings& findings, Paper paper);
[[nodiscard]] std::string continuity_page(const StudyInput& study,
                                          const std::vector<ContinuityLine>& lines,
                                          const Findings& findings, Paper paper);
[[nodiscard]] std::string first_power_page(const StudyInput& study, const Sizing& sizing,
                                           const std::vector<TestPlace>& places,
                                           const Findings& findings, Paper paper);
[[nodiscard]] std::string labels_page(const StudyInput& study, const std::vector<WireLabel>& labels,
                                      const Findings& findings, Paper paper);

} // namespace loomwright::page
