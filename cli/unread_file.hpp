// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>

namespace loomwright::cli {

/// What is said on standard error of an input file that could not be read, for the reason
/// `why_not`: two lines, the second with what to do. That is the name in its folder (or the
/// folder's own) which is nearest to the one given; for a folder, the vehicle files in it.
[[nodiscard]] std::string unread_file_text(const std::string& path, const std::string& why_not);

} // namespace loomwright::cli
