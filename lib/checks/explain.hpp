// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "diag/proof.hpp"

#include <optional>
#include <string_view>
#include <vector>

namespace loomwright {

/// Everything that was computed about one wire, protective device, load or relay, formula by
/// formula with the numbers put in and their sources, so that it can be redone with a pocket
/// calculator. Nothing for a name that is none of these.
[[nodiscard]] std::optional<std::vector<ProofSection>> explain(const CheckInput& input,
                                                               std::string_view id);

} // namespace loomwright
