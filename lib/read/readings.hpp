// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "model/readings.hpp"
#include "model/vehicle.hpp"
#include "yaml/quantity_text.hpp"

#include <optional>
#include <string_view>
#include <vector>

namespace loomwright {

/// "0.5 % + 10 mV", "10 mV" or "1 %": how far a meter may be off, either way.
[[nodiscard]] std::optional<MeterAccuracy> read_accuracy(std::string_view text, TextFault& fault);

/// Reads a list of workshop readings: a head line that names the columns (docs/guide), then a line
/// a reading. Faults are findings with line and column; the list comes back when there is none.
[[nodiscard]] std::optional<std::vector<MeterReading>>
read_readings(FileId file, std::string_view text, const Vehicle& vehicle,
              const MeterAccuracy& accuracy, Findings& findings);

} // namespace loomwright
