// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// fuse-missing and unfused-length: copper that a battery feeds with no protective device before it.
//
//   l = (l_a + l_b + L) / 2     farthest point of a wire of length L from its source, its ends l_a
//                               and l_b away along copper that nothing protects
//
// A lead of a supplied harness that begins where a wire ends counts as the rest of that wire.
//
// Measured from each battery by itself: a link between two has a length from either. Alternators
// and chargers limit themselves: what they may send is held against the wire (protection.cpp).
#include "checks/unfused.hpp"

#include "base/display.hpp"
#include "checks/wording.hpp"
#include "network/ground.hpp"
#include "sizing/limits.hpp"
#include "sizing/protect.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <iterator>
#include <limits>
#include <optional>
#include <queue>
#include <unordered_map>
#include <unordered_set>
#include <utility>

namespace loomwright {
namespace {

constexpr double unreached = std::numeric_limits<double>::infinity();

struct Step {
    int node = 0;
    int branch = 0;
};

/// How far along unprotected copper a node is from where it is fed.
struct Reach {
    double metres = unreached;
    int battery = -1;           ///< at whose own terminal the stretch starts; -1: at none
    bool is_covered = true;     ///< every run on the way has a cover
    bool is_cover_known = true; ///< every wire on the way is led through runs
    int by_branch = -1;
    double assumed_m = 0.0; ///< of the metres: wires that nobody has given a length
    WireId assumed{};       ///< the first of them; invalid: every length is known

    [[nodiscard]] bool from_battery() const { return battery >= 0; }
};

/// How far a node is from one battery, by its place among the batteries.
struct SourceReach {
    std::size_t battery = 0;
    Reach reach;
};

struct ReachedNode {
    int node = 0;
    Reach reach;
};

/// The way to the farthest point of a wire.
struct Stretch {
    DeviceId source; ///< invalid: a cranking motor's main cable
    Reach way;
    int lead = -1; ///< branch of the supplied lead behind the wire that it ends in; -1: in the wire
};

class UnfusedCopper {
public:
    explicit UnfusedCopper(const CheckInput& input)
        : input_(input), network_(input.study.network),
          neighbours_(static_cast<std::size_t>(network_.node_count())),
          draws_(neighbours_.size(), 0), is_main_(network_.branches.size(), 0),
          reach_(neighbours_.size()), by_battery_(neighbours_.size()) {
        const std::vector<std::uint8_t> ground = ground_nodes(network_);
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const Branch& branch = network_.branches[i];
            if (passes(i)) {
                neighbours_[at(branch.from)].push_back({branch.to, static_cast<int>(i)});
                neighbours_[at(branch.to)].push_back({branch.from, static_cast<int>(i)});
            }
            mark_what_draws(branch);
            if (branch.kind == BranchKind::battery) {
                live_.emplace_back(branch.device, live_post(branch, ground));
            }
        }
        std::vector<ReachedNode> batteries;
        for (std::size_t k = 0; k < live_.size(); ++k) {
            batteries.push_back({live_[k].second, {0.0, static_cast<int>(k), true, true, -1}});
        }
        keep_nearest(spread(batteries));
        mark_main_cables();
        std::vector<ReachedNode> origins = origins_on_main(batteries);
        for (std::size_t k = 0; k < live_.size(); ++k) {
            for (const ReachedNode& row : spread(origins_of(batteries[k], origins))) {
                by_battery_[at(row.node)].push_back({k, row.reach});
            }
        }
        origins.insert(origins.end(), batteries.begin(), batteries.end());
        keep_nearest(spread(origins));
    }

    /// The stretch to the farthest point of a wire that is most beyond what `limit_of` allows it;
    /// nothing for one that no battery reaches.
    template <typename LimitOf>
    [[nodiscard]] std::optional<Stretch> longest(std::size_t branch,
                                                 const LimitOf& limit_of) const {
        std::optional<Stretch> worst;
        const auto look_at = [&](std::size_t copper, int lead) {
            const Branch& here = network_.branches[copper];
            const std::vector<SourceReach>& to = by_battery_[at(here.to)];
            for (const SourceReach& from : by_battery_[at(here.from)]) {
                const auto other =
                    std::ranges::lower_bound(to, from.battery, {}, &SourceReach::battery);
                if (other == to.end() || other->battery != from.battery) {
                    continue;
                }
                const Reach way = way_to_far_point(from.reach, other->reach, here);
                if (!worst ||
                    way.metres - limit_of(way) > worst->way.metres - limit_of(worst->way)) {
                    worst = Stretch{way.from_battery() ? live_[at(way.battery)].first : DeviceId(),
                                    way, lead};
                }
            }
        };
        look_at(branch, -1);
        for (const int lead : leads_behind(branch)) {
            look_at(at(lead), lead);
        }
        return worst;
    }

