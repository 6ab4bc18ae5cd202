// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/fault_dangers.hpp"
#include "sheets/sheet.hpp"

#include <string>

namespace loomwright {

/// "harmless", "carried", "cleared", "cycles", "too-late", "overheats", "fire".
[[nodiscard]] std::string_view outcome_name(ShortOutcome outcome);

/// Shorts that burn a conductor, each place once over all states, the worst first.
[[nodiscard]] Sheet fault_dangers_sheet(const FaultAnswer& answer);
/// Every short of the sweep, those that nothing minds left out.
[[nodiscard]] Sheet fault_shorts_sheet(const FaultAnswer& answer);
/// Every open of the sweep that changes something.
[[nodiscard]] Sheet fault_opens_sheet(const FaultAnswer& answer);

/// `faults`, for people: the dangers, then the full table.
[[nodiscard]] std::string faults_text(const FaultAnswer& answer, TextWidth width = {});
/// `faults --csv`: one table of all cases.
[[nodiscard]] std::string faults_csv(const FaultAnswer& answer);
/// `faults --json`: {"metal","short_ohm","states":[],"dangers":[],"shorts":[],"opens":[],"counts"}.
[[nodiscard]] std::string faults_json(const FaultAnswer& answer);

} // namespace loomwright
