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

/// Bands on lying sheets of A3, the first of which opens with cautions, legend and index; a band
/// too large for that has a larger sheet of its own.
[[nodiscard]] std::vector<Drawing> sheets_of(const BandInput& input, const std::vector<Band>& bands,
                                             const TitleBlock& block);

} // namespace loomwright::draw
