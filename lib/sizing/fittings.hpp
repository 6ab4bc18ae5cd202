// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

#include <optional>
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

/// The fitting that a terminal asks for by itself, whatever the wire: of parts whose terminals
/// their standards or data sheets fix (relays, flashers, protective devices). Nothing: the terminal
/// is what its builder made it, or a supplied lead.
[[nodiscard]] std::optional<std::string> own_fitting(const Vehicle& vehicle, TerminalRef at);

/// The supplied lead that comes to this terminal, or nullptr.
[[nodiscard]] const SuppliedLead* supplied_lead_at(const Vehicle& vehicle, TerminalRef at);

} // namespace loomwright
