// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
//   bare      2 R of the packing of the wires' circles (packing.cpp); n wires twisted together are
//             one circle round them: 2 R of their own packing, d1 + d2 for a pair; the wires and
//             twists of a screen are one circle, 2 R of their packing + 2 shield-wall (tables
//             defaults)
//   outside   bare + 2 wall of the cover's size, or the size's own outside diameter
//   bend      max(k_wire D_largest wire, k_bundle outside), radius inside the bend
//             (tables defaults: bend-wire, bend-bundle, bend-bundle-moving)
//   clips     ceil(length / spacing), evenly, the first half a step from the run's end: so no two
//             are farther apart than `spacing`, across a breakout neither
//   ties      ceil(step / tie spacing) - 1 in each step of a bundle without cover
//   share     (outside / opening)^2
//
// Range: any diameters; covers as far as table cover-sizes goes.
#include "loom/bundle.hpp"

#include "base/side_by_side.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numeric>
#include <utility>

namespace loomwright {
namespace {

// Wires in runs, each run counted, up to which packings are looked for with full care: a large car
// has about 2000.
constexpr std::size_t most_wires_for_full_care = 6000;
constexpr std::size_t most_wires_for_quick_care = 60'000;
// A length of whole steps stays so, whatever the last bits of its sum.
constexpr double rounding = 1e-9;

int steps_in(Metres length, Metres step) {
    return std::max(1, static_cast<int>(std::ceil(length / step - rounding)));
}

SectionSpot operator+(SectionSpot a, SectionSpot b) {
    return {a.x_m + b.x_m, a.y_m + b.y_m};
}

} // namespace

BundleMaker::BundleMaker(const Vehicle& vehicle, const Catalogue& catalogue, const Routing& routing,
                         const WireBodies& bodies, PackingShelf* shelf)
    : vehicle_(vehicle), catalogue_(catalogue), routing_(routing), bodies_(bodies), shelf_(shelf),
      twists_(twists(vehicle)), twist_of_(vehicle.wires.size(), -1),
      shield_of_(vehicle.wires.size(), -1),
      shield_wall_(catalogue.default_value("shield-wall").value) {
    std::size_t count = 0;
    for (const std::vector<WireId>& wires : routing.run_wires) {
        count += wires.size();
    }
    care_ = count <= most_wires_for_full_care    ? PackingCare::full
            : count <= most_wires_for_quick_care ? PackingCare::quick
                                                 : PackingCare::rough;
    for (std::size_t t = 0; t < twists_.size(); ++t) {
        for (const WireId wire : twists_[t].wires) {
            twist_of_[wire.index()] = static_cast<int>(t);
        }
    }
    for (std::size_t s = 0; s < vehicle.shields.size(); ++s) {
        for (const Given<WireId>& wire : vehicle.shields[s].around) {
            shield_of_[wire.value.index()] = static_cast<int>(s);
        }
    }
}

const Packing& BundleMaker::packing_of(const std::vector<double>& falling_radii_m) {
    const auto [at, is_new] = packings_.try_emplace(falling_radii_m);
    if (!is_new) {
        return at->second;
    }
    if (auto known = shelf_ != nullptr ? shelf_->find(falling_radii_m, care_) : std::nullopt) {
        at->second = std::move(*known);
        return at->second;
    }
    at->second = pack_circles(falling_radii_m, care_);
    if (shelf_ != nullptr) {
        shelf_->keep(falling_radii_m, care_, at->second);
    }
    return at->second;
}

BundleMaker::Body BundleMaker::twisted(const std::vector<WireId>& wires,
                                       std::vector<std::size_t> members) {
    std::ranges::stable_sort(members, std::ranges::greater(), [&](std::size_t member) {
        return bodies_.outside_m[wires[member].index()];
    });
    std::vector<double> radii;
    radii.reserve(members.size());
    for (const std::size_t member : members) {
        radii.push_back(0.5 * bodies_.outside_m[wires[member].index()]);
    }
    const Packing& packing = packing_of(radii);
    return {.radius_m = packing.radius_m,
            .members = std::move(members),
            .spots = packing.centres,
            .twists = {},
            .shields = {}};
}

BundleMaker::Body BundleMaker::packed(std::vector<Body> bodies) {
    std::ranges::stable_sort(bodies, std::ranges::greater(), &Body::radius_m);
    std::vector<double> radii;
    radii.reserve(bodies.size());
    for (const Body& body : bodies) {
        radii.push_back(body.radius_m);
    }
    const Packing& packing = packing_of(radii);
    Body out;
    out.radius_m = packing.radius_m;
    for (std::size_t b = 0; b < bodies.size(); ++b) {
        Body& body = bodies[b];
        const SectionSpot middle = packing.centres[b];
        for (std::size_t k = 0; k < body.members.size(); ++k) {
            out.members.push_back(body.members[k]);
            out.spots.push_back(middle + body.spots[k]);
        }
        for (const auto& [from, to] :
             {std::pair{&body.twists, &out.twists}, std::pair{&body.shields, &out.shields}}) {
            for (SectionRing& ring : *from) {
                ring.at = middle + ring.at;
                to->push_back(std::move(ring));
            }
        }
    }
    return out;
}

std::vector<BundleMaker::Body> BundleMaker::unscreened(const std::vector<WireId>& wires,
                                                       const std::vector<std::size_t>& members) {
    std::vector<Body> out;
    std::vector<int> met; // twists, in order
    for (std::size_t i = 0; i < members.size(); ++i) {
        const std::size_t first = members[i];
        const int twist = twist_of_[wires[first].index()];
        if (twist < 0) {
            out.push_back({0.5 * bodies_.outside_m[wires[first].index()], {first}, {{}}, {}, {}});
        } else if (std::ranges::find(met, twist) == met.end()) {
            met.push_back(twist);
            std::vector<std::size_t> together;
            std::copy_if(members.begin() + static_cast<std::ptrdiff_t>(i), members.end(),
                         std::back_inserter(together), [&](std::size_t member) {
                             return twist_of_[wires[member].index()] == twist;
                         });
            Body body = twisted(wires, std::move(together));
            if (body.members.size() > 1) {
                body.twists.push_back(
                    {twists_[static_cast<std::size_t>(twist)].name, {}, body.radius_m});
            }
            out.push_back(std::move(body));
        }
    }
    return out;
}

BundleMaker::Body BundleMaker::screened(const std::vector<WireId>& wires,
                                        const std::vector<std::size_t>& members,
                                        const Shield& shield) {
    Body body = packed(unscreened(wires, members));
    body.radius_m += shield_wall_.value();
    body.shields.push_back({shield.name, {}, body.radius_m});
    return body;
}

std::vector<BundleMaker::Body> BundleMaker::bodies_of(const std::vector<WireId>& wires) {
    std::vector<std::size_t> open;                     // in no screen
    std::map<int, std::vector<std::size_t>> by_shield; // in the order of the file
    for (std::size_t i = 0; i < wires.size(); ++i) {
        const int shield = shield_of_[wires[i].index()];
        (shield < 0 ? open : by_shield[shield]).push_back(i);
    }
    std::vector<Body> out = unscreened(wires, open);
    for (const auto& [shield, members] : by_shield) {
        out.push_back(screened(wires, members, vehicle_.shields[static_cast<std::size_t>(shield)]));
    }
    return out;
}

BundleSection BundleMaker::section_of(const std::vector<WireId>& wires) {
    Body all = packed(bodies_of(wires));
    BundleSection out;
    out.radius_m = all.radius_m;
    out.wires.resize(wires.size());
    for (std::size_t k = 0; k < all.members.size(); ++k) {
        const WireId wire = wires[all.members[k]];
        out.wires[all.members[k]] = {wire, all.spots[k], 0.5 * bodies_.outside_m[wire.index()]};
    }
    out.twists = std::move(all.twists);
    out.shields = std::move(all.shields);
    return out;
}

void BundleMaker::add_cover(RunBundle& bundle, const Run& run) const {
    bundle.outside = bundle.bare;
    const CoverType* type = catalogue_.find_cover(run.cover);
    if (type == nullptr) {
        return;
    }
    bundle.cover = catalogue_.find_cover_size(run.cover, bundle.bare);
    bundle.cover_not_found = bundle.cover == nullptr;
    bundle.outside = bundle.cover != nullptr ? bundle.cover->over(bundle.bare)
                                             : bundle.bare + 2.0 * (type->gap + type->wall);
}

void BundleMaker::add_bend(RunBundle& bundle, const Run& run) const {
    const Metres by_wire = catalogue_.default_value("bend-wire").value * bundle.largest_wire;
    const std::string_view row = run.moving ? "bend-bundle-moving" : "bend-bundle";
    const Metres by_bundle = catalogue_.default_value(row).value * bundle.outside;
    bundle.bend_by_wire = by_wire >= by_bundle;
    bundle.least_bend = std::max(by_wire, by_bundle);
}

void BundleMaker::add_supports(RunBundle& bundle, const Run& run) const {
    const Metres most(catalogue_.default_value("clip-spacing").value);
    bundle.clips = steps_in(bundle.length, run.clips ? run.clips->value : most);
    bundle.clip_spacing = bundle.length / bundle.clips;
    if (run.cover.empty() && bundle.section.wires.size() > 1) {
        const Metres between_ties(catalogue_.default_value("tie-spacing").value);
        bundle.ties = bundle.clips * (steps_in(bundle.clip_spacing, between_ties) - 1);
    }
}

RunBundle BundleMaker::make(RunId id) {
    const Run& run = vehicle_.run(id);
    const std::vector<WireId>& wires = routing_.run_wires[id.index()];
    RunBundle out;
    out.run = id;
    out.length = routing_.run_lengths[id.index()];
    if (wires.empty()) {
        return out;
    }
    out.section = section_of(wires);
    out.bare = Metres(2.0 * out.section.radius_m);
    for (const WireId wire : wires) {
        out.largest_wire = std::max(out.largest_wire, Metres(bodies_.outside_m[wire.index()]));
        out.kg_per_m += bodies_.kg_per_m[wire.index()];
    }
    for (const SectionRing& shield : out.section.shields) {
        out.largest_wire = std::max(out.largest_wire, Metres(2.0 * shield.radius_m));
    }
    add_cover(out, run);
    add_bend(out, run);
    add_supports(out, run);
    return out;
}

std::vector<RunBundle> BundleMaker::make_all() {
    const std::size_t count = vehicle_.runs.size();
    std::vector<RunBundle> out(count);
    // Each half with packings of its own: what a run's wires make does not depend on what was
    // packed before.
    const auto make_half = [&](BundleMaker& maker, std::size_t first, std::size_t end) {
        for (std::size_t i = first; i < end; ++i) {
            out[i] = maker.make(RunId(i));
        }
    };
    if (vehicle_.wires.size() < rows_worth_a_thread) {
        make_half(*this, 0, count);
        return out;
    }
    BundleMaker other(*this);
    side_by_side(1, [&](std::size_t number) {
        if (number == 0) {
            make_half(*this, 0, count / 2);
        } else {
            make_half(other, count / 2, count);
        }
    });
    return out;
}

std::vector<PassageFit> passage_fits(const Vehicle& vehicle, const RunBundle& bundle) {
    std::vector<PassageFit> out;
    const Run& run = vehicle.run(bundle.run);
    for (const PointId id : {run.from, run.to}) {
        const auto& opening = vehicle.point(id).opening;
        if (opening && !bundle.section.wires.empty()) {
            const double ratio = bundle.outside / *opening;
            out.push_back({id, *opening, ratio * ratio});
        }
    }
    return out;
}

} // namespace loomwright
