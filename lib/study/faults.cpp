// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/faults.hpp"

#include "base/at.hpp"
#include "base/side_by_side.hpp"
#include "network/branch_kinds.hpp"
#include "study/fault_opens.hpp"
#include "study/fault_shorts.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <optional>
#include <thread>

namespace loomwright {
namespace {

constexpr std::size_t cases_at_once = 16;

/// One case to be worked on: an event of a short, or an open.
struct FaultCase {
    std::size_t state = 0;
    bool is_short = false;
    std::size_t index = 0;                ///< into FaultSweep::events or opens
    double lasts_s = OpeningCurve::never; ///< of a short: until the state ends it
};

/// The wires of an order, as a mark for each.
std::vector<std::uint8_t> marked(const Vehicle& vehicle, const std::vector<WireId>& wires) {
    std::vector<std::uint8_t> out(vehicle.wires.size(), wires.empty() ? 1 : 0);
    for (const WireId wire : wires) {
        out[wire.index()] = 1;
    }
    return out;
}

unsigned sweep_threads(unsigned wanted, std::size_t cases) {
    const unsigned most = wanted > 0 ? wanted : std::max(std::thread::hardware_concurrency(), 1U);
    const std::size_t chunks = cases / cases_at_once + 1;
    return static_cast<unsigned>(std::min<std::size_t>(most, chunks));
}

} // namespace

struct FaultStudy::Work {
    Work(const StudyInput& study, const Design& design, const std::vector<StateId>& wanted)
        : input(study), plan(planned(study, design)), warmings(plan), bases(wanted.size()),
          heats(wanted.size()) {
        std::atomic<std::size_t> next{0};
        side_by_side(sweep_threads(0, wanted.size() * cases_at_once) - 1, [&](std::size_t) {
            for (std::size_t i = next++; i < wanted.size(); i = next++) {
                bases[i] = std::make_unique<FaultBase>(plan, wanted[i]);
            }
        });
        for (std::size_t i = 0; i < bases.size(); ++i) {
            if (bases[i]->is_solved()) {
                heats[i] = std::make_unique<FaultHeat>(*bases[i], warmings);
            }
        }
    }

    static StudyPlan planned(const StudyInput& input, const Design& design) {
        StudyPlan out(input);
        out.set_design(design);
        return out;
    }
    [[nodiscard]] double default_value(const char* name) const {
        return input.catalogue.default_value(name).value;
    }

    StudyInput input;
    StudyPlan plan;
    WireWarmings warmings;
    std::vector<std::unique_ptr<FaultBase>> bases;
    std::vector<std::unique_ptr<FaultHeat>> heats; ///< null: the state has no operating point
};

namespace {

/// How long shorts go on. What is joined to the metal of the car anyway only gives current that
/// flows anyway another way: while cranking the starter's, which ends with it. What goes on after
/// that is told by a state with the engine running in which the place is joined so too; without
/// one, and for every other place, a short goes on for good.
class ShortTimes {
public:
    ShortTimes(const StudyInput& input, const std::vector<std::unique_ptr<FaultBase>>& bases,
               int metal)
        : input_(input), metal_(metal),
          grounded_running_(static_cast<std::size_t>(input.network.node_count()), 0) {
        for (const std::unique_ptr<FaultBase>& base : bases) {
            const bool is_running =
                base->state != nullptr && (base->state->engine == EngineCondition::running ||
                                           base->state->engine == EngineCondition::idle);
            if (metal < 0 || !is_running || !base->is_solved()) {
                continue;
            }
            const std::vector<std::uint8_t> grounded = grounded_in(*base);
            for (std::size_t i = 0; i < grounded.size(); ++i) {
                grounded_running_[i] = grounded_running_[i] | grounded[i];
            }
        }
    }

