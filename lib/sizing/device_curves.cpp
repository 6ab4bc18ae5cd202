// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What stands beside the band of a protective device on its sheet (docs/method/curves.md).
//
//   withstand    c S dT/dt = I^2 r(T) - f^2 Q(T), from the class temperature to the short-time
//   limit;
//                f = Iz / I_free, the share of its free-air ampacity that its place leaves: the
//                time is that of the wire alone at I / f, over f^2
//   dead short   the circuit of the state as solved, with 0.1 mohm between a node and the metal,
//                the same metal as in the fault sweep; where nothing is bonded to any, the first
//                battery's minus
#include "sizing/device_curves.hpp"

#include "sizing/joint_starts.hpp"
#include "sizing/protect.hpp"
#include "solve/altered.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

namespace loomwright {
namespace {

constexpr double short_ohm = 1e-4;
constexpr double least_part = 1.0 / 3.0; // of a short's current: common practice, no source
/// Less is a rounding: what feeds the node has nothing in common with the metal.
constexpr double least_short_a = 1e-6;
constexpr std::size_t curve_points = 200;
/// How near to its least current the withstand curve begins.
constexpr double first_point = 1.000001;

/// A dead short at one node: the current of the short, and the part that passes a branch.
struct Shorted {
    double amps = 0.0;
    double through_a = 0.0;
    /// The branch carries so much of it that opening there is what clears it.
    [[nodiscard]] bool is_fed_through() const {
        return amps > least_short_a && through_a >= least_part * amps;
    }
};

/// A short to try: at one end of a wire that a device protects, in the state that feeds it worst.
struct ShortToTry {
    std::size_t fuse = 0; ///< which of those asked for
    std::size_t state = 0;
    int node = 0;
    solve::Index branch = 0; ///< of the device, in the circuit of the state
    WireId wire;
    std::optional<Shorted> found;
};

void add_shorts(const StudyInput& input, const Sizing& sizing, const FuseSizing& fuse,
                std::size_t which, std::vector<ShortToTry>& out) {
    const std::vector<int>& branches = input.network.device_branches[fuse.device.index()];
    if (branches.empty()) {
        return;
    }
    for (const WireId wire : fuse.protects) {
        const WireFeed& feed = sizing.feeds[wire.index()];
        const auto state = std::ranges::find(sizing.states, feed.state, &StateSolution::state);
        if (feed.is_return || feed.is_unprotected || state == sizing.states.end()) {
            continue;
        }
        const auto place = std::ranges::find(state->circuit_branch, branches.front());
        if (!state->converged || place == state->circuit_branch.end()) {
            continue;
        }
        const Branch& here =
            input.network
                .branches[static_cast<std::size_t>(input.network.wire_branch[wire.index()])];
        for (const int node : {here.from, here.to}) {
            out.push_back({which, static_cast<std::size_t>(state - sizing.states.begin()), node,
                           static_cast<solve::Index>(place - state->circuit_branch.begin()), wire,
                           std::nullopt});
        }
    }
}

/// Shorts of one state, those at one node side by side: each is solved once, from the state.
void try_shorts(const StateSolution& state, int metal, std::span<ShortToTry* const> shorts) {
    const solve::AlteredBase base(state.circuit,
                                  std::vector<std::uint8_t>(state.circuit.branch_count(), 1),
                                  state.node_volts);
    if (!base.is_solved()) {
        return;
    }
    solve::AlteredSolver solver(base);
    int at = metal;
    bool is_solved = false;
    for (ShortToTry* here : shorts) {
        if (here->node == metal) {
            continue;
        }
        if (here->node != at) {
            solver.reset();
            solver.bridge(here->node, metal, 1.0 / short_ohm);
            is_solved = solver.solve();
            at = here->node;
        }
        if (is_solved) {
            here->found = {std::abs(solver.bridge_amps()), std::abs(solver.amps(here->branch))};
        }
    }
}

/// Those of each state together, one state after another.
void try_all(const StudyInput& input, const Sizing& sizing, std::vector<ShortToTry>& shorts) {
    const int metal = input.network.reference;
    if (metal < 0) {
        return;
    }
    std::vector<ShortToTry*> order;
    order.reserve(shorts.size());
    for (ShortToTry& one : shorts) {
        order.push_back(&one);
    }
    std::ranges::stable_sort(
        order, {}, [](const ShortToTry* one) { return std::pair(one->state, one->node); });
    for (auto first = order.begin(); first != order.end();) {
        const std::size_t state = (*first)->state;
        const auto last = std::find_if(
            first, order.end(), [state](const ShortToTry* one) { return one->state != state; });
        try_shorts(sizing.states[state], metal, {first, last});
        first = last;
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

std::vector<std::optional<LeastShort>> least_shorts(const StudyInput& input, const Sizing& sizing,
                                                    std::span<const FuseSizing> fuses) {
    std::vector<ShortToTry> shorts;
    for (std::size_t i = 0; i < fuses.size(); ++i) {
        add_shorts(input, sizing, fuses[i], i, shorts);
    }
    try_all(input, sizing, shorts);
    std::vector<std::optional<LeastShort>> out(fuses.size());
    for (const ShortToTry& one : shorts) {
        std::optional<LeastShort>& least = out[one.fuse];
        if (one.found && one.found->is_fed_through() &&
            (!least || one.found->through_a < least->amps)) {
            least = {one.found->through_a, one.wire, sizing.states[one.state].state};
        }
    }
    return out;
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