    [[nodiscard]] const Reach& reach(int node) const { return reach_[at(node)]; }
    /// Part of a cranking motor's main cable.
    [[nodiscard]] bool is_main(std::size_t branch) const { return is_main_[branch] != 0; }

    /// The far end of a wire: the one that is fed through it.
    [[nodiscard]] int far_end(std::size_t branch) const {
        const Branch& here = network_.branches[branch];
        return reach(here.from).metres > reach(here.to).metres ? here.from : here.to;
    }

    /// Something that draws current hangs beyond the wire with no protective device before it.
    [[nodiscard]] bool feeds_consumer(std::size_t branch) const {
        const int far = far_end(branch);
        if (reach(far).metres == 0.0) {
            return false; // a link between two sources: what hangs on the other is not this wire's
        }
        std::vector<int> open{far};
        std::vector<int> seen{far};
        bool found = false;
        while (!open.empty()) {
            const int node = open.back();
            open.pop_back();
            if (node != far && (reach(node).metres == 0.0)) {
                return found; // a second way to the source: what lies beyond is not this wire's
                              // alone
            }
            found = found || draws_[at(node)] != 0;
            for (const Step& step : neighbours_[at(node)]) {
                if (static_cast<std::size_t>(step.branch) != branch &&
                    std::ranges::find(seen, step.node) == seen.end()) {
                    seen.push_back(step.node);
                    open.push_back(step.node);
                }
            }
        }
        return found;
    }

private:
    static std::size_t at(int node) { return static_cast<std::size_t>(node); }

    [[nodiscard]] Reach way_to_far_point(const Reach& from, const Reach& to,
                                         const Branch& wire) const {
        Reach out = from.metres <= to.metres ? from : to;
        const double before = out.metres;
        out.metres = 0.5 * (from.metres + to.metres + length_of(wire));
        pass_cover(wire, out);
        pass_assumed(wire, out.metres - before, out);
        return out;
    }

    /// Supplied leads that are fed through a wire: they go on from its far end.
    [[nodiscard]] std::vector<int> leads_behind(std::size_t wire) const {
        std::vector<int> out;
        const int end = far_end(wire);
        if (reach(end).by_branch != static_cast<int>(wire)) {
            return out;
        }
        for (const Step& step : neighbours_[at(end)]) {
            if (network_.branches[at(step.branch)].kind == BranchKind::lead &&
                reach(step.node).by_branch == step.branch && !is_main(at(step.branch))) {
                out.push_back(step.branch);
            }
        }
        return out;
    }

    /// A way that goes on along a branch is as well covered as both.
    void pass_cover(const Branch& branch, Reach& way) const {
        way.is_covered = way.is_covered && is_covered(branch);
        way.is_cover_known = way.is_cover_known && is_cover_known(branch);
    }

    /// Of a way that goes on along a branch so much more is assumed.
    void pass_assumed(const Branch& branch, double metres, Reach& way) const {
        if (branch.wire.is_valid() &&
            input_.study.routing.wires[branch.wire.index()].source == LengthSource::assumed) {
            way.assumed_m += metres;
            way.assumed = way.assumed.is_valid() ? way.assumed : branch.wire;
        }
    }

    [[nodiscard]] bool passes(std::size_t index) const {
        const Branch& branch = network_.branches[index];
        switch (branch.kind) {
        case BranchKind::wire:
        case BranchKind::lead:
        case BranchKind::joint:
        case BranchKind::shunt:
            return true;
        case BranchKind::contact: {
            // The starter's own contact leads into the starter: the cable ends before it.
            const bool is_starter =
                input_.study.vehicle.device(branch.device).as<Starter>() != nullptr;
            return !is_starter &&
                   std::ranges::any_of(input_.sizing.states, [&](const StateSolution& state) {
                       return state.closed[index] != 0;
                   });
        }
        default:
            return false;
        }
    }

    void mark_what_draws(const Branch& branch) {
        switch (branch.kind) {
        case BranchKind::load:
        case BranchKind::coil:
        case BranchKind::resistor:
        case BranchKind::output:
            draws_[at(branch.from)] = 1;
            draws_[at(branch.to)] = 1;
            break;
        case BranchKind::alternator:
        case BranchKind::charger:
            draws_[at(branch.from)] = 1;
            break;
        default:
            break;
        }
    }

