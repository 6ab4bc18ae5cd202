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

#include <algorithm>
#include <map>

namespace loomwright {
namespace {

// A loss of load current to the gain in voltage is made up for by aiming just under the limit.
constexpr double aim = 0.998;

struct PathTerm {
    std::size_t wire = 0;
    double volts = 0.0; ///< with the conductor of the solved design
};

struct JudgedPath {
    DeviceId load;
    double fixed_v = 0.0;
    double limit_v = 0.0;
    std::vector<PathTerm> terms; ///< of its `auto` wires
};

double now_ohm_per_m(const Design& design, std::size_t wire) {
    return design.wires[wire].conductor->r20_ohm_per_m;
}

class Growth {
public:
    Growth(const RoundInput& round, std::vector<WireChoice>& choices)
        : round_(round), choices_(choices) {
        for (const LoadDrop& drop : round.sizing.drops) {
            if (is_drop_judged(round.study.vehicle, drop)) {
                add_path(drop);
            }
        }
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
    void add_path(const LoadDrop& drop) {
        JudgedPath path{drop.load, drop.drop_v, drop.limit_v * aim, {}};
        for (const auto* parts : {&drop.feed, &drop.back}) {
            for (const PathPart& part : *parts) {
                const WireId wire =
                    round_.study.network.branches[static_cast<std::size_t>(part.branch)].wire;
                if (wire.is_valid() && choices_[wire.index()].is_auto()) {
                    path.terms.push_back({wire.index(), part.volts});
                    path.fixed_v -= part.volts;
                }
            }
        }
        double best = path.fixed_v;
        for (const PathTerm& term : path.terms) {
            best += volts(term, choices_[term.wire].options.size() - 1);
        }
        if (!path.terms.empty() && best <= path.limit_v) {
            paths_.push_back(std::move(path));
        }
    }

    [[nodiscard]] double volts(const PathTerm& term, std::size_t option) const {
        return term.volts * choices_[term.wire].options[option]->r20_ohm_per_m /
               now_ohm_per_m(round_.sizing.design, term.wire);
    }

    [[nodiscard]] double missing(const JudgedPath& path) const {
        double sum = path.fixed_v - path.limit_v;
        for (const PathTerm& term : path.terms) {
            sum += volts(term, choices_[term.wire].picked);
        }
        return sum;
    }

    [[nodiscard]] double copper(std::size_t wire, std::size_t from, std::size_t to) const {
        return round_.sizing.design.wires[wire].length.value() *
               (choices_[wire].options[to]->area - choices_[wire].options[from]->area).value();
    }

    /// One size up where that is worth most; false when nothing is missing any more.
    bool step() {
        // Of each load only its worst path counts, so that many states do not outvote many loads.
        std::map<DeviceId, std::pair<double, const JudgedPath*>> worst;
        for (const JudgedPath& path : paths_) {
            const double here = missing(path);
            auto& row = worst[path.load];
            if (here > 0.0 && here > row.first) {
                row = {here, &path};
            }
        }
        std::map<std::size_t, double> gains;
        for (const auto& [load, row] : worst) {
            if (row.second == nullptr) {
                continue;
            }
            for (const PathTerm& term : row.second->terms) {
                const WireChoice& choice = choices_[term.wire];
                if (choice.picked + 1 < choice.options.size()) {
                    const double gain = volts(term, choice.picked) - volts(term, choice.picked + 1);
                    gains[term.wire] += std::clamp(gain, 0.0, row.first);
                }
            }
        }
        double best = 0.0;
        std::size_t chosen = choices_.size();
        for (const auto& [wire, gain] : gains) {
            const std::size_t picked = choices_[wire].picked;
            const double worth = gain / copper(wire, picked, picked + 1);
            if (worth > best) {
                best = worth;
                chosen = wire;
            }
        }
        if (chosen == choices_.size()) {
            return false;
        }
        choices_[chosen].by_drop = ++choices_[chosen].picked;
        return true;
    }

    [[nodiscard]] bool all_kept(std::size_t wire) const {
        return std::ranges::all_of(touched_[wire],
                                   [&](std::size_t p) { return missing(paths_[p]) <= 0.0; });
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
        std::ranges::stable_sort(grown, [&](std::size_t a, std::size_t b) {
            return copper(a, choices_[a].picked - 1, choices_[a].picked) >
                   copper(b, choices_[b].picked - 1, choices_[b].picked);
        });
        for (const std::size_t wire : grown) {
            WireChoice& choice = choices_[wire];
            while (choice.picked > least_of(choice)) {
                --choice.picked;
                if (!all_kept(wire)) {
                    ++choice.picked;
                    break;
                }
            }
            choice.by_drop = choice.picked > least_of(choice) ? choice.picked : 0;
        }
    }

    const RoundInput& round_;
    std::vector<WireChoice>& choices_;
    std::vector<JudgedPath> paths_;
    std::vector<std::vector<std::size_t>> touched_; ///< by wire: the paths it lies on
};

} // namespace

void grow_for_drop(const RoundInput& round, std::vector<WireChoice>& choices) {
    Growth(round, choices).run();
}

double predicted_drop(const StudyInput& study, const Design& design,
                      const std::vector<WireChoice>& choices, const LoadDrop& drop, bool largest) {
    double sum = drop.drop_v;
    for (const auto* parts : {&drop.feed, &drop.back}) {
        for (const PathPart& part : *parts) {
            const WireId wire = study.network.branches[static_cast<std::size_t>(part.branch)].wire;
            if (!wire.is_valid() || !choices[wire.index()].is_auto()) {
                continue;
            }
            const WireChoice& choice = choices[wire.index()];
            const std::size_t option = largest ? choice.options.size() - 1 : choice.picked;
            sum +=
                part.volts *
                (choice.options[option]->r20_ohm_per_m / now_ohm_per_m(design, wire.index()) - 1.0);
        }
    }
    return sum;
}

} // namespace loomwright
