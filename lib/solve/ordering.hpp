// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <vector>

namespace loomwright::solve {

/// An elimination order of little fill for a symmetric matrix; entry k is the old number of the
/// k-th to be eliminated. The matrix is given by the columns of its strict upper triangle; an entry
/// may stand there more than once.
[[nodiscard]] std::vector<Index> fill_reducing_order(const std::vector<Index>& column_start,
                                                     const std::vector<Index>& row);

} // namespace loomwright::solve
