// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/contact_loads.hpp"

#include "base/display.hpp"
#include "checks/wording.hpp"
#include "sizing/judged.hpp"
#include "study/currents.hpp"
#include "study/values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright {
namespace {

std::string_view kind_name(SwitchedKind kind) {
    switch (kind) {
    case SwitchedKind::lamp:
        return "lamps";
    case SwitchedKind::inductive:
        return "coils";
    case SwitchedKind::resistive:
        return "resistive";
    case SwitchedKind::motor:
        return "motors";
    }
    return "";
}

SwitchedKind kind_of(const Device& device) {
    const auto* load = device.as<Load>();
    if (load == nullptr) {
        return device.as<Starter>() != nullptr ? SwitchedKind::motor : SwitchedKind::resistive;
    }
    if (load->law == LoadLaw::lamp) {
        return SwitchedKind::lamp;
    }
    if (load->word == "motor") {
        return SwitchedKind::motor;
    }
    return load->word == "coil" ? SwitchedKind::inductive : SwitchedKind::resistive;
}

/// A branch that takes current and has no drop, and the way of that current.
struct UntoldLoad {
    int branch = 0;
    bool gives = false; ///< a motor that something else turns, and that gives current
    double amps = 0.0;
    std::vector<int> way;
};

/// Of takers in a row one counts: the one that carries least; of those alike a load before a
/// resistor, so that a ballast has the kind of what it feeds.
bool counts_before(const Network& network, const UntoldLoad& one, const UntoldLoad& other) {
    if (one.gives != other.gives) {
        return other.gives;
    }
    if (is_clearly_more(one.amps, other.amps) || is_clearly_more(other.amps, one.amps)) {
        return one.amps < other.amps;
    }
    const auto is_resistor = [&](const UntoldLoad& taker) {
        return network.branches[static_cast<std::size_t>(taker.branch)].kind ==
               BranchKind::resistor;
    };
    return is_resistor(one) != is_resistor(other) ? is_resistor(other) : one.branch < other.branch;
}

} // namespace

double switch_factor(SwitchedKind kind, double nominal_v) {
    const bool is_24 = nominal_v > 18.0;
    switch (kind) {
    case SwitchedKind::lamp:
        return is_24 ? 8.0 : 5.0;
    case SwitchedKind::inductive:
        return is_24 ? 4.0 : 2.0;
    case SwitchedKind::resistive:
        return is_24 ? 2.0 : 1.0;
    case SwitchedKind::motor:
        return is_24 ? 3.0 : 2.0;
    }
    return 1.0;
}

ContactLoads::ContactLoads(const CheckInput& input)
    : input_(input), drops_(input.study.network.branches.size()),
      dropless_through_(input.study.network.branches.size()) {
    for (std::size_t i = 0; i < input.sizing.drops.size(); ++i) {
        const LoadDrop& drop = input.sizing.drops[i];
        if (drop.is_solenoid) {
            continue; // as the coils of relays it is in what the loads leave over
        }
        for (const std::vector<PathPart>* way : {&drop.feed, &drop.back}) {
            for (const PathPart& part : *way) {
                if (part.branch < 0) {
                    continue;
                }
                std::vector<std::size_t>& here = drops_[static_cast<std::size_t>(part.branch)];
                if (here.empty() || here.back() != i) {
                    here.push_back(i);
                }
            }
        }
    }
    for (std::size_t i = 0; i < input.sizing.states.size(); ++i) {
        if (input.sizing.judged(i).converged) {
            add_dropless(input.sizing.judged(i));
        }
    }
}

/// What lies in a row with a coil, or with a load that has a drop, is told of by that.
void ContactLoads::add_dropless(const StateSolution& solution) {
    const Network& network = input_.study.network;
    std::vector<std::uint8_t> has_drop(input_.study.vehicle.devices.size(), 0);
    for (const LoadDrop& drop : input_.sizing.drops) {
        if (drop.state == solution.state && !drop.is_solenoid) {
            has_drop[drop.load.index()] = 1;
        }
    }
    const std::vector<int> turned =
        turned_branches(network, state_of(input_.study.vehicle, solution.state));
    std::vector<UntoldLoad> takers;
    std::vector<int> taking;                                // their branches
    std::vector<int> taker_of(network.branches.size(), -1); // by branch
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const Branch& branch = network.branches[i];
        const double amps = solution.branch_amps[i];
        const bool takes = branch.kind == BranchKind::load || branch.kind == BranchKind::resistor;
        if (takes && std::abs(amps) > nothing_a && has_drop[branch.device.index()] == 0) {
            const auto index = static_cast<int>(i);
            const bool gives = amps < 0.0 && std::ranges::find(turned, index) != turned.end();
            taker_of[i] = static_cast<int>(takers.size());
            takers.push_back({index, gives, std::abs(amps), {}});
            taking.push_back(index);
        }
    }
    std::vector<std::vector<int>> ways =
        ways_through(network, solution.branch_amps, turned, taking);
    for (std::size_t i = 0; i < takers.size(); ++i) {
        takers[i].way = std::move(ways[i]);
    }
    const auto is_told_by = [&](int index, const UntoldLoad& taker) {
        const Branch& branch = network.branches[static_cast<std::size_t>(index)];
        const bool is_load = branch.kind == BranchKind::load;
        if (branch.kind == BranchKind::coil || (is_load && has_drop[branch.device.index()] != 0)) {
            return true;
        }
        const int other = taker_of[static_cast<std::size_t>(index)];
        return index != taker.branch && other >= 0 &&
               counts_before(network, takers[static_cast<std::size_t>(other)], taker);
    };
    for (const UntoldLoad& taker : takers) {
        if (std::ranges::any_of(taker.way, [&](int at) { return is_told_by(at, taker); })) {
            continue;
        }
        const Branch& branch = network.branches[static_cast<std::size_t>(taker.branch)];
        const std::size_t number = dropless_.size();
        dropless_.push_back(
            {solution.state, kind_of(input_.study.vehicle.device(branch.device)), taker.amps});
        for (const int index : taker.way) {
            std::vector<std::size_t>& here = dropless_through_[static_cast<std::size_t>(index)];
            if (here.empty() || here.back() != number) {
                here.push_back(number);
            }
        }
    }
}

