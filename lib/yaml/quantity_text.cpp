// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/quantity_text.hpp"

#include "base/display.hpp"
#include "base/spelling.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <vector>

namespace loomwright {
namespace {

// No-break, thin and narrow no-break space: what other programs put between number and unit.
constexpr std::array<std::string_view, 6> blanks = {" ",  "\t",       "\n",
                                                    "\r", "\xC2\xA0", "\xE2\x80\xAF"};
constexpr std::string_view thin_space = "\xE2\x80\x89";
// What is quoted back in a message.
constexpr std::size_t longest_shown = 40;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

std::string_view without_blanks_before(std::string_view text) {
    for (bool again = true; again;) {
        again = false;
        for (const std::string_view blank : blanks) {
            if (text.starts_with(blank)) {
                text.remove_prefix(blank.size());
                again = true;
            }
        }
        if (text.starts_with(thin_space)) {
            text.remove_prefix(thin_space.size());
            again = true;
        }
    }
    return text;
}

/// The text as a message shows it: in its own quotes, cut where it is long.
std::string shown(std::string_view text) {
    if (text.size() <= longest_shown) {
        return fmt::format("`{}`", text);
    }
    std::size_t cut = longest_shown;
    while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) {
        --cut;
    }
    return fmt::format("`{}...`", text.substr(0, cut));
}

/// Bytes of the number at the start of `text`, well-formed or not; 0 when none begins there.
std::size_t number_length(std::string_view text) {
    std::size_t i = 0;
    if (i < text.size() && (text[i] == '+' || text[i] == '-')) {
        ++i;
    }
    const std::size_t first = i;
    const auto is_part = [](char c) {
        return is_digit(c) || c == '.' || c == ',' || c == '_' || c == '\'';
    };
    while (i < text.size() && is_part(text[i])) {
        ++i;
    }
    // A mark with no digit after it is no mark between digits: 4' is feet to whoever writes it.
    while (i > first && text[i - 1] == '\'') {
        --i;
    }
    const std::string_view digits = text.substr(first, i - first);
    if (std::ranges::none_of(digits, is_digit)) {
        return 0;
    }
    if (i < text.size() && (text[i] == 'e' || text[i] == 'E')) {
        std::size_t j = i + 1;
        if (j < text.size() && (text[j] == '+' || text[j] == '-')) {
            ++j;
        }
        if (j < text.size() && is_digit(text[j])) {
            while (j < text.size() && is_digit(text[j])) {
                ++j;
            }
            i = j;
        }
    }
    return i;
}

TextFault bad_number(std::string message, std::string remedy) {
    return {Rule::bad_number, std::move(message), std::move(remedy)};
}

/// The value of a number that is known to be made of digits, signs, points and the like.
std::optional<double> number_value(std::string_view text, TextFault& fault) {
    std::string_view digits = text;
    if (digits.starts_with('+') || digits.starts_with('-')) {
        digits.remove_prefix(1);
    }
    if (digits.find(',') != std::string_view::npos) {
        fault = bad_number(fmt::format("{} is written with a comma", shown(text)),
                           "write a decimal point, and no mark between thousands: `1.5`, `1500`");
        return std::nullopt;
    }
    if (digits.find_first_of("_'") != std::string_view::npos) {
        fault = bad_number(fmt::format("{} has a mark between its digits", shown(text)),
                           "write the digits alone: `1500`");
        return std::nullopt;
    }
    if (digits.size() > 1 && digits[0] == '0' && is_digit(digits[1])) {
        const std::size_t first = std::min(digits.find_first_not_of('0'), digits.size() - 1);
        const std::string_view rest = digits.substr(is_digit(digits[first]) ? first : first - 1);
        fault = bad_number(fmt::format("{} begins with a zero that says nothing", shown(text)),
                           fmt::format("write `{}`", rest));
        return std::nullopt;
    }
    std::string_view body = text;
    if (body.starts_with('+')) {
        body.remove_prefix(1);
    }
    double value = 0.0;
    const auto [end, error] = std::from_chars(body.data(), body.data() + body.size(), value);
    if (error == std::errc::result_out_of_range || !std::isfinite(value)) {
        fault = bad_number(fmt::format("{} is beyond what a number can hold", shown(text)),
                           "write the number in full, or in another unit");
        return std::nullopt;
    }
    if (error != std::errc() || end != body.data() + body.size()) {
        fault = bad_number(fmt::format("{} is not a number", shown(text)),
                           "write digits with at most one decimal point: `1.5`");
        return std::nullopt;
    }
    return value;
}

/// A text cut into its number and what follows it.
struct NumberAndRest {
    double value = 0.0;
    std::string_view rest;
};

std::optional<NumberAndRest> split_number(std::string_view text, std::string_view wanted,
                                          TextFault& fault) {
    if (text.empty()) {
        fault = bad_number("there is no number here", fmt::format("write {}", wanted));
        return std::nullopt;
    }
    const std::size_t length = number_length(text);
    if (length == 0) {
        fault = bad_number(fmt::format("{} is not a number", shown(text)),
                           fmt::format("write {}", wanted));
        return std::nullopt;
    }
    const std::string_view rest = text.substr(length);
    if (text.substr(0, length) == "0" && (rest.starts_with('x') || rest.starts_with('X')) &&
        rest.size() > 1) {
        fault = bad_number(fmt::format("{} is written in hexadecimal", shown(text)),
                           "write a decimal number");
        return std::nullopt;
    }
    const std::string_view after = without_blanks_before(rest);
    if (!after.empty() && is_digit(after.front())) {
        fault = bad_number(fmt::format("{} has a space between its digits", shown(text)),
                           "write the digits of one number without a space");
        return std::nullopt;
    }
    if (after.starts_with('/')) {
        fault = bad_number(fmt::format("{} is written as a fraction", shown(text)),
                           "write a decimal number: `0.5` for 1/2");
        return std::nullopt;
    }
    const auto value = number_value(text.substr(0, length), fault);
    if (!value) {
        return std::nullopt;
    }
    return NumberAndRest{*value, after};
}

std::string example(Dimension dimension) {
    return fmt::format("a number with its unit: {}", accepted_units(dimension));
}

/// "; a power in W or kW", where a second kind of quantity is as good as the one that is wanted.
std::string also_in(Dimension wanted, Dimension other) {
    return wanted == other
               ? std::string()
               : fmt::format("; {} in {}", dimension_name(other), accepted_units(other));
}

/// Any letter is one slip away from any other: of a single one only the case can be meant, and
/// nobody who writes K for kelvins means C.
bool is_slip(std::string_view unit, std::string_view near) {
    return unit.size() > 1 || (unit.front() | 0x20) == (near.front() | 0x20);
}

TextFault unknown_unit(std::string_view unit, Dimension wanted, Dimension other) {
    std::vector<std::string_view> known;
    for (const UnitSpelling& spelling : unit_table()) {
        if (spelling.dimension == wanted || spelling.dimension == other) {
            known.push_back(spelling.spelling);
        }
    }
    TextFault fault{Rule::unknown_word, fmt::format("{} is not a unit that is known", shown(unit)),
                    fmt::format("write {} in {}{}", dimension_name(wanted), accepted_units(wanted),
                                also_in(wanted, other))};
    if (const auto near = nearest_word(unit, known); near && is_slip(unit, *near)) {
        fault.remedy =
            fmt::format("did you mean `{}`? {} is written in {}{}", *near, dimension_name(wanted),
                        accepted_units(wanted), also_in(wanted, other));
    }
    return fault;
}

/// A share without its sign: 0.7 is written by whoever means 70 %.
std::string with_unit(std::string_view text, double value, Dimension wanted) {
    if (wanted == Dimension::share && value > 0.0 && value < 1.0) {
        return fmt::format("write the share in percent: `{} %`", show_number(100.0 * value, 6));
    }
    return fmt::format("write the unit after the number: `{} {}`", text,
                       leading_unit(wanted).spelling);
}

TextFault size_without_unit(std::string_view number) {
    const bool is_gauge_only =
        number.find('/') != std::string_view::npos ||
        (number.starts_with('0') && number.find('.') == std::string_view::npos);
    return {Rule::missing_unit,
            fmt::format("{} has no unit: a conductor size is written in {}", shown(number),
                        accepted_units(Dimension::size)),
            fmt::format("write {1}`{0} AWG` or `{0} SAE`: each is another conductor", number,
                        is_gauge_only ? std::string() : fmt::format("`{} mm2`, ", number))};
}

} // namespace

