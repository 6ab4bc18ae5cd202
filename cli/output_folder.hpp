// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "files.hpp"

#include <string>
#include <vector>

namespace loomwright::cli {

/// Writes files, named without a folder, into `folder`, which is made if it is not there. All are
/// first written whole into a hidden folder. A folder that was not there then comes to be with all
/// of them at once, whatever ends this run. In one that was there they are renamed one after
/// another, of two runs at a time those of one before those of the other. What is none of these
/// files stays. False with the reason in `why_not` when the machine failed: then nothing was
/// changed, unless it failed between two renames.
[[nodiscard]] bool write_folder(const std::string& folder, const std::vector<OutputFile>& files,
                                std::string& why_not);

} // namespace loomwright::cli
