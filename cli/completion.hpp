// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "command_words.hpp"

#include <string>
#include <string_view>

namespace loomwright::cli {

// Scripts that complete words behind the command: verbs, options, their values, files, tables.
[[nodiscard]] std::string bash_completion(const ProgramWords& program);
[[nodiscard]] std::string zsh_completion(const ProgramWords& program);
[[nodiscard]] std::string fish_completion(const ProgramWords& program);

/// `text` as one word of bash and zsh, whatever is in it.
[[nodiscard]] std::string shell_word(std::string_view text);
/// Such words with a blank before each.
[[nodiscard]] std::string shell_words(const std::vector<std::string>& texts);

} // namespace loomwright::cli
