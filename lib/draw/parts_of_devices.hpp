// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/band.hpp"
#include "draw/feed_groups.hpp"
#include "sizing/sizing.hpp"

#include <map>
#include <string>
#include <vector>

namespace loomwright::draw {

/// Where a part is drawn, and by which terminal current enters it.
struct PartHome {
    int group = -1;
    int entry = 0;
    int reached = -1;
};

/// The parts of all devices: which terminals belong together, and the group that each is drawn in.
class Parts {
public:
    Parts(const Vehicle& vehicle, const FeedGroups& groups);

    [[nodiscard]] Part of(TerminalRef ref) const;
    [[nodiscard]] PartHome home(Part part) const;
    /// Terminals of a part, in the order of the device.
    [[nodiscard]] std::vector<int> terminals(Part part) const;

private:
    void find_poles(std::size_t device);

    const Vehicle& vehicle_;
    std::vector<std::vector<int>> number_; ///< by device, by terminal
    std::map<Part, PartHome> homes_;
};

/// The symbol of a part.
[[nodiscard]] Symbol symbol_of(const Vehicle& vehicle, Part part, std::size_t terminals);

/// Of a part whose two ends are not alike, the terminal for plus, at the left of its symbol: `a` of
/// a diode, `+` of a motor; -1: either may stand there.
[[nodiscard]] int plus_end(const Vehicle& vehicle, Part part);

/// "15 A" of a fuse, "40 A" of a relay's contact, "" where nothing short says what the part is.
[[nodiscard]] std::string word_of(const Vehicle& vehicle, const Design& design, Part part);

} // namespace loomwright::draw