    [[nodiscard]] double length_of(const Branch& branch) const {
        if (branch.wire.is_valid()) {
            return input_.sizing.design.wires[branch.wire.index()].length.value();
        }
        if (branch.kind != BranchKind::lead) {
            return 0.0;
        }
        const LeadRef ref =
            supplied_lead(input_.study.vehicle, {.device = branch.device, .terminal = branch.part});
        return input_.study.vehicle.supplied[static_cast<std::size_t>(ref.harness)]
            .leads[static_cast<std::size_t>(ref.lead)]
            .length.value();
    }

    /// Its runs say whether it is covered; a lead of a supplied harness is taken to be.
    [[nodiscard]] bool is_cover_known(const Branch& branch) const {
        return !branch.wire.is_valid() ||
               !input_.study.routing.wires[branch.wire.index()].runs.empty();
    }

    [[nodiscard]] bool is_covered(const Branch& branch) const {
        if (!branch.wire.is_valid()) {
            return true;
        }
        const auto& runs = input_.study.routing.wires[branch.wire.index()].runs;
        return !runs.empty() && std::ranges::all_of(runs, [&](RunId run) {
            return !input_.study.vehicle.run(run).cover.empty();
        });
    }

    /// The nodes that the origins reach and their shortest ways there, the nearest first (of two as
    /// near, the first of the network). Of two origins at one node the later counts.
    [[nodiscard]] std::vector<ReachedNode> spread(const std::vector<ReachedNode>& origins) const {
        std::unordered_map<int, Reach> reach;
        using Place = std::pair<double, int>; // metres, node
        std::priority_queue<Place, std::vector<Place>, std::greater<>> open;
        for (const ReachedNode& origin : origins) {
            reach[origin.node] = origin.reach;
            open.emplace(origin.reach.metres, origin.node);
        }
        std::vector<ReachedNode> out;
        std::unordered_set<int> done;
        while (!open.empty()) {
            const int node = open.top().second;
            open.pop();
            if (!done.insert(node).second) {
                continue; // by a shorter way
            }
            const Reach here = reach[node];
            out.push_back({node, here});
            for (const Step& step : neighbours_[at(node)]) {
                const Branch& branch = network_.branches[at(step.branch)];
                Reach& there = reach[step.node];
                if (here.metres + length_of(branch) < there.metres) {
                    there = here;
                    there.metres += length_of(branch);
                    there.by_branch = step.branch;
                    pass_cover(branch, there);
                    pass_assumed(branch, length_of(branch), there);
                    open.emplace(there.metres, step.node);
                }
            }
        }
        return out;
    }

    void keep_nearest(const std::vector<ReachedNode>& reached) {
        for (const ReachedNode& row : reached) {
            reach_[at(row.node)] = row.reach;
        }
    }

    /// From each starter's terminal 30 back to the battery.
    void mark_main_cables() {
        for (std::size_t i = 0; i < input_.study.vehicle.devices.size(); ++i) {
            const Device& device = input_.study.vehicle.devices[i];
            if (device.as<Starter>() == nullptr) {
                continue;
            }
            int node = network_.terminal_nodes[i][at(device.terminal("30"))];
            while (reach_[at(node)].by_branch >= 0) {
                const std::size_t branch = at(reach_[at(node)].by_branch);
                is_main_[branch] = 1;
                const Branch& here = network_.branches[branch];
                node = here.from == node ? here.to : here.from;
            }
        }
    }

    /// The nodes of the main cables. What starts at a battery's own terminal starts there, though
    /// the cable does too.
    [[nodiscard]] std::vector<ReachedNode>
    origins_on_main(const std::vector<ReachedNode>& batteries) const {
        std::vector<ReachedNode> origins;
        for (std::size_t i = 0; i < is_main_.size(); ++i) {
            if (is_main_[i] == 0) {
                continue;
            }
            for (const int node : {network_.branches[i].from, network_.branches[i].to}) {
                const auto post = std::ranges::find(batteries, node, &ReachedNode::node);
                origins.push_back(
                    post != batteries.end() ? *post : ReachedNode{node, {0.0, -1, true, true, -1}});
            }
        }
        return origins;
    }

