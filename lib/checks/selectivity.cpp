// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// selectivity: of every two protective devices in series, whether the lower opens before the upper
// for every current that a fault behind the lower can send through both.
//
// In series are devices of which the one dominates the other in the feeds of a source (network/
// zones.cpp), in any state. Up to which current the two are compared: the smaller of their two
// prospective currents in the direction of that feed. A pair of which nothing but the lower hangs
// on the upper is left out: whichever opens, the same goes dead.
#include "base/display.hpp"
#include "checks/guards.hpp"
#include "checks/wording.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/joint_starts.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace loomwright {
namespace {

constexpr std::size_t most_loads_named = 3;

/// The prospective current through a device that its source feeds at one side.
double prospect_at(const ProspectPair& prospect, FeedSide side) {
    switch (side) {
    case FeedSide::from:
        return prospect.onward.amps;
    case FeedSide::to:
        return prospect.back.amps;
    case FeedSide::either:
        break;
    }
    return prospect.greater().amps;
}

/// Collects the pairs over all states and sources.
class PairFinder {
public:
    PairFinder(const CheckInput& input, const std::vector<ProspectPair>& prospects)
        : input_(input), prospects_(prospects), above_(input.study.vehicle.devices.size()),
          below_(input.study.vehicle.devices.size()) {}

    void add(const SourceZone& zone) {
        for (const FedDevice& lower : zone.devices) {
            const double lower_a = prospect_at(prospects_[lower.device.index()], lower.side);
            for (const FedDevice* up = zone.find(lower.before); up != nullptr;
                 up = zone.find(up->before)) {
                SeriesPair& pair = pair_of(lower.device, up->device);
                const double upper_a = prospect_at(prospects_[up->device.index()], up->side);
                pair.most_a = std::max(pair.most_a, std::min(lower_a, upper_a));
            }
        }
    }

    /// Takes down what a load loses when a device opens that stands above others too. A pair that
    /// knows of enough loads is not asked again: there may be as many of each as the car has wires.
    void add_load(const SourceZone& zone, int branch, DeviceId load) {
        const std::vector<DeviceId> guards = zone.guards(branch);
        for (const DeviceId upper : guards) {
            std::erase_if(below_[upper.index()], [&](const auto& entry) {
                const auto& [lower, place] = entry;
                SeriesPair& pair = above_[lower.index()][place];
                if (std::ranges::find(guards, lower) == guards.end() &&
                    std::ranges::find(pair.others, load) == pair.others.end()) {
                    pair.others.push_back(load);
                }
                return pair.others.size() > most_loads_named;
            });
        }
    }

    [[nodiscard]] std::vector<SeriesPair> take() {
        std::vector<SeriesPair> out;
        for (const FuseSizing& fuse : input_.sizing.fuses) {
            std::ranges::move(above_[fuse.device.index()], std::back_inserter(out));
        }
        return out;
    }

private:
    SeriesPair& pair_of(DeviceId lower, DeviceId upper) {
        std::vector<SeriesPair>& row = above_[lower.index()];
        const auto found = std::ranges::find(row, upper, &SeriesPair::upper);
        if (found != row.end()) {
            return *found;
        }
        below_[upper.index()].emplace_back(lower, row.size());
        return row.emplace_back(SeriesPair{lower, upper, 0.0, {}});
    }

    const CheckInput& input_;
    const std::vector<ProspectPair>& prospects_;
    std::vector<std::vector<SeriesPair>> above_; ///< by DeviceId of the lower
    /// By DeviceId of the upper: the lower ones that want more loads, and where in `above_` the
    /// pair stands.
    std::vector<std::vector<std::pair<DeviceId, std::size_t>>> below_;
};

/// "E1 and E2", or "E1, E2, E3 and others".
std::string say_others(const Vehicle& vehicle, const SeriesPair& pair) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < std::min(pair.others.size(), most_loads_named); ++i) {
        names.push_back(vehicle.device(pair.others[i]).name);
    }
    if (pair.others.size() > most_loads_named) {
        names.emplace_back("others");
    }
    return list_of(names);
}

/// Smallest rating of the upper's family that would be selective; 0 for none.
double selective_rating(const CheckInput& input, const SeriesPair& pair) {
    const TimeCurrentBand lower = device_band(input, pair.lower);
    const double upper_a = device_band(input, pair.upper).rating_a;
    const FuseFamily& family = *family_of(input.study, pair.upper);
    for (const FuseRating& row : family.ratings) {
        const double rating = row.rating.value();
        if (rating > upper_a &&
            !find_lost_selectivity(lower, band_in_air(input.study, pair.upper, rating, cool_air_c),
                                   pair.most_a)) {
            return rating;
        }
    }
    return 0.0;
}

/// "F1 of 15 A", "link F1 of 2 mm2".
std::string say_upper(const CheckInput& input, DeviceId device, double rating_a) {
    const std::string& name = input.study.vehicle.device(device).name;
    const Conductor* link = link_conductor(input.study, device);
    return link != nullptr ? fmt::format("link {} of {}", name, show(link->size))
                           : fmt::format("{} of {}", name, show(Amps(rating_a)));
}

