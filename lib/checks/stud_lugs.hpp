// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "sizing/fittings.hpp"

#include <cstddef>
#include <string>

namespace loomwright {

/// Lugs on a stud or ground, and how many it holds.
struct StudLugs {
    std::size_t lugs = 0; ///< crimps of its wires, and the drains of screens
    double most = 0.0;
    bool is_own = false; ///< the stud's own number; else what is usual
    std::string source;
};
/// Of a stud or a ground.
[[nodiscard]] StudLugs stud_lugs(const StudyInput& study, const EndFittings& fittings, DeviceId id);

} // namespace loomwright
