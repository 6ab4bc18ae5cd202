// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/check_answer.hpp"

#include <string>

namespace loomwright {

/// `check --junit`: the XML of test reports that build servers read. The car is a suite and every
/// rule of the catalogue a case of it: failed with its findings, an error for a fault of the input,
/// skipped where all of them are waived or where it was not judged; passed else, with findings
/// under `fails_from` as its output.
[[nodiscard]] std::string check_junit(const CheckAnswer& answer);

} // namespace loomwright
