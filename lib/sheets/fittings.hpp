// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

#include <string>

namespace loomwright {

/// What is crimped on the end of a wire, and how much insulation comes off for it.
struct EndFitting {
    std::string kind; ///< "ring M6", "receptacle 6.3 mm", "crimp contact", "crimp splice"
    std::string note; ///< "to supplied lead main"; "" if the kind says all
    Metres strip;
};

/// The fitting for a wire of this area at this terminal. Common practice of the trade, no source:
/// the data sheet of the part that is bought decides.
[[nodiscard]] EndFitting end_fitting(const Vehicle& vehicle, TerminalRef at, SquareMetres area);

/// The supplied lead that comes to this terminal, or nullptr.
[[nodiscard]] const SuppliedLead* supplied_lead_at(const Vehicle& vehicle, TerminalRef at);

} // namespace loomwright
