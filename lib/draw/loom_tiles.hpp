// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/board_layout.hpp"
#include "draw/paper_sheet.hpp"
#include "sizing/sizing.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// The loom at full size as one PDF document: a page with the grid of tiles, then a page for each
/// tile that something lies on, row by row. Pages overlap and carry register marks at the same
/// places of the board, a bar of 100 mm, and their tile's name. The same design gives the same
/// bytes. Nothing, with the reason in `why_not`, for a car without a run that new wires lie in, or
/// when the renderer fails.
[[nodiscard]] std::optional<std::string>
draw_loom_tiles(const StudyInput& study, const Sizing& sizing, const draw::PaperSheet& paper,
                const draw::BoardSize& board, std::string& why_not);

namespace draw {

struct LoomPlan;

/// The pages of draw_loom_tiles.
[[nodiscard]] std::vector<Drawing> loom_tiles(const StudyInput& study, const LoomPlan& plan,
                                              const PaperSheet& paper);

} // namespace draw
} // namespace loomwright
