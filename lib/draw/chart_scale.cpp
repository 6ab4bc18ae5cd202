// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/chart_scale.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright::draw {
namespace {

constexpr double largest_shown = 1e30; // beyond it spans and steps would overflow
constexpr double smallest_shown = 1e-30;
constexpr double least_span = 1e-9; // of the largest value: what is nearer is constant
constexpr std::size_t most_rounding_ticks = 6;

/// The next of 1, 2, 5 times a power of ten that is not below `least`.
double round_step(double least) {
    const double decade = std::pow(10.0, std::floor(std::log10(least)));
    for (const double factor : {1.0, 2.0, 5.0}) {
        if (factor * decade >= least * (1.0 - 1e-9)) {
            return factor * decade;
        }
    }
    return 10.0 * decade;
}

int decimals_of(double step) {
    return std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, 15);
}

std::string label_of(double value, double step) {
    // What is left of a sum near 0 is 0.
    return fmt::format("{:.{}f}", std::abs(value) < step * 1e-6 ? 0.0 : value, decimals_of(step));
}

/// A power of ten as on a logarithmic axis: plain while it is short.
std::string power_label(double value) {
    const double exponent = std::floor(std::log10(value) + 1e-9);
    if (exponent < -4.0 || exponent > 5.0) {
        const double factor = value / std::pow(10.0, exponent);
        return fmt::format("{}e{}", std::lround(factor), static_cast<int>(exponent));
    }
    return fmt::format("{:.{}f}", value, exponent < 0.0 ? static_cast<int>(-exponent) : 0);
}

/// Numbers 1, 2, 5 times the powers of ten from low to high, or some of the powers alone.
std::vector<double> round_numbers(double low, double high, const std::vector<double>& factors,
                                  int every) {
    std::vector<double> out;
    const int first = static_cast<int>(std::floor(std::log10(low) - 1e-9));
    const int last = static_cast<int>(std::ceil(std::log10(high) + 1e-9));
    for (int exponent = first; exponent <= last; ++exponent) {
        if (exponent % every != 0) {
            continue;
        }
        for (const double factor : factors) {
            const double value = factor * std::pow(10.0, exponent);
            if (value >= low * (1.0 - 1e-9) && value <= high * (1.0 + 1e-9)) {
                out.push_back(value);
            }
        }
    }
    return out;
}

Scale linear_scale(double low, double high, bool is_rounded) {
    const double largest = std::max(std::abs(low), std::abs(high));
    if (high - low <= least_span * largest || high - low < smallest_shown) {
        const double room = largest < smallest_shown ? 1.0 : 0.1 * largest;
        low -= room;
        high += room;
    } else if (is_rounded && low > 0.0 && low <= 0.25 * high) {
        low = 0.0;
    }
    if (is_rounded) {
        const double step = round_step((high - low) / (most_rounding_ticks - 1));
        low = step * std::floor(low / step + 1e-9);
        high = step * std::ceil(high / step - 1e-9);
    }
    return {ChartScale::linear, low, high};
}

Scale logarithmic_scale(double low, double high, bool is_rounded) {
    if (high <= low * (1.0 + least_span)) {
        low /= 2.0;
        high *= 2.0;
    }
    if (is_rounded) {
        // Out to the next of 1, 2, 5 times a power of ten.
        const std::vector<double> below = round_numbers(low / 10.0, low, {1.0, 2.0, 5.0}, 1);
        const std::vector<double> above = round_numbers(high, high * 10.0, {1.0, 2.0, 5.0}, 1);
        low = below.empty() ? low : below.back();
        high = above.empty() ? high : above.front();
    }
    return {ChartScale::logarithmic, low, high};
}

} // namespace

bool is_shown(ChartScale kind, double value) {
    return std::isfinite(value) && std::abs(value) < largest_shown &&
           (kind == ChartScale::linear || value > smallest_shown);
}

double Scale::share(double value) const {
    return kind_ == ChartScale::linear ? (value - low_) / (high_ - low_)
                                       : std::log(value / low_) / std::log(high_ / low_);
}

bool Scale::can_show(double value) const {
    return is_shown(kind_, value);
}

