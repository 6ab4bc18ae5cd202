// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/band.hpp"
#include "draw/parts_of_devices.hpp"

namespace loomwright::draw {

class DotEngine;

/// What bands are made of.
struct BandInput {
    const Vehicle& vehicle;
    const Catalogue& catalogue;
    const Design& design;
    const FeedGroups& groups;
    const Parts& parts;
    /// On a page of its own: the lengths of wires stand on them, references name no sheet.
    bool is_alone = false;
};

/// Nodes and links of a group, without places.
[[nodiscard]] Band build_band(const BandInput& input, int group);

/// Gives every node its size and its pins; widths of lines by the area of the conductor.
void shape_nodes(const BandInput& input, Band& band);

/// Shapes a band that is built, and places its nodes and lines.
[[nodiscard]] bool place_band(const BandInput& input, Band& band, DotEngine& engine,
                              std::string& why_not);

/// Builds, shapes and places one group.
[[nodiscard]] std::optional<Band> make_band(const BandInput& input, int group, DotEngine& engine,
                                            std::string& why_not);

/// "2.5 mm2 RD/GN": what stands under a wire.
[[nodiscard]] std::string wire_label(const BandInput& input, WireId wire);
/// "1.25 m": what stands beside its number; "" where the drawing has no lengths.
[[nodiscard]] std::string length_label(const BandInput& input, WireId wire);
/// Width of a wire's line by its area, in the steps of technical drawing (ISO 128).
[[nodiscard]] double line_width(const BandInput& input, WireId wire);

} // namespace loomwright::draw
