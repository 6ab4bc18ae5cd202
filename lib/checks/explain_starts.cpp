// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proof that a protective device rides the starts behind it (equations in
// sizing/joint_starts.cpp).
#include "base/display.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/joint_starts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// Pulses up to this length are a matter of I^2 t alone.
constexpr double wear_pulse_s = 0.1;
/// Share of the melting I^2 t that a fuse stands a hundred thousand times.
constexpr double wear_share = 0.22;

/// What one load adds to the running current, and for how long.
struct Addition {
    double amps = 0.0;
    double seconds = 0.0;
    bool is_filament = false;
};

/// What each load of a start adds, with its numbers.
std::vector<Addition> add_loads(ProofSection& out, const CheckInput& input,
                                const StartPulse& pulse) {
    const JointStarts starts(input.study, input.sizing);
    std::vector<Addition> additions;
    for (const DeviceId load : pulse.loads) {
        const auto drop = std::ranges::find_if(input.sizing.drops, [&](const LoadDrop& row) {
            return row.load == load && row.state == pulse.state;
        });
        const auto start = starts.start_of(*drop);
        additions.push_back({start->extra_a, start->seconds, start->is_filament});
        const std::string name = input.study.vehicle.device(load).name;
        if (start->is_written) {
            out.steps.push_back({fmt::format("start of {} adds for {} s: inrush - running current",
                                             name, figure(start->seconds)),
                                 fmt::format("max(0, {} - {})", figure(start->extra_a + drop->amps),
                                             figure(drop->amps)),
                                 figure(start->extra_a) + " A",
                                 "what is given as its inrush; operating point"});
        } else {
            const double ratio = input.study.catalogue.default_value("lamp-cold-ratio").value;
            out.steps.push_back(
                {fmt::format("start of {} adds for {} s: (cold ratio - 1) x running current", name,
                             figure(start->seconds)),
                 fmt::format("({} - 1) x {}", figure(ratio), figure(drop->amps)),
                 figure(start->extra_a) + " A",
                 "tables defaults, lamp-cold-ratio, lamp-inrush-time; operating point"});
        }
    }
    return additions;
}

/// The stages of a start, each with its current and the share of the shortest opening time that it
/// takes.
void add_stages(ProofSection& out, const std::vector<PulseStage>& stages,
                const std::vector<Addition>& additions, double running_a,
                const TimeCurrentBand& band) {
    double end_s = 0.0;
    for (const PulseStage& stage : stages) {
        end_s += stage.seconds;
        std::string sum = figure(running_a);
        for (const Addition& addition : additions) {
            if (addition.seconds >= end_s * (1.0 - 1e-9)) {
                sum += " + " + figure(addition.amps);
            }
        }
        const std::string so_long = figure(stage.seconds) + " s";
        out.steps.push_back({"I = I_run + what still starts, for " + so_long, sum,
                             figure(stage.amps) + " A", std::string(protection_page)});
        const auto opens = shortest_opening_s(band, stage.amps);
        const std::string at = fmt::format("t_shortest at {} A", figure(stage.amps));
        constexpr std::string_view source = "tables fuse-gates in this air, log-log between gates";
        if (!opens) {
            out.steps.push_back(
                {at,
                 band.shortest.empty() ? std::string()
                                       : fmt::format("{} <= {}", figure(stage.amps),
                                                     figure(band.shortest.front().amps)),
                 band.shortest.empty() ? "not known" : "stays closed", std::string(source)});
            continue;
        }
        out.steps.push_back({at, time_on_side(band.shortest, stage.amps), figure(*opens) + " s",
                             std::string(source)});
        out.steps.push_back({fmt::format("t / t_shortest at {} A", figure(stage.amps)),
                             fmt::format("{} / {}", figure(stage.seconds), figure(*opens)),
                             figure(stage.seconds / *opens), std::string(protection_page)});
    }
}

