// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "pocket_calculator.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <optional>
#include <utility>

namespace loomwright {

bool is_digit(char c) {
    return std::isdigit(static_cast<unsigned char>(c)) != 0;
}
namespace {

constexpr int digits = 4;
/// How wide an answer may be from the rounding of its figures, as a share of it. A time between two
/// gates goes with a high power of the current, so that four digits of that give two of it.
constexpr double useful = 0.02;
constexpr double useful_of_a_time = 0.08;
/// Of a difference of two temperatures that lie side by side.
constexpr double useful_of_a_rise = 0.0025;
/// Beneath so much of its unit an answer is nothing at all.
constexpr double nothing = 2e-3;

constexpr std::array<std::pair<std::string_view, double>, 27> units = {
    {{"mohm/m", 1e-3}, {"mohm", 1e-3}, {"ohm", 1.0},   {"kohm", 1e3}, {"mA", 1e-3},  {"A2s", 1.0},
     {"A", 1.0},       {"mV", 1e-3},   {"V/m", 1.0},   {"V", 1.0},    {"mm2", 1.0},  {"mm", 1.0},
     {"ms", 1e-3},     {"min", 60.0},  {"m", 1.0},     {"s", 1.0},    {"h", 3600.0}, {"d", 86400.0},
     {"C", 1.0},       {"W/m", 1.0},   {"K m/W", 1.0}, {"K", 1.0},    {"%", 0.01},   {"W", 1.0},
     {"kg", 1.0},      {"ft", 1.0},    {"cmil", 1.0}}};

bool is_word(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '(' || c == '/';
}

/// Half a unit of the last digit that a printed number was rounded to.
double rounding(std::string_view text, double value) {
    if (value == 0.0) {
        return 0.5e-12;
    }
    const std::size_t e = text.find('e');
    const int power = e == std::string_view::npos ? 0 : std::stoi(std::string(text.substr(e + 1)));
    const std::string_view mantissa = text.substr(0, e);
    const std::size_t point = mantissa.find('.');
    const int after =
        point == std::string_view::npos ? 0 : static_cast<int>(mantissa.size() - point - 1);
    const int kept = static_cast<int>(std::floor(std::log10(std::abs(value)))) - digits + 1;
    return 0.5 * std::pow(10.0, std::min(power - after, kept));
}

Span over(std::initializer_list<double> values) {
    return {std::min(values), std::max(values)};
}

Span add(const Span& a, const Span& b) {
    return {a.low + b.low, a.high + b.high};
}

Span minus(const Span& a) {
    return {-a.high, -a.low};
}

Span times(const Span& a, const Span& b) {
    return over({a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high});
}

/// A figure at the beginning of a text: its token's length, how it was written, what it may be.
struct Figured {
    std::size_t length = 0;
    std::string number;
    bool has_unit = false;
    Span span;
};

std::optional<Figured> figure_at(std::string_view text) {
    std::size_t end = 0;
    const auto take_digits = [&] {
        while (end < text.size() && is_digit(text[end])) {
            ++end;
        }
    };
    take_digits();
    if (end == 0) {
        return std::nullopt;
    }
    if (end + 1 < text.size() && text[end] == '.' && is_digit(text[end + 1])) {
        ++end;
        take_digits();
    }
    if (end + 1 < text.size() && text[end] == 'e' &&
        (is_digit(text[end + 1]) || text[end + 1] == '-')) {
        end += 2;
        take_digits();
    }
    Figured out{end, std::string(text.substr(0, end)), false, {}};
    double factor = 1.0;
    for (const auto& [unit, si] : units) {
        const std::size_t after = end + 1 + unit.size();
        if (text.substr(end).starts_with(' ') && text.substr(end + 1).starts_with(unit) &&
            (after >= text.size() || !is_word(text[after]))) {
            factor = si;
            out.has_unit = true;
            out.length = after;
            break;
        }
    }
    const double value = std::stod(out.number);
    const double half = rounding(out.number, value);
    out.span = {(value - half) * factor, (value + half) * factor};
    return out;
}

struct NoArithmetic {};

class Calculator {
public:
    Calculator(std::string_view text, std::vector<std::string> exact)
        : text_(text), exact_(std::move(exact)) {}

