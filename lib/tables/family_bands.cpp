// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/family_bands.hpp"

#include <algorithm>
#include <limits>
#include <set>

// A family's band from the bands of its ranges of ratings. Opening times fall as the current rises,
// so a range that has no gate at a multiple m still opens not sooner than at its next gate above m
// and not later than at its next gate below. The band of the family takes, at every multiple that
// any range lists,
//   shortest = the least over the ranges, longest = the greatest over the ranges,
// and has a side only where every range has one. Source of the gates: fuse-gates.yaml, and before
// it the curves of the vehicle file: a range of the table that one of them covers does not count.

namespace loomwright {
namespace {

constexpr Amps any_rating{std::numeric_limits<double>::infinity()};

/// The gates of one range of ratings.
using Range = std::vector<const FuseGate*>;

/// A gate of the table in whose place a curve of the vehicle file stands, for all its ratings.
bool is_replaced(const FuseGate& gate, const std::vector<FuseGate>& gates) {
    return !gate.is_own && std::ranges::any_of(gates, [&gate](const FuseGate& own) {
        return own.is_own && own.least <= gate.least && gate.most <= own.most;
    });
}

std::vector<Range> ranges_of(const std::vector<FuseGate>& gates) {
    std::vector<Range> out;
    for (const FuseGate& gate : gates) {
        if (is_replaced(gate, gates)) {
            continue;
        }
        const auto same = [&gate](const Range& range) {
            return range.front()->is_own == gate.is_own && range.front()->least == gate.least &&
                   range.front()->most == gate.most;
        };
        const auto found = std::ranges::find_if(out, same);
        if (found == out.end()) {
            out.push_back({&gate});
        } else {
            found->push_back(&gate);
        }
    }
    return out;
}

/// The nearest gate at or above the multiple that has a shortest time.
const FuseGate* shortest_at(const Range& range, double multiple) {
    for (const FuseGate* gate : range) {
        if (gate->multiple >= multiple && gate->shortest) {
            return gate;
        }
    }
    return nullptr;
}

/// The nearest gate at or below the multiple that has a longest time.
const FuseGate* longest_at(const Range& range, double multiple) {
    const FuseGate* best = nullptr;
    for (const FuseGate* gate : range) {
        if (gate->multiple <= multiple && gate->longest) {
            best = gate;
        }
    }
    return best;
}

FuseGate merged_gate(const std::vector<Range>& ranges, double multiple) {
    FuseGate out;
    out.multiple = multiple;
    bool has_shortest = true;
    bool has_longest = true;
    for (const Range& range : ranges) {
        const FuseGate* lower = shortest_at(range, multiple);
        const FuseGate* upper = longest_at(range, multiple);
        has_shortest = has_shortest && lower != nullptr;
        has_longest = has_longest && upper != nullptr;
        if (lower != nullptr && (!out.shortest || *lower->shortest < *out.shortest)) {
            out.shortest = lower->shortest;
            out.origin = lower->origin;
            out.air = lower->air;
        }
        if (upper != nullptr && (!out.longest || *upper->longest > *out.longest)) {
            out.longest = upper->longest;
            out.origin = upper->origin;
            out.air = upper->air;
        }
    }
    out.shortest = has_shortest ? out.shortest : std::nullopt;
    out.longest = has_longest ? out.longest : std::nullopt;
    return out;
}

/// The curve's gates after those of the table.
void add_gates(FuseFamily& family, const FuseCurve& curve, Amps least, Amps most) {
    for (const CurveGate& gate : curve.gates) {
        FuseGate made;
        made.multiple = gate.multiple;
        made.shortest = gate.shortest;
        made.longest = gate.longest;
        made.origin = {Provenance::read, curve.source + " (the vehicle file)"};
        made.least = least;
        made.most = most;
        made.air = curve.air.value_or(made.air);
        made.is_own = true;
        family.rating_gates.push_back(std::move(made));
    }
    if (curve.derating_per_k) {
        family.derating_per_k = *curve.derating_per_k;
        family.derating_from = curve.air.value_or(FuseGate().air);
        family.opening_per_k = *curve.derating_per_k;
        family.opening_origin = {Provenance::read, curve.source + " (the vehicle file)"};
        family.derating_origin = {Provenance::read, curve.source + " (the vehicle file)"};
    }
    merge_gates(family);
}

} // namespace

void merge_gates(FuseFamily& family) {
    family.gates.clear();
    const std::vector<Range> ranges = ranges_of(family.rating_gates);
    std::set<double> multiples;
    for (const Range& range : ranges) {
        for (const FuseGate* gate : range) {
            multiples.insert(gate->multiple);
        }
    }
    for (const double multiple : multiples) {
        FuseGate gate = merged_gate(ranges, multiple);
        gate.least = family.rating_gates.front().least;
        gate.most = family.rating_gates.back().most;
        if (gate.shortest || gate.longest) {
            family.gates.push_back(std::move(gate));
        }
    }
}

const FuseFamily* Catalogue::find_fuse_family(const Vehicle& vehicle, DeviceId device) const {
    const auto* protection = vehicle.device(device).as<Protection>();
    if (protection == nullptr) {
        return nullptr;
    }
    const auto own =
        std::ranges::find(device_fuses_, device, &std::pair<DeviceId, FuseFamily>::first);
    return own != device_fuses_.end() ? &own->second : find_fuse_family(protection->family);
}

void Catalogue::take_curves(const Vehicle& vehicle) {
    for (const FuseCurve& curve : vehicle.curves) {
        for (FuseFamily& family : fuses_) {
            if (family.name == curve.family) {
                add_gates(family, curve, curve.least, curve.most);
            }
        }
    }
    // After those of the families, whose derating a device keeps that has none of its own.
    for (const FuseCurve& curve : vehicle.curves) {
        for (const DeviceId device : curve.devices) {
            if (const FuseFamily* family = find_fuse_family(vehicle, device)) {
                FuseFamily own = *family;
                own.rating_gates.clear();
                add_gates(own, curve, Amps(0.0), any_rating);
                device_fuses_.emplace_back(device, std::move(own));
            }
        }
    }
}

} // namespace loomwright
