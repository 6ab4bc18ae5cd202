// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/packing.hpp"
#include "loom/packing_shelf.hpp"
#include "loom/routing.hpp"
#include "loom/twists.hpp"

#include <cstddef>
#include <map>
#include <string>
#include <vector>

namespace loomwright {

/// What the wires of a car are to a bundle, by WireId: it depends on their sizes, which are chosen
/// further on.
struct WireBodies {
    std::vector<double> outside_m; ///< diameter over the insulation, m, above zero
    std::vector<double> kg_per_m;
};

/// One wire in a cross-section.
struct SectionWire {
    WireId wire;
    SectionSpot at;
    double radius_m = 0.0;
};

/// The circle round the wires of a twist, or round a screen.
struct SectionRing {
    std::string name; ///< of the pair, or of the shield
    SectionSpot at;
    double radius_m = 0.0;
};

/// A cross-section of a run: nothing overlaps but a twist or a screen with its own wires.
struct BundleSection {
    std::vector<SectionWire> wires; ///< in the order of Routing::run_wires
    std::vector<SectionRing> twists;
    std::vector<SectionRing> shields; ///< outside their braid
    double radius_m = 0.0;            ///< of the circle round all; 0: no wires
};

/// A run with all its wires and its cover (docs/method/bundles.md).
struct RunBundle {
    RunId run;
    BundleSection section;
    Metres bare;                      ///< diameter round its wires, without the cover
    Metres largest_wire;              ///< a screened cable counts as one wire
    const CoverSize* cover = nullptr; ///< nullptr: no cover, or no size of it takes the bundle
    bool cover_not_found = false;     ///< there is a cover, and no size of it does
    Metres outside;                   ///< diameter with the cover
    Metres least_bend;                ///< least radius inside a bend
    bool bend_by_wire = false;        ///< its largest wire decides that, not the whole
    double kg_per_m = 0.0;            ///< of the wires; the cover is not counted
    Metres length;
    Metres clip_spacing; ///< from one support to the next, when they are spread evenly
    int clips = 0;
    int ties = 0; ///< between the supports; none over wires that a cover holds together
};

/// How a run goes through the hole at one of its ends.
struct PassageFit {
    PointId point;
    Metres opening;
    double share = 0.0; ///< of its area that the run fills, cover counted
    [[nodiscard]] bool fits() const { return share <= 1.0; }
};

/// Makes the bundles of the runs of a car. What it is given must outlive it; packings are kept, for
/// runs that follow one another often have the same wires.
class BundleMaker {
public:
    BundleMaker(const Vehicle& vehicle, const Catalogue& catalogue, const Routing& routing,
                const WireBodies& bodies, PackingShelf* shelf = nullptr);

    [[nodiscard]] RunBundle make(RunId id);
    /// Of all runs, by RunId.
    [[nodiscard]] std::vector<RunBundle> make_all();

private:
    /// What is laid as one circle: a wire, a twist or a screened cable with its wires in places of
    /// their own, from the middle of the body.
    struct Body {
        double radius_m = 0.0;
        std::vector<std::size_t> members; ///< places in the run's list of wires
        std::vector<SectionSpot> spots;   ///< of each
        std::vector<SectionRing> twists;
        std::vector<SectionRing> shields;
    };

    [[nodiscard]] BundleSection section_of(const std::vector<WireId>& wires);
    [[nodiscard]] std::vector<Body> bodies_of(const std::vector<WireId>& wires);
    /// Of wires that no screen parts: the twists among these members, and the others one by one.
    [[nodiscard]] std::vector<Body> unscreened(const std::vector<WireId>& wires,
                                               const std::vector<std::size_t>& members);
    [[nodiscard]] Body twisted(const std::vector<WireId>& wires, std::vector<std::size_t> members);
    [[nodiscard]] Body screened(const std::vector<WireId>& wires,
                                const std::vector<std::size_t>& members, const Shield& shield);
    /// Bodies laid together in one circle.
    [[nodiscard]] Body packed(std::vector<Body> bodies);
    [[nodiscard]] const Packing& packing_of(const std::vector<double>& falling_radii_m);
    void add_cover(RunBundle& bundle, const Run& run) const;
    void add_bend(RunBundle& bundle, const Run& run) const;
    void add_supports(RunBundle& bundle, const Run& run) const;

    const Vehicle& vehicle_;
    const Catalogue& catalogue_;
    const Routing& routing_;
    const WireBodies& bodies_;
    PackingShelf* shelf_; ///< nullptr: none is shared with other cars
    PackingCare care_ = PackingCare::full;
    std::vector<Twist> twists_;
    std::vector<int> twist_of_;  ///< by WireId: index into twists_; -1: none
    std::vector<int> shield_of_; ///< by WireId: index into Vehicle::shields; -1: none
    Metres shield_wall_;
    std::map<std::vector<double>, Packing> packings_; ///< by falling radii
};

/// The holes at the ends of a run that has wires, as its bundle goes through them.
[[nodiscard]] std::vector<PassageFit> passage_fits(const Vehicle& vehicle, const RunBundle& bundle);

} // namespace loomwright
