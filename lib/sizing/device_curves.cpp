// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What stands beside the band of a protective device on its sheet (docs/method/curves.md).
//
//   withstand    c S dT/dt = I^2 r(T) - f^2 Q(T), from the class temperature to the short-time
//   limit;
//                f = Iz / I_free, the share of its free-air ampacity that its place leaves: the
//                time is that of the wire alone at I / f, over f^2
//   dead short   the circuit of the state as solved, with 0.1 mohm between a node and the metal
#include "sizing/device_curves.hpp"

#include "sizing/joint_starts.hpp"
#include "sizing/protect.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright {
namespace {

constexpr double short_ohm = 1e-4;
constexpr double least_part = 1.0 / 3.0; // of a short's current: common practice, no source
constexpr std::size_t curve_points = 200;
/// How near to its least current the withstand curve begins.
constexpr double first_point = 1.000001;

/// A dead short at one node: the current of the short, and the part that passes a branch.
struct Shorted {
    double amps = 0.0;
    double through_a = 0.0;
    /// The branch carries so much of it that opening there is what clears it.
    [[nodiscard]] bool is_fed_through() const { return through_a >= least_part * amps; }
};

/// Nothing without an answer, and for the metal of the car itself.
std::optional<Shorted> short_at(const StudyInput& input, const StateSolution& state, int branch,
                                int node) {
    const auto place = std::ranges::find(state.circuit_branch, branch);
    const int metal = input.network.body_nodes.empty() ? -1 : input.network.body_nodes.front();
    if (!state.converged || place == state.circuit_branch.end() || metal < 0 || node == metal) {
        return std::nullopt;
    }
    solve::Circuit circuit = state.circuit;
    circuit.add(solve::Law::conductance, node, metal, 1.0 / short_ohm);
    solve::Solver solver;
    const solve::OperatingPoint point = solver.solve(circuit, state.node_volts);
    if (point.status != solve::Status::solved) {
        return std::nullopt;
    }
    const auto index = static_cast<std::size_t>(place - state.circuit_branch.begin());
    return Shorted{std::abs(point.amps.back()), std::abs(point.amps[index])};
}

void offer_least(const StudyInput& input, const StateSolution& state, int branch, WireId wire,
                 LeastShort& out) {
    const Branch& here =
        input.network.branches[static_cast<std::size_t>(input.network.wire_branch[wire.index()])];
    for (const int node : {here.from, here.to}) {
        const auto found = short_at(input, state, branch, node);
        if (found && found->is_fed_through() && (out.amps <= 0.0 || found->through_a < out.amps)) {
            out.amps = found->through_a;
            out.wire = wire;
            out.state = state.state;
        }
    }
}

double weight_a2s(const StartPulse& start) {
    double out = 0.0;
    for (const PulseStage& stage : start.first) {
        out += stage.amps * stage.amps * stage.seconds;
    }
    return out;
}

} // namespace

std::optional<WithstandCurve> withstand_curve(const StudyInput& input, const Sizing& sizing,
                                              WireId wire, double most_a) {
    const WireDesign& made = sizing.design.wires[wire.index()];
    const Ampacity& place = sizing.wires[wire.index()].ampacity;
    if (place.is_cooked() || place.free_air_a <= 0.0) {
        return std::nullopt;
    }
    WithstandCurve out;
    out.wire = wire;
    out.ampacity_a = place.amps;
    const double share = place.amps / place.free_air_a;
    const double copper_mm2 = made.conductor->copper_area.value() * 1e6;
    const double limit_c = made.insulation->short_time.value();
    const solve::WireBody body = wire_body(input.catalogue, *made.conductor, *made.insulation);
    const solve::Warming warming = conductor_warming(body, copper_mm2, place.air_c);
    out.withstand_a2s = std::pow(made.insulation->k_a_sqrt_s_per_mm2 * copper_mm2, 2);
    out.least_a = share * solve::free_air_ampacity_a(body, limit_c, place.air_c);
    const double first = first_point * out.least_a;
    if (!(out.least_a > 0.0) || !(most_a > first)) {
        return out;
    }
    for (std::size_t i = 0; i <= curve_points; ++i) {
        // Closer to the least current, where the curve bends.
        const double part = static_cast<double>(i) / curve_points;
        const double amps = first * std::pow(most_a / first, part * part);
        const double seconds =
            warming.seconds_until(amps / share, place.limit_c, limit_c) / (share * share);
        if (std::isfinite(seconds) && seconds > 0.0) {
            out.amps.push_back(amps);
            out.seconds.push_back(seconds);
        }
    }
    return out;
}

std::optional<LeastShort> least_short(const StudyInput& input, const Sizing& sizing,
                                      const FuseSizing& fuse) {
    const std::vector<int>& branches = input.network.device_branches[fuse.device.index()];
    if (branches.empty()) {
        return std::nullopt;
    }
    LeastShort out;
    for (const WireId wire : fuse.protects) {
        const WireFeed& feed = sizing.feeds[wire.index()];
        const auto state = std::ranges::find(sizing.states, feed.state, &StateSolution::state);
        if (feed.is_fed && !feed.is_return && !feed.is_unprotected &&
            state != sizing.states.end()) {
            offer_least(input, *state, branches.front(), wire, out);
        }
    }
    return out.amps > 0.0 ? std::optional(out) : std::nullopt;
}

std::vector<StartPulse> starts_through(const StudyInput& input, const Sizing& sizing,
                                       DeviceId device) {
    std::vector<StartPulse> out;
    for (StartPulse& start : JointStarts(input, sizing).through(device)) {
        const auto same = std::ranges::find(out, start.loads, &StartPulse::loads);
        if (same == out.end()) {
            out.push_back(std::move(start));
        } else if (weight_a2s(start) > weight_a2s(*same)) {
            *same = std::move(start);
        }
    }
    std::ranges::stable_sort(
        out, [](const auto& a, const auto& b) { return weight_a2s(a) > weight_a2s(b); });
    return out;
}

std::vector<UpstreamBand> upstream_bands(const StudyInput& input, const Sizing& sizing,
                                         DeviceId device) {
    std::vector<DeviceId> found;
    for (std::size_t i = 0; i < input.vehicle.wires.size(); ++i) {
        const Wire& wire = input.vehicle.wires[i];
        const WireFeed& feed = sizing.feeds[i];
        const bool is_here = wire.from.device == device || wire.to.device == device;
        if (!is_here || feed.is_return || feed.is_unprotected ||
            std::ranges::find(feed.devices, device) != feed.devices.end()) {
            continue;
        }
        found.insert(found.end(), feed.devices.begin(), feed.devices.end());
    }
    std::ranges::sort(found);
    found.erase(std::unique(found.begin(), found.end()), found.end());
    std::vector<UpstreamBand> out;
    for (const DeviceId id : found) {
        const double rating = sizing.design.ratings[id.index()].value_or(Amps(0.0)).value();
        TimeCurrentBand band = band_in_place(input, id, rating);
        if (band.is_known() || !band.shortest.empty()) {
            out.push_back({id, std::move(band)});
        }
    }
    return out;
}

} // namespace loomwright
