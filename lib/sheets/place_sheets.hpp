// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/placing.hpp"
#include "sheets/sheet.hpp"
#include "sizing/sizing.hpp"

#include <span>
#include <string_view>

namespace loomwright {

/// A row for each point of the body, the best place first. `name` is what is placed.
[[nodiscard]] Sheet place_sheet(const StudyInput& study, std::string_view name,
                                std::span<const PlaceChoice> choices);
/// A row for each fixed lead of the supplied harnesses: what it is joined to, its slack or what it
/// falls short by.
[[nodiscard]] Sheet lead_sheet(const StudyInput& study, std::span<const LeadReach> reaches);

} // namespace loomwright