int Scale::power() const {
    const double largest = std::max(std::abs(low_), std::abs(high_));
    if (kind_ == ChartScale::logarithmic || (largest < 1e6 && largest >= 1e-3)) {
        return 0;
    }
    return 3 * static_cast<int>(std::floor(std::log10(largest) / 3.0 + 1e-9));
}

std::vector<Tick> Scale::linear_ticks(std::size_t most) const {
    const double unit = std::pow(10.0, power());
    const double step =
        round_step((high_ - low_) / static_cast<double>(std::max<std::size_t>(most, 2) - 1));
    std::vector<Tick> out;
    const double first = std::ceil(low_ / step - 1e-6);
    for (int i = 0; i < 100; ++i) {
        const double value = (first + i) * step;
        if (value > high_ + 1e-6 * step) {
            break;
        }
        out.push_back({value, label_of(value / unit, step / unit)});
    }
    return out;
}

std::vector<Tick> Scale::logarithmic_ticks(std::size_t most) const {
    most = std::max<std::size_t>(most, 2);
    std::vector<double> values;
    for (const std::vector<double>& factors :
         {std::vector{1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0}, std::vector{1.0, 2.0, 3.0, 5.0},
          std::vector{1.0, 2.0, 5.0}, std::vector{1.0}}) {
        const std::vector<double> fewer = round_numbers(low_, high_, factors, 1);
        if (values.empty() || (values.size() > most && fewer.size() >= 2)) {
            values = fewer;
        }
    }
    if (values.size() < 2) {
        return linear_ticks(most);
    }
    for (int every = 2; values.size() > most && every < 64; every *= 2) {
        const std::vector<double> fewer = round_numbers(low_, high_, {1.0}, every);
        if (fewer.size() < 2) {
            break;
        }
        values = fewer;
    }
    std::vector<Tick> out;
    std::ranges::transform(values, std::back_inserter(out), [](double value) {
        return Tick{value, power_label(value)};
    });
    return out;
}

std::vector<Tick> Scale::ticks(std::size_t most) const {
    return kind_ == ChartScale::linear ? linear_ticks(most) : logarithmic_ticks(most);
}

std::vector<double> Scale::minor_ticks(int most_decades) const {
    if (kind_ == ChartScale::linear || high_ / low_ > std::pow(10.0, most_decades) * (1.0 + 1e-9)) {
        return {};
    }
    return round_numbers(low_, high_, {1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0}, 1);
}

Scale scale_for(const ChartAxis& axis, const std::vector<double>& values, bool is_rounded) {
    const bool is_linear = axis.scale == ChartScale::linear;
    std::optional<double> low;
    std::optional<double> high;
    for (const double value : values) {
        if (is_shown(axis.scale, value)) {
            low = std::min(low.value_or(value), value);
            high = std::max(high.value_or(value), value);
        }
    }
    const auto given = [&](std::optional<double> end) {
        return end && is_shown(axis.scale, *end) ? end : std::nullopt;
    };
    const auto given_low = given(axis.low);
    const auto given_high = given(axis.high);
    // Without a value the axis still has two ends.
    const double lowest = low.value_or(given_low.value_or(given_high.value_or(1.0)));
    const double highest = high.value_or(given_high.value_or(lowest));
    const Scale chosen = is_linear ? linear_scale(lowest, highest, is_rounded)
                                   : logarithmic_scale(lowest, highest, is_rounded);
    const double from = given_low.value_or(chosen.low());
    const double to = given_high.value_or(chosen.high());
    if (to > from) {
        return {axis.scale, from, to};
    }
    // The one end given lies beyond all values.
    const double room = std::max(std::abs(from), 1.0);
    return given_low ? Scale{axis.scale, from, is_linear ? from + room : from * 10.0}
                     : Scale{axis.scale, is_linear ? to - room : to / 10.0, to};
}

std::string axis_title(const ChartAxis& axis, const Scale& scale) {
    std::string unit = axis.unit;
    if (const int power = scale.power(); power != 0) {
        unit = fmt::format("10^{}{}{}", power, unit.empty() ? "" : " ", unit);
    }
    return axis.title + (axis.title.empty() || unit.empty() ? "" : ", ") + unit;
}

} // namespace loomwright::draw
