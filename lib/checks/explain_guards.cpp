// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of what a protective device must do beside protecting its wires: ride the starts
// behind it, break the greatest short, open before those above it; and which devices stand before a
// wire.
#include "base/display.hpp"
#include "checks/guards.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/joint_starts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::string_view page = "docs/method/protection.md";
/// Pulses up to this length are a matter of I^2 t alone.
constexpr double wear_pulse_s = 0.1;
/// Share of the melting I^2 t that a fuse stands a hundred thousand times.
constexpr double wear_share = 0.22;

std::string n(double value, int digits = 5) {
    return show_number(value, digits);
}

std::string names_of(const Vehicle& vehicle, const std::vector<DeviceId>& devices) {
    std::vector<std::string> names;
    names.reserve(devices.size());
    for (const DeviceId device : devices) {
        names.push_back(vehicle.device(device).name);
    }
    return list_of(names);
}

/// The stages of a start, each with the share of the shortest opening time that it takes.
void add_stages(const std::vector<PulseStage>& stages, const TimeCurrentBand& band, double worth,
                ProofSection& out) {
    for (const PulseStage& stage : stages) {
        const auto opens = shortest_opening_s(band, stage.amps);
        const std::string multiple =
            worth > 0.0 ? fmt::format("{} x {}: ", n(stage.amps / worth, 4), n(worth)) : "";
        out.steps.push_back({fmt::format("t / t_shortest at {} for {}", show(Amps(stage.amps)),
                                         show(Seconds(stage.seconds))),
                             multiple + (opens ? fmt::format("{} / {}", n(stage.seconds), n(*opens))
                                               : std::string("stays closed")),
                             n(opens ? stage.seconds / *opens : 0.0),
                             "tables fuse-gates, log-log between gates"});
    }
}

/// I^2 t of short pulses against what the band's last short gate lets melt.
void add_wear(const StartPulse& pulse, const TimeCurrentBand& band, ProofSection& out) {
    double seconds = 0.0;
    double a2s = 0.0;
    for (const PulseStage& stage : pulse.first) {
        seconds += stage.seconds;
        a2s += stage.amps * stage.amps * stage.seconds;
    }
    if (band.shortest.empty() || seconds > wear_pulse_s ||
        band.shortest.back().seconds > wear_pulse_s) {
        return;
    }
    const BandPoint& last = band.shortest.back();
    const double melts = last.amps * last.amps * last.seconds;
    out.steps.push_back(
        {"I^2 t of the start over that of the last short gate (wear; told, not judged)",
         fmt::format("{} / ({}^2 x {})", n(a2s), n(last.amps), n(last.seconds)),
         fmt::format("{}; {} is stood 100 000 times", show_percent(a2s / melts),
                     show_percent(wear_share)),
         "electronics fuse guide, 22 % of the melting I2t (read)"});
}

} // namespace

ProofSection prove_start(const CheckInput& input, const FuseSizing& fuse,
                         const FuseFamily& family) {
    const StartPulse& pulse = *fuse.pulse;
    const double worth = fuse.pulse_factor * fuse.rating_a;
    const TimeCurrentBand band =
        band_in_air(input.study, fuse.device, fuse.rating_a, fuse.pulse_air_c);
    const int starts = starts_in_a_row(input.study);
    const std::string who = names_of(input.study.vehicle, pulse.loads);
    ProofSection out{"Start of " + who, {}};
    out.steps.push_back(
        {"a rating with these opening times in the air they are published for",
         fmt::format("{} x {} in {}, {}", n(fuse.pulse_factor), n(fuse.rating_a),
                     state_name(input.study.vehicle, pulse.state), show(Celsius(fuse.pulse_air_c))),
         show(Amps(worth)), family.opening_origin.source});
    add_stages(pulse.first, band, worth, out);
    const double first = opening_share(band, pulse.first);
    const double again = opening_share(band, pulse.again);
    out.steps.push_back(
        {"share of the first + (starts - 1) x share of one more, filaments warm, < 1",
         fmt::format("{} + ({} - 1) x {}", n(first), starts, n(again)),
         fmt::format("{}, {}", n(fuse.pulse_share),
                     fuse.pulse_share < 1.0 ? "rides it" : "may open"),
         "tables defaults, starts-in-a-row"});
    add_wear(pulse, band, out);
    return out;
}

