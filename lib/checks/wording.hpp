// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/word_list.hpp"
#include "checks/checks.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

// Figures of findings, by what they are.
[[nodiscard]] Figure seen(std::string label, double value, std::string unit);
[[nodiscard]] Figure limit_of(std::string label, double value, std::string unit);
/// A limit that the observed figure must not be below.
[[nodiscard]] Figure least_of(std::string label, double value, std::string unit);
[[nodiscard]] Figure given(std::string label, double value, std::string unit);

/// "12.5 mm": of what is measured on the bench.
[[nodiscard]] std::string millimetres(Metres length);
/// "; also over it: 1, 3 and 4": of those that a finding of one does not tell; "" for none.
[[nodiscard]] std::string also_over(const std::vector<std::string>& others);
/// "tables defaults, stud-lugs: common practice, no source".
[[nodiscard]] std::string source_of(const DefaultValue& row);

/// Where a device's figures stand in the file, or its name.
[[nodiscard]] SourceRange place_of(const Device& device);
/// The state in which a wire carries most; "every state" for one that never carries anything.
[[nodiscard]] std::string busiest_state_name(const Vehicle& vehicle, StateId state);
/// "stopped", "cranking", "idle", "running".
[[nodiscard]] std::string_view engine_name(EngineCondition engine);
/// "F3", "E7/tail"; "" for none.
[[nodiscard]] std::string name_of(const Vehicle& vehicle, DeviceId device);

} // namespace loomwright
