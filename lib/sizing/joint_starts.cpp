// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Start pulses through protective devices.
//
//   I(t) = I_run + sum of (I_start - I_load) of the loads whose pulse still lasts at t
//          a pulse is its peak for all the time that is written for it; a filament without one is
//          `lamp-cold-ratio` x its current for `lamp-inrush-time` (tables defaults)
//   share = sum over the stages of I(t) of dt / t_shortest(I)        opens at 1
//          the I^2 t rule where t_shortest goes with 1 / I^2; for slower pulses heat that leaves
//          meanwhile is not counted, which is safe
//   n starts in a row: share of the first + (n - 1) x share of one more, with filaments warm
#include "sizing/joint_starts.hpp"

#include "base/word_list.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace loomwright {
namespace {

/// Slower than this the short side of a band is no matter of I^2 t, and going on with it would be
/// unsafe.
constexpr double slowest_known_s = 60.0;

/// Those that ride long starts, from the fastest to the slowest (tables fuse-gates).
constexpr std::array<std::string_view, 3> slow_families{"maxi-blade", "strip", "breaker"};

std::optional<Inrush> inrush_of(const Device& device) {
    if (const auto* load = device.as<Load>()) {
        return load->inrush;
    }
    if (const auto* starter = device.as<Starter>()) {
        return starter->inrush;
    }
    return std::nullopt;
}

/// One addition to the running current that lasts a time.
struct Extra {
    double amps = 0.0;
    double seconds = 0.0;
};

std::vector<PulseStage> stages_of(double running_a, std::vector<Extra> extras) {
    std::ranges::stable_sort(extras, {}, &Extra::seconds);
    std::vector<PulseStage> out;
    double from_s = 0.0;
    for (std::size_t i = 0; i < extras.size(); ++i) {
        double amps = running_a;
        for (std::size_t k = i; k < extras.size(); ++k) {
            amps += extras[k].amps;
        }
        if (extras[i].seconds > from_s) {
            out.push_back({amps, extras[i].seconds - from_s});
            from_s = extras[i].seconds;
        }
    }
    return out;
}

} // namespace

JointStarts::JointStarts(const StudyInput& input, const Sizing& sizing)
    : input_(input), sizing_(sizing), by_device_(input.vehicle.devices.size()),
      lamp_ratio_(input.catalogue.default_value("lamp-cold-ratio").value),
      lamp_seconds_(input.catalogue.default_value("lamp-inrush-time").value) {
    for (std::size_t i = 0; i < sizing.drops.size(); ++i) {
        add(i);
    }
}

std::optional<LoadStart> JointStarts::start_of(const LoadDrop& drop) const {
    const Device& device = input_.vehicle.device(drop.load);
    const auto* load = device.as<Load>();
    const auto inrush = inrush_of(device);
    const bool is_filament = load != nullptr && load->law == LoadLaw::lamp;
    if (inrush) {
        return LoadStart{.extra_a = std::max(0.0, inrush->current.value() - drop.amps),
                         .seconds = inrush->duration.value(),
                         .is_filament = is_filament,
                         .is_written = true};
    }
    if (is_filament) {
        return LoadStart{.extra_a = (lamp_ratio_ - 1.0) * drop.amps,
                         .seconds = lamp_seconds_,
                         .is_filament = true};
    }
    return std::nullopt;
}

void JointStarts::add(std::size_t index) {
    const LoadDrop& drop = sizing_.drops[index];
    const std::optional<LoadStart> starts = start_of(drop);
    if (!starts || drop.is_solenoid) { // the start is that of the motor
        return;
    }
    Start start;
    start.drop = index;
    start.load = *starts;
    std::vector<DeviceId> devices;
    for (const auto* parts : {&drop.feed, &drop.back}) {
        for (const PathPart& part : *parts) {
            const Branch& branch = input_.network.branches[static_cast<std::size_t>(part.branch)];
            if (branch.kind == BranchKind::protection) {
                devices.push_back(branch.device);
            } else if (branch.kind == BranchKind::contact || branch.kind == BranchKind::output) {
                start.contacts.push_back(part.branch);
            }
        }
    }
    for (const DeviceId id : devices) {
        by_device_[id.index()].push_back(start);
    }
}