    /// By node, of a short in that state, s; infinite: for good.
    [[nodiscard]] std::vector<double> of(const FaultBase& base) const {
        std::vector<double> out(grounded_running_.size(), OpeningCurve::never);
        if (base.state == nullptr || base.state->engine != EngineCondition::cranking) {
            return out;
        }
        const double lasts_s = base.state->lasts
                                   ? base.state->lasts->value()
                                   : input_.catalogue.default_value("crank-time").value;
        const std::vector<std::uint8_t> grounded = grounded_in(base);
        for (std::size_t i = 0; i < out.size(); ++i) {
            if (grounded[i] != 0 && grounded_running_[i] != 0) {
                out[i] = lasts_s;
            }
        }
        return out;
    }

private:
    /// By node: 1 = closed conductors join it to the metal.
    [[nodiscard]] std::vector<std::uint8_t> grounded_in(const FaultBase& base) const {
        std::vector<std::uint8_t> out(grounded_running_.size(), 0);
        out[at(metal_)] = 1;
        for (bool is_new = true; is_new;) {
            is_new = false;
            for (std::size_t i = 0; i < input_.network.branches.size(); ++i) {
                const Branch& branch = input_.network.branches[i];
                std::uint8_t& from = out[at(branch.from)];
                std::uint8_t& to = out[at(branch.to)];
                if (from != to && is_conductor(branch.kind) && base.solution.closed[i] != 0) {
                    from = to = 1;
                    is_new = true;
                }
            }
        }
        return out;
    }

    const StudyInput& input_;
    int metal_;
    std::vector<std::uint8_t> grounded_running_; ///< by node: in one of those states or another
};

/// Lays out the cases of an order in the order of the file.
class CaseList {
public:
    CaseList(const StudyInput& input, const FaultOrder& order, FaultSweep& sweep)
        : network_(input.network), wanted_(marked(input.vehicle, order.wires)), order_(order),
          sweep_(sweep) {}

    void add_state(std::size_t state, const FaultBase& base, const ShortTimes& times) {
        if (order_.shorts && sweep_.metal >= 0) {
            lasts_s_ = times.of(base);
            add_shorts(state);
        }
        if (order_.opens) {
            add_opens(state, base);
        }
    }

    std::vector<FaultCase> cases;

private:
    void add_shorts(std::size_t state) {
        event_of_node_.assign(at(network_.node_count()), -1);
        for (std::size_t i = 0; i < network_.wire_branch.size(); ++i) {
            const Branch& branch = network_.branches[at(network_.wire_branch[i])];
            for (const bool is_from_end : {true, false}) {
                const int node = is_from_end ? branch.from : branch.to;
                if (wanted_[i] != 0) {
                    sweep_.shorts.push_back({WireId(i), is_from_end, event_at(state, node)});
                }
            }
        }
    }
    std::size_t event_at(std::size_t state, int node) {
        int& event = event_of_node_[at(node)];
        if (event < 0) {
            event = static_cast<int>(sweep_.events.size());
            cases.push_back({.state = state,
                             .is_short = true,
                             .index = at(event),
                             .lasts_s = lasts_s_[at(node)]});
            sweep_.events.push_back({.state = state, .node = node});
        }
        return at(event);
    }
    void add_opens(std::size_t state, const FaultBase& base) {
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const Branch& branch = network_.branches[i];
            const bool is_wanted =
                branch.wire.is_valid() ? wanted_[branch.wire.index()] != 0 : order_.wires.empty();
            if (is_wanted && is_conductor(branch.kind) && base.solution.closed[i] != 0) {
                cases.push_back({.state = state, .is_short = false, .index = sweep_.opens.size()});
                sweep_.opens.push_back({.state = state, .branch = static_cast<int>(i)});
            }
        }
    }

    const Network& network_;
    std::vector<std::uint8_t> wanted_;
    const FaultOrder& order_;
    FaultSweep& sweep_;
    std::vector<int> event_of_node_; ///< -1: none yet
    std::vector<double> lasts_s_;    ///< by node, of a short in the state that is laid out
};

/// Works on cases of one state after another.
class Worker {
public:
    Worker(const std::vector<std::unique_ptr<FaultBase>>& bases,
           const std::vector<std::unique_ptr<FaultHeat>>& heats, const FaultOrder& order,
           double breaker_cooling_s, double sneak_share)
        : bases_(bases), heats_(heats), order_(order), breaker_cooling_s_(breaker_cooling_s),
          sneak_share_(sneak_share) {}

    void run(const FaultCase& which, FaultSweep& sweep) {
        take_state(which.state);
        if (which.is_short) {
            tools_->shorts.run(sweep.metal, sweep.short_ohm, which.lasts_s,
                               sweep.events[which.index]);
        } else {
            tools_->opens.run(sweep.opens[which.index]);
        }
    }

    [[nodiscard]] FaultCounts counts() {
        put_away();
        return counts_;
    }

private:
    struct Tools {
        Tools(const FaultBase& base, const FaultHeat& heat, const Worker& worker)
            : circuit(base),
              shorts(base, heat, circuit, worker.order_.curves, worker.breaker_cooling_s_),
              opens(base, heat, circuit, worker.order_.curves, worker.breaker_cooling_s_,
                    worker.sneak_share_) {}
        FaultCircuit circuit;
        ShortRunner shorts;
        OpenRunner opens;
    };