/// I^2 t of short pulses against what the band's last short gate lets melt.
void add_wear(ProofSection& out, const StartPulse& pulse, const TimeCurrentBand& band) {
    double seconds = 0.0;
    double a2s = 0.0;
    std::string sum;
    for (const PulseStage& stage : pulse.first) {
        seconds += stage.seconds;
        a2s += stage.amps * stage.amps * stage.seconds;
        sum += fmt::format("{}{}^2 x {}", sum.empty() ? "" : " + ", figure(stage.amps),
                           figure(stage.seconds));
    }
    if (band.shortest.empty() || seconds > wear_pulse_s ||
        band.shortest.back().seconds > wear_pulse_s) {
        return;
    }
    const BandPoint& last = band.shortest.back();
    const double melts = last.amps * last.amps * last.seconds;
    out.steps.push_back(
        {fmt::format("I^2 t of the start over that of the last short gate (wear; told, not judged: "
                     "{} is stood 100 000 times)",
                     show_percent(wear_share)),
         fmt::format("({}) / ({}^2 x {})", sum, figure(last.amps), figure(last.seconds)),
         show_percent(a2s / melts), "electronics fuse guide, 22 % of the melting I2t (read)"});
}

/// How the air of the state moves the opening times.
void add_air(ProofSection& out, const CheckInput& input, const FuseSizing& fuse,
             const FuseFamily& family, const std::string& state) {
    const std::vector<BandPoint> tabled = time_current_band(family, fuse.rating_a).shortest;
    if (fuse.pulse_factor != 1.0 && !tabled.empty()) {
        out.steps.push_back(
            {fmt::format("in {} the opening times are at so much of their currents", state),
             fmt::format("1 - {} x ({} - {})", figure(family.opening_per_k),
                         figure(fuse.pulse_air_c), figure(tabled.front().air_c)),
             figure(fuse.pulse_factor), family.opening_origin.source});
    }
    for (const BandPoint& point :
         band_in_air(input.study, fuse.device, fuse.rating_a, fuse.pulse_air_c).shortest) {
        out.steps.push_back({fmt::format("opens in {} s at the soonest", figure(point.seconds)), "",
                             figure(point.amps) + " A",
                             fmt::format("{}; air of {}", point.origin.source, state)});
    }
}

} // namespace

ProofSection prove_start(const CheckInput& input, const FuseSizing& fuse,
                         const FuseFamily& family) {
    const Vehicle& vehicle = input.study.vehicle;
    const StartPulse& pulse = *fuse.pulse;
    const TimeCurrentBand band =
        band_in_air(input.study, fuse.device, fuse.rating_a, fuse.pulse_air_c);
    std::vector<std::string> names;
    for (const DeviceId load : pulse.loads) {
        names.push_back(vehicle.device(load).name);
    }
    ProofSection out{"Start of " + list_of(names), {}};
    const std::string state = state_name(vehicle, pulse.state);
    add_air(out, input, fuse, family,
            fmt::format("{}, {}", state, show(Celsius(fuse.pulse_air_c))));
    const auto found = std::ranges::find(input.sizing.states, pulse.state, &StateSolution::state);
    const StateSolution& judged =
        input.sizing.judged(static_cast<std::size_t>(found - input.sizing.states.begin()));
    const double running = std::abs(judged.devices[fuse.device.index()].amps);
    out.steps.push_back({"I_run, through it in " + state, "", figure(running) + " A",
                         "operating point, docs/method/operating-point.md"});
    std::vector<Addition> additions = add_loads(out, input, pulse);
    add_stages(out, pulse.first, additions, running, band);
    std::erase_if(additions, [](const Addition& addition) { return addition.is_filament; });
    if (!pulse.again.empty()) {
        out.steps.push_back(
            {"once more at once, filaments still warm", "",
             additions.size() < pulse.loads.size() ? "without the filaments" : "as the first",
             std::string(protection_page)});
        add_stages(out, pulse.again, additions, running, band);
    }
    const double first = opening_share(band, pulse.first);
    const double again = opening_share(band, pulse.again);
    out.steps.push_back({"share of the first + (starts - 1) x share of one more",
                         fmt::format("{} + ({} - 1) x {}", figure(first),
                                     starts_in_a_row(input.study), figure(again)),
                         figure(fuse.pulse_share), "tables defaults, starts-in-a-row"});
    out.steps.push_back({"share < 1, it rides the start",
                         fmt::format("{} < 1", figure(fuse.pulse_share)),
                         under(fuse.pulse_share, 1.0), std::string(protection_page)});
    add_wear(out, pulse, band);
    return out;
}

} // namespace loomwright