std::string say_remedy(const CheckInput& input, const SeriesPair& pair) {
    const std::string& lower = input.study.vehicle.device(pair.lower).name;
    const std::string& upper = input.study.vehicle.device(pair.upper).name;
    if (link_conductor(input.study, pair.upper) != nullptr) {
        return fmt::format("use a smaller {}, or a thicker link with wires for it", lower);
    }
    const double rating = selective_rating(input, pair);
    return rating > 0.0 ? fmt::format("use {} of {} with wires for it, a smaller {}, or a slower "
                                      "family above",
                                      upper, show(Amps(rating)), lower)
                        : fmt::format("use a smaller {}, or a slower family for {}", lower, upper);
}

const DefaultValue& selectivity_ratio(const CheckInput& input) {
    return input.study.catalogue.default_value("selectivity-ratio");
}

/// A link has no rating, and there is no ratio beside it.
void add_ratings(const CheckInput& input, double lower_a, double upper_a, Finding& finding) {
    if (lower_a > 0.0) {
        finding.figures.push_back(given("rating", lower_a, "A"));
    }
    if (upper_a > 0.0) {
        finding.figures.push_back(given("rating above", upper_a, "A"));
    }
    if (lower_a > 0.0 && upper_a > 0.0) {
        const double ratio = upper_a / lower_a;
        finding.figures.push_back(given("ratio", ratio, ""));
        // Bands are the extremes of all that may be sold: a pair of twice the rating holds in
        // practice.
        finding.severity =
            ratio >= selectivity_ratio(input).value ? Severity::note : Severity::caution;
    }
}

void add_lost(const CheckInput& input, const SeriesPair& pair, const LostSelectivity& lost,
              Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Device& lower = vehicle.device(pair.lower);
    const Device& upper = vehicle.device(pair.upper);
    const double lower_a = device_band(input, pair.lower).rating_a;
    const double upper_a = device_band(input, pair.upper).rating_a;
    Finding& finding =
        findings.add(Rule::selectivity, lower.name, place_of(lower),
                     fmt::format("from {} on, {} above it may open first: {} would go dead too",
                                 show(Amps(lost.amps)), say_upper(input, pair.upper, upper_a),
                                 say_others(vehicle, pair)),
                     say_remedy(input, pair));
    finding.figures = {seen("lost from", lost.amps, "A"),
                       least_of("greatest fault current through both", pair.most_a, "A")};
    add_ratings(input, lower_a, upper_a, finding);
    if (lost.lower_s) {
        finding.figures.push_back(given("may take until", *lost.lower_s, "s"));
    }
    finding.figures.push_back(given("above may open after", lost.upper_s, "s"));
    finding.related.push_back({place_of(upper), upper.name + " stands above it"});
    finding.source = fmt::format("tables fuse-gates, both at 23 C; ratio: {}",
                                 selectivity_ratio(input).origin.source);
}

bool is_load(BranchKind kind) {
    return kind == BranchKind::load || kind == BranchKind::coil || kind == BranchKind::resistor;
}

} // namespace

TimeCurrentBand device_band(const CheckInput& input, DeviceId device) {
    const double rating_a = input.sizing.design.ratings[device.index()].value_or(Amps(0.0)).value();
    return band_in_air(input.study, device, rating_a, cool_air_c);
}

bool can_be_compared(const TimeCurrentBand& lower, const TimeCurrentBand& upper) {
    return lower.is_known() && knows_short_side(upper);
}

std::vector<SeriesPair> series_pairs(const CheckInput& input, const SourceZonesByState& zones,
                                     const std::vector<ProspectPair>& prospects) {
    PairFinder finder(input, prospects);
    for (const auto& state : zones) {
        for (const SourceZone& zone : *state) {
            finder.add(zone);
        }
    }
    const std::vector<Branch>& branches = input.study.network.branches;
    for (const auto& state : zones) {
        for (const SourceZone& zone : *state) {
            for (const FedBranch& fed : zone.branches) {
                const Branch& branch = branches[static_cast<std::size_t>(fed.branch)];
                if (is_load(branch.kind)) {
                    finder.add_load(zone, fed.branch, branch.device);
                }
            }
        }
    }
    return finder.take();
}

void check_selectivity(const CheckInput& input, const SourceZonesByState& zones,
                       const std::vector<ProspectPair>& prospects, Findings& findings) {
    std::vector<TimeCurrentBand> bands(input.study.vehicle.devices.size());
    for (const FuseSizing& fuse : input.sizing.fuses) {
        bands[fuse.device.index()] = device_band(input, fuse.device);
    }
    for (const SeriesPair& pair : series_pairs(input, zones, prospects)) {
        const TimeCurrentBand& lower = bands[pair.lower.index()];
        const TimeCurrentBand& upper = bands[pair.upper.index()];
        if (pair.others.empty() || pair.most_a <= 0.0 || !can_be_compared(lower, upper)) {
            continue;
        }
        if (const auto lost = find_lost_selectivity(lower, upper, pair.most_a)) {
            add_lost(input, pair, *lost, findings);
        }
    }
}

} // namespace loomwright
