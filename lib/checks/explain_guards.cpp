// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of what a protective device must do in its car: break the greatest short, open before
// those above it; and which devices stand before a wire.
#include "base/display.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

std::string names_of(const Vehicle& vehicle, const std::vector<DeviceId>& devices) {
    std::vector<std::string> names;
    names.reserve(devices.size());
    for (const DeviceId device : devices) {
        names.push_back(vehicle.device(device).name);
    }
    return list_of(names);
}

ProofSection prove_breaking(const CheckInput& input, const FuseSizing& fuse,
                            const ProspectPair& prospects) {
    const Prospect& prospect = prospects.greater();
    ProofSection out{"Breaking", {}};
    if (prospect.amps <= 0.0) {
        out.steps.push_back(
            {"prospective current", "", "no source drives any", std::string(protection_page)});
        return out;
    }
    out.steps.push_back(
        {"V and R of all before it and the way home, cold, in " +
             state_name(input.study.vehicle, prospect.state),
         "", fmt::format("{} V and {} ohm", figure(prospect.open_v), figure(prospect.ohm())),
         "the network's equations solved for this short, " + std::string(protection_page)});
    out.steps.push_back({"I_p = V / R, a dead short to the metal just beyond it",
                         fmt::format("{} / {}", figure(prospect.open_v), figure(prospect.ohm())),
                         show(Amps(prospect.amps)), std::string(protection_page)});
    const BreakingCapacity breaks =
        breaking_capacity_of(input.study, input.sizing.design, fuse.device);
    if (breaks.amps) {
        out.steps.push_back(
            {"I_p <= breaking capacity",
             fmt::format("{} <= {}", figure(prospect.amps), figure(breaks.amps->value())),
             within(prospect.amps, breaks.amps->value()), breaks.source});
    } else {
        out.steps.push_back(
            {"breaking capacity", "", "not known", "neither the vehicle file nor the tables"});
    }
    return out;
}

/// The time on one side of a device's band at a current, with its numbers.
void add_time(ProofSection& out, const std::string& what, const std::vector<BandPoint>& side,
              std::optional<double> seconds, double amps, std::string_view otherwise) {
    const std::string formula = fmt::format("{} at {} A", what, figure(amps));
    constexpr std::string_view source =
        "tables fuse-gates, in their air of 23 C, log-log between gates";
    if (seconds) {
        out.steps.push_back({formula, time_on_side(side, amps),
                             fmt::format("{} s", figure(*seconds)), std::string(source)});
    } else {
        out.steps.push_back({formula,
                             fmt::format("{} <= {}", figure(amps), figure(side.front().amps)),
                             std::string(otherwise), std::string(source)});
    }
}

/// The race of two devices in series at one current.
void add_race(ProofSection& out, const std::string& below, const std::string& above,
              const TimeCurrentBand& lower, const TimeCurrentBand& upper, double amps) {
    const auto below_s = longest_opening_s(lower, amps);
    const auto above_s = shortest_opening_s(upper, amps);
    add_time(out, "t_longest of " + below, lower.longest, below_s, amps, "may stay closed");
    add_time(out, "t_shortest of " + above, upper.shortest, above_s, amps, "stays closed");
    if (below_s && above_s) {
        out.steps.push_back({fmt::format("t_longest < t_shortest at {} A", figure(amps)),
                             fmt::format("{} s < {} s", figure(*below_s), figure(*above_s)),
                             under(*below_s, *above_s), std::string(protection_page)});
    }
}

std::optional<ProofSection> prove_selectivity(const CheckInput& input, const SeriesPair& pair) {
    const TimeCurrentBand lower = device_band(input, pair.lower);
    const TimeCurrentBand upper = device_band(input, pair.upper);
    if (pair.most_a <= 0.0 || !can_be_compared(lower, upper)) {
        return std::nullopt;
    }
    const Vehicle& vehicle = input.study.vehicle;
    const std::string above = vehicle.device(pair.upper).name;
    const std::string& below = vehicle.device(pair.lower).name;
    ProofSection out{fmt::format("{} before {}", below, above), {}};
    if (upper.rating_a > 0.0) { // a link has a size
        out.title += " of " + show(Amps(upper.rating_a));
    }
    std::vector<double> currents = compared_currents(lower, upper, pair.most_a);
    if (currents.empty()) {
        currents.push_back(pair.most_a); // at which the upper stays closed
    }
    for (const double amps : currents) {
        add_race(out, below, above, lower, upper, amps);
    }
    const auto lost = find_lost_selectivity(lower, upper, pair.most_a);
    if (lost) {
        out.steps.push_back({"the least current at which the two times meet", "",
                             figure(lost->amps) + " A",
                             "log-log between gates, " + std::string(protection_page)});
        add_race(out, below, above, lower, upper, lost->amps);
        out.steps.push_back({"opens first, up to the greatest fault current through both",
                             fmt::format("{} <= {}", figure(pair.most_a), figure(lost->amps)),
                             within(pair.most_a, lost->amps), std::string(protection_page)});
    } else {
        out.steps.push_back({"opens first, up to the greatest fault current through both",
                             show(Amps(pair.most_a)), "at every current",
                             std::string(protection_page)});
    }
    if (pair.others.empty()) {
        out.steps.push_back({"what goes dead besides, when the upper opens first", "", "nothing",
                             std::string(protection_page)});
    }
    return out;
}

} // namespace

std::vector<ProofSection> explain_shorts(Gathered& gathered, const FuseSizing& fuse) {
    const CheckInput& input = gathered.input;
    const FuseFamily* family = family_of(input.study, fuse.device);
    if (family == nullptr) {
        return {};
    }
    std::vector<ProofSection> out{
        prove_breaking(input, fuse, gathered.prospects()[fuse.device.index()])};
    for (const SeriesPair& pair : gathered.pairs()) {
        if (pair.lower == fuse.device) {
            if (auto proof = prove_selectivity(input, pair)) {
                out.push_back(std::move(*proof));
            }
        }
    }
    return out;
}

ProofSection prove_sources(Gathered& gathered, WireId id) {
    const CheckInput& input = gathered.input;
    struct Row {
        DeviceId source;
        std::string guards;
        std::vector<std::string> states;
    };
    const auto branch = input.study.network.wire_branch[id.index()];
    std::vector<Row> rows;
    const SourceZonesByState& zones = gathered.zones();
    for (std::size_t s = 0; s < zones.size(); ++s) {
        for (const SourceZone& zone : *zones[s]) {
            const FedBranch* const fed = zone.find(branch);
            if (fed == nullptr) {
                continue;
            }
            const std::vector<DeviceId> guards = zone.guards(branch);
            std::string words = names_of(input.study.vehicle, guards);
            if (guards.empty()) {
                words = fed->is_bare ? "none" : "none that every way passes, but one on each way";
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
