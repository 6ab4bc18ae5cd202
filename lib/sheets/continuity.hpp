// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "sizing/sizing.hpp"

#include <vector>

namespace loomwright {

/// What a milliohm meter shows from one end of a made wire to the other, terminals crimped.
struct ContinuityLine {
    WireId wire;
    Metres length;              ///< as cut
    double conductor_ohm = 0.0; ///< of its copper at 20 C
    double ends_ohm = 0.0;      ///< of what is crimped on both ends
    double most_ohm = 0.0;      ///< above this an end is made again
    [[nodiscard]] double expected_ohm() const { return conductor_ohm + ends_ohm; }
};

/// New wires in the order of the file; those without a size, or that stay from before, are left
/// out.
[[nodiscard]] std::vector<ContinuityLine> continuity(const StudyInput& study, const Sizing& sizing);

[[nodiscard]] Sheet continuity_sheet(const StudyInput& study,
                                     const std::vector<ContinuityLine>& lines);

} // namespace loomwright
