// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// The colour of a wire that leaves it to the program (`colour: auto`), with what decided.
struct ColourChoice {
    WireId wire;
    std::string colour;   ///< "BK/WH", IEC 60757: base, then tracers; "" where the stock has none
    std::string base;     ///< "BK"
    std::string why;      ///< why this base: "fed by terminal 15"
    std::string source;   ///< of that custom
    bool goes_on = false; ///< the colour that arrives at its connector
    int taken = 0;        ///< colours before it in the list that a neighbour has
    bool from_stock = false; ///< the stock names colours of this wire, and it is one of them
    WireId clash; ///< a wire beside it of the same colour, where no other was left; invalid: none
};

/// A colour for every wire of `colour: auto`, in the order of the file: the base by what the wire
/// does, tracers so that no two wires in one run or one connector are alike. Where the stock has
/// wire of this size and insulation and names its colours, one of those. Colours that are written
/// stay; a wire keeps the colour of the one that it goes on from where it can. What the vehicle has
/// already for these wires does not matter: the answer is always the same.
[[nodiscard]] std::vector<ColourChoice> choose_colours(const StudyInput& study,
                                                       const Design& design);

} // namespace loomwright
