// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/warming_shelf.hpp"
#include "study/plan.hpp"

#include <cstddef>
#include <map>
#include <memory>
#include <tuple>

namespace loomwright {

/// How wires warm up in time, each kind of wire under each cover in each air worked out once. The
/// plan outlives it.
class WireWarmings {
public:
    explicit WireWarmings(const StudyPlan& plan);

    /// A wire alone under one of the covers of Bundles::covers. The answer stays where it is.
    [[nodiscard]] const solve::Warming& of(std::size_t wire, std::size_t cover, double air_c);
    /// True when a wire meets the cover on its way.
    [[nodiscard]] bool meets(std::size_t wire, std::size_t cover) const {
        return (plan_.bundles.covers_of_wire[wire] & (1U << cover)) != 0;
    }
    [[nodiscard]] std::size_t cover_count() const { return plan_.bundles.covers.size(); }

private:
    const StudyPlan& plan_;
    solve::WarmingShelf* shelf_; ///< nullptr: none is shared with other states and cars
    std::map<std::tuple<int, int, double>, std::shared_ptr<const solve::Warming>>
        known_; ///< by body, cover, air
};

} // namespace loomwright
