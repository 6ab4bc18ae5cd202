// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/choose_wires.hpp"

namespace loomwright {

/// Grows the picked sizes until every judged path keeps its drop limit, for little copper. Paths
/// that no size can bring under their limit are left alone.
void grow_for_drop(const RoundInput& round, std::vector<WireChoice>& choices);

} // namespace loomwright
