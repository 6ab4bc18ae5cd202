// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/units.hpp"

#include <algorithm>
#include <array>
#include <vector>

// Factors: 1 in = 25.4 mm and 1 ft = 12 in exactly (international inch, ISO 80000-3);
// t/C = (t/F - 32) x 5/9; 1 Ah = 3600 C (ampere seconds); 1 d = 86 400 s.

namespace loomwright {
namespace {

using enum Dimension;

constexpr std::array table = {
    UnitSpelling{"m", length, 1.0},
    UnitSpelling{"mm", length, 1e-3},
    UnitSpelling{"cm", length, 1e-2},
    UnitSpelling{"in", length, 0.0254},
    UnitSpelling{"ft", length, 0.3048},
    UnitSpelling{"mm2", size, 1e-6},
    UnitSpelling{"mm²", size, 1e-6, 0.0, false},
    UnitSpelling{"AWG", size},
    UnitSpelling{"SAE", size},
    UnitSpelling{"V", voltage, 1.0},
    UnitSpelling{"mV", voltage, 1e-3},
    UnitSpelling{"A", current, 1.0},
    UnitSpelling{"mA", current, 1e-3},
    UnitSpelling{"uA", current, 1e-6, 0.0, false},
    UnitSpelling{"µA", current, 1e-6, 0.0, false},
    UnitSpelling{"μA", current, 1e-6, 0.0, false},
    UnitSpelling{"ohm", resistance, 1.0},
    UnitSpelling{"mohm", resistance, 1e-3},
    UnitSpelling{"kohm", resistance, 1e3},
    UnitSpelling{"Mohm", resistance, 1e6, 0.0, false},
    UnitSpelling{"Ω", resistance, 1.0, 0.0, false},
    UnitSpelling{"mΩ", resistance, 1e-3, 0.0, false},
    UnitSpelling{"kΩ", resistance, 1e3, 0.0, false},
    UnitSpelling{"MΩ", resistance, 1e6, 0.0, false},
    // The same letter as a sign of its own (U+2126).
    UnitSpelling{"\xE2\x84\xA6", resistance, 1.0, 0.0, false},
    UnitSpelling{"m\xE2\x84\xA6", resistance, 1e-3, 0.0, false},
    UnitSpelling{"k\xE2\x84\xA6", resistance, 1e3, 0.0, false},
    UnitSpelling{"W", power, 1.0},
    UnitSpelling{"mW", power, 1e-3, 0.0, false},
    UnitSpelling{"kW", power, 1e3},
    UnitSpelling{"Ah", charge, 3600.0},
    UnitSpelling{"mAh", charge, 3.6, 0.0, false},
    UnitSpelling{"C", temperature, 1.0},
    UnitSpelling{"F", temperature, 5.0 / 9.0, -160.0 / 9.0},
    UnitSpelling{"°C", temperature, 1.0, 0.0, false},
    UnitSpelling{"°F", temperature, 5.0 / 9.0, -160.0 / 9.0, false},
    UnitSpelling{"s", time, 1.0},
    UnitSpelling{"ms", time, 1e-3},
    UnitSpelling{"min", time, 60.0},
    UnitSpelling{"h", time, 3600.0},
    UnitSpelling{"d", time, 86400.0},
    UnitSpelling{"%", share, 1e-2},
};

} // namespace

std::span<const UnitSpelling> unit_table() {
    return table;
}

const UnitSpelling* find_unit(std::string_view spelling) {
    const auto* const found = std::ranges::find(table, spelling, &UnitSpelling::spelling);
    return found == table.end() ? nullptr : &*found;
}

std::string_view dimension_name(Dimension dimension) {
    switch (dimension) {
    case length:
        return "a length";
    case size:
        return "a conductor size";
    case voltage:
        return "a voltage";
    case current:
        return "a current";
    case resistance:
        return "a resistance";
    case power:
        return "a power";
    case charge:
        return "a charge";
    case temperature:
        return "a temperature";
    case time:
        return "a time";
    case share:
        return "a share";
    }
    return "a quantity";
}

std::string accepted_units(Dimension dimension) {
    std::vector<std::string_view> named;
    for (const UnitSpelling& unit : table) {
        if (unit.dimension == dimension && unit.is_named) {
            named.push_back(unit.spelling);
        }
    }
    std::string out;
    for (std::size_t i = 0; i < named.size(); ++i) {
        if (i > 0) {
            out += i + 1 == named.size() ? " or " : ", ";
        }
        out += named[i];
    }
    return out;
}

const UnitSpelling& leading_unit(Dimension dimension) {
    return *std::ranges::find(table, dimension, &UnitSpelling::dimension);
}

} // namespace loomwright
