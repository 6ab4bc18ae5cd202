// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"
#include "draw/layered_layout.hpp"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace loomwright::draw {

/// Graphviz's layout engine `dot`, started once for a drawing.
class DotEngine {
public:
    DotEngine() = default;
    virtual ~DotEngine() = default;
    DotEngine(const DotEngine&) = delete;
    DotEngine& operator=(const DotEngine&) = delete;
    DotEngine(DotEngine&&) = delete;
    DotEngine& operator=(DotEngine&&) = delete;

    /// Heights of the boxes' middles, in millimetres downward, as `dot` chooses them for boxes in
    /// columns from left to right; every edge goes to the next column. Widths do not matter.
    /// Nothing, with the reason in `why_not`, when the library fails.
    [[nodiscard]] virtual std::optional<std::vector<double>>
    heights(const std::vector<LayoutBox>& boxes, const std::vector<LayoutEdge>& edges,
            std::string& why_not) = 0;
};

/// What Graphviz and cairo do for a drawing. They are loaded when the first drawing is asked for:
/// to load them takes a tenth of the time of a whole check.
struct DrawingLibrary {
    std::unique_ptr<DotEngine> (*start_dot)() = nullptr;
    /// A PDF document with a page for each sheet, at full size, without dates.
    std::optional<std::string> (*write_pdf)(std::span<const Drawing> sheets,
                                            const std::string& title,
                                            std::string& why_not) = nullptr;
    /// All sheets one under the other as one picture, 150 dots to the inch or as many as it can
    /// hold.
    std::optional<std::string> (*write_png)(std::span<const Drawing> sheets,
                                            std::string& why_not) = nullptr;
};

/// The library, which stays loaded; nullptr with the reason when it cannot be.
[[nodiscard]] const DrawingLibrary* load_drawing_library(std::string& why_not);

} // namespace loomwright::draw

/// The one symbol that the loaded part shows.
extern "C" __attribute__((visibility("default"))) const loomwright::draw::DrawingLibrary*
loomwright_drawing_library();
