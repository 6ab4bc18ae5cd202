// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <string>

namespace loomwright::bench {

/// Whether current goes from section to section.
enum class Sections : std::uint8_t { coupled, apart };

/// A vehicle file with exactly `wires` wires (at least `least_wires`), as a wireman would write it:
/// a car, and for more wires than a car has, further sections behind it, each with a frame, a
/// battery, an alternator, studs, fuses, relays, switches and loads of its own, coupled by a cable
/// and a strap or not at all. All sizes and ratings are given. The same arguments give the same
/// text.
[[nodiscard]] std::string generate_vehicle(int wires, std::uint64_t seed,
                                           Sections sections = Sections::coupled);

constexpr int least_wires = 40;

} // namespace loomwright::bench
