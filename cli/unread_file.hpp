// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <cstdint>
#include <string>

namespace loomwright::cli {

enum class InputKind : std::uint8_t { vehicle, table };

/// What is said on standard error of an input file that could not be read, for the reason
/// `why_not`: two lines, the second with what to do. That is the name in its folder (or the
/// folder's own) which is nearest to the one given; for a folder, the files of this kind in it.
[[nodiscard]] std::string unread_file_text(const std::string& path, const std::string& why_not,
                                           InputKind kind = InputKind::vehicle);
/// The same as a finding of a vehicle file, for programs; the file takes its place among `files`.
FileId add_unread_file(const std::string& path, const std::string& why_not, SourceFiles& files,
                       Findings& findings);

} // namespace loomwright::cli
