// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/spread_table.hpp"

#include <array>
#include <cstdint>

namespace loomwright {

/// Ten rounds of Philox-4x32: the block of random bits that belongs to a counter and a key. No
/// block asks for another, so that it does not matter who draws when.
[[nodiscard]] std::array<std::uint32_t, 4> philox_block(std::array<std::uint32_t, 4> counter,
                                                        std::array<std::uint32_t, 2> key);

/// x with P(Z <= x) = share for a standard normal Z; `share` strictly between 0 and 1.
[[nodiscard]] double normal_quantile(double share);

/// The random numbers of one sample: number `item` is the same whatever else was drawn.
class Draws {
public:
    Draws(std::uint64_t seed, std::uint64_t sample) : seed_(seed), sample_(sample) {}

    /// Evenly in (0, 1), never either end.
    [[nodiscard]] double share(std::uint32_t item);
    /// By the distribution of a spread: a factor or what is to be added.
    [[nodiscard]] double draw(const Spread& spread, std::uint32_t item);

private:
    std::uint64_t seed_;
    std::uint64_t sample_;
    std::uint32_t block_ = UINT32_MAX; ///< the one at hand; two items share a block
    std::array<double, 2> shares_{};
};

} // namespace loomwright
