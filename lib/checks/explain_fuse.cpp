// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of protective devices.
#include "base/display.hpp"
#include "checks/answered_states.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

ProofSection prove_load(const CheckInput& input, const FuseSizing& fuse) {
    const Vehicle& vehicle = input.study.vehicle;
    ProofSection out{"Load", {}};
    if (const AnsweredStates states = answered_states(input.study, input.sizing); !states.is_any) {
        out.steps.push_back({"I", "", states.none(), std::string(operating_point_page)});
        return out;
    }
    const auto passes = [&](const PathPart& part) {
        return input.study.network.branches[static_cast<std::size_t>(part.branch)].device ==
               fuse.device;
    };
    for (const LoadDrop& drop : input.sizing.drops) {
        if (drop.state == fuse.worst_state && !drop.is_solenoid &&
            (std::ranges::any_of(drop.feed, passes) || std::ranges::any_of(drop.back, passes))) {
            out.steps.push_back({"load through it", vehicle.device(drop.load).name,
                                 show(Amps(drop.amps)),
                                 "operating point of " + state_name(vehicle, drop.state)});
        }
    }
    out.steps.push_back(
        {"I, of the state that asks for the largest rating, coils and what else it feeds included",
         "in " + state_name(vehicle, fuse.worst_state), show(Amps(fuse.load_a)),
         "operating point, docs/method/operating-point.md"});
    return out;
}

ProofSection prove_rating(const CheckInput& input, const FuseSizing& fuse,
                          const FuseFamily& family) {
    ProofSection out{"Rating", {}};
    if (const AnsweredStates states = answered_states(input.study, input.sizing); !states.is_any) {
        out.steps.push_back({"rating", "", show(Amps(fuse.rating_a)),
                             fmt::format("{}; {}", family.standard, reason_name(fuse.decided_by))});
        out.steps.push_back(
            {"I <= share x f x rating", "", states.none(), std::string(operating_point_page)});
        return out;
    }
    out.steps.push_back({"air round it in " + state_name(input.study.vehicle, fuse.worst_state), "",
                         show(Celsius(fuse.air_c)), "the vehicle file, zones and states"});
    out.steps.push_back(
        {"f = 1 - slope (air - from), what its rating keeps in hot air; 0.1 to 1",
         fmt::format("min(1, max(0.1, 1 - {} x ({} - {})))", figure(family.derating_per_k),
                     figure(fuse.air_c), figure(family.derating_from.value())),
         figure(fuse.temperature_factor), family.derating_origin.source});
    const double share = fuse.is_short_time ? 1.0 : fuse.loading;
    const double by_load = fuse.load_a / (share * fuse.temperature_factor);
    out.steps.push_back({"share of its rating that it may carry for good", "", figure(share),
                         fuse.is_short_time ? "cranking is too short to age it"
                                            : fuse_loading_limit(input.study).source});
    out.steps.push_back({"least rating = I / (share x f)",
                         fmt::format("{} / ({} x {})", figure(fuse.load_a), figure(share),
                                     figure(fuse.temperature_factor)),
                         show(Amps(by_load)), fuse_loading_limit(input.study).source});
    out.steps.push_back({"rating", fuse.why, show(Amps(fuse.rating_a)),
                         fmt::format("{}; {}", family.standard, reason_name(fuse.decided_by))});
    out.steps.push_back({"I <= share x f x rating",
                         fmt::format("{} <= {} x {} x {}", figure(fuse.load_a), figure(share),
                                     figure(fuse.temperature_factor), figure(fuse.rating_a)),
                         within(fuse.load_a, share * fuse.temperature_factor * fuse.rating_a),
                         fuse_loading_limit(input.study).source});
    return out;
}

/// Of its own rating, else those that hold for all other ratings of the family, as the band is
/// made.
ProofSection list_gates(const FuseFamily& family, double rating_a, AirRange air) {
    ProofSection out{"Time-current gates of " + family.title, {}};
    std::vector<FuseGate> gates = family.gates_of(Amps(rating_a));
    if (gates.empty()) {
        out.title += ": none of this rating are known, these hold for all others";
        gates = family.gates;
    }
    for (const FuseGate& gate : gates) {
        out.steps.push_back(
            {fmt::format("opens at {} of its rating, {}", show_percent(gate.multiple),
                         show(Amps(gate.multiple * rating_a))),
             "",
             fmt::format("{} to {}", gate.shortest ? show(*gate.shortest) : "not known",
                         gate.longest ? show(*gate.longest) : "never"),
             fmt::format("{} ({})", gate.origin.source, provenance_name(gate.origin.provenance))});
    }
    add_air_shares(out, family, rating_a, air);
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

/// What is known of its opening times.
void add_band(std::vector<ProofSection>& out, const CheckInput& input, const FuseSizing& fuse,
              const FuseFamily& family) {
    if (fuse.rating_a > 0.0 && !family.gates.empty()) {
        out.push_back(list_gates(family, fuse.rating_a, air_range(input.study, fuse.device)));
    } else if (link_conductor(input.study, fuse.device) != nullptr) {
        out.push_back(list_points(band_in_place(input.study, fuse.device, fuse.rating_a),
                                  "Time-current band of " + family.title));
    } else if (fuse.rating_a > 0.0) {
        out.push_back({"Time-current gates of " + family.title,
                       {{"opening times", "", "not known",
                         "neither the vehicle file nor the tables have any"}}});
    }
}

ProofSection list_wires(const CheckInput& input, const FuseSizing& fuse) {
    ProofSection out{"Wires it protects", {}};
    for (const WireId id : fuse.protects) {
        const WireSizing& wire = input.sizing.wires[id.index()];
        const std::string& number = input.study.vehicle.wire(id).number;
        out.steps.push_back(
            {fmt::format("Iz of {}, {}", number,
                         show(input.sizing.design.wires[id.index()].conductor->size)),
             "", show(Amps(wire.ampacity.amps)),
             fmt::format("{}; `explain {}`", wire.ampacity.bundle_source, number)});
    }
    if (out.steps.empty()) {
        out.steps.push_back({"wires that it alone feeds", "", "none", "docs/method/protection.md"});
    }
    return out;
}

} // namespace

std::vector<ProofSection> explain_fuse(const CheckInput& input, const FuseSizing& fuse) {
    std::vector<ProofSection> out{prove_load(input, fuse)};
    const FuseFamily* family = family_of(input.study, fuse.device);
    if (family == nullptr) {
        return out;
    }
    if (fuse.rating_a > 0.0) {
        out.push_back(prove_rating(input, fuse, *family));
    }
    add_band(out, input, fuse, *family);
    if (fuse.rating_a > 0.0 && fuse.pulse) {
        out.push_back(prove_start(input, fuse, *family));
    }
    out.push_back(list_wires(input, fuse));
    if (fuse.thinnest.is_valid()) {
        ProofSection guard = prove_guard(input, fuse.thinnest);
        guard.title = fmt::format("Protection of {}, the wire with the least ampacity",
                                  input.study.vehicle.wire(fuse.thinnest).number);
        out.push_back(std::move(guard));
    }
    return out;
}

} // namespace loomwright
