// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"
#include "draw/formats.hpp"
#include "draw/paper_sheet.hpp"
#include "sizing/sizing.hpp"

#include <optional>
#include <string>

namespace loomwright {

/// One circuit on one lying page: its devices with what they are and where, every wire with number,
/// size, colour and length, and arrows where it comes from or goes on into other circuits. A
/// circuit too large to be read on the paper has a page twice as large, or more. SVG, PDF or PNG;
/// the same design gives the same bytes. Nothing, with the reason in `why_not`, for another format
/// or when layout or renderer fails.
[[nodiscard]] std::optional<std::string> draw_circuit(const StudyInput& study, const Sizing& sizing,
                                                      CircuitId circuit,
                                                      const draw::PaperSheet& paper,
                                                      DrawingFormat format, std::string& why_not);

namespace draw {

/// The page of draw_circuit.
[[nodiscard]] std::optional<Drawing> circuit_sheet(const StudyInput& study, const Sizing& sizing,
                                                   CircuitId circuit, const PaperSheet& paper,
                                                   std::string& why_not);

} // namespace draw
} // namespace loomwright
