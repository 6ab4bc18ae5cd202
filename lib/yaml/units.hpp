// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace loomwright {

/// What a quantity is of.
enum class Dimension : std::uint8_t {
    length,
    size, ///< of a conductor: its number means nothing without its standard
    voltage,
    current,
    resistance,
    power,
    charge,
    temperature,
    time,
    share,
};

/// One way to write a unit: value in the stored unit = number x factor + offset.
struct UnitSpelling {
    std::string_view spelling;
    Dimension dimension;
    double factor = 1.0;
    double offset = 0.0;
    bool is_named = true; ///< named to people; other spellings are understood as well
};

/// Every spelling of every unit: the one list for reader, messages and schema.
[[nodiscard]] std::span<const UnitSpelling> unit_table();
/// The unit with this spelling, or nullptr.
[[nodiscard]] const UnitSpelling* find_unit(std::string_view spelling);
/// "a length", "a voltage".
[[nodiscard]] std::string_view dimension_name(Dimension dimension);
/// "mm, cm, m, in or ft".
[[nodiscard]] std::string accepted_units(Dimension dimension);
/// The unit shown first in messages: "m", "V".
[[nodiscard]] const UnitSpelling& leading_unit(Dimension dimension);

} // namespace loomwright
