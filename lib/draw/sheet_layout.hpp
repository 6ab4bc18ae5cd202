// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/band_drawing.hpp"

#include <vector>

namespace loomwright::draw {

/// What the title block of every sheet says.
struct TitleBlock {
    std::string title;
    std::string revision;
    std::string subject; ///< "Feeds, grouped by source and fuse"
};

/// Bands in their order on sheets of the A series, lying; the first opens with cautions and legend.
/// All sheets are of the smallest size from A3 up that holds the largest band.
[[nodiscard]] std::vector<Drawing> sheets_of(const BandInput& input, const std::vector<Band>& bands,
                                             const TitleBlock& block);

} // namespace loomwright::draw