std::size_t word_place(std::string_view text, std::string_view word) {
    for (std::size_t at = text.find(word); at != std::string_view::npos;
         at = text.find(word, at + 1)) {
        const std::size_t after = at + word.size();
        const bool starts = at > 0 && !is_letter(text[at - 1]);
        const bool ends = after < text.size() && !is_letter(text[after]);
        if (starts && ends) {
            return at;
        }
    }
    return std::string_view::npos;
}

std::string_view trimmed(std::string_view text) {
    text = without_blanks_before(text);
    for (bool again = true; again;) {
        again = false;
        for (const std::string_view blank : blanks) {
            if (text.ends_with(blank)) {
                text.remove_suffix(blank.size());
                again = true;
            }
        }
    }
    return text;
}

std::optional<double> read_number(std::string_view text, TextFault& fault) {
    const auto split = split_number(trimmed(text), "a plain number", fault);
    if (!split) {
        return std::nullopt;
    }
    if (!split->rest.empty()) {
        fault = bad_number(fmt::format("{} is more than a plain number", shown(trimmed(text))),
                           "write the number alone, without a unit");
        return std::nullopt;
    }
    return split->value;
}

std::optional<int> read_count(std::string_view text, TextFault& fault) {
    const auto value = read_number(text, fault);
    if (!value) {
        return std::nullopt;
    }
    if (*value == std::floor(*value) && std::abs(*value) > 1e9) {
        fault = bad_number(
            fmt::format("{} is larger than anything that is counted here", shown(trimmed(text))),
            "correct the number");
        return std::nullopt;
    }
    if (*value != std::floor(*value)) {
        fault = bad_number(fmt::format("{} is not a whole number", shown(trimmed(text))),
                           "write a whole number: `8`");
        return std::nullopt;
    }
    return static_cast<int>(*value);
}

