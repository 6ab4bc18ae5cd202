// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/contact_loads.hpp"

#include "base/display.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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
    : input_(input), drops_(input.study.network.branches.size()) {
    for (std::size_t i = 0; i < input.sizing.drops.size(); ++i) {
        const LoadDrop& drop = input.sizing.drops[i];
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
    } else {
        out.by_kind[static_cast<std::size_t>(SwitchedKind::inductive)] += out.amps - told;
    }
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
        const bool is_break = branch.part == 1; // 30-87a
        return {is_break && relay->contact_break ? relay->contact_break : relay->contact,
                "the relay's own rating, the vehicle file"};
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
