// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cmath>
#include <cstdint>
#include <random>

namespace loomwright::solve::testing {

/// Numbers that are the same on every machine: the standard's engine, our own mapping to ranges.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    /// Evenly in [0, 1).
    double share() { return static_cast<double>(engine_() >> 11U) * 0x1p-53; }
    double between(double low, double high) { return low + (high - low) * share(); }
    /// Evenly in the logarithm.
    double log_between(double low, double high) { return low * std::pow(high / low, share()); }
    /// One of 0 ... count - 1.
    Index below(Index count) { return static_cast<Index>(share() * static_cast<double>(count)); }
    bool chance(double probability) { return share() < probability; }

private:
    std::mt19937_64 engine_;
};

} // namespace loomwright::solve::testing