std::optional<QuantityValue> read_either(std::string_view text, Dimension wanted, Dimension other,
                                         TextFault& fault) {
    text = trimmed(text);
    const auto split = split_number(text, example(wanted), fault);
    if (!split) {
        return std::nullopt;
    }
    if (split->rest.empty()) {
        fault = {Rule::missing_unit,
                 fmt::format("{} has no unit: {} is written in {}{}", shown(text),
                             dimension_name(wanted), accepted_units(wanted),
                             also_in(wanted, other)),
                 with_unit(text, split->value, wanted)};
        return std::nullopt;
    }
    const UnitSpelling* unit = find_unit(split->rest);
    if (unit == nullptr) {
        fault = unknown_unit(split->rest, wanted, other);
        return std::nullopt;
    }
    if (unit->dimension != wanted && unit->dimension != other) {
        fault = {Rule::wrong_dimension,
                 fmt::format("{} is {}, not {}", shown(text), dimension_name(unit->dimension),
                             dimension_name(wanted)),
                 fmt::format("write {} in {}{}", dimension_name(wanted), accepted_units(wanted),
                             also_in(wanted, other))};
        return std::nullopt;
    }
    const double value = split->value * unit->factor + unit->offset;
    if (!std::isfinite(value)) {
        fault = bad_number(fmt::format("{} is beyond what a number can hold", shown(text)),
                           "write it in another unit");
        return std::nullopt;
    }
    return QuantityValue{value, unit->dimension};
}

