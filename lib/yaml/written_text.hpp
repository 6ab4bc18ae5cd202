// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>
#include <string_view>

namespace loomwright {

/// `text` as a value or key of a vehicle file that a program writes, on one line, also inside `{
/// }`: as it stands where it can be read as nothing else, in double quotes otherwise.
[[nodiscard]] std::string written_text(std::string_view text);

/// `text` for a comment: line ends and control characters, which would end it, as blanks.
[[nodiscard]] std::string comment_text(std::string_view text);

} // namespace loomwright
