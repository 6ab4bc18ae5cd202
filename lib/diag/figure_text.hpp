// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <string>

namespace loomwright {

/// "drop: 0.7951 V": a figure of a finding with the unit that people read.
[[nodiscard]] std::string figure_text(const Figure& figure);

} // namespace loomwright