namespace {

ProofSection prove_breaking(const CheckInput& input, const FuseSizing& fuse,
                            const FuseFamily& family, const ProspectPair& prospects) {
    const Prospect& prospect = prospects.greater();
    ProofSection out{"Breaking", {}};
    if (prospect.amps <= 0.0) {
        out.steps.push_back({"prospective current", "", "no source drives any", std::string(page)});
        return out;
    }
    out.steps.push_back({"I_p = V / R, a dead short to the metal just beyond it",
                         fmt::format("{} / {} in {}", n(prospect.open_v), n(prospect.ohm()),
                                     state_name(input.study.vehicle, prospect.state)),
                         show(Amps(prospect.amps)), std::string(page)});
    const auto& own = *input.study.vehicle.device(fuse.device).as<Protection>();
    const std::optional<Amps> breaks = own.breaking ? own.breaking : family.breaking_capacity;
    out.steps.push_back(
        {"I_p <= breaking capacity",
         breaks ? fmt::format("{} <= {}", n(prospect.amps), n(breaks->value())) : std::string(),
         !breaks                            ? "not known"
         : prospect.amps <= breaks->value() ? "holds"
                                            : "does not hold",
         own.breaking ? "the device's own, the vehicle file" : family.breaking_origin.source});
    return out;
}

std::optional<ProofSection> prove_selectivity(const CheckInput& input, const SeriesPair& pair) {
    const TimeCurrentBand lower = device_band(input, pair.lower);
    const TimeCurrentBand upper = device_band(input, pair.upper);
    if (pair.most_a <= 0.0 || !can_be_compared(lower, upper)) {
        return std::nullopt;
    }
    const Vehicle& vehicle = input.study.vehicle;
    const std::string above = vehicle.device(pair.upper).name;
    ProofSection out{fmt::format("{} before {} of {}", vehicle.device(pair.lower).name, above,
                                 show(Amps(upper.rating_a))),
                     {}};
    for (const double amps : compared_currents(lower, upper, pair.most_a)) {
        const auto below_s = longest_opening_s(lower, amps);
        const auto above_s = shortest_opening_s(upper, amps);
        out.steps.push_back(
            {fmt::format("t_longest < t_shortest of {} at {}", above, show(Amps(amps))),
             fmt::format("{} x {} and {} x {}", n(amps / lower.rating_a, 4), n(lower.rating_a),
                         n(amps / upper.rating_a, 4), n(upper.rating_a)),
             fmt::format("{} against {}", below_s ? show(Seconds(*below_s)) : "may stay closed",
                         above_s ? show(Seconds(*above_s)) : "stays closed"),
             "tables fuse-gates, log-log between gates"});
    }
    const auto lost = find_lost_selectivity(lower, upper, pair.most_a);
    out.steps.push_back(
        {"opens first, up to the greatest fault current through both", show(Amps(pair.most_a)),
         lost ? fmt::format("up to {}", show(Amps(lost->amps))) : std::string("at every current"),
         std::string(page)});
    if (pair.others.empty()) {
        out.steps.push_back({"what goes dead besides, when the upper opens first", "", "nothing",
                             std::string(page)});
    }
    return out;
}

} // namespace

std::vector<ProofSection> explain_shorts(const CheckInput& input, const FuseSizing& fuse) {
    const FuseFamily* family = family_of(input.study, fuse.device);
    if (family == nullptr) {
        return {};
    }
    const std::vector<ProspectPair> prospects =
        prospective_currents(input.study, input.sizing.design, input.sizing.states);
    std::vector<ProofSection> out{
        prove_breaking(input, fuse, *family, prospects[fuse.device.index()])};
    for (const SeriesPair& pair : series_pairs(input, zones_by_state(input), prospects)) {
        if (pair.lower == fuse.device) {
            if (auto proof = prove_selectivity(input, pair)) {
                out.push_back(std::move(*proof));
            }
        }
    }
    return out;
}

ProofSection prove_sources(const CheckInput& input, WireId id) {
    struct Row {
        DeviceId source;
        std::string guards;
        std::vector<std::string> states;
    };
    const auto branch = input.study.network.wire_branch[id.index()];
    std::vector<Row> rows;
    const SourceZonesByState zones = zones_by_state(input);
    for (std::size_t s = 0; s < zones.size(); ++s) {
        for (const SourceZone& zone : zones[s]) {
            if (zone.is_fed[static_cast<std::size_t>(branch)] == 0) {
                continue;
            }
            const std::vector<DeviceId> guards = zone.guards(branch);
            std::string words = names_of(input.study.vehicle, guards);
            if (guards.empty()) {
                words = zone.is_bare[static_cast<std::size_t>(branch)] != 0
                            ? "none"
                            : "none that every way passes, but one on each way";
            }
            auto row = std::ranges::find_if(rows, [&](const Row& known) {
                return known.source == zone.source && known.guards == words;
            });
            if (row == rows.end()) {
                row = rows.insert(rows.end(), Row{zone.source, words, {}});
            }
            row->states.push_back(state_name(input.study.vehicle, input.sizing.states[s]));
        }
    }
    ProofSection out{"Sources", {}};
    for (const Row& row : rows) {
        const bool is_all = row.states.size() == zones.size();
        out.steps.push_back({fmt::format("protective devices between it and {}, the nearest first",
                                         input.study.vehicle.device(row.source).name),
                             is_all ? "in every state" : "in " + list_of(row.states), row.guards,
                             "dominators of the graph of feeds, docs/method/protection.md"});
    }
    return out;
}

} // namespace loomwright
