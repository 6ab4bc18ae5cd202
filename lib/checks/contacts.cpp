// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// relay-contact and switch-contact: the current through each contact against its rating.
//
//   relay    I <= rating x (1 - 0.0144 (air - 85 C)) above 85 C; a lamp's cold filament: 10 I <= 3
//   rating
//            (mini plug-in relay data: 40 A to 85 C, 17 A at 125 C, makes 120 A)
//   switch   sum of factor x I over the loads through it <= rating: FAA AC 43.13-1B table 11-4
#include "base/display.hpp"
#include "checks/wording.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright {
namespace {

enum class LoadKind : std::uint8_t { lamp, inductive, resistive, motor };

/// FAA AC 43.13-1B table 11-4: rating a switch needs over the load's continuous current.
double switch_factor(LoadKind kind, double nominal_v) {
    const bool is_24 = nominal_v > 18.0;
    switch (kind) {
    case LoadKind::lamp:
        return is_24 ? 8.0 : 5.0;
    case LoadKind::inductive:
        return is_24 ? 4.0 : 2.0;
    case LoadKind::resistive:
        return is_24 ? 2.0 : 1.0;
    case LoadKind::motor:
        return is_24 ? 3.0 : 2.0;
    }
    return 1.0;
}

std::string_view kind_name(LoadKind kind) {
    switch (kind) {
    case LoadKind::lamp:
        return "lamps";
    case LoadKind::inductive:
        return "coils";
    case LoadKind::resistive:
        return "resistive";
    case LoadKind::motor:
        return "motors";
    }
    return "";
}

LoadKind kind_of(const Device& device) {
    const auto* load = device.as<Load>();
    if (load == nullptr) {
        return device.as<Starter>() != nullptr ? LoadKind::motor : LoadKind::resistive;
    }
    if (load->law == LoadLaw::lamp) {
        return LoadKind::lamp;
    }
    if (load->word == "motor") {
        return LoadKind::motor;
    }
    return load->word == "coil" ? LoadKind::inductive : LoadKind::resistive;
}

/// The current through one contact in one state, by kind of load behind it.
struct ContactLoad {
    double amps = 0.0;
    std::array<double, 4> by_kind{};
    StateId state;

