// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/display.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace loomwright {
namespace {

std::string with_milli(double value, const char* unit) {
    if (value != 0.0 && std::abs(value) < 0.1) {
        return fmt::format("{} m{}", show_number(value * 1e3), unit);
    }
    return fmt::format("{} {}", show_number(value), unit);
}

} // namespace

std::string show_number(double number, int digits) {
    if (!std::isfinite(number)) {
        return number > 0 ? "infinite" : number < 0 ? "-infinite" : "undefined";
    }
    if (number == 0.0) {
        return "0";
    }
    // How many decimals give `digits` significant digits, after rounding has settled the magnitude.
    const int magnitude = static_cast<int>(std::floor(std::log10(std::abs(number))));
    const int decimals = std::min(12, std::max(0, digits - 1 - magnitude));
    // Three times as quick as a format string, and a proof is made of little else. The largest
    // number that there is has 309 digits before its point.
    std::array<char, 336> digits_out;
    char* const end = std::to_chars(digits_out.data(), digits_out.data() + digits_out.size(),
                                    number, std::chars_format::fixed, decimals)
                          .ptr;
    std::string text(digits_out.data(), end);
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') {
            text.pop_back();
        }
    }
    return text == "-0" ? "0" : text;
}

std::string show(Volts volts) {
    return with_milli(volts.value(), "V");
}
std::string show(Amps amps) {
    return with_milli(amps.value(), "A");
}
std::string show(Ohms ohms) {
    return with_milli(ohms.value(), "ohm");
}
std::string show(Watts watts) {
    return fmt::format("{} W", show_number(watts.value()));
}
std::string show(Metres metres) {
    return fmt::format("{:.2f} m", metres.value());
}
std::string show(SquareMetres area) {
    return fmt::format("{} mm2", show_number(area.value() * 1e6));
}
std::string show(Seconds seconds) {
    const double s = seconds.value();
    if (s >= 86400.0) {
        return fmt::format("{} d", show_number(s / 86400.0));
    }
    if (s >= 3600.0) {
        return fmt::format("{} h", show_number(s / 3600.0));
    }
    if (s >= 120.0) {
        return fmt::format("{} min", show_number(s / 60.0));
    }
    return s != 0.0 && s < 0.1 ? fmt::format("{} ms", show_number(s * 1e3))
                               : fmt::format("{} s", show_number(s));
}
std::string show(Celsius temperature) {
    return fmt::format("{} C", show_number(temperature.value()));
}
std::string show(Kelvins difference) {
    return fmt::format("{} K", show_number(difference.value()));
}
std::string show(Coulombs charge) {
    return fmt::format("{} Ah", show_number(charge.value() / 3600.0));
}
std::string show(Kilograms mass) {
    return fmt::format("{} kg", show_number(mass.value()));
}
std::string show_percent(double share) {
    return fmt::format("{} %", show_number(share * 100.0));
}

} // namespace loomwright
