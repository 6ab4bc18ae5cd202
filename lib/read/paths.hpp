// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "read/reading.hpp"

#include <optional>
#include <string_view>
#include <vector>

namespace loomwright {

/// Which way a path uses a device that it names.
enum class PathRole : std::uint8_t { begins, passes, ends };

/// One wire of a path; without ends when one of its devices could not be resolved.
struct PathWire {
    std::optional<TerminalRef> from;
    std::optional<TerminalRef> to;
    SourceRange where; ///< of the two names and the `>` between them
};

/// The wires of `A > B > C`: as many as there are `>`, whatever is wrong with the names.
[[nodiscard]] std::vector<PathWire> read_path(Reading& reading, const Node& node,
                                              std::string_view circuit);
/// One end of a wire in the long form: "F10.out", or a bare name with its kind's own way in or out.
[[nodiscard]] std::optional<TerminalRef> read_wire_end(Reading& reading, const Node& node,
                                                       std::string_view subject, PathRole role);
/// The terminals of a device as a message lists them: "`+` and `-`".
[[nodiscard]] std::string list_terminals(const Device& device);

} // namespace loomwright
