// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "sizing/plug_halves.hpp"
#include "sizing/sizing.hpp"

#include <vector>

namespace loomwright {

/// The housings that have wires: the halves of connectors, and the plugs of other devices.
[[nodiscard]] std::vector<PlugHalf> wired_halves(const StudyInput& study, const Sizing& sizing);

/// One housing by its cavities: wire, size, colour, where it goes, terminal, strip, crimp height,
/// seal or plug; a line a wire, and one for each empty cavity.
[[nodiscard]] Sheet connector_table(const StudyInput& study, const Sizing& sizing,
                                    const PlugHalf& half);

/// The tables of all wired housings, in the order of the file.
[[nodiscard]] std::vector<Sheet> connector_tables(const StudyInput& study, const Sizing& sizing,
                                                  const std::vector<PlugHalf>& halves);

/// "Front to rear of the body, 2 rows, sealed": what stands beside a housing's name.
[[nodiscard]] std::string housing_text(const Vehicle& vehicle, const PlugHalf& half);

/// The tables of all housings one after the other, with the housing in a column of its own.
[[nodiscard]] Sheet connectors_sheet(const std::vector<Sheet>& tables);

} // namespace loomwright
