// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/spread_sheets.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// One limit of a state as all three forms of the answer show it.
struct SpreadLimitRow {
    const SpreadLimit* limit = nullptr;
    std::string_view rule; ///< "drop-limit"
    std::string subject;   ///< the device's name or the wire's number
    std::string_view unit; ///< "V", "C"; "" where nothing is measured
    SpreadValues values;   ///< count 0: nothing is measured
    SpreadShare broken;
    bool is_nominal_broken = false;
};
/// In the order of the limits.
[[nodiscard]] std::vector<SpreadLimitRow> spread_limit_rows(const StudyInput& study,
                                                            const SpreadAnswer& answer);

/// One figure of a wire or a device.
struct SpreadFigureRow {
    std::string_view figure; ///< "amps"
    std::string_view unit;
    std::string subject;
    bool is_wire = false;
    SpreadValues values;
};
/// Those of wires and devices, in the order asked for.
[[nodiscard]] std::vector<SpreadFigureRow> spread_figure_rows(const StudyInput& study,
                                                              const SpreadAnswer& answer);

} // namespace loomwright
