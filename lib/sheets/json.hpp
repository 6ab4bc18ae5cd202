// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "diag/proof.hpp"
#include "sizing/sizing.hpp"

#include <span>
#include <string>

namespace loomwright {

// What the verbs answer under --json. Keys and order are a contract with other programs: numbers
// are SI in full precision with the unit in the key, lists stand in the order of the file, and what
// is not defined (the voltage of a node joined to no source) is null. Each text ends with a line
// end.

/// `solve`: the states given, each with nodes, wires and devices. Of a state without an answer
/// ("converged": false) every number is null.
[[nodiscard]] std::string solve_json(const StudyInput& study,
                                     std::span<const StateSolution> states);

/// `size`: every wire, every protective device, the mass of copper.
[[nodiscard]] std::string size_json(const StudyInput& study, const Sizing& sizing);

/// `check`: the findings in the order given, and how many there are of each severity. A waived
/// finding carries its reason under "waived" and is counted there alone.
[[nodiscard]] std::string check_json(const Findings& findings, const SourceFiles& files);
/// The same of one of many cars, on one line, with the name of its file.
[[nodiscard]] std::string check_json_line(const std::string& file, const Findings& findings,
                                          const SourceFiles& files);

/// `watch`: what changed since the check before, on one line:
/// {"new":[findings],"changed":[findings],"gone":[{"rule","subject"}],"counts":{}}.
[[nodiscard]] std::string changes_json(const Findings& before, const Findings& now,
                                       const SourceFiles& files);

/// `explain`: {"id","sections":[{"title","steps":[{"formula","with","gives","source"}]}]}.
[[nodiscard]] std::string proof_json(const std::string& id, std::span<const ProofSection> sections);

/// `tables`:
/// {"name","description","source","edition","validity","columns":[],"rows":[[]],"notes":[]}.
[[nodiscard]] std::string table_json(const TableView& view);

} // namespace loomwright
