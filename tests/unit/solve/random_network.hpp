// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cstdint>

namespace loomwright::solve::testing {

/// How many networks there are: seeds 1 to this.
constexpr std::uint64_t network_count = 1000;

/// Wires of a network: 5 to 5,000, spread evenly in the logarithm over any run of seeds.
[[nodiscard]] int wires_of(std::uint64_t seed);

/// An invented car of about so many wires. What may be in it:
///  - 6, 12, 24 or 48 V; up to five batteries, alone, side by side, in series with a tap, joined
///    through an isolating relay's contact or a diode, or fed by an alternator through a pair of
///    diodes; up to two alternators and a charger, below, at and above their limit; a starter;
///  - feeds as trees, with cross links, rings and several wires side by side, or as a dense mesh;
///  - loads of every law, also reversed, in series, between two feeds, behind blocking or
///    conducting diodes, fed by two diodes, with suppression across a coil, at 0 %;
///  - one to four bodies of metal with straps, several, one, a thin cable in its place, or none;
///    ground wires of a load's own, shared ground points, meshed returns;
///  - a trailer with a battery of its own that no metal joins, and places that nothing feeds;
///  - the chassis, a battery's minus or nothing as the reference.
/// The same for the same seed on every machine. Nothing is left out because it is hard to solve.
[[nodiscard]] Circuit random_network(std::uint64_t seed, int wires);

} // namespace loomwright::solve::testing
