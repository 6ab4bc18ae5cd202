// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/json_text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright {

void add_json_text(std::string& out, std::string_view text) {
    const auto is_plain = [](char c) { return c >= ' ' && c <= '~' && c != '"' && c != '\\'; };
    if (std::ranges::all_of(text, is_plain)) {
        out.push_back('"');
        out.append(text);
        out.push_back('"');
        return;
    }
    const nlohmann::json escaped(text);
    out.append(escaped.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace));
}

void add_json_number(std::string& out, bool is_defined, double value) {
    if (is_defined && std::isfinite(value)) {
        // Seventeen digits, a sign, a point and an exponent.
        std::array<char, 32> digits;
        char* const end = fmt::format_to(digits.data(), "{}", value);
        out.append(digits.data(), end);
    } else {
        out.append("null");
    }
}

} // namespace loomwright
