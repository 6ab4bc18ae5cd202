// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proof of fuse-over-wire looks at a rating, at I2, at 5 s and at the slow gates (protect.cpp).
// Here what it promises is held to for every current: whatever device of the tables is said to
// protect whatever conductor, it opens at each current before the conductor, begun at its class,
// is at the short-time limit of its insulation, heat leaving it by the balance (solve::Warming,
// which has its own checks against the adiabatic equation and against ngspice).
#include "base/display.hpp"
#include "sizing/protect.hpp"
#include "solve/heat.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <string>

using namespace loomwright;

namespace {

struct Place {
    double air_c = 0.0;
    double share = 1.0; ///< of the free-air ampacity that a bundle leaves
};

/// A conductor in a place, and how long it stands a current.
class Stand {
public:
    Stand(const Catalogue& tables, const Conductor& conductor, const Insulation& insulation,
          const Place& place)
        : share_(place.share), class_c_(insulation.limit.value()),
          short_c_(insulation.short_time.value()),
          warming_(conductor_warming(wire_body(tables, conductor, insulation),
                                     conductor.copper_area.value() * 1e6, place.air_c)) {
        ampacity.air_c = place.air_c;
        ampacity.limit_c = class_c_;
        ampacity.free_air_a = solve::free_air_ampacity_a(wire_body(tables, conductor, insulation),
                                                         class_c_, place.air_c);
        ampacity.bundle_factor = place.share;
        ampacity.handbook_a = place.share * ampacity.free_air_a;
        ampacity.amps = ampacity.handbook_a;
    }

    [[nodiscard]] double seconds(double amps) const {
        return warming_.seconds_until(amps / share_, class_c_, short_c_) / (share_ * share_);
    }

    Ampacity ampacity;

private:
    double share_;
    double class_c_;
    double short_c_;
    solve::Warming warming_;
};

struct Tally {
    int pairs = 0; ///< of a device and a conductor that it is said to protect
    int currents = 0;
    double worst = 0.0; ///< time to open over time that is stood
    std::string where;
};

void hold(const FuseFamily& family, double rating_a, const TimeCurrentBand& band,
          const Stand& stand, const Conductor& conductor, const Insulation& insulation,
          Tally& tally) {
    ++tally.pairs;
    const double most_a = 40.0 * band.longest.back().amps;
    const auto judge = [&](double amps) {
        const auto opens = longest_opening_s(band, amps);
        const double share = opens ? *opens / stand.seconds(amps) : 0.0;
        ++tally.currents;
        if (share > tally.worst) {
            tally.worst = share;
            tally.where = family.name + " " + show(Amps(rating_a)) + " over " +
                          show(conductor.size) + " " + insulation.name + " in " +
                          show(Celsius(stand.ampacity.air_c)) + " at " + show(Amps(amps));
        }
    };
    for (double amps = band.longest.front().amps; amps < most_a; amps *= 1.1) {
        judge(amps);
    }
    for (const BandPoint& point : band.longest) {
        judge(point.amps);
        judge(point.amps * 0.999); // where a gate's line ends, from either side
    }
}

} // namespace

TEST_CASE("what is said to protect a wire does so at every current") {
    SourceFiles files;
    Findings findings;
    const Catalogue tables = load_catalogue(files, findings);
    REQUIRE(findings.empty());
    const Vehicle vehicle;
    const Routing routing;
    const Network network;
    const StudyInput input{vehicle, tables, routing, network};
    Tally tally;
    // Under the sanitizers a few will do; the test sizing_every_current has all.
    const bool has_time = std::getenv("LOOMWRIGHT_EVERY_CURRENT") != nullptr;
    std::size_t place_count = 0;
    for (const Insulation& insulation : tables.insulations()) {
        for (const Conductor& conductor : tables.conductors(SizeStandard::iso)) {
            for (const Place& place : {Place{23.0, 1.0}, Place{55.0, 0.6}}) {
                if (place.air_c >= insulation.limit.value() ||
                    (!has_time && place_count++ % 40 != 0)) {
                    continue;
                }
                const Stand stand(tables, conductor, insulation, place);
                for (const FuseFamily& family : tables.fuse_families()) {
                    for (const FuseRating& row : family.ratings) {
                        const double rating_a = row.rating.value();
                        const TimeCurrentBand band =
                            in_air(time_current_band(family, rating_a), family.opening_per_k,
                                   {place.air_c, place.air_c});
                        if (band.is_known() && prove_protection(input, band_of(band), conductor,
                                                                insulation, stand.ampacity)
                                                   .holds()) {
                            hold(family, rating_a, band, stand, conductor, insulation, tally);
                        }
                    }
                }
            }
        }
    }
    MESSAGE(tally.pairs, " pairs, ", tally.currents, " currents; worst ", tally.worst, ": ",
            tally.where);
    CHECK(tally.pairs > (has_time ? 40000 : 500));
    // 1.05: k^2 S^2 (IEC 60949) takes copper at its own resistivity, the conductor files the
    // greatest resistance that a standard allows, up to 5 % more; between two places that the proof
    // looks at a time is off by less.
    CHECK(tally.worst <= 1.05);
}
