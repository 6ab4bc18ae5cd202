// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>

namespace loomwright {

// How large what is read may be, so that neither a slip nor ill will costs the machine's memory or
// an afternoon. A file beyond one of these is refused with its place; docs/security.md lists them
// with what they come to in seconds and bytes, and tests/hostile holds them.

/// Of a vehicle file with its includes. A car of 100,000 wires is 7 MiB.
constexpr std::size_t most_input_bytes = std::size_t{32} << 20U;
/// Of text in which no value comes to an end. The parser keeps all of an open bracket, at some 150
/// bytes for each of its own; a file written as JSON is one bracket, of 20,000 wires.
constexpr std::size_t most_bytes_of_a_value = std::size_t{2} << 20U;
/// Maps and lists inside each other; a vehicle needs 7.
constexpr int most_depth = 64;
/// Values of one text, at 40 bytes each beside the text; a car of 100,000 wires has about a
/// million.
constexpr std::size_t most_values = 2'000'000;
/// Anchors of one text: the parser keeps the name of each.
constexpr std::size_t most_anchors = 10'000;
/// Values that aliases repeat in one text, in all: a bomb of aliases doubles with each line.
constexpr std::size_t most_repeated_values = 100'000;
/// Parts files of a vehicle, and how deep they may include each other.
constexpr std::size_t most_included_files = 200;
constexpr std::size_t deepest_include = 16;

// A list of loads or readings is typed by people: these catch a file that is something else.
constexpr std::size_t most_list_bytes = std::size_t{8} << 20U;
constexpr std::size_t most_list_rows = 10'000;
constexpr std::size_t most_list_columns = 200;
constexpr std::size_t longest_list_cell = 2'000;

} // namespace loomwright
