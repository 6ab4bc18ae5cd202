// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <cstdint>
#include <string>

namespace loomwright {

/// The parts of a deck, in the order in which they stand there.
enum class DeckPart : std::uint8_t { sources, metal, protection, contacts, wires, loads };

/// Which part of a deck a branch belongs to.
[[nodiscard]] DeckPart deck_part(BranchKind kind);

/// The heading of a part.
[[nodiscard]] const char* deck_title(DeckPart part);

/// What a branch is, as an electrician would say it: "wire 12.2, 1.5 mm2, 2.10 m, 43 C, from F3.out
/// to K3.30", "relay K3, contact 30-87". From the file as it is written; not fit for a comment yet.
[[nodiscard]] std::string deck_label(const StudyInput& input, const Design& design,
                                     const StateSolution& solution, const Branch& branch);

/// What a state is made of: engine, air, battery, what is switched; "" where it says nothing.
[[nodiscard]] std::string deck_state(const StudyInput& input, const StateSolution& solution);

} // namespace loomwright