std::optional<double> read_quantity(std::string_view text, Dimension wanted, TextFault& fault) {
    const auto read = read_either(text, wanted, wanted, fault);
    return read ? std::optional<double>(read->value) : std::nullopt;
}

std::optional<QuantityPair> read_pair(std::string_view text, std::string_view word, Dimension first,
                                      Dimension first_other, Dimension second, TextFault& fault) {
    QuantityPair pair;
    const std::size_t at = word_place(text, word);
    const auto left = read_either(text.substr(0, at), first, first_other, fault);
    if (!left) {
        if (at != std::string_view::npos) {
            fault.length = trimmed(text.substr(0, at)).size();
        }
        return std::nullopt;
    }
    pair.first = *left;
    if (at == std::string_view::npos) {
        return pair;
    }
    const std::string_view after = trimmed(text.substr(at + word.size()));
    pair.second_offset = static_cast<std::size_t>(after.data() - text.data());
    const auto right = read_either(after, second, second, fault);
    if (!right) {
        fault.offset = pair.second_offset;
        fault.length = after.size();
        return std::nullopt;
    }
    pair.second = *right;
    return pair;
}

std::optional<SizeText> read_size(std::string_view text, TextFault& fault) {
    text = trimmed(text);
    if (text.size() > 1 && text.front() == '-' && is_digit(text[1])) {
        fault = {Rule::out_of_range,
                 fmt::format("{} is not possible: a conductor has more than no size", shown(text)),
                 "delete the sign"};
        return std::nullopt;
    }
    // The number of a size is a name: 0000, 1/0 and 0 must not become figures.
    std::size_t length = 0;
    while (length < text.size() && (is_digit(text[length]) || text[length] == '/' ||
                                    text[length] == '.' || text[length] == ',')) {
        ++length;
    }
    const std::string_view unit_text = without_blanks_before(text.substr(length));
    const std::string_view number = text.substr(0, length);
    if (length == 0 || (!unit_text.empty() && is_digit(unit_text.front()))) {
        fault = {Rule::bad_number, fmt::format("{} is not a conductor size", shown(text)),
                 "write `1.5 mm2`, `16 AWG` or `16 SAE`"};
        return std::nullopt;
    }
    if (unit_text.empty()) {
        fault = size_without_unit(number);
        return std::nullopt;
    }
    const UnitSpelling* unit = find_unit(unit_text);
    if (unit == nullptr) {
        fault = unknown_unit(unit_text, Dimension::size, Dimension::size);
        return std::nullopt;
    }
    if (unit->dimension != Dimension::size) {
        fault = {Rule::wrong_dimension,
                 fmt::format("{} is {}, not a conductor size", shown(text),
                             dimension_name(unit->dimension)),
                 fmt::format("write a conductor size in {}", accepted_units(Dimension::size))};
        return std::nullopt;
    }
    if (unit->factor != 1.0) {
        const auto value = number_value(number, fault);
        if (!value) {
            return std::nullopt;
        }
        return SizeText{std::string(number), "mm2"};
    }
    if (number.find_first_of(".,") != std::string_view::npos || number.starts_with('/') ||
        number.ends_with('/')) {
        fault = {Rule::bad_number, fmt::format("{} is not a gauge number", shown(text)),
                 "gauge numbers are whole (`16`), or noughts: `1/0` (the same as `0`) to `4/0` "
                 "(the same as `0000`)"};
        return std::nullopt;
    }
    return SizeText{std::string(number), unit->spelling};
}

std::optional<bool> read_truth(std::string_view text) {
    std::string lower(trimmed(text));
    std::ranges::transform(lower, lower.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    if (lower == "yes" || lower == "true" || lower == "on") {
        return true;
    }
    if (lower == "no" || lower == "false" || lower == "off") {
        return false;
    }
    return std::nullopt;
}

} // namespace loomwright
