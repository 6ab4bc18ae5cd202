// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Voltage drop as a property of whole paths (docs/method/sizing.md).
//
// The solved state gives the drop of each part of each path. With the currents kept, a wire of
// another size drops V r20_new / r20_now. While a path is over its limit, the step (one wire, one
// size up) with the most volts gained for its copper is taken:
//
//   worth = sum over failing loads of min(gain, what is still missing) / (length x added area)
//
// so that a stretch shared by several failing paths counts for each of them and is paid once. Then
// each grown wire is tried one size down again, the most copper first. The states are solved anew
// afterwards.
#include "sizing/grow_for_drop.hpp"

#include "study/values.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string_view>
#include <utility>

namespace loomwright {
namespace {

// A load that gets more voltage takes more current: the aim is a little under the limit.
constexpr double aim = 0.997;
// Sums taken in another order differ in their last digits: by less than this two steps are worth
// the same.
constexpr double alike = 1e-9;

struct PathTerm {
    std::size_t wire = 0;
    double sign = 1.0; ///< -1: the drop counts against the others (a loop with two sources)
    double amps = 0.0;
    double now_v = 0.0;  ///< with the size that is picked
    double next_v = 0.0; ///< with the size above it; as now where there is none
};

struct JudgedPath {
    std::size_t load = 0; ///< two for each device: a starter has a motor and a solenoid
    double fixed_v = 0.0;
    double limit_v = 0.0;
    double over_v = 0.0;         ///< over the limit with the sizes that are picked; below: negative
    std::vector<PathTerm> terms; ///< of its `auto` wires
};

class Growth {
public:
    Growth(const RoundInput& round, std::vector<WireChoice>& choices)
        : round_(round), choices_(choices), defaults_(round.study.catalogue, round.study.vehicle) {
        for (const LoadDrop& drop : round.sizing.drops) {
            if (is_drop_judged(round.study.vehicle, drop)) {
                add_path(drop);
            }
        }
        rank_by_number();
        worst_.resize(2 * round.study.vehicle.devices.size());
        gains_.resize(choices.size(), 0.0);
        touched_.resize(choices.size());
        for (std::size_t p = 0; p < paths_.size(); ++p) {
            for (const PathTerm& term : paths_[p].terms) {
                touched_[term.wire].push_back(p);
            }
        }
    }

