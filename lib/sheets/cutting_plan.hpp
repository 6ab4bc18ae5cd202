// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/cut_list.hpp"

#include <vector>

namespace loomwright {

struct BuyingList;

/// What is cut from one spool, longest piece first.
struct SpoolCut {
    std::vector<const CutLine*> lines; ///< into the cut list
    Metres used;
    Metres rest; ///< left on it
};

/// How the wires of one kind are cut from spools of one length.
struct WireCutting {
    Metres spool_length;
    std::vector<SpoolCut> spools;         ///< fullest first: the longest rest is on the last
    int at_least = 0;                     ///< no plan needs fewer spools: proved
    std::vector<const CutLine*> too_long; ///< longer than a spool: not in the plan
    [[nodiscard]] bool is_least() const { return static_cast<int>(spools.size()) == at_least; }
};

/// The wires of `spool`, which must outlive the answer, cut from as few spools of this length as
/// can be found (plan_cutting).
[[nodiscard]] WireCutting cut_from_spools(const CutSpool& spool, Metres spool_length);

/// A line a spool: which wires in which order, what is used and what is left.
[[nodiscard]] Sheet cutting_plan_sheet(const BuyingList& list);

} // namespace loomwright
