// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/guards.hpp"
#include "loom/bundle.hpp"
#include "loom/run_costs.hpp"
#include "loom/ways.hpp"
#include "sizing/fittings.hpp"
#include "sizing/judged.hpp"
#include "study/values.hpp"

#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// What the proofs of one car share and is dear to make. Each is made when it is first asked for,
/// so that one proof pays for what it needs and many pay once. Not for two threads at a time.
class Gathered {
public:
    /// What `from` refers to, and bundles that are made already (by RunId; none: made here),
    /// outlive this.
    explicit Gathered(const CheckInput& from, std::span<const RunBundle> made_bundles = {})
        : input(from), defaults(from.study.catalogue, from.study.vehicle),
          made_bundles_(made_bundles) {}

    const CheckInput input;
    const StudyDefaults defaults;

    [[nodiscard]] const SourceZonesByState& zones();
    [[nodiscard]] const std::vector<ProspectPair>& prospects();
    [[nodiscard]] const std::vector<SeriesPair>& pairs();
    [[nodiscard]] const WireLoads& loads();
    [[nodiscard]] const std::vector<RunCost>& costs(); ///< by RunId
    [[nodiscard]] const Ways& ways_by_length();
    [[nodiscard]] const WireBodies& bodies();
    [[nodiscard]] RunBundle bundle(RunId run);
    [[nodiscard]] const EndFittings& fittings();
    [[nodiscard]] const std::vector<int>& battery_rows(); ///< by DeviceId

private:
    std::span<const RunBundle> made_bundles_;
    std::optional<SourceZonesByState> zones_;
    std::optional<std::vector<ProspectPair>> prospects_;
    std::optional<std::vector<SeriesPair>> pairs_;
    std::optional<WireLoads> loads_;
    std::optional<std::vector<RunCost>> costs_;
    std::optional<Ways> ways_;
    std::optional<WireBodies> bodies_;
    std::optional<BundleMaker> bundles_;
    std::optional<EndFittings> fittings_;
    std::optional<std::vector<int>> rows_;
};

} // namespace loomwright
