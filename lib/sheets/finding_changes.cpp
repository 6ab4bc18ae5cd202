// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/finding_changes.hpp"

#include <map>
#include <string>
#include <utility>

namespace loomwright {
namespace {

using Key = std::pair<Rule, std::string>;

std::map<Key, std::vector<std::size_t>> by_key(const Findings& findings) {
    std::map<Key, std::vector<std::size_t>> out;
    for (std::size_t i = 0; i < findings.all().size(); ++i) {
        const Finding& finding = findings.all()[i];
        out[{finding.rule, finding.subject}].push_back(i);
    }
    return out;
}

bool says_the_same(const Finding& one, const Finding& other) {
    return one.message == other.message && one.severity == other.severity &&
           one.waived == other.waived;
}

} // namespace

FindingChanges compare_findings(const Findings& before, const Findings& now) {
    FindingChanges out;
    std::map<Key, std::vector<std::size_t>> old = by_key(before);
    std::map<Key, std::size_t> taken;
    for (std::size_t i = 0; i < now.all().size(); ++i) {
        const Finding& finding = now.all()[i];
        const Key key{finding.rule, finding.subject};
        const std::vector<std::size_t>& places = old[key];
        const std::size_t number = taken[key]++;
        if (number >= places.size()) {
            out.fresh.push_back(i);
        } else if (!says_the_same(before.all()[places[number]], finding)) {
            out.changed.push_back({places[number], i});
        }
    }
    for (std::size_t i = 0; i < before.all().size(); ++i) {
        const Finding& finding = before.all()[i];
        const Key key{finding.rule, finding.subject};
        if (taken[key] > 0) {
            --taken[key];
        } else {
            out.gone.push_back(i);
        }
    }
    return out;
}

} // namespace loomwright
