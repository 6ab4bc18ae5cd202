// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/build_band.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright::draw {

// Sizes of letters on the drawing, in millimetres; ISO 3098 asks for 2.5 mm or more by the height
// of the font, which 2.2 mm notes on the wires go below to keep a group on its sheet.
inline constexpr double name_size = 2.9;
inline constexpr double note_size = 2.2;
inline constexpr double label_size = 2.2;

/// Length of the solid head of an arrow that names where a wire goes on or comes from.
inline constexpr double head_length = 2.6;

/// What such an arrow says of what is drawn in the same frame, or on a circuit's own page.
[[nodiscard]] std::string_view here(const BandInput& input);

/// Width of a wire's number with what keeps its length off it.
[[nodiscard]] double number_width(const std::string& number);

/// How far from the left of a box's frame its middle, where a symbol may stand, begins.
struct BoxMeasures {
    double frame_left = 0.0; ///< from the node's left
    double frame_width = 0.0;
    double middle_from = 0.0; ///< from the frame's left
    double middle_to = 0.0;
};
[[nodiscard]] BoxMeasures box_measures(const BandInput& input, const Node& node);

/// What a unit has behind a terminal at which current enters it, with the text beside its symbol:
/// "tail", or of a switch inside also what it leads on to, "coupled: tail". Invalid: nothing.
struct InnerPart {
    DeviceId device;
    std::string text;
};
/// For each pin at the left of a unit, in their order; of pins at one terminal the first has it.
[[nodiscard]] std::vector<InnerPart> inner_parts(const Vehicle& vehicle, const Node& unit);

/// "F21, sheet 3": where a reference goes on.
using PlaceOfGroup = std::function<std::string(int group)>;

/// The name of a group on paper: that of its head.
[[nodiscard]] std::string group_name(const BandInput& input, int group);

/// Draws all of a band round its own corner.
[[nodiscard]] Drawing draw_band(const BandInput& input, const Band& band,
                                const PlaceOfGroup& place_of);

/// Room that a band's frame and heading take.
[[nodiscard]] Spot band_size(const Band& band);

} // namespace loomwright::draw
