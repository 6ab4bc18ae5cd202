// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/check_answer.hpp"

#include <string>

namespace loomwright {

/// `check --sarif`: the findings as a log of the Static Analysis Results Interchange Format 2.1.0
/// (OASIS standard), with every rule of the catalogue. A waived finding is suppressed in source; a
/// fault of the input is an error of a run that did not succeed.
[[nodiscard]] std::string check_sarif(const CheckAnswer& answer);

} // namespace loomwright