    Computed relations() {
        Computed out{{sum()}, {}, true};
        while (const auto sign = relation()) {
            out.signs.push_back(*sign);
            out.sides.push_back(sum());
        }
        skip();
        if (!text_.empty()) {
            throw NoArithmetic();
        }
        return out;
    }

private:
    std::string_view text_;
    std::vector<std::string> exact_;

    void skip() {
        while (text_.starts_with(' ')) {
            text_.remove_prefix(1);
        }
    }
    bool take(std::string_view token) {
        skip();
        if (!text_.starts_with(token)) {
            return false;
        }
        text_.remove_prefix(token.size());
        return true;
    }
    void need(std::string_view token) {
        if (!take(token)) {
            throw NoArithmetic();
        }
    }
    std::optional<std::string> relation() {
        for (const char* sign : {"<=", ">=", "<", ">", "="}) {
            if (take(sign)) {
                return sign;
            }
        }
        return std::nullopt;
    }
    Span sum() {
        Span out = product();
        while (true) {
            if (take("+")) {
                out = add(out, product());
            } else if (take("-")) {
                out = add(out, minus(product()));
            } else {
                return out;
            }
        }
    }
    Span product() {
        Span out = power();
        while (true) {
            skip();
            if (take("x ")) {
                out = times(out, power());
            } else if (take("/")) {
                const Span by = power();
                if (by.low <= 0.0 && by.high >= 0.0) {
                    throw NoArithmetic();
                }
                out = times(out, {1.0 / by.high, 1.0 / by.low});
            } else if (text_.starts_with("sqrt") || text_.starts_with("ln") ||
                       text_.starts_with("(") || text_.starts_with("pi")) { // 226 sqrt(...)
                out = times(out, power());
            } else {
                return out;
            }
        }
    }
    Span power() {
        if (take("-")) {
            return minus(power());
        }
        const Span base = atom();
        if (!take("^")) {
            return base;
        }
        Span by = is_next_digit() ? written() : atom();
        if (base.low < 0.0 && (by.low != by.high || std::fmod(by.low, 2.0) != 0.0)) {
            throw NoArithmetic();
        }
        Span out = over({std::pow(base.low, by.low), std::pow(base.low, by.high),
                         std::pow(base.high, by.low), std::pow(base.high, by.high)});
        if (base.low <= 0.0 && base.high >= 0.0) {
            out.low = std::min(out.low, 0.0);
        }
        return out;
    }
    bool is_next_digit() {
        skip();
        return !text_.empty() && is_digit(text_.front());
    }
    /// An exponent: as it is written.
    Span written() {
        const auto found = figure_at(text_);
        text_.remove_prefix(found->number.size());
        const double value = std::stod(found->number);
        return {value, value};
    }
    Span atom() {
        skip();
        if (const auto found = figure_at(text_)) {
            text_.remove_prefix(found->length);
            if (!found->has_unit && std::ranges::find(exact_, found->number) != exact_.end()) {
                const double value = std::stod(found->number);
                return {value, value};
            }
            return found->span;
        }
        if (take("pi")) {
            constexpr double pi = 3.14159265358979;
            return {pi, pi};
        }
        if (take("sqrt")) {
            const Span in = bracket().front();
            return {std::sqrt(std::max(0.0, in.low)), std::sqrt(in.high)};
        }
        if (take("exp")) {
            const Span in = bracket().front();
            return {std::exp(in.low), std::exp(in.high)};
        }
        if (take("ln")) {
            const Span in = bracket().front();
            if (in.low <= 0.0) {
                throw NoArithmetic();
            }
            return {std::log(in.low), std::log(in.high)};
        }
        if (take("min")) {
            return chosen([](double a, double b) { return std::min(a, b); });
        }
        if (take("max")) {
            return chosen([](double a, double b) { return std::max(a, b); });
        }
        return bracket().front();
    }
    template <typename Choose> Span chosen(Choose choose) {
        const std::vector<Span> in = bracket();
        Span out = in.front();
        for (const Span& one : in) {
            out = {choose(out.low, one.low), choose(out.high, one.high)};
        }
        return out;
    }
    std::vector<Span> bracket() {
        need("(");
        std::vector<Span> out{sum()};
        while (take(",")) {
            out.push_back(sum());
        }
        need(")");
        return out;
    }
};

/// Numbers that a formula states as its own: no part of a name (r20), none with a unit.
std::vector<std::string> constants_of(std::string_view formula) {
    std::vector<std::string> out;
    for (std::size_t at = 0; at < formula.size(); ++at) {
        const bool begins = at == 0 || !(is_word(formula[at - 1]) || formula[at - 1] == '.') ||
                            formula[at - 1] == '(';
        if (!begins) {
            continue;
        }
        if (const auto found = figure_at(formula.substr(at))) {
            if (!found->has_unit) {
                out.push_back(found->number);
            }
            at += found->length - 1;
        }
    }
    return out;
}

std::string say(const Span& span) {
    return fmt::format("{:.6g} +- {:.2g}", span.middle(), span.half());
}

/// Two sides against "holds, 12.3 % to spare".
std::string wrong_verdict(const Computed& it, std::string_view gives) {
    std::size_t at = 0;
    for (std::size_t k = 0; k < it.signs.size(); ++k) {
        if (it.signs[k] == "=" && !meets(it.sides[k], it.sides[k + 1])) {
            return "the two sides of an equation differ";
        }
        at = it.signs[k] == "=" ? at : k;
    }
    const Span& left = it.sides[at];
    const Span& right = it.sides[at + 1];
    const bool holds = !gives.starts_with("does not hold");
    const bool is_least = it.signs[at].starts_with('>');
    const bool is_so = (holds != is_least) ? left.low <= right.high : left.high >= right.low;
    if (!is_so) {
        return fmt::format("{} against {}: the other way round", say(left), say(right));
    }
    const std::vector<Span> margin = figures_in(gives);
    if (margin.empty() || gives.find("hold") == std::string_view::npos) {
        return {};
    }
    // The margin is printed with three digits.
    const bool is_kelvin = gives.find(" K ") != std::string_view::npos;
    const Span share = times(left, {1.0 / right.high, 1.0 / right.low});
    Span spare = is_kelvin ? add(right, minus(left)) : add({1.0, 1.0}, minus(share));
    spare = holds ? spare : minus(spare);
    const double coarse = 0.005 * std::abs(margin.front().middle());
    return meets({spare.low - coarse, spare.high + coarse}, margin.front())
               ? std::string()
               : fmt::format("margin {}, printed {}", say(spare), say(margin.front()));
}

} // namespace

bool meets(const Span& one, const Span& other) {
    const double slack = 1e-9 * std::max({std::abs(one.low), std::abs(one.high),
                                          std::abs(other.low), std::abs(other.high)});
    return one.low <= other.high + slack && other.low <= one.high + slack;
}

Computed compute(std::string_view text, std::string_view formula) {
    try {
        return Calculator(text, constants_of(formula)).relations();
    } catch (const NoArithmetic&) {
        return {};
    }
}

std::vector<Span> figures_in(std::string_view text) {
    std::vector<Span> out;
    for (std::size_t at = 0; at < text.size(); ++at) {
        const bool begins = at == 0 || text[at - 1] == ' ' || text[at - 1] == '-';
        if (!begins) {
            continue;
        }
        if (const auto found = figure_at(text.substr(at))) {
            const bool is_negative = at > 0 && text[at - 1] == '-';
            out.push_back(is_negative ? minus(found->span) : found->span);
            at += found->length - 1;
        }
    }
    return out;
}

std::string wrong_in(std::string_view formula, std::string_view with, std::string_view gives) {
    const Computed it = compute(with, formula);
    if (!it.is_arithmetic) {
        return "this is no arithmetic";
    }
    if (it.sides.size() > 1) {
        const bool may = gives == "may stay closed" || gives == "stays closed";
        return wrong_verdict(it, may ? "holds" : gives);
    }
    const std::vector<Span> answers = figures_in(gives);
    if (answers.empty()) {
        return "no answer is printed";
    }
    const Span& value = it.sides.front();
    const bool both = gives.find("against") != std::string_view::npos; // the sides of a balance
    for (std::size_t k = 0; k < (both ? answers.size() : 1); ++k) {
        if (!meets(value, answers[k])) {
            return fmt::format("computed {}, printed {}", say(value), say(answers[k]));
        }
    }
    const bool is_time = formula.starts_with("t_") || formula.starts_with("time at");
    const bool is_rise = formula.starts_with("q_conv");
    const double allowed = is_time ? useful_of_a_time : is_rise ? useful_of_a_rise : useful;
    const double width = value.half() / std::max(std::abs(value.middle()), nothing);
    return width <= allowed ? std::string()
                            : fmt::format("computed {}: the figures are too coarse", say(value));
}

} // namespace loomwright
