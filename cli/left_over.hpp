// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <filesystem>
#include <string>

namespace loomwright::cli {

// What is being written stands under a hidden name beside its place. A run that is killed leaves it
// behind; the next that writes there takes it away. Whoever writes holds a lock on it, which ends
// with the run, whatever ends that.

/// The pattern of such a name, for mkstemp and mkdtemp.
[[nodiscard]] std::string hidden_pattern(const std::string& name);

/// Takes hold of a file or folder just made; a number to let go of, -1 where there is no lock.
[[nodiscard]] int hold(const std::filesystem::path& path);
/// The same of a file that is open.
void hold(int descriptor);
void let_go(int number);

/// Removes what runs that are over left of a name in a folder.
void remove_left_overs(const std::filesystem::path& folder, const std::string& name);

} // namespace loomwright::cli
