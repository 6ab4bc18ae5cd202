// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace loomwright {

/// What `check` found, with what a report for another program says besides.
struct CheckAnswer {
    const Findings& findings; ///< sorted
    const SourceFiles& files;
    FileId vehicle_file;                ///< the file that was asked for
    bool is_swept = false;              ///< faults were followed too
    std::optional<Severity> fails_from; ///< least severity that makes a check fail; nothing: none
    std::string_view version;           ///< of the program
};

/// The file's path from where the program was called: a parts file is named relative to the folder
/// of the vehicle file, and an editor opens it from here. "" for no file.
[[nodiscard]] std::string path_from_here(const CheckAnswer& answer, FileId file);

/// The finding on one line, fit for a terminal: "file:line:column: severity[rule] subject:
/// message"; "error" for a fault of the input, 1:1 where the place has no line.
[[nodiscard]] std::string finding_line(const CheckAnswer& answer, const Finding& finding);

/// `check --lines`: a line for each finding that is not waived, in the order given.
[[nodiscard]] std::string finding_lines(const CheckAnswer& answer);

} // namespace loomwright
