// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/catalogue.hpp"
#include "yaml/quantity_text.hpp"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// The tables of conductors that a question may name: "iso", "sae", "awg" (those of the whole-car
/// check), and "iec", "nfpa", "faa" with the figures of that table alone.
[[nodiscard]] std::vector<std::string> conductor_table_names();
[[nodiscard]] std::string_view conductor_table_title(std::string_view table);
[[nodiscard]] SizeStandard standard_of_table(std::string_view table);
/// The table that a size belongs to when none is named.
[[nodiscard]] std::string_view usual_table(SizeStandard standard);

/// The conductors of a table by rising area.
[[nodiscard]] std::vector<Conductor> conductors_of_table(const Catalogue& catalogue,
                                                         std::string_view table);

/// "1.5 mm2", "16 AWG" as the name of a size, which no table need have.
[[nodiscard]] std::optional<ConductorSize> read_conductor_size(std::string_view text,
                                                               TextFault& fault);
/// The fault of a size that the table does not have, with those that it has.
[[nodiscard]] TextFault no_such_size(const ConductorSize& size, std::string_view table,
                                     std::span<const Conductor> conductors);

} // namespace loomwright