    /// Where stretches of one battery start: at its terminal, and on those main cables that it
    /// feeds itself. The cable of another battery is no matter of this one.
    [[nodiscard]] std::vector<ReachedNode>
    origins_of(const ReachedNode& battery, const std::vector<ReachedNode>& on_main) const {
        std::unordered_set<int> fed;
        for (const ReachedNode& row : spread({battery})) {
            fed.insert(row.node);
        }
        std::vector<ReachedNode> out;
        std::ranges::copy_if(on_main, std::back_inserter(out),
                             [&](const ReachedNode& row) { return fed.contains(row.node); });
        out.push_back(battery);
        return out;
    }

    const CheckInput& input_;
    const Network& network_;
    std::vector<std::vector<Step>> neighbours_;
    std::vector<std::uint8_t> draws_; ///< by node: something there draws current
    std::vector<std::uint8_t> is_main_;
    std::vector<std::pair<DeviceId, int>> live_;       ///< batteries and their live posts
    std::vector<Reach> reach_;                         ///< by node: from the nearest of all
    std::vector<std::vector<SourceReach>> by_battery_; ///< by node: from each that reaches it
};

/// Largest standard rating of the usual family that would protect the wire; 0 for none.
double fitting_rating(const CheckInput& input, WireId id) {
    const WireDesign& made = input.sizing.design.wires[id.index()];
    double best = 0.0;
    for (const FuseFamily& family : input.study.catalogue.fuse_families()) {
        if (family.kind != ProtectionKind::fuse || !family.sure_to_open()) {
            continue;
        }
        for (const FuseRating& row : family.ratings) {
            if (row.rating.value() > best &&
                prove_protection(input.study, band_of(family, row.rating.value()), *made.conductor,
                                 *made.insulation, input.sizing.wires[id.index()].ampacity)
                    .holds()) {
                best = row.rating.value();
            }
        }
    }
    return best;
}

std::string say_fuse(const CheckInput& input, WireId id, double limit_m) {
    const double rating = fitting_rating(input, id);
    return rating > 0.0 ? fmt::format("put a fuse of {} or less within {} of its source",
                                      show(Amps(rating)), show(Metres(limit_m)))
                        : fmt::format("put a fuse that suits the wire within {} of its source",
                                      show(Metres(limit_m)));
}

/// Of the sources of all states: nothing stands before the wire in one of them.
bool is_bare_of(const SourceZonesByState& zones, DeviceId source, int branch) {
    return std::ranges::any_of(zones, [&](const auto& state) {
        return std::ranges::any_of(*state, [&](const SourceZone& zone) {
            const FedBranch* const fed = zone.find(branch);
            return zone.source == source && fed != nullptr && fed->is_bare;
        });
    });
}

/// "; from G1 it has F1 before it": what guards a wire against the other sources.
std::string say_other_side(const CheckInput& input, const SourceZonesByState& zones, WireId id) {
    const int branch = input.study.network.wire_branch[id.index()];
    for (const auto& state : zones) {
        for (const SourceZone& zone : *state) {
            const FedBranch* const fed = zone.find(branch);
            if (fed != nullptr && fed->nearest.is_valid() && !fed->is_bare &&
                !is_bare_of(zones, zone.source, branch)) {
                return fmt::format("; from {} it has {} before it",
                                   name_of(input.study.vehicle, zone.source),
                                   name_of(input.study.vehicle, fed->nearest));
            }
        }
    }
    return {};
}

std::string length_name(const Reach& way) {
    if (!way.assumed.is_valid()) {
        return "unfused length";
    }
    return way.assumed_m < way.metres ? "unfused length, part of it assumed"
                                      : "unfused length, assumed";
}

/// Nothing at all stands before something that draws current.
void add_missing(const CheckInput& input, const SourceZonesByState& zones, WireId id,
                 const Reach& reach, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Wire& wire = vehicle.wire(id);
    const Limit limit = unfused_length_limit(input.study, reach.is_covered, reach.from_battery());
    Finding& finding = findings.add(
        Rule::fuse_missing, wire.number, wire.where,
        fmt::format("{} > {} is fed with no protective device between it and its source{}",
                    vehicle.show(wire.from), vehicle.show(wire.to),
                    say_other_side(input, zones, id)),
        say_fuse(input, id, limit.value));
    if (reach.metres < unreached) {
        finding.figures = {given(length_name(reach), reach.metres, "m"),
                           given("length allowed to a fuse", limit.value, "m")};
    }
    finding.figures.push_back(given("ampacity", input.sizing.wires[id.index()].ampacity.amps, "A"));
    finding.source = "FAA AC 43.13-1B par. 11-47; 33 CFR 183.455";
}

std::string say_where(const Reach& way) {
    if (way.from_battery()) {
        return "from a battery's post";
    }
    if (!way.is_cover_known) {
        return "where its cover is not known";
    }
    return way.is_covered ? "covered all the way" : "in the open";
}

/// A device stands at its end, but too far from the source.
void add_too_long(const CheckInput& input, const SourceZonesByState& zones, WireId id,
                  const Stretch& stretch, const Limit& limit, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Wire& wire = vehicle.wire(id);
    const std::string start = stretch.source.is_valid() ? vehicle.device(stretch.source).name
                                                        : std::string("the starter's main cable");
    const std::string end = stretch.lead < 0 ? "its far end"
                                             : fmt::format("the far end of the lead {} behind it",
                                                           branch_name(input.study, stretch.lead));
    Finding& finding =
        findings.add(Rule::unfused_length, wire.number, wire.where,
                     fmt::format("{} is {} of unfused wire from {}; {} is allowed {}{}", end,
                                 show(Metres(stretch.way.metres)), start, show(Metres(limit.value)),
                                 say_where(stretch.way), say_other_side(input, zones, id)),
                     say_fuse(input, id, limit.value));
    finding.figures = {seen(length_name(stretch.way), stretch.way.metres, "m"),
                       limit_of("length allowed", limit.value, "m"),
                       given("ampacity", input.sizing.wires[id.index()].ampacity.amps, "A")};
    if (input.study.routing.wires[id.index()].source == LengthSource::assumed) {
        // Nobody has said how long it is: no more can be said than that it should be looked at.
        finding.severity = Severity::note;
        finding.message =
            fmt::format("its length is not known; {} of unfused wire is allowed before "
                        "the first protective device",
                        show(Metres(limit.value)));
        finding.remedy = "give the wire its `length`, or both devices a point";
    } else if (stretch.way.assumed.is_valid()) {
        const std::string& before = vehicle.wire(stretch.way.assumed).number;
        finding.message += fmt::format("; the length of {} before it is assumed", before);
        if (stretch.way.metres - stretch.way.assumed_m <= limit.value) {
            finding.severity = Severity::note;
            finding.remedy =
                fmt::format("give {} its `length`, or both its devices a point", before);
        }
    }
    finding.source = limit.source;
}

void note_starter(const CheckInput& input, const UnfusedCopper& copper, Findings& findings) {
    std::vector<std::string> numbers;
    for (std::size_t i = 0; i < input.study.vehicle.wires.size(); ++i) {
        const int branch = input.study.network.wire_branch[i];
        if (input.sizing.feeds[i].is_unprotected &&
            copper.is_main(static_cast<std::size_t>(branch))) {
            numbers.push_back(input.study.vehicle.wires[i].number);
        }
    }
    if (numbers.empty()) {
        return;
    }
    for (const Device& device : input.study.vehicle.devices) {
        if (device.as<Starter>() == nullptr) {
            continue;
        }
        Finding& finding = findings.add(
            Rule::fuse_missing, device.name, device.where,
            fmt::format("its main cable ({}) has no protective device, as is usual for a starter",
                        list_of(numbers)),
            "keep it short, sleeved, and away from edges and heat");
        finding.severity = Severity::note;
        finding.source =
            "exception for cranking motors, 33 CFR 183.455 and ABYC E-11 (second-hand)";
        return;
    }
}

} // namespace