    void take_state(std::size_t state) {
        if (tools_ && state == state_) {
            return;
        }
        put_away();
        state_ = state;
        tools_ = std::make_unique<Tools>(*bases_[state], *heats_[state], *this);
    }
    void put_away() {
        if (tools_) {
            const solve::AlteredCounts& more = tools_->circuit.counts();
            counts_.points += more.points;
            counts_.rounds += more.rounds;
            counts_.refactored += more.refactored;
            counts_.from_nothing += more.from_nothing;
        }
        tools_.reset();
    }

    const std::vector<std::unique_ptr<FaultBase>>& bases_;
    const std::vector<std::unique_ptr<FaultHeat>>& heats_;
    const FaultOrder& order_;
    double breaker_cooling_s_;
    double sneak_share_;
    std::size_t state_ = 0;
    std::unique_ptr<Tools> tools_;
    FaultCounts counts_;
};

FaultPoint point_of(const FaultCircuit& circuit, bool is_solved, int nodes) {
    FaultPoint out{.is_solved = is_solved};
    if (!is_solved) {
        return out;
    }
    out.fault_a = circuit.joined_amps();
    for (int node = 0; node < nodes; ++node) {
        out.node_volts.push_back(circuit.node_volts(node));
        out.floating.push_back(circuit.floats(node) ? 1 : 0);
    }
    return out;
}

} // namespace

FaultStudy::FaultStudy(const StudyInput& input, const Design& design,
                       const std::vector<StateId>& states)
    : work_(std::make_unique<Work>(input, design, states)) {}
FaultStudy::~FaultStudy() = default;
FaultStudy::FaultStudy(FaultStudy&&) noexcept = default;
FaultStudy& FaultStudy::operator=(FaultStudy&&) noexcept = default;

FaultSweep FaultStudy::sweep(const FaultOrder& order) const {
    FaultSweep out;
    out.short_ohm = work_->default_value("short-contact");
    out.metal = work_->input.network.reference;
    const ShortTimes times(work_->input, work_->bases, out.metal);
    CaseList list(work_->input, order, out);
    for (std::size_t i = 0; i < work_->bases.size(); ++i) {
        const FaultBase& base = *work_->bases[i];
        out.states.push_back({base.id, base.is_solved(), base.solution.failure});
        if (base.is_solved()) {
            list.add_state(i, base, times);
        }
    }
    const std::vector<FaultCase>& cases = list.cases;
    const unsigned threads = sweep_threads(order.threads, cases.size());
    std::vector<FaultCounts> counts(threads);
    std::atomic<std::size_t> next{0};
    // No case knows of another, so that it does not matter which thread takes which.
    side_by_side(threads - 1, [&](std::size_t number) {
        Worker worker(work_->bases, work_->heats, order, work_->default_value("breaker-cooling"),
                      work_->default_value("sneak-share"));
        for (std::size_t first = next.fetch_add(cases_at_once); first < cases.size();
             first = next.fetch_add(cases_at_once)) {
            const std::size_t last = std::min(first + cases_at_once, cases.size());
            for (std::size_t k = first; k < last; ++k) {
                worker.run(cases[k], out);
            }
            if (number == 0 && order.progress) {
                order.progress(std::min(next.load(), cases.size()), cases.size());
            }
        }
        counts[number] = worker.counts();
    });
    out.counts.cases = out.shorts.size() + out.opens.size();
    for (const FaultCounts& part : counts) {
        out.counts.points += part.points;
        out.counts.rounds += part.rounds;
        out.counts.refactored += part.refactored;
        out.counts.from_nothing += part.from_nothing;
    }
    return out;
}

FaultPoint FaultStudy::short_point(std::size_t state, int node) const {
    FaultCircuit circuit(*work_->bases[state]);
    circuit.join(node, work_->input.network.reference, 1.0 / work_->default_value("short-contact"));
    return point_of(circuit, circuit.solve(), work_->input.network.node_count());
}

FaultPoint FaultStudy::open_point(std::size_t state, int branch) const {
    FaultCircuit circuit(*work_->bases[state]);
    circuit.open(branch);
    return point_of(circuit, circuit.solve(), work_->input.network.node_count());
}

} // namespace loomwright
