// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string_view>

namespace loomwright {

// The pages of docs/method that steps and findings give as their source.

inline constexpr std::string_view operating_point_page = "docs/method/operating-point.md";
inline constexpr std::string_view from_operating_point =
    "operating point, docs/method/operating-point.md";
inline constexpr std::string_view protection_page = "docs/method/protection.md";
inline constexpr std::string_view bundles_page = "docs/method/bundles.md";
inline constexpr std::string_view faults_page = "docs/method/faults.md";

} // namespace loomwright
