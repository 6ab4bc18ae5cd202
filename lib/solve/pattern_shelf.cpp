// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/pattern_shelf.hpp"

namespace loomwright::solve {
namespace {

/// All that a pattern goes by.
std::vector<Index> key_of(const Circuit& circuit, const std::vector<Role>& roles, Unknowns wanted) {
    std::vector<Index> out{static_cast<Index>(wanted), circuit.node_count, circuit.reference};
    out.reserve(out.size() + 3 * roles.size());
    for (std::size_t k = 0; k < roles.size(); ++k) {
        out.push_back(circuit.from[k]);
        out.push_back(circuit.to[k]);
        out.push_back(static_cast<Index>(roles[k]));
    }
    return out;
}

std::shared_ptr<const AnalysedPattern> made_of(const Circuit& circuit,
                                               const std::vector<Role>& roles, Unknowns wanted) {
    auto out = std::make_shared<AnalysedPattern>();
    out->build(circuit, roles, wanted);
    out->factor.analyse(out->column_start, out->row);
    return out;
}

} // namespace

std::shared_ptr<const AnalysedPattern>
PatternShelf::of(const Circuit& circuit, const std::vector<Role>& roles, Unknowns wanted) {
    return known_.of(key_of(circuit, roles, wanted), roles.size() + 1,
                     [&] { return made_of(circuit, roles, wanted); });
}

std::shared_ptr<const AnalysedPattern> find_pattern(PatternShelf* shelf, const Circuit& circuit,
                                                    const std::vector<Role>& roles,
                                                    Unknowns wanted) {
    return shelf != nullptr ? shelf->of(circuit, roles, wanted) : made_of(circuit, roles, wanted);
}

} // namespace loomwright::solve
