// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of protective devices and relays.
#include "base/display.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/choose_wires.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/feeds.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

namespace loomwright {
namespace {

std::string n(double value, int digits = 5) {
    return show_number(value, digits);
}

std::string verdict(bool holds) {
    return holds ? "holds" : "does not hold";
}

ProofSection prove_load(const CheckInput& input, const FuseSizing& fuse) {
    const Vehicle& vehicle = input.study.vehicle;
    ProofSection out{"Load", {}};
    const auto passes = [&](const PathPart& part) {
        return input.study.network.branches[static_cast<std::size_t>(part.branch)].device ==
               fuse.device;
    };
    for (const LoadDrop& drop : input.sizing.drops) {
        if (drop.state == fuse.worst_state &&
            (std::ranges::any_of(drop.feed, passes) || std::ranges::any_of(drop.back, passes))) {
            out.steps.push_back({"load through it", vehicle.device(drop.load).name,
                                 show(Amps(drop.amps)),
                                 "operating point of " + state_name(vehicle, drop.state)});
        }
    }
    out.steps.push_back({"I, largest of all states, coils and what else it feeds included",
                         "in " + state_name(vehicle, fuse.worst_state), show(Amps(fuse.load_a)),
                         "operating point, docs/method/operating-point.md"});
    return out;
}

ProofSection prove_rating(const CheckInput& input, const FuseSizing& fuse,
                          const FuseFamily& family) {
    ProofSection out{"Rating", {}};
    out.steps.push_back({"f = 1 - slope (air - from), what its rating keeps in hot air",
                         fmt::format("1 - {} x ({} - {})", n(family.derating_per_k), n(fuse.air_c),
                                     n(family.derating_from.value())),
                         n(fuse.temperature_factor), family.derating_origin.source});
    const double share = fuse.is_short_time ? 1.0 : fuse.loading;
    const double by_load = fuse.load_a / (share * fuse.temperature_factor);
    out.steps.push_back(
        {fuse.is_short_time ? "least rating = I / f (cranking: too short to age it)"
                            : "least rating = I / (share x f)",
         fmt::format("{} / ({} x {})", n(fuse.load_a), n(share), n(fuse.temperature_factor)),
         show(Amps(by_load)), fuse_loading_limit(input.study).source});
    out.steps.push_back({"rating", fuse.why, show(Amps(fuse.rating_a)),
                         fmt::format("{}; {}", family.standard,
                                     fuse.was_auto ? reason_name(fuse.decided_by) : "given")});
    out.steps.push_back({"I <= share x f x rating",
                         fmt::format("{} <= {} x {} x {}", n(fuse.load_a), n(share),
                                     n(fuse.temperature_factor), n(fuse.rating_a)),
                         verdict(fuse.load_a <= share * fuse.temperature_factor * fuse.rating_a),
                         fuse_loading_limit(input.study).source});
    return out;
}

ProofSection list_gates(const FuseFamily& family, double rating_a, AirRange air) {
    ProofSection out{"Time-current gates of " + family.title, {}};
    for (const FuseGate& gate : family.gates_of(Amps(rating_a))) {
        out.steps.push_back(
            {"opens at " + show_percent(gate.multiple) + " of its rating",
             show(Amps(gate.multiple * rating_a)),
             fmt::format("{} to {}", gate.shortest ? show(*gate.shortest) : "not known",
                         gate.longest ? show(*gate.longest) : "never"),
             fmt::format("{} ({})", gate.origin.source, provenance_name(gate.origin.provenance))});
    }
    const TimeCurrentBand tabled = time_current_band(family, rating_a);
    const TimeCurrentBand moved = in_air(tabled, family.opening_per_k, air);
    const auto add = [&](const char* side, double air_c, const std::vector<BandPoint>& from,
                         const std::vector<BandPoint>& to) {
        if (!from.empty() && to.front().amps != from.front().amps) {
            out.steps.push_back({fmt::format("the {} times in {} air: at so much of these currents",
                                             side, show(Celsius(air_c))),
                                 fmt::format("1 - {} x ({} - {})", n(family.opening_per_k),
                                             n(air_c), n(from.front().air_c)),
                                 n(to.front().amps / from.front().amps),
                                 family.opening_origin.source});
        }
    };
    add("shortest", air.hottest_c, tabled.shortest, moved.shortest);
    add("longest", air.coldest_c, tabled.longest, moved.longest);
    return out;
}

/// The points of a band that no gates stand behind: that of a fusible link.
ProofSection list_points(const TimeCurrentBand& band, const std::string& title) {
    ProofSection out{title, {}};
    const auto add = [&](const char* side, const BandPoint& point) {
        out.steps.push_back(
            {fmt::format("{} opening time, {} air", side, show(Celsius(point.air_c))),
             show(Amps(point.amps)), show(Seconds(point.seconds)),
             fmt::format("{} ({})", point.origin.source,
                         provenance_name(point.origin.provenance))});
    };
    // Of each side where it begins and where it ends: the equations are in the docs.
    for (const auto& [name, side] :
         {std::pair("shortest", &band.shortest), std::pair("longest", &band.longest)}) {
        if (!side->empty()) {
            add(name, side->front());
        }
        if (side->size() > 1) {
            add(name, side->back());
        }
    }
    return out;
}

void prove_band(ProofSection& out, const ProtectionProof& proof, const Insulation& insulation) {
    if (proof.has_band) {
        out.steps.push_back({"I2 = the current that is sure to open it",
                             fmt::format("{} x {}", n(proof.sure_multiple), n(proof.rating_a)),
                             show(Amps(proof.sure_a)), "tables fuse-gates"});
        out.steps.push_back({"I2 <= 1.45 Iz",
                             fmt::format("{} <= 1.45 x {} = {}", n(proof.sure_a),
                                         n(proof.ampacity_a), n(1.45 * proof.ampacity_a)),
                             verdict(proof.opens_in_time), "IEC 60364-4-43 433.1"});
    }
    if (proof.let_through) {
        const LetThrough& pass = *proof.let_through;
        out.steps.push_back(
            {"I^2 t at its slow gate, 5 s or less",
             fmt::format("({} x {})^2 x {}", n(pass.multiple), n(proof.rating_a), n(pass.seconds)),
             n(pass.a2s) + " A2s", pass.origin.source});
        out.steps.push_back(
            {"k = 226 sqrt(ln((234.5 + T_short) / (234.5 + T_class)))",
             fmt::format("226 sqrt(ln((234.5 + {}) / (234.5 + {})))",
                         n(insulation.short_time.value()), n(insulation.limit.value())),
             n(proof.k), "IEC 60949, IEC 60364-5-54"});
        out.steps.push_back({"k^2 S^2 >= I^2 t",
                             fmt::format("{}^2 x {}^2 = {} >= {}", n(proof.k), n(proof.copper_mm2),
                                         n(proof.withstand_a2s), n(pass.a2s)),
                             verdict(proof.stands_short), "IEC 60364-4-43 434.5"});
    }
    const auto hottest = std::ranges::max_element(proof.slow_gates, {}, &GateHeat::peak_c);
    for (const GateHeat& gate : proof.slow_gates) {
        if (gate.is_between && &gate != &*hottest) {
            continue;
        }
        out.steps.push_back(
            {fmt::format("{} for {} from the class limit, heat leaving by the balance{}",
                         show_percent(std::round(gate.multiple * 1e3) / 1e3),
                         show(Seconds(gate.seconds)),
                         gate.is_between ? "; the hottest place between two gates" : ""),
             fmt::format("{}, peak against {}", show(Amps(gate.amps)),
                         show(Celsius(proof.short_time_c))),
             show(Celsius(gate.peak_c)), "docs/method/protection.md"});
    }
}

std::string devices_named(const CheckInput& input, std::span<const DeviceId> devices) {
    std::vector<std::string> names;
    for (const DeviceId device : devices) {
        names.push_back(input.study.vehicle.device(device).name);
    }
    return list_of(names);
}

} // namespace

ProofSection prove_guard(const CheckInput& input, WireId id) {
    const WireFeed& feed = input.sizing.feeds[id.index()];
    ProofSection out{"Protection", {}};
    if (!feed.is_fed && feed.devices.empty()) {
        out.steps.push_back({"fed", "",
                             "only through a load or the metal of the car: nothing to "
                             "protect it from",
                             "docs/method/protection.md"});
        return out;
    }
    if (feed.is_unprotected) {
        out.steps.push_back({"protective devices between it and its source", "", "none",
                             "docs/method/protection.md"});
        if (feed.devices.empty()) {
            return out;
        }
        out.steps.push_back({"an overload of what it leads to passes the device at its end", "",
                             devices_named(input, feed.devices), "docs/method/protection.md"});
    }
    if (feed.is_return) {
        out.steps.push_back({"an overload of the loads whose current it takes home passes", "",
                             devices_named(input, feed.devices), "docs/method/protection.md"});
    }
    const FeedDemand demand = feed_demand(input.study, input.sizing.design, feed);
    const Ampacity& ampacity = input.sizing.wires[id.index()].ampacity;
    if (feed.self_limited_a > 0.0) {
        out.steps.push_back({"source that limits itself <= Iz",
                             fmt::format("{} <= {}", n(feed.self_limited_a), n(ampacity.amps)),
                             verdict(feed.self_limited_a <= ampacity.amps),
                             "the source's own limit, the vehicle file"});
    }
    if (demand.family == nullptr || demand.rating_a <= 0.0) {
        return out;
    }
    const WireDesign& made = input.sizing.design.wires[id.index()];
    const ProtectionProof proof =
        prove_protection(input.study, demand.band, *made.conductor, *made.insulation, ampacity);
    const FeedShare share = worst_share(input.sizing.design, feed);
    if (share.devices.size() < feed.devices.size()) {
        out.steps.push_back(
            {"fed from both ends: no part of it carries more than one end lets pass",
             "of " + devices_named(input, feed.devices) + " the worse end",
             devices_named(input, share.devices), "docs/method/protection.md"});
    }
    out.steps.push_back({"In <= Iz, " + devices_named(input, share.devices),
                         fmt::format("{} <= {}", n(proof.rating_a), n(proof.ampacity_a)),
                         verdict(proof.carries), "IEC 60364-4-43 433.1"});
    if (share.beside_a > 0.0) {
        const double sum = proof.rating_a + share.beside_a;
        out.steps.push_back({"In + the source that limits itself at the same end <= Iz",
                             fmt::format("{} + {} <= {}", n(proof.rating_a), n(share.beside_a),
                                         n(proof.ampacity_a)),
                             verdict(sum <= proof.ampacity_a), "docs/method/protection.md"});
    }
    prove_band(out, proof, *made.insulation);
    return out;
}

std::vector<ProofSection> explain_fuse(const CheckInput& input, const FuseSizing& fuse) {
    std::vector<ProofSection> out{prove_load(input, fuse)};
    const FuseFamily* family = family_of(input.study, fuse.device);
    if (family == nullptr) {
        return out;
    }
    if (fuse.rating_a > 0.0) {
        out.push_back(prove_rating(input, fuse, *family));
        out.push_back(list_gates(*family, fuse.rating_a, air_range(input.study, fuse.device)));
        if (fuse.pulse) {
            out.push_back(prove_start(input, fuse, *family));
        }
    } else if (link_conductor(input.study, fuse.device) != nullptr) {
        out.push_back(list_points(band_in_place(input.study, fuse.device, 0.0),
                                  "Time-current band of " + family->title));
    }
    ProofSection wires{"Wires it protects", {}};
    for (const WireId id : fuse.protects) {
        const WireSizing& wire = input.sizing.wires[id.index()];
        wires.steps.push_back({"Iz of " + input.study.vehicle.wire(id).number,
                               show(input.sizing.design.wires[id.index()].conductor->size),
                               show(Amps(wire.ampacity.amps)), wire.ampacity.bundle_source});
    }
    out.push_back(std::move(wires));
    if (fuse.thinnest.is_valid()) {
        ProofSection guard = prove_guard(input, fuse.thinnest);
        guard.title = fmt::format("Protection of {}, the wire with the least ampacity",
                                  input.study.vehicle.wire(fuse.thinnest).number);
        out.push_back(std::move(guard));
    }
    return out;
}

std::vector<ProofSection> explain_relay(const CheckInput& input, DeviceId id) {
    const Device& device = input.study.vehicle.device(id);
    const Relay& relay = *device.as<Relay>();
    ProofSection coil{"Coil", {}};
    ProofSection contact{"Contacts", {}};
    for (std::size_t s = 0; s < input.sizing.states.size(); ++s) {
        const StateSolution& state = input.sizing.judged(s);
        const std::string name = state_name(input.study.vehicle, state.state);
        for (const int index : input.study.network.device_branches[id.index()]) {
            const auto at = static_cast<std::size_t>(index);
            const Branch& branch = input.study.network.branches[at];
            const double amps = std::abs(state.branch_amps[at]);
            if (branch.kind == BranchKind::coil && amps > 0.0) {
                coil.steps.push_back(
                    {"V = I R in " + name,
                     fmt::format("{} x {}", show(Amps(amps)), show(relay.coil)),
                     fmt::format("{}, {}", show(Volts(amps * relay.coil.value())),
                                 state.devices[id.index()].on ? "pulled in" : "dropped out"),
                     "operating point, docs/method/operating-point.md"});
            } else if (branch.kind == BranchKind::contact && amps > 0.0) {
                contact.steps.push_back(
                    {fmt::format("current through {} in {}", branch.part == 0 ? "30-87" : "30-87a",
                                 name),
                     relay.contact ? "rated " + show(*relay.contact) : std::string("not rated"),
                     show(Amps(amps)), "operating point, docs/method/operating-point.md"});
            }
        }
    }
    return {coil, contact};
}

} // namespace loomwright
