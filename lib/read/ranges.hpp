// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

// What a value of the file may be at all, in the stored unit. Wide on purpose: these catch slips of
// the pen (a sign, a lost point, the wrong unit), not poor designs.

namespace loomwright {

/// Least and most of a value; `above` leaves the least itself out.
struct Range {
    double least = 0.0;
    double most = 0.0;
    bool above = false;
};

namespace ranges {

constexpr Range stretch{0.0, 100.0, true};              ///< a length of wire or run, m
constexpr Range allowance{0.0, 10.0};                   ///< extra length at an end, m
constexpr Range coordinate{-100.0, 100.0};              ///< m
constexpr Range opening{0.0, 2.0, true};                ///< m
constexpr Range bend{0.0, 10.0, true};                  ///< m
constexpr Range fitting{0.0, 0.5, true};                ///< m: a part of a terminal or seal
constexpr Range spool{0.1, 100'000.0};                  ///< m
constexpr Range voltage{0.0, 1000.0, true};             ///< V
constexpr Range drop{0.0, 100.0, true};                 ///< V
constexpr Range current{0.0, 10'000.0, true};           ///< A
constexpr Range breaking{0.0, 1e6, true};               ///< A: that a protective device breaks
constexpr Range power{0.0, 100'000.0, true};            ///< W
constexpr Range resistance{0.0, 1e9};                   ///< ohm
constexpr Range some_resistance{0.0, 1e9, true};        ///< ohm
constexpr Range charge{0.0, 3600.0 * 1e4, true};        ///< A s: 10 000 Ah
constexpr Range temperature{-90.0, 400.0};              ///< C
constexpr Range duration{0.0, 86400.0 * 36525.0, true}; ///< s: a hundred years
constexpr Range share{0.0, 1.0};
constexpr Range speed{0.0, 3.0, true}; ///< share of a motor's own
constexpr Range some_share{0.0, 1.0, true};
constexpr Range extra_share{0.0, 10.0};

} // namespace ranges
} // namespace loomwright
