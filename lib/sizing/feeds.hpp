// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

namespace loomwright {

/// How each wire is fed in the state in which that is worst; a wire that no state feeds is judged
/// with every contact closed.
[[nodiscard]] std::vector<WireFeed> trace_feeds(const StudyInput& input, const Design& design,
                                                const std::vector<const StateSolution*>& states);

} // namespace loomwright
