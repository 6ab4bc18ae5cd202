// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/gathered.hpp"

#include "loom/packing_shelf.hpp"
#include "network/battery_rows.hpp"
#include "network/wire_bodies.hpp"
#include "study/shelves.hpp"

namespace loomwright {

const SourceZonesByState& Gathered::zones() {
    if (!zones_) {
        zones_ = zones_by_state(input);
    }
    return *zones_;
}

const std::vector<ProspectPair>& Gathered::prospects() {
    if (!prospects_) {
        prospects_ = prospective_currents(input.study, input.sizing.design, input.sizing.states);
    }
    return *prospects_;
}

const std::vector<SeriesPair>& Gathered::pairs() {
    if (!pairs_) {
        pairs_ = series_pairs(input, zones(), prospects());
    }
    return *pairs_;
}

const WireLoads& Gathered::loads() {
    if (!loads_) {
        loads_ = wire_loads(input.study, judged_states(input.sizing));
    }
    return *loads_;
}

const std::vector<RunCost>& Gathered::costs() {
    if (!costs_) {
        const StudyInput& study = input.study;
        costs_ = run_costs(study.vehicle, study.catalogue, study.routing.run_lengths,
                           study.routing.run_zones);
    }
    return *costs_;
}

const Ways& Gathered::ways_by_length() {
    if (!ways_) {
        std::vector<double> lengths;
        lengths.reserve(costs().size());
        for (const RunCost& cost : costs()) {
            lengths.push_back(cost.length_m);
        }
        ways_.emplace(input.study.vehicle, lengths);
    }
    return *ways_;
}

const WireBodies& Gathered::bodies() {
    if (!bodies_) {
        bodies_ = wire_bodies(input.study.catalogue, input.sizing.design);
    }
    return *bodies_;
}

RunBundle Gathered::bundle(RunId run) {
    if (!made_bundles_.empty()) {
        return made_bundles_[run.index()];
    }
    if (!bundles_) {
        const StudyInput& study = input.study;
        bundles_.emplace(study.vehicle, study.catalogue, study.routing, bodies(),
                         shelf_of<PackingShelf>(study));
    }
    return bundles_->make(run);
}

const EndFittings& Gathered::fittings() {
    if (!fittings_) {
        fittings_.emplace(input.study.vehicle, input.study.catalogue, input.sizing.design);
    }
    return *fittings_;
}

const std::vector<int>& Gathered::battery_rows() {
    if (!rows_) {
        rows_ = loomwright::battery_rows(input.study.vehicle, input.study.network);
    }
    return *rows_;
}

} // namespace loomwright
