// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cstdint>

namespace loomwright::solve::testing {

// Networks that are hard on the digits, each the same for the same seed on every machine.
// `reference` is node 0, and every node is joined to it unless it says otherwise.

/// A mesh of so many nodes: conductors of 1 uohm to 10 Mohm, two batteries, an alternator, and
/// resistors, motors, lamps and diodes of 1 uA to 30 A.
[[nodiscard]] Circuit wide_ratios(std::uint64_t seed, Index nodes);
/// 1,000 sources between 250 places, some of them limited, some the wrong way round.
[[nodiscard]] Circuit thousand_sources(std::uint64_t seed);
/// A battery on a ladder of so many rungs: 1 uohm to 10 mohm along, 1 kohm to 10 Mohm across, node
/// k + 1 at the head of rung k. Branches: the battery, then along and across of each rung.
[[nodiscard]] Circuit long_ladder(std::uint64_t seed, Index rungs);
/// Rings whose matrix is nearly singular: batteries of nearly one voltage head to head over a
/// micro-ohm, bars of a micro-ohm in a ring, and each ring joined to the next by 10 Mohm alone.
[[nodiscard]] Circuit tight_loops(std::uint64_t seed, Index rings);
/// Cars that no metal joins, of three kinds by turns: with a battery, with one and no load, with
/// none (so that nothing says what its voltage is). The first holds the reference.
[[nodiscard]] Circuit many_islands(std::uint64_t seed, Index islands);

/// One of these for seeds from 0 on, of a kind and size that a general simulator solves in a
/// moment. The rings are not among them: a simulator that adds up its diagonal in double precision
/// is off by 65 uV in them. Nor are the thousand sources: the search for those that limit takes it
/// minutes.
[[nodiscard]] Circuit extreme_network(std::uint64_t seed);

} // namespace loomwright::solve::testing
