// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proof that a protective device protects a wire (equations in sizing/protect.cpp).
#include "base/display.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/choose_wires.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/feeds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

namespace loomwright {
namespace {

std::string devices_named(const CheckInput& input, std::span<const DeviceId> devices) {
    std::vector<std::string> names;
    for (const DeviceId device : devices) {
        names.push_back(input.study.vehicle.device(device).name);
    }
    return list_of(names);
}

/// A wire behind a device, and what was computed about the two.
struct ProvenWire {
    const ProtectionProof& proof;
    const TimeCurrentBand& band; ///< of the device in its air
    const WireDesign& made;
    const Ampacity& ampacity;
};

void add_overload(ProofSection& out, const ProtectionProof& proof) {
    out.steps.push_back(
        {"I2 = the current that is sure to open it",
         fmt::format("{} x {}", figure(proof.sure_multiple), figure(proof.rating_a)),
         show(Amps(proof.sure_a)),
         "tables fuse-gates, the first with a longest time, in the device's air"});
    out.steps.push_back({"I2 <= 1.45 Iz",
                         fmt::format("{} <= 1.45 x {} = {}", figure(proof.sure_a),
                                     figure(proof.ampacity_a), figure(1.45 * proof.ampacity_a)),
                         within(proof.sure_a, conventional_factor * proof.ampacity_a),
                         "IEC 60364-4-43 433.1"});
}

/// Where the let-through is not that of a gate: the current at which the slow side is at just 5 s.
void add_five_seconds(ProofSection& out, const TimeCurrentBand& band, const LetThrough& pass) {
    const double amps = pass.multiple * band.rating_a;
    const auto& side = band.longest;
    const auto after = std::ranges::find_if(
        side, [&](const BandPoint& point) { return point.amps > amps * (1.0 - 1e-9); });
    if (after == side.end()) {
        out.steps.push_back({"current at which its slow side is at 5 s, beyond its last gate",
                             fmt::format("{} x sqrt({} / 5)", figure(side.back().amps),
                                         figure(side.back().seconds)),
                             show(Amps(amps)), pass.origin.source});
    } else if (after != side.begin() && std::abs(after->amps - amps) > 1e-9 * amps) {
        const BandPoint& low = *(after - 1);
        out.steps.push_back(
            {"current at which its slow side is at 5 s, between two gates",
             fmt::format("{0} x ({1} / {0})^(ln(5 / {2}) / ln({3} / {2}))", figure(low.amps),
                         figure(after->amps), figure(low.seconds), figure(after->seconds)),
             show(Amps(amps)), pass.origin.source});
    }
}

/// I^2 t <= k^2 S^2, with what k and S are.
void add_withstand(ProofSection& out, const WireDesign& made, double let_through_a2s) {
    const Insulation& insulation = *made.insulation;
    const double k = insulation.k_a_sqrt_s_per_mm2;
    const double stands_a2s = withstand_a2s(*made.conductor, insulation);
    out.steps.push_back(
        {"k = 226 sqrt(ln((234.5 + T_short) / (234.5 + T_class)))",
         fmt::format("226 sqrt(ln((234.5 + {}) / (234.5 + {})))",
                     figure(insulation.short_time.value()), figure(insulation.limit.value())),
         figure(k), "IEC 60949, IEC 60364-5-54; T of tables insulation, " + insulation.name});
    out.steps.push_back({"S, copper that the conductor is sure to hold", "",
                         show(made.conductor->copper_area),
                         "tables conductors, " + show(made.conductor->size)});
    out.steps.push_back(
        {"I^2 t <= k^2 S^2",
         fmt::format("{} <= {}^2 x {}^2 = {}", figure(let_through_a2s), figure(k),
                     figure(made.conductor->copper_area.value() * 1e6), figure(stands_a2s)),
         within(let_through_a2s, stands_a2s), "IEC 60364-4-43 434.5"});
}

void add_short_circuit(ProofSection& out, const ProvenWire& wire) {
    const LetThrough& pass = *wire.proof.let_through;
    add_five_seconds(out, wire.band, pass);
    out.steps.push_back({"I^2 t at its slow gate, 5 s or less",
                         fmt::format("({} x {})^2 x {}", figure(pass.multiple),
                                     figure(wire.proof.rating_a), figure(pass.seconds)),
                         figure(pass.a2s) + " A2s", pass.origin.source});
    add_withstand(out, wire.made, pass.a2s);
}

/// The gates slower than 5 s, and the hottest place between two of them where that is hotter.
void add_slow_gates(ProofSection& out, const ProvenWire& wire) {
    const ProtectionProof& proof = wire.proof;
    const Ampacity& ampacity = wire.ampacity;
    if (proof.slow_gates.empty()) {
        return;
    }
    if (ampacity.is_cooked()) {
        out.steps.push_back({"peak at its slow gates", "",
                             "beyond every limit: its place leaves it no current",
                             std::string(protection_page)});
        return;
    }
    const double share = ampacity.amps / ampacity.free_air_a;
    out.steps.push_back(
        {"f = Iz / I_free, what its place leaves of its currents; less heat leaves by f^2",
         fmt::format("{} / {}", figure(ampacity.amps), figure(ampacity.free_air_a)), figure(share),
         std::string(protection_page)});
    const auto hottest = std::ranges::max_element(proof.slow_gates, {}, &GateHeat::peak_c);
    for (const GateHeat& gate : proof.slow_gates) {
        if (gate.is_between && &gate != &*hottest) {
            continue;
        }
        if (gate.is_between) {
            out.steps.push_back({fmt::format("time at {} A, between two gates", figure(gate.amps)),
                                 time_on_side(wire.band.longest, gate.amps),
                                 figure(gate.seconds) + " s", "tables fuse-gates, log-log"});
        }
        out.steps.push_back(
            {fmt::format("peak at {} of In for {}, heat leaving by the balance{}",
                         show_percent(std::round(gate.multiple * 1e3) / 1e3),
                         show(Seconds(gate.seconds)),
                         gate.is_between ? "; the hottest place between two gates" : ""),
             fmt::format("I = {} A, t = {} s, from {} C in air of {} C, f = {}, C = 3.45 x {} "
                         "J/(m K)",
                         figure(gate.amps), figure(gate.seconds), figure(ampacity.limit_c),
                         figure(ampacity.air_c), figure(share), figure(proof.copper_mm2)),
             show(Celsius(gate.peak_c)), "heat in time, docs/method/heat.md"});
        out.steps.push_back(
            {"peak <= limit for a short time",
             fmt::format("{} <= {}", show(Celsius(gate.peak_c)), show(Celsius(proof.short_time_c))),
             within(Celsius(gate.peak_c), Celsius(proof.short_time_c)),
             "tables insulation, " + wire.made.insulation->name});
    }
}

/// A fusible link against a wire: by their areas, whatever a rating would be.
void add_link(ProofSection& out, const Conductor& wire, const Conductor& link) {
    const double least_mm2 = 0.97 * link_area_ratio * link.area.value() * 1e6;
    out.steps.push_back(
        {"0.97 x 2.53 x area of the link <= area of the wire",
         fmt::format("0.97 x {} x {} <= {}", figure(link_area_ratio),
                     figure(link.area.value() * 1e6), figure(wire.area.value() * 1e6)),
         within(least_mm2, wire.area.value() * 1e6),
         "SAE J156 practice, four AWG numbers; 3 % for rounded sizes"});
}

/// What a size that is chosen behind a link is held to besides.
void add_link_short(ProofSection& out, const WireDesign& made, const LetThrough& pass) {
    out.steps.push_back(
        {"I^2 t that the link lets through in a short, by its slow side",
         fmt::format("{}^2 x {}", figure(std::sqrt(pass.a2s / pass.seconds)), figure(pass.seconds)),
         figure(pass.a2s) + " A2s", pass.origin.source});
    add_withstand(out, made, pass.a2s);
}

/// The devices that lie in the way home, of one or several of its loads, and what feeds one of them
/// together.
void add_way_home(ProofSection& out, const CheckInput& input, const WireFeed& feed) {
    const auto add_row = [&](std::span<const DeviceId> feeding, std::span<const DeviceId> row) {
        if (!row.empty()) {
            out.steps.push_back(
                {fmt::format("in a row with {} in the way home: the least of them counts",
                             devices_named(input, feeding)),
                 "", devices_named(input, row), std::string(protection_page)});
        }
    };
    for (std::size_t k = 0; k < feed.in_way_home.size(); ++k) {
        add_row(std::span(&feed.devices[k], 1), feed.in_way_home[k]);
    }
    for (const FeedGroup& group : feed.together) {
        out.steps.push_back({"of one load passes, the ratings together", "",
                             devices_named(input, group.devices), std::string(protection_page)});
        add_row(group.devices, group.in_way_home);
    }
}

/// How the wire is fed, where that alone says what stands before it; false: nothing more to prove.
bool add_feed(ProofSection& out, const CheckInput& input, const WireFeed& feed) {
    if (!feed.is_fed && feed.devices.empty()) {
        out.steps.push_back({"fed", "",
                             "only through a load or the metal of the car: nothing to "
                             "protect it from",
                             std::string(protection_page)});
        return false;
    }
    if (feed.is_unprotected) {
        out.steps.push_back({"protective devices between it and its source", "", "none",
                             std::string(protection_page)});
        if (feed.devices.empty()) {
            return false;
        }
        out.steps.push_back({feed.is_guarded_elsewhere
                                 ? "in another state it is fed through"
                                 : "an overload of what it leads to passes the device at its end",
                             "", devices_named(input, feed.devices), std::string(protection_page)});
    }
    if (feed.is_return) {
        out.steps.push_back({"an overload of the loads whose current it takes home passes", "",
                             devices_named(input, feed.devices), std::string(protection_page)});
        add_way_home(out, input, feed);
    }
    return true;
}

/// In <= Iz at the end where more comes in.
void add_rating(ProofSection& out, const CheckInput& input, const WireFeed& feed,
                const ProtectionProof& proof) {
    const FeedShare share = worst_share(input.sizing.design, feed);
    if (share.devices.size() < feed.devices.size() && !feed.is_return) {
        out.steps.push_back(
            {"fed from both ends: no part of it carries more than one end lets pass",
             "of " + devices_named(input, feed.devices) + " the worse end",
             devices_named(input, share.devices), std::string(protection_page)});
    }
    out.steps.push_back({"In <= Iz, " + devices_named(input, share.devices),
                         fmt::format("{} <= {}", figure(proof.rating_a), figure(proof.ampacity_a)),
                         within(proof.rating_a, proof.ampacity_a), "IEC 60364-4-43 433.1"});
    if (share.beside_a > 0.0) {
        out.steps.push_back({"In + the source that limits itself at the same end <= Iz",
                             fmt::format("{} + {} <= {}", figure(proof.rating_a),
                                         figure(share.beside_a), figure(proof.ampacity_a)),
                             within(proof.rating_a + share.beside_a, proof.ampacity_a),
                             std::string(protection_page)});
    }
}

} // namespace

void add_air_shares(ProofSection& out, const FuseFamily& family, double rating_a, AirRange air) {
    const TimeCurrentBand tabled = time_current_band(family, rating_a);
    const TimeCurrentBand moved = in_air(tabled, family.opening_per_k, air);
    const auto add = [&](const char* side, double air_c, const std::vector<BandPoint>& from,
                         const std::vector<BandPoint>& to) {
        if (!from.empty() && to.front().amps != from.front().amps) {
            out.steps.push_back({fmt::format("the {} times in {} air: at so much of these currents",
                                             side, show(Celsius(air_c))),
                                 fmt::format("1 - {} x ({} - {})", figure(family.opening_per_k),
                                             figure(air_c), figure(from.front().air_c)),
                                 figure(to.front().amps / from.front().amps),
                                 family.opening_origin.source});
        }
    };
    add("shortest", air.hottest_c, tabled.shortest, moved.shortest);
    add("longest", air.coldest_c, tabled.longest, moved.longest);
}

ProofSection prove_guard(const CheckInput& input, WireId id) {
    const WireFeed& feed = input.sizing.feeds[id.index()];
    ProofSection out{"Protection", {}};
    if (!add_feed(out, input, feed)) {
        return out;
    }
    const FeedDemand demand = feed_demand(input.study, input.sizing.design, feed);
    const Ampacity& ampacity = input.sizing.wires[id.index()].ampacity;
    const WireDesign& made = input.sizing.design.wires[id.index()];
    if (feed.self_limited_a > 0.0) {
        out.steps.push_back(
            {"source that limits itself <= Iz",
             fmt::format("{} <= {}", figure(feed.self_limited_a), figure(ampacity.amps)),
             within(feed.self_limited_a, ampacity.amps),
             "the source's own limit, the vehicle file"});
    }
    if (demand.link != nullptr) {
        add_link(out, *made.conductor, *demand.link);
        if (!input.study.vehicle.wire(id).size && demand.link_passes) {
            add_link_short(out, made, *demand.link_passes);
        }
    }
    if (demand.family == nullptr || demand.rating_a <= 0.0) {
        return out;
    }
    const ProtectionProof proof =
        prove_protection(input.study, demand.band, *made.conductor, *made.insulation, ampacity);
    add_rating(out, input, feed, proof);
    const AirRange air = air_range(input.study, demand.device);
    const TimeCurrentBand band = in_air(time_current_band(*demand.family, demand.rating_a),
                                        demand.family->opening_per_k, air);
    add_air_shares(out, *demand.family, demand.rating_a, air);
    const ProvenWire wire{proof, band, made, ampacity};
    if (proof.has_band) {
        add_overload(out, proof);
    }
    if (proof.let_through) {
        add_short_circuit(out, wire);
    }
    add_slow_gates(out, wire);
    return out;
}

} // namespace loomwright