StartPulse JointStarts::pulse_of(DeviceId device, StateId state,
                                 const std::vector<const Start*>& together) const {
    const auto found = std::ranges::find(sizing_.states, state, &StateSolution::state);
    const StateSolution& judged =
        sizing_.judged(static_cast<std::size_t>(found - sizing_.states.begin()));
    const double running = std::abs(judged.devices[device.index()].amps);
    StartPulse out;
    out.state = state;
    std::vector<Extra> cold;
    std::vector<Extra> warm;
    for (const Start* start : together) {
        out.loads.push_back(sizing_.drops[start->drop].load);
        cold.push_back({start->load.extra_a, start->load.seconds});
        if (!start->load.is_filament) {
            warm.push_back(cold.back());
        }
    }
    out.first = stages_of(running, std::move(cold));
    out.again = stages_of(running, std::move(warm));
    return out;
}

std::vector<StartPulse> JointStarts::pulses_of_state(DeviceId device, StateId state,
                                                     std::span<const Start> starts) const {
    std::vector<int> contacts;
    for (const Start& start : starts) {
        contacts.insert(contacts.end(), start.contacts.begin(), start.contacts.end());
    }
    std::ranges::sort(contacts);
    contacts.erase(std::unique(contacts.begin(), contacts.end()), contacts.end());
    std::vector<StartPulse> out;
    const auto offer = [&](const std::vector<const Start*>& together) {
        StartPulse pulse = pulse_of(device, state, together);
        if (!pulse.first.empty() &&
            std::ranges::find(out, pulse.loads, &StartPulse::loads) == out.end()) {
            out.push_back(std::move(pulse));
        }
    };
    for (const int contact : contacts) {
        std::vector<const Start*> together;
        for (const Start& start : starts) {
            if (std::ranges::find(start.contacts, contact) != start.contacts.end()) {
                together.push_back(&start);
            }
        }
        offer(together);
    }
    for (const Start& start : starts) {
        if (start.contacts.empty()) {
            offer({&start});
        }
    }
    return out;
}

std::vector<StartPulse> JointStarts::through(DeviceId device) const {
    const std::span<const Start> all = by_device_[device.index()];
    std::vector<StartPulse> out;
    std::size_t from = 0;
    while (from < all.size()) {
        const StateId state = sizing_.drops[all[from].drop].state;
        std::size_t to = from;
        while (to < all.size() && sizing_.drops[all[to].drop].state == state) {
            ++to;
        }
        std::vector<StartPulse> here = pulses_of_state(device, state, all.subspan(from, to - from));
        std::ranges::move(here, std::back_inserter(out));
        from = to;
    }
    return out;
}

double opening_share(const TimeCurrentBand& band, const std::vector<PulseStage>& stages) {
    double share = 0.0;
    for (const PulseStage& stage : stages) {
        const auto opens = shortest_opening_s(band, stage.amps);
        share += opens ? stage.seconds / *opens : 0.0;
    }
    return share;
}

double opening_share(const TimeCurrentBand& band, const StartPulse& pulse, int starts) {
    return opening_share(band, pulse.first) + (starts - 1) * opening_share(band, pulse.again);
}

bool knows_short_side(const TimeCurrentBand& band) {
    return std::ranges::any_of(
        band.shortest, [](const BandPoint& point) { return point.seconds <= slowest_known_s; });
}

std::string loads_of(const Vehicle& vehicle, const StartPulse& pulse) {
    std::vector<std::string> names;
    names.reserve(pulse.loads.size());
    for (const DeviceId load : pulse.loads) {
        names.push_back(vehicle.device(load).name);
    }
    return list_of(names);
}

std::string slower_families(const FuseFamily& family) {
    const auto* const own = std::ranges::find(slow_families, family.name);
    std::string names;
    for (const auto* slower = own == slow_families.end() ? slow_families.begin() : own + 1;
         slower != slow_families.end(); ++slower) {
        names += (names.empty() ? "" : ", ") + std::string(*slower);
    }
    return names.empty() ? names : "a slower family (" + names + ")";
}

int starts_in_a_row(const StudyInput& input) {
    return std::max(
        1, static_cast<int>(std::lround(input.catalogue.default_value("starts-in-a-row").value)));
}

} // namespace loomwright
