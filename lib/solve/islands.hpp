// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cstdint>
#include <vector>

namespace loomwright::solve {

/// Which branches of a circuit meet at each node.
struct Meetings {
    explicit Meetings(const Circuit& circuit);

    std::vector<Index> start; ///< by node, into `branch`; one more than nodes
    std::vector<Index> branch;
    std::vector<Index> source; ///< branches that are sources, in their order
};

/// What hangs together in a circuit while branches come into force and go out of it, and at which
/// node each such island stands at 0 V: at a fixed node where it holds one, else at the minus of
/// its first source, else (nothing feeds it) anywhere.
class Islands {
public:
    /// `fixed`: nodes that stand at 0 V whatever happens, at most one in any island. All of it
    /// outlives this.
    Islands(const Circuit& circuit, const Meetings& meetings, const std::vector<Index>& fixed);

    /// A node is held at 0 V from now on, or no longer; never a fixed one.
    struct Change {
        Index node = 0;
        bool is_held = false;
    };

    /// Finds all islands anew.
    void build(const std::vector<std::uint8_t>& in_force);
    /// After a branch came into force.
    void join(Index from, Index to, const std::vector<std::uint8_t>& in_force,
              std::vector<Change>& changes);
    /// After a branch went out of force.
    void cut(Index from, Index to, const std::vector<std::uint8_t>& in_force,
             std::vector<Change>& changes);
    /// A conductor that is no branch of the circuit.
    void add_conductor(Index from, Index to, const std::vector<std::uint8_t>& in_force,
                       std::vector<Change>& changes);

    [[nodiscard]] bool is_fed(Index node) const { return island(node).is_fed; }
    [[nodiscard]] bool are_joined(Index a, Index b) const {
        return island_of_node_[static_cast<std::size_t>(a)] ==
               island_of_node_[static_cast<std::size_t>(b)];
    }
    /// The nodes held at 0 V that are not fixed.
    [[nodiscard]] std::vector<Index> held() const;

private:
    struct Island {
        Index holder = -1; ///< -1: no such island any more
        bool is_fixed = false;
        bool is_fed = false;
    };
    struct Conductor {
        Index from = 0;
        Index to = 0;
    };
    /// One side of a search from both ends of a cut.
    struct Search {
        std::vector<Index> nodes; ///< reached so far, those from `next` on not yet left
        std::size_t next = 0;
        Index mark = 0;
    };
    [[nodiscard]] const Island& island(Index node) const {
        return islands_[static_cast<std::size_t>(island_of_node_[static_cast<std::size_t>(node)])];
    }
    [[nodiscard]] bool step(Search& search, Index other, const std::vector<std::uint8_t>& in_force);
    [[nodiscard]] bool reach(Search& search, Index node, Index other);
    [[nodiscard]] Island found(Index id, Index anywhere,
                               const std::vector<std::uint8_t>& in_force) const;
    void replace(Island& island, const Island& by, std::vector<Change>& changes) const;

    const Circuit* circuit_;
    const Meetings* meetings_;
    const std::vector<Index>* fixed_;
    std::vector<Index> island_of_node_;
    std::vector<Island> islands_;
    std::vector<Conductor> conductors_; ///< that are no branch
    std::vector<Index> mark_;           ///< scratch, by node
    Index last_mark_ = 0;
    Search near_;
    Search far_;
};

} // namespace loomwright::solve
