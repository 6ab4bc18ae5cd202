// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/chart_curves.hpp"

#include <span>
#include <string>
#include <vector>

namespace loomwright::draw {

/// What stands over the phases: their names where all have room, else numbers with a key.
struct PhaseLabels {
    struct Item {
        double middle = 0.0;
        int row = 0; ///< counted upward from the panel
        std::vector<std::string> lines;
    };
    std::vector<Item> items;
    std::vector<std::string> key; ///< entries that tell what the numbers mean
    double row_height = 0.0;
    int rows = 0;
    bool is_missing_some = false; ///< phases too narrow for a number
};

/// The labels for the phases on an axis from `left`, `width` millimetres wide.
[[nodiscard]] PhaseLabels label_phases(const std::vector<ChartPhase>& phases, const Scale& x,
                                       double left, double width);

/// Every second phase pale through all panels, thin lines where phases meet, and the labels over
/// the first panel.
void draw_phases(Drawing& out, const std::vector<ChartPhase>& phases, const Scale& x,
                 std::span<const Field> panels, const PhaseLabels& labels);

} // namespace loomwright::draw
