// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "read/load_list.hpp"

#include <string>

namespace loomwright {

/// A vehicle file of a list of loads, to go on from: battery, main fuse and stud, a fuse and a
/// switch for each load, a point and a ground for each place, a run to each, one state with all off
/// and one with all on. What the list does not say is assumed and marked so. `list_name` is that of
/// the list's file, for the comments. Names of the list stand as titles, never as names of things,
/// and each load keeps its line of the list.
[[nodiscard]] std::string listed_vehicle(const LoadList& list, std::string_view list_name,
                                         const Catalogue& catalogue);

} // namespace loomwright
