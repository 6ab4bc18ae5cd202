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

/// The user's own terminal of this kind ("ring M6", or its name in the stock) for wires of this
/// area together. A line that says the wires it takes goes before one of the same size, and that
/// before one that says nothing and serves any. nullptr: none.
[[nodiscard]] const StockItem* find_stock_terminal(const Vehicle& vehicle,
                                                   const Catalogue& catalogue,
                                                   std::string_view kind, SquareMetres area);
/// True when the stock has a terminal of this kind, for whatever wire.
[[nodiscard]] bool has_stock_terminal(const Vehicle& vehicle, std::string_view kind);

/// The user's own seal for a wire of this outside diameter, made for this kind of terminal where
/// its name says one. nullptr: none.
[[nodiscard]] const StockItem* find_stock_seal(const Vehicle& vehicle, std::string_view kind,
                                               Metres outside);
/// The user's own plug for an empty cavity beside this kind of terminal. nullptr: none.
[[nodiscard]] const StockItem* find_stock_plug(const Vehicle& vehicle, std::string_view kind);
/// The housing with this part number. nullptr: none, or no number.
[[nodiscard]] const StockItem* find_stock_housing(const Vehicle& vehicle,
                                                  std::string_view part_number);

} // namespace loomwright