void check_unfused(const CheckInput& input, const SourceZonesByState& zones, Findings& findings) {
    const auto is_unprotected = [](const WireFeed& feed) { return feed.is_unprotected; };
    if (std::ranges::none_of(input.sizing.feeds, is_unprotected)) {
        return;
    }
    const UnfusedCopper copper(input);
    const auto limit_of = [&](const Reach& way) {
        return unfused_length_limit(input.study, way.is_covered, way.from_battery());
    };
    for (std::size_t i = 0; i < input.sizing.feeds.size(); ++i) {
        const auto branch = static_cast<std::size_t>(input.study.network.wire_branch[i]);
        if (!input.sizing.feeds[i].is_unprotected || copper.is_main(branch)) {
            continue;
        }
        const Reach& reach = copper.reach(copper.far_end(branch));
        if (reach.metres == unreached || copper.feeds_consumer(branch)) {
            add_missing(input, zones, WireId(i), reach, findings);
            continue;
        }
        const auto stretch =
            copper.longest(branch, [&](const Reach& way) { return limit_of(way).value; });
        if (stretch && stretch->way.metres > limit_of(stretch->way).value) {
            add_too_long(input, zones, WireId(i), *stretch, limit_of(stretch->way), findings);
        }
    }
    note_starter(input, copper, findings);
}

} // namespace loomwright
