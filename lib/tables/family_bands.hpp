// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/catalogue.hpp"

namespace loomwright {

/// Fills in `gates`, the band that holds for every rating of the family, from `rating_gates`.
void merge_gates(FuseFamily& family);

} // namespace loomwright
