// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/packing_shelf.hpp"
#include "solve/warming_shelf.hpp"
#include "study/operating.hpp"

namespace loomwright {

/// What need not be worked out again, for one car or for several that are alike.
struct Shelves {
    PackingShelf packings;
    solve::WarmingShelf warmings;
};

[[nodiscard]] inline PackingShelf* packings_of(const StudyInput& input) {
    return input.shelves != nullptr ? &input.shelves->packings : nullptr;
}

} // namespace loomwright
