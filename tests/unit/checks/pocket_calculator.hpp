// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

[[nodiscard]] bool is_digit(char c);

// A pocket calculator for printed figures, which carries how far each may be from what it was
// rounded from: a figure is printed with four significant digits or more, so the number behind it
// lies within half a unit of its fourth digit, or of its last where more are printed. Every
// operation gives the least and the most that its operands allow; a printed answer must meet that.
// It knows `+ - x / ^`, brackets, sqrt, ln, exp, min, max and units, and nothing of the program.

/// All that a number may be.
struct Span {
    double low = 0.0;
    double high = 0.0;
    [[nodiscard]] double middle() const { return 0.5 * (low + high); }
    [[nodiscard]] double half() const { return 0.5 * (high - low); }
};
[[nodiscard]] bool meets(const Span& one, const Span& other);

/// "12 <= 1.45 x 10 = 14.5": its sides, and the sign between each two.
struct Computed {
    std::vector<Span> sides;
    std::vector<std::string> signs;
    bool is_arithmetic = false; ///< false: the text is none, and there are no sides
};
/// `formula` states numbers of its own (the 1.45 of `1.45 Iz`): those are no rounded figures.
[[nodiscard]] Computed compute(std::string_view text, std::string_view formula);

/// Every figure of a text that stands by itself, in SI.
[[nodiscard]] std::vector<Span> figures_in(std::string_view text);

/// Why what is printed as the answer does not follow from the numbers put in; empty when it does.
[[nodiscard]] std::string wrong_in(std::string_view formula, std::string_view with,
                                   std::string_view gives);

} // namespace loomwright
