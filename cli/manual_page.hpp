// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "command_words.hpp"

#include <string>

namespace loomwright::cli {

// Manual pages in the mdoc language, as mandoc and groff read it.

/// loomwright(1): the verbs, in short.
[[nodiscard]] std::string program_page(const ProgramWords& program);
/// loomwright-VERB(1): one verb with its options and examples.
[[nodiscard]] std::string verb_page(const ProgramWords& program, const VerbWords& verb);

/// `text` as lines of a manual page: what the language would take for its own is escaped.
[[nodiscard]] std::string manual_text(const std::string& text);

} // namespace loomwright::cli
