// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"

#include <string_view>

namespace loomwright {

/// The user's own wire of this size, insulation and colour; a line that leaves insulation or colour
/// open serves any, and the line that says most wins. nullptr: none.
[[nodiscard]] const StockItem* find_stock_wire(const Vehicle& vehicle, const Conductor& conductor,
                                               std::string_view insulation,
                                               std::string_view colour);

/// The user's own fuse of this family and rating. A line whose name holds the family's name as a
/// word is of that family; one that names none serves any.
[[nodiscard]] const StockItem* find_stock_fuse(const Vehicle& vehicle, const Catalogue& catalogue,
                                               std::string_view family, Amps rating);

/// The user's own terminal of this kind ("ring M6") for this conductor; a line without a size
/// serves any size.
[[nodiscard]] const StockItem* find_stock_terminal(const Vehicle& vehicle, std::string_view kind,
                                                   const Conductor& conductor);

} // namespace loomwright
