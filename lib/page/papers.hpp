// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "page/pack.hpp"
#include "sheets/buying_list.hpp"
#include "sheets/connector_tables.hpp"
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
/// The table of each housing, with both its faces.
[[nodiscard]] std::string connectors_page(const StudyInput& study,
                                          const std::vector<PlugHalf>& halves,
                                          const std::vector<Sheet>& tables,
                                          const Findings& findings, Paper paper);
[[nodiscard]] std::string first_power_page(const StudyInput& study, const Sizing& sizing,
                                           const std::vector<TestPlace>& places,
                                           const Findings& findings, Paper paper);
[[nodiscard]] std::string labels_page(const StudyInput& study, const std::vector<WireLabel>& labels,
                                      const std::vector<std::string>& notes,
                                      const Findings& findings, Paper paper);

} // namespace loomwright::page
