// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing_library.hpp"

namespace loomwright::draw {

/// Graphviz's `dot`, as DrawingLibrary has it.
[[nodiscard]] std::unique_ptr<DotEngine> start_dot();

} // namespace loomwright::draw
