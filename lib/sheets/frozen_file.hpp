// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

#include <string>

namespace loomwright {

/// A frozen file, and what it holds.
struct FrozenFile {
    std::string text;
    int wires = 0;
    int fuses = 0;
};

/// What a sized vehicle is to be cut and fitted with, as the file that `frozen:` names: every new
/// wire with a size, every fuse and breaker. A wire that is frozen already and still fits,
/// long enough and with no more over than the loops at its ends take, keeps the length that it was
/// cut to.
[[nodiscard]] FrozenFile frozen_file(const StudyInput& study, const Sizing& sizing);

} // namespace loomwright
