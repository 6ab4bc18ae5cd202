// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/input_limits.hpp"
#include "read/read.hpp"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace loomwright::cli {

/// The text of a file, or of standard input for "-"; nothing with the reason in `why_not`, which is
/// given before anything is kept of a file that is larger than `most_bytes`.
[[nodiscard]] std::optional<std::string> read_text(const std::string& path, std::string& why_not,
                                                   std::size_t most_bytes = most_input_bytes);

/// Reads parts files named relative to the folder of `vehicle_path`; none outside that folder's
/// tree, with links followed before the decision.
[[nodiscard]] IncludeReader include_reader(const std::string& vehicle_path);

/// A file that is to be written.
struct OutputFile {
    std::string path;
    std::string bytes;
};

/// Writes every file whole or none at all: all are first written beside their place under another
/// name, and then renamed. False with the reason in `why_not` when the machine failed. One that is
/// a pipe or a device is written into as it stands.
[[nodiscard]] bool write_files(const std::vector<OutputFile>& outputs, std::string& why_not);
/// Writes files that are not there yet, one after another where nobody looks until all are done.
[[nodiscard]] bool write_new_files(const std::vector<OutputFile>& outputs, std::string& why_not);

/// The bytes that `write` puts into the file whose path it is given, for libraries that write to
/// files alone: a file of its own among the machine's temporary ones, which is gone afterwards.
[[nodiscard]] std::optional<std::string>
bytes_written(const std::function<bool(const std::string& path, std::string& why_not)>& write,
              std::string& why_not);

/// Makes a folder (and those above it) if it is not there.
[[nodiscard]] bool make_folder(const std::string& path, std::string& why_not);

} // namespace loomwright::cli
