// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>
#include <string_view>

namespace loomwright {

// Pieces of a JSON answer that is written as it comes: one of a large car has a hundred thousand
// rows, and a tree of them would take its time.

/// A text in quotes.
void add_json_text(std::string& out, std::string_view text);
/// A number in full precision, or null for one that is not defined: NaN and infinity are not JSON.
void add_json_number(std::string& out, bool is_defined, double value);

} // namespace loomwright
