// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "sizing/sizing.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// One label to print and slide over a wire before its ends are made.
struct WireLabel {
    WireId wire;
    int place = 0; ///< 1 is at `from`, `of` is at `to`
    int of = 0;
    Metres at;        ///< from the cut end at `from`
    std::string text; ///< "12.2"
    std::string
        goes_to;    ///< "F10.out", the end that it is next to; between the ends "F10.out - M1.+"
    Metres outside; ///< diameter of the wire
    std::string sleeve; ///< smallest shrink sleeve that takes the wire; "" if the table has none
};

/// The places of labels on a wire of this length, from its first end: none under 3 in, one in the
/// middle up to 7 in, else near both ends and between them at most 6 ft apart (FAA AC 43.13-1B
/// 11-208; the unit of the last figure is memory).
[[nodiscard]] std::vector<Metres> label_places(const Catalogue& catalogue, Metres length);

/// Of every new wire that has a size, in the order of the file.
[[nodiscard]] std::vector<WireLabel> wire_labels(const StudyInput& study, const Sizing& sizing);

[[nodiscard]] Sheet labels_sheet(const StudyInput& study, const std::vector<WireLabel>& labels);

} // namespace loomwright
