// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace loomwright {

/// Whose turn it is, of triggers that want to turn over and would never rest all together, and
/// which of them come round in a circle for ever.
class Turns {
public:
    using Triggers = std::vector<std::size_t>;

    explicit Turns(std::size_t trigger_count)
        : rank_(trigger_count, 0), had_turn_(trigger_count, 0) {}

    /// Notes how the triggers stand, and which of them want to turn over. True: there is no rest;
    /// loops() says what keeps on going.
    [[nodiscard]] bool is_endless(const std::vector<std::uint8_t>& is_on, const Triggers& wanting);
    /// Those that turn over now.
    [[nodiscard]] Triggers next(Triggers wanting);
    /// The loops found, in the order of the file, each with its triggers in the order in which they
    /// turn over. None needs another: its devices want to go on at every stand of the others. Where
    /// the search was given up there is also one of all that has turned over since the last.
    [[nodiscard]] std::vector<Triggers> loops() const;

private:
    struct Stand {
        std::vector<std::uint8_t> is_on;
        Triggers wanting;
    };

    [[nodiscard]] bool close_circle(std::size_t begin);
    [[nodiscard]] Triggers waiting_since(std::size_t begin) const;
    void begin_anew();

    std::vector<int> rank_; ///< by trigger; a lower one has its turn first
    int first_rank_ = 0;
    std::vector<std::uint8_t> had_turn_; ///< by trigger: has been in a loop
    std::size_t divisor_ = 2;
    bool is_one_by_one_ = true; ///< since the search was begun anew
    std::vector<Stand> seen_;
    Triggers turned_;
    std::vector<Triggers> loops_;
};

} // namespace loomwright