ContactLoad ContactLoads::of(std::size_t state, int branch) const {
    const StateSolution& solution = input_.sizing.judged(state);
    ContactLoad out;
    out.state = solution.state;
    out.amps = std::abs(solution.branch_amps[static_cast<std::size_t>(branch)]);
    double told = 0.0;
    for (const std::size_t i : drops_[static_cast<std::size_t>(branch)]) {
        const LoadDrop& drop = input_.sizing.drops[i];
        if (drop.state == solution.state) {
            const auto kind =
                static_cast<std::size_t>(kind_of(input_.study.vehicle.device(drop.load)));
            out.by_kind[kind] += drop.amps;
            told += drop.amps;
        }
    }
    if (told > out.amps && told > 0.0) {
        // A load fed two ways counts here with its share only.
        for (double& amps : out.by_kind) {
            amps *= out.amps / told;
        }
        return out;
    }
    const double rest = out.amps - told;
    std::array<double, 4> others{};
    double sum = 0.0;
    for (const std::size_t i : dropless_through_[static_cast<std::size_t>(branch)]) {
        if (dropless_[i].state == solution.state) {
            others[static_cast<std::size_t>(dropless_[i].kind)] += dropless_[i].amps;
            sum += dropless_[i].amps;
        }
    }
    const double share = sum > rest ? rest / sum : 1.0;
    for (std::size_t k = 0; k < others.size(); ++k) {
        out.by_kind[k] += share * others[k];
    }
    out.by_kind[static_cast<std::size_t>(SwitchedKind::inductive)] += rest - share * sum;
    return out;
}

std::string say_kinds(const ContactLoad& load, double nominal_v) {
    std::vector<std::string> parts;
    for (std::size_t k = 0; k < load.by_kind.size(); ++k) {
        if (load.by_kind[k] > 1e-3) {
            const auto kind = static_cast<SwitchedKind>(k);
            parts.push_back(fmt::format("{} {} x {}", kind_name(kind), show(Amps(load.by_kind[k])),
                                        show_number(switch_factor(kind, nominal_v))));
        }
    }
    return list_of(parts);
}

std::string terminals_of(const CheckInput& input, const Branch& branch) {
    const Device& device = input.study.vehicle.device(branch.device);
    std::vector<std::string> names;
    for (const int node : {branch.from, branch.to}) {
        const auto& nodes = input.study.network.terminal_nodes[branch.device.index()];
        const auto found = std::ranges::find(nodes, node);
        if (found != nodes.end()) {
            names.push_back(device.terminals[static_cast<std::size_t>(found - nodes.begin())]);
        }
    }
    return names.size() == 2 ? names[0] + "-" + names[1] : std::string("its contact");
}

ContactRating relay_rating(const CheckInput& input, const Branch& branch) {
    const Device& device = input.study.vehicle.device(branch.device);
    if (const auto* relay = device.as<Relay>()) {
        return {contact_rating(*relay, branch.part), "the relay's own rating, the vehicle file"};
    }
    if (const auto* flasher = device.as<Flasher>()) {
        return {flasher->contact, "the flasher's own rating, the vehicle file"};
    }
    return {};
}

std::optional<double> cavity_rating(const Vehicle& vehicle, DeviceId connector) {
    std::optional<double> out;
    const auto offer = [&](DeviceId half) {
        const auto* made = half.is_valid() ? vehicle.device(half).as<Connector>() : nullptr;
        if (made != nullptr && made->contact) {
            out = std::min(out.value_or(made->contact->value()), made->contact->value());
        }
    };
    offer(connector);
    if (const auto* own = vehicle.device(connector).as<Connector>()) {
        offer(own->mate);
    }
    return out;
}

} // namespace loomwright
