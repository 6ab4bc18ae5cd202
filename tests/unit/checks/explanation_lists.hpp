// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/proof.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

// Lists of what an explanation must tell, in tests/unit/checks/explained/*.lines.
//
// A line of a list is `= formula | numbers put in | answer`, or begins with `-` where there is
// nothing to compute. What stands there in figures is in the vehicle file, in the tables of
// standards and defaults, or follows from them by what a comment beside it says. `*` is a figure
// that the operating point or the heat balance decides: those are held against ngspice and against
// published ampacities elsewhere, and here the calculator says what must come of them. `...` passes
// over lines of the explanation up to the next one of the list. ` || ` goes before the source that
// a line must name. `#` is a thing that is explained, `##` a section of its explanation, `;` a
// comment.

/// One thing of a list with its lines.
struct Listed {
    std::string name;
    std::vector<std::string> lines;
};
[[nodiscard]] std::vector<Listed> read_list(const std::string& path);
/// A list of tests/unit/checks/explained.
[[nodiscard]] std::vector<Listed> explained_list(const std::string& name);

/// Whether a text is the pattern, with a figure wherever that has a `*`; a `*` at its end is
/// whatever there is.
[[nodiscard]] bool is_like(std::string_view text, std::string_view pattern);

struct Told {
    std::string line; ///< "## title" or that of a step
    const ProofStep* step = nullptr;
};
[[nodiscard]] std::vector<Told> told(const std::vector<ProofSection>& proof);

/// Fails where what is told is not what is listed, or does not follow from the numbers put in.
/// Lines that begin otherwise than with `=`, `-`, `##` or `...` are passed over.
void check_listed(const Listed& listed, const std::vector<Told>& lines);

} // namespace loomwright
