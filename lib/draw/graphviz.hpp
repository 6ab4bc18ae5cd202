// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/layered_layout.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace loomwright::draw {

/// Graphviz's layout engine `dot`, started once for a drawing.
class DotEngine {
public:
    DotEngine();
    ~DotEngine();
    DotEngine(const DotEngine&) = delete;
    DotEngine& operator=(const DotEngine&) = delete;
    DotEngine(DotEngine&&) = delete;
    DotEngine& operator=(DotEngine&&) = delete;

    /// Heights of the boxes' middles, in millimetres downward, as `dot` chooses them for boxes in
    /// columns from left to right; every edge goes to the next column. Widths do not matter.
    /// Nothing, with the reason in `why_not`, when the library fails.
    [[nodiscard]] std::optional<std::vector<double>> heights(const std::vector<LayoutBox>& boxes,
                                                             const std::vector<LayoutEdge>& edges,
                                                             std::string& why_not);

private:
    struct Library;
    std::unique_ptr<Library> library_;
};

} // namespace loomwright::draw
