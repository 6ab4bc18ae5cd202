// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/chains.hpp"

#include <algorithm>
#include <array>

namespace loomwright::solve {

namespace {

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

class ChainFinder {
public:
    ChainFinder(const Circuit& circuit, const std::vector<Index>& branches,
                const std::vector<std::uint8_t>& is_linear, const Joints& joints)
        : circuit_(circuit), branches_(branches), is_linear_(is_linear), joints_(joints),
          met_(joints.level_of_node.size()), is_taken_(circuit.branch_count(), 0) {}

    Chains find() {
        count_meetings();
        for (const Index branch : branches_) {
            if (is_taken_[at(branch)] == 0) {
                add_chain(branch);
            }
        }
        out_.start.push_back(static_cast<Index>(out_.links.size()));
        return std::move(out_);
    }

private:
    /// Who meets at a level.
    struct Meeting {
        int count = 0; ///< ends of branches
        bool is_all_linear = true;
        std::array<Index, 2> first = {-1, -1};
    };

    [[nodiscard]] Index from(Index branch) const {
        return joints_.level_of_node[at(circuit_.from[at(branch)])];
    }
    [[nodiscard]] Index to(Index branch) const {
        return joints_.level_of_node[at(circuit_.to[at(branch)])];
    }

    void count_meetings() {
        for (const Index branch : branches_) {
            for (const Index level : {from(branch), to(branch)}) {
                Meeting& met = met_[at(level)];
                if (met.count < 2) {
                    met.first[static_cast<std::size_t>(met.count)] = branch;
                }
                ++met.count;
                met.is_all_linear = met.is_all_linear && is_linear_[at(branch)] != 0;
            }
        }
    }

    [[nodiscard]] bool is_between(Index level) const {
        const Meeting& met = met_[at(level)];
        return met.count == 2 && met.is_all_linear && joints_.is_end[at(level)] == 0 &&
               met.first[0] != met.first[1];
    }

    /// From one end of a branch on, as far as the chain goes, into `links_`.
    void follow(Index branch, Index level) {
        while (is_between(level)) {
            const Meeting& met = met_[at(level)];
            branch = met.first[0] == branch ? met.first[1] : met.first[0];
            const bool is_turned = from(branch) != level;
            links_.push_back({branch, is_turned});
            is_taken_[at(branch)] = 1;
            level = is_turned ? from(branch) : to(branch);
        }
    }

    void add_chain(Index branch) {
        is_taken_[at(branch)] = 1;
        out_.start.push_back(static_cast<Index>(out_.links.size()));
        links_.clear();
        follow(branch, from(branch));
        // That was the other way: its last link is the first.
        std::ranges::reverse(links_);
        for (const Link& link : links_) {
            out_.links.push_back({link.branch, !link.is_turned});
        }
        out_.links.push_back({branch, false});
        links_.clear();
        follow(branch, to(branch));
        out_.links.insert(out_.links.end(), links_.begin(), links_.end());
    }

    const Circuit& circuit_;
    const std::vector<Index>& branches_;
    const std::vector<std::uint8_t>& is_linear_;
    const Joints& joints_;
    std::vector<Meeting> met_;
    std::vector<std::uint8_t> is_taken_;
    std::vector<Link> links_;
    Chains out_;
};

} // namespace

Chains find_chains(const Circuit& circuit, const std::vector<Index>& branches,
                   const std::vector<std::uint8_t>& is_linear, const Joints& joints) {
    return ChainFinder(circuit, branches, is_linear, joints).find();
}

} // namespace loomwright::solve