    void run() {
        while (step()) {
        }
        trim();
    }

private:
    /// Wires that are worth the same are told apart by their numbers, 9.1 before 10.1: a file in
    /// another order gives the same sizes.
    void rank_by_number() {
        const auto& wires = round_.study.vehicle.wires;
        std::vector<std::size_t> order(wires.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::ranges::sort(order, {}, [&](std::size_t wire) {
            const std::string& number = wires[wire].number;
            return std::pair(number.size(), std::string_view(number));
        });
        rank_.resize(order.size());
        for (std::size_t k = 0; k < order.size(); ++k) {
            rank_[order[k]] = k;
        }
    }

    void add_path(const LoadDrop& drop) {
        JudgedPath path{2 * drop.load.index() + (drop.is_solenoid ? 1 : 0),
                        drop.drop_v,
                        drop.limit_v * aim,
                        0.0,
                        {}};
        const auto state =
            std::ranges::find(round_.sizing.states, drop.state, &StateSolution::state);
        const StateSolution& judged =
            round_.sizing.judged(static_cast<std::size_t>(state - round_.sizing.states.begin()));
        for (const auto* parts : {&drop.feed, &drop.back}) {
            for (const PathPart& part : *parts) {
                const WireId wire =
                    round_.study.network.branches[static_cast<std::size_t>(part.branch)].wire;
                path.fixed_v += rating_change_v(part.branch, judged);
                if (wire.is_valid() && choices_[wire.index()].is_auto()) {
                    path.terms.push_back({wire.index(), part.volts < 0.0 ? -1.0 : 1.0,
                                          std::abs(judged.wires[wire.index()].amps)});
                    path.fixed_v -= drop.drop_v > drop.limit_v
                                        ? solved_volts(path.terms.back(), part.volts)
                                        : part.volts;
                }
            }
        }
        path.over_v = path.fixed_v - path.limit_v;
        for (PathTerm& term : path.terms) {
            put_volts(term);
            path.over_v += term.now_v;
        }
        // A path that holds now holds with any larger size, and no size falls below what it is now.
        if (path.over_v > 0.0 && aim_for_the_wires(path)) {
            paths_.push_back(std::move(path));
        }
    }

    /// What stands in a solved drop for a wire: the estimate where it keeps its size, so that what
    /// the estimate is off by stays in the path, or a path a little over its limit would never be
    /// grown.
    [[nodiscard]] double solved_volts(const PathTerm& term, double volts_there) const {
        const WireChoice& choice = choices_[term.wire];
        const bool is_kept =
            choice.options[choice.picked] == round_.solved.wires[term.wire].conductor;
        return is_kept ? volts(term, choice.picked) : volts_there;
    }

    /// Where contacts and joints leave nothing for the wires, these are grown as though the limit
    /// were for them alone; false when not even that can be had.
    [[nodiscard]] bool aim_for_the_wires(JudgedPath& path) const {
        double best = 0.0;
        for (const PathTerm& term : path.terms) {
            best += volts(term, choices_[term.wire].options.size() - 1);
        }
        if (path.fixed_v + best > path.limit_v) {
            path.over_v -= path.fixed_v;
            path.limit_v += path.fixed_v;
        }
        return path.fixed_v + best <= path.limit_v;
    }

    /// What a protective device takes more than when the states were solved, its rating having
    /// moved.
    [[nodiscard]] double rating_change_v(int branch, const StateSolution& judged) const {
        const DeviceId device =
            round_.study.network.branches[static_cast<std::size_t>(branch)].device;
        if (!device.is_valid()) {
            return 0.0;
        }
        const auto* protection = round_.study.vehicle.device(device).as<Protection>();
        const auto& was = round_.solved.ratings[device.index()];
        const auto& is = round_.sizing.design.ratings[device.index()];
        if (protection == nullptr || was == is) {
            return 0.0;
        }
        const Catalogue& tables = round_.study.catalogue;
        return std::abs(judged.branch_amps[static_cast<std::size_t>(branch)]) *
               (protection_ohm(*protection, is, tables, defaults_) -
                protection_ohm(*protection, was, tables, defaults_));
    }

    /// Picks another size and brings the paths over the wire up to date.
    void pick(std::size_t wire, std::size_t option) {
        choices_[wire].picked = option;
        for (const std::size_t p : touched_[wire]) {
            JudgedPath& path = paths_[p];
            for (PathTerm& term : path.terms) {
                if (term.wire == wire) {
                    path.over_v -= term.now_v;
                    put_volts(term);
                    path.over_v += term.now_v;
                }
            }
        }
    }

    /// A term's volts with the size that is picked and the next.
    void put_volts(PathTerm& term) const {
        const WireChoice& choice = choices_[term.wire];
        term.now_v = volts(term, choice.picked);
        term.next_v =
            choice.picked + 1 < choice.options.size() ? volts(term, choice.picked + 1) : term.now_v;
    }

    [[nodiscard]] double volts(const PathTerm& term, std::size_t option) const {
        const Conductor& conductor = *choices_[term.wire].options[option];
        const WireDesign& made = round_.solved.wires[term.wire];
        const double air = round_.places.air_c(WireId(term.wire));
        const double free_air = round_.places.free_air_a(WireId(term.wire), conductor);
        const double limit = made.insulation->limit.value();
        const double share = free_air > 0.0 ? std::min(2.0, term.amps / free_air) : 2.0;
        const double root = std::sqrt(share);
        const double rise = share * root * std::sqrt(root); // share^1.75
        const double conductor_c = air + rise * std::max(0.0, limit - air);
        return term.sign * term.amps * made.length.value() *
               resistance_at(conductor.r20_ohm_per_m, Celsius(conductor_c));
    }

    [[nodiscard]] double copper(std::size_t wire, std::size_t from, std::size_t to) const {
        return round_.solved.wires[wire].length.value() *
               (choices_[wire].options[to]->area - choices_[wire].options[from]->area).value();
    }

    /// One size up where that is worth most; false when nothing is missing any more.
    bool step() {
        // Of each load only its worst path counts, so that many states do not outvote many loads.
        std::ranges::fill(worst_, nullptr);
        for (const JudgedPath& path : paths_) {
            if (path.over_v > 0.0) {
                const JudgedPath*& row = worst_[path.load];
                row = row == nullptr || path.over_v > row->over_v ? &path : row;
            }
        }
        std::vector<std::size_t> wires;
        for (const JudgedPath* path : worst_) {
            if (path == nullptr) {
                continue;
            }
            for (const PathTerm& term : path->terms) {
                const WireChoice& choice = choices_[term.wire];
                if (choice.picked + 1 < choice.options.size()) {
                    wires.push_back(term.wire);
                    gains_[term.wire] += std::clamp(term.now_v - term.next_v, 0.0, path->over_v);
                }
            }
        }
        std::ranges::sort(wires, {}, [&](std::size_t wire) { return rank_[wire]; });
        double best = 0.0;
        std::size_t chosen = choices_.size();
        for (const std::size_t wire : wires) {
            const std::size_t picked = choices_[wire].picked;
            const double worth = gains_[wire] / copper(wire, picked, picked + 1);
            if (worth > best * (1.0 + alike)) {
                best = worth;
                chosen = wire;
            }
        }
        for (const std::size_t wire : wires) {
            gains_[wire] = 0.0;
        }
        if (chosen == choices_.size()) {
            return false;
        }
        pick(chosen, choices_[chosen].picked + 1);
        choices_[chosen].by_drop = choices_[chosen].picked;
        return true;
    }

    [[nodiscard]] bool all_kept(std::size_t wire) const {
        return std::ranges::all_of(touched_[wire],
                                   [&](std::size_t p) { return paths_[p].over_v <= 0.0; });
    }

    [[nodiscard]] std::size_t least_of(const WireChoice& choice) const {
        const std::size_t count = choice.options.size();
        std::size_t least = std::max(choice.floor, choice.by_least);
        for (const std::size_t demand : {choice.by_ampacity, choice.by_fuse}) {
            least = demand < count ? std::max(least, demand) : least;
        }
        return least;
    }

    void trim() {
        std::vector<std::size_t> grown;
        for (std::size_t i = 0; i < choices_.size(); ++i) {
            if (choices_[i].is_auto() && choices_[i].by_drop > 0) {
                grown.push_back(i);
            }
        }
        std::ranges::sort(grown, {}, [&](std::size_t wire) { return rank_[wire]; });
        std::ranges::stable_sort(grown, [&](std::size_t a, std::size_t b) {
            return copper(a, choices_[a].picked - 1, choices_[a].picked) >
                   copper(b, choices_[b].picked - 1, choices_[b].picked);
        });
        for (const std::size_t wire : grown) {
            WireChoice& choice = choices_[wire];
            while (choice.picked > least_of(choice)) {
                pick(wire, choice.picked - 1);
                if (!all_kept(wire)) {
                    pick(wire, choice.picked + 1);
                    break;
                }
            }
            choice.by_drop = choice.picked > least_of(choice) ? choice.picked : 0;
        }
    }

    const RoundInput& round_;
    std::vector<WireChoice>& choices_;
    StudyDefaults defaults_;
    std::vector<JudgedPath> paths_;
    std::vector<std::vector<std::size_t>> touched_; ///< by wire: the paths it lies on
    std::vector<const JudgedPath*> worst_;          ///< by load: its worst path over the limit
    std::vector<std::size_t> rank_;                 ///< by wire: its place in the order of numbers
    std::vector<double> gains_;                     ///< by wire: volts gained by one size more
};

} // namespace

void grow_for_drop(const RoundInput& round, std::vector<WireChoice>& choices) {
    Growth(round, choices).run();
}

} // namespace loomwright