    [[nodiscard]] double lamps() const { return by_kind[0]; }
    [[nodiscard]] double needed_rating(double nominal_v) const {
        double sum = 0.0;
        for (std::size_t k = 0; k < by_kind.size(); ++k) {
            sum += switch_factor(static_cast<LoadKind>(k), nominal_v) * by_kind[k];
        }
        return sum;
    }
};

/// Loads through the contact as the paths tell; what no path tells of (relay coils) counts as
/// inductive.
ContactLoad load_of(const CheckInput& input, std::size_t state, int branch) {
    const StateSolution& solution = input.sizing.judged(state);
    ContactLoad out;
    out.state = solution.state;
    out.amps = std::abs(solution.branch_amps[static_cast<std::size_t>(branch)]);
    const auto is_it = [&](const PathPart& part) { return part.branch == branch; };
    double told = 0.0;
    for (const LoadDrop& drop : input.sizing.drops) {
        if (drop.state == solution.state &&
            (std::ranges::any_of(drop.feed, is_it) || std::ranges::any_of(drop.back, is_it))) {
            const auto kind =
                static_cast<std::size_t>(kind_of(input.study.vehicle.device(drop.load)));
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
        out.by_kind[static_cast<std::size_t>(LoadKind::inductive)] += out.amps - told;
    }
    return out;
}

/// The heaviest load of a contact over all states, judged by `weight`.
template <typename Weight>
ContactLoad worst_load(const CheckInput& input, int branch, const Weight& weight) {
    ContactLoad worst;
    for (std::size_t i = 0; i < input.sizing.states.size(); ++i) {
        if (!input.sizing.judged(i).converged) {
            continue;
        }
        const ContactLoad here = load_of(input, i, branch);
        if (weight(here) > weight(worst)) {
            worst = here;
        }
    }
    return worst;
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

bool touches(const CheckInput& input, const Branch& branch, std::string_view terminal) {
    const int index = input.study.vehicle.device(branch.device).terminal(terminal);
    if (index < 0) {
        return false;
    }
    const int node =
        input.study.network.terminal_nodes[branch.device.index()][static_cast<std::size_t>(index)];
    return branch.from == node || branch.to == node;
}

struct Rated {
    std::optional<Amps> rating;
    std::string source;
};

Rated relay_rating(const CheckInput& input, const Branch& branch) {
    const Device& device = input.study.vehicle.device(branch.device);
    if (const auto* relay = device.as<Relay>()) {
        const bool is_break = touches(input, branch, "87a");
        return {is_break && relay->contact_break ? relay->contact_break : relay->contact,
                "the relay's own rating, the vehicle file"};
    }
    if (const auto* flasher = device.as<Flasher>()) {
        return {flasher->contact, "the flasher's own rating, the vehicle file"};
    }
    return {};
}

void check_relay_current(const CheckInput& input, int index, const Rated& rated,
                         Findings& findings) {
    const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
    const Device& device = input.study.vehicle.device(branch.device);
    const ContactLoad worst =
        worst_load(input, index, [](const ContactLoad& load) { return load.amps; });
    const State* state = state_of(input.study.vehicle, worst.state);
    const double air = device_air(input.study, branch.device, state).value();
    const auto& from = input.study.catalogue.default_value("relay-hot-from");
    const auto& slope = input.study.catalogue.default_value("relay-hot-slope");
    const double kept = std::clamp(1.0 - slope.value * std::max(0.0, air - from.value), 0.1, 1.0);
    const double may = rated.rating->value() * kept;
    if (worst.amps <= may) {
        return;
    }
    Finding& finding = findings.add(
        Rule::relay_contact, device.name, place_of(device),
        fmt::format("{} carries {} in {}; {}{} is its rating", terminals_of(input, branch),
                    show(Amps(worst.amps)), state_name(input.study.vehicle, worst.state),
                    show(Amps(may)),
                    kept < 1.0 ? fmt::format(" in {} air", show(Celsius(air))) : std::string()),
        fmt::format("use a relay with a contact of {} or more, or share the load between two",
                    show(Amps(worst.amps / kept))));
    finding.figures = {seen("current", worst.amps, "A"), limit_of("contact rating", may, "A"),
                       given("rating as given", rated.rating->value(), "A"),
                       given("air", air, "C")};
    finding.source = kept < 1.0 ? rated.source + "; " + slope.origin.source : rated.source;
}

void check_relay_lamps(const CheckInput& input, int index, const Rated& rated, Findings& findings) {
    const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
    const Device& device = input.study.vehicle.device(branch.device);
    const ContactLoad worst =
        worst_load(input, index, [](const ContactLoad& load) { return load.lamps(); });
    const auto& making = input.study.catalogue.default_value("relay-lamp-making");
    const auto& cold = input.study.catalogue.default_value("lamp-cold-ratio");
    const double inrush = cold.value * worst.lamps();
    const double may = making.value * rated.rating->value();
    if (inrush <= may || worst.amps > rated.rating->value()) {
        return; // within, or told already by the current itself
    }
    Finding& finding = findings.add(
        Rule::relay_contact, device.name, place_of(device),
        fmt::format("{} makes about {} into cold lamps in {}; a contact rated {} makes {}",
                    terminals_of(input, branch), show(Amps(inrush)),
                    state_name(input.study.vehicle, worst.state), show(Amps(rated.rating->value())),
                    show(Amps(may))),
        fmt::format("use a relay with a contact of {} or more, or one that is made for lamps",
                    show(Amps(inrush / making.value))));
    finding.severity = Severity::caution;
    finding.figures = {seen("lamp inrush", inrush, "A"), limit_of("making current", may, "A"),
                       given("lamp current", worst.lamps(), "A"),
                       given("contact rating", rated.rating->value(), "A")};
    finding.source = making.origin.source + "; inrush: " + cold.origin.source;
}

void check_relay(const CheckInput& input, DeviceId id, Findings& findings) {
    for (const int index : input.study.network.device_branches[id.index()]) {
        const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
        if (branch.kind != BranchKind::contact) {
            continue;
        }
        const Rated rated = relay_rating(input, branch);
        if (!rated.rating) {
            continue;
        }
        check_relay_current(input, index, rated, findings);
        check_relay_lamps(input, index, rated, findings);
    }
}

std::string say_kinds(const ContactLoad& load, double nominal_v) {
    std::vector<std::string> parts;
    for (std::size_t k = 0; k < load.by_kind.size(); ++k) {
        if (load.by_kind[k] > 1e-3) {
            const auto kind = static_cast<LoadKind>(k);
            parts.push_back(fmt::format("{} {} x {}", kind_name(kind), show(Amps(load.by_kind[k])),
                                        show_number(switch_factor(kind, nominal_v))));
        }
    }
    return list_of(parts);
}

/// The contact of the switch that is short by most; one finding a switch.
void check_switch(const CheckInput& input, DeviceId id, double rating, Findings& findings) {
    const Device& device = input.study.vehicle.device(id);
    const double nominal = input.study.vehicle.nominal.value();
    const auto weight = [&](const ContactLoad& load) { return load.needed_rating(nominal); };
    ContactLoad worst;
    std::string terminals;
    for (const int index : input.study.network.device_branches[id.index()]) {
        const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
        if (branch.kind == BranchKind::contact) {
            const ContactLoad here = worst_load(input, index, weight);
            if (weight(here) > weight(worst)) {
                worst = here;
                terminals = terminals_of(input, branch);
            }
        }
    }
    const double needed = weight(worst);
    if (needed <= rating) {
        return;
    }
    const bool is_over = worst.amps > rating;
    Finding& finding = findings.add(
        Rule::switch_contact, device.name, place_of(device),
        is_over
            ? fmt::format("{} carries {} in {} and is rated {}", terminals, show(Amps(worst.amps)),
                          state_name(input.study.vehicle, worst.state), show(Amps(rating)))
            : fmt::format("{} switches {} in {}: {} asks for a rating of {}, it has {}", terminals,
                          show(Amps(worst.amps)), state_name(input.study.vehicle, worst.state),
                          say_kinds(worst, nominal), show(Amps(needed)), show(Amps(rating))),
        fmt::format("switch the load through a relay, or use a switch rated {} or more",
                    show(Amps(needed))));
    finding.severity = is_over ? Severity::fault : Severity::caution;
    finding.figures = {
        seen(is_over ? "current" : "needed rating", is_over ? worst.amps : needed, "A"),
        limit_of("contact rating", rating, "A"),
        given(is_over ? "needed rating" : "current", is_over ? needed : worst.amps, "A")};
}

/// An output of a controller against what it may carry.
void check_outputs(const CheckInput& input, DeviceId id, const Controller& controller,
                   Findings& findings) {
    const Device& device = input.study.vehicle.device(id);
    for (const int index : input.study.network.device_branches[id.index()]) {
        const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
        if (branch.kind != BranchKind::output) {
            continue;
        }
        for (std::size_t t = 0; t < controller.parts.size(); ++t) {
            const ControllerTerminal& part = controller.parts[t];
            const bool is_output =
                part.part == TerminalPart::low_side || part.part == TerminalPart::high_side;
            if (!is_output || !part.limit || !touches(input, branch, device.terminals[t])) {
                continue;
            }
            const ContactLoad worst =
                worst_load(input, index, [](const ContactLoad& load) { return load.amps; });
            if (worst.amps <= part.limit->value()) {
                continue;
            }
            Finding& finding = findings.add(
                Rule::switch_contact, device.name, place_of(device),
                fmt::format("output {} carries {} in {} and may carry {}", device.terminals[t],
                            show(Amps(worst.amps)), state_name(input.study.vehicle, worst.state),
                            show(*part.limit)),
                "let the output work a relay that carries the load");
            finding.figures = {seen("current", worst.amps, "A"),
                               limit_of("output limit", part.limit->value(), "A")};
            finding.source = "the controller's own limit, the vehicle file";
        }
    }
}

} // namespace

void check_contacts(const CheckInput& input, Findings& findings) {
    for (std::size_t i = 0; i < input.study.vehicle.devices.size(); ++i) {
        const Device& device = input.study.vehicle.devices[i];
        if (device.as<Relay>() != nullptr || device.as<Flasher>() != nullptr) {
            check_relay(input, DeviceId(i), findings);
        } else if (const auto* hand = device.as<Switch>(); hand != nullptr && hand->contact) {
            check_switch(input, DeviceId(i), hand->contact->value(), findings);
        } else if (const auto* controller = device.as<Controller>()) {
            check_outputs(input, DeviceId(i), *controller, findings);
        }
    }
}

} // namespace loomwright
