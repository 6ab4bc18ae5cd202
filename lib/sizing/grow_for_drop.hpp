// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/choose_wires.hpp"

namespace loomwright {

/// Grows the picked sizes until every judged path keeps its drop limit, for little copper. Where
/// contacts, joints and wires of a given size leave nothing for the rest, these are grown as though
/// the limit were for them alone; a path that not even the largest sizes bring that far is left.
void grow_for_drop(const RoundInput& round, std::vector<WireChoice>& choices);

} // namespace loomwright
