// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"

#include <functional>
#include <optional>
#include <string>

namespace loomwright {

/// Gives the text of an included file, named relative to the folder of the vehicle file; nothing
/// when it cannot be read or lies outside that folder's tree. Readers see texts, never paths.
using IncludeReader =
    std::function<std::optional<std::string>(const std::string& name, std::string& why_not)>;

class PieceShelf;

/// Reads a vehicle from its text. Faults are collected in `findings`; the vehicle is complete only
/// when there is none. With a shelf, entries that were read before are not read again.
[[nodiscard]] Vehicle read_vehicle(const std::string& file_name, const std::string& text,
                                   const Catalogue& catalogue, const IncludeReader& include,
                                   SourceFiles& files, Findings& findings,
                                   PieceShelf* shelf = nullptr);

} // namespace loomwright
