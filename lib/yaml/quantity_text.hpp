// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/rules.hpp"
#include "yaml/units.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace loomwright {

/// Why a text is not what was wanted; `offset` and `length` say which part of it.
struct TextFault {
    Rule rule = Rule::bad_number;
    std::string message;
    std::string remedy;
    std::size_t offset = 0;
    std::size_t length = std::string_view::npos;
};

/// A number in the stored unit of its dimension (SI; degrees Celsius; a share of one).
struct QuantityValue {
    double value = 0.0;
    Dimension dimension = Dimension::length;
};

/// Two quantities of one text: "22 A at 13 V", "70 A for 0.4 s"; the second may be left out.
struct QuantityPair {
    QuantityValue first;
    std::optional<QuantityValue> second;
    std::size_t second_offset = 0;
};

/// A conductor size as it stands: the number keeps its spelling ("0000", "1/0", "0.75").
struct SizeText {
    std::string number;
    std::string_view unit; ///< "mm2", "AWG" or "SAE"
};

/// A plain number: decimal point, no unit, no leading zeros, finite. Never depends on a locale.
[[nodiscard]] std::optional<double> read_number(std::string_view text, TextFault& fault);
/// A whole number.
[[nodiscard]] std::optional<int> read_count(std::string_view text, TextFault& fault);
/// A number with a unit of the wanted dimension; the space between may be left out.
[[nodiscard]] std::optional<double> read_quantity(std::string_view text, Dimension wanted,
                                                  TextFault& fault);
/// A number with a unit of one of two dimensions: "22 A" or "55 W".
[[nodiscard]] std::optional<QuantityValue> read_either(std::string_view text, Dimension wanted,
                                                       Dimension other, TextFault& fault);
/// Two quantities with `word` between them. The first may be of two dimensions.
[[nodiscard]] std::optional<QuantityPair> read_pair(std::string_view text, std::string_view word,
                                                    Dimension first, Dimension first_other,
                                                    Dimension second, TextFault& fault);
[[nodiscard]] std::optional<SizeText> read_size(std::string_view text, TextFault& fault);
/// yes, no, true, false, on, off, in any letter case; nothing for any other word.
[[nodiscard]] std::optional<bool> read_truth(std::string_view text);
/// Where `word` stands in `text` as a word of its own, with something before and behind it; npos:
/// nowhere.
[[nodiscard]] std::size_t word_place(std::string_view text, std::string_view word);
/// `text` without spaces, tabs, line ends and their wider kin at both ends.
[[nodiscard]] std::string_view trimmed(std::string_view text);

} // namespace loomwright
