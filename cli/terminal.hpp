// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "sheets/sheet.hpp"

#include <string>
#include <string_view>

namespace loomwright::cli {

/// What the program answers to the shell.
enum ExitStatus : int { clean = 0, found = 1, bad_input = 2, machine_failed = 3 };

/// True when standard output (1) or standard error (2) is a terminal that wants colour: NO_COLOR is
/// honoured, and TERM=dumb.
[[nodiscard]] bool wants_colour(int descriptor);
/// True when standard error is a terminal on which a line can be written over.
[[nodiscard]] bool wants_bar();

/// Columns of the terminal, never less than 40; 100, and no edge, when it is not one.
[[nodiscard]] TextWidth terminal_width();
/// The same of standard error.
[[nodiscard]] TextWidth error_width();

/// `text` with control characters, direction marks and bytes that are no UTF-8 shown as `\x1b`: a
/// name in a file cannot drive the terminal.
[[nodiscard]] std::string printable(std::string_view text);

/// Writes to standard output; false when it is full or closed.
[[nodiscard]] bool print(std::string_view text);
/// The same, folded to the terminal's width where it is one.
[[nodiscard]] bool print_text(std::string_view text);
/// Writes to standard error, folded to its width where that is a terminal.
void print_error(std::string_view text);

/// One finding as text, its severity coloured when asked.
[[nodiscard]] std::string finding_text(const Finding& finding, const SourceFiles& files,
                                       bool with_colour);

} // namespace loomwright::cli
