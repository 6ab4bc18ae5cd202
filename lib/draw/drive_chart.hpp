// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/chart.hpp"
#include "study/energy.hpp"

namespace loomwright {

/// State of charge, current and voltage of the batteries over a drive, with its states.
[[nodiscard]] Chart drive_chart(const StudyInput& study, const DriveCourse& course);

} // namespace loomwright
