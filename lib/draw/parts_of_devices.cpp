// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/parts_of_devices.hpp"

#include "base/display.hpp"

#include <algorithm>

namespace loomwright::draw {

Parts::Parts(const Vehicle& vehicle, const FeedGroups& groups) : vehicle_(vehicle) {
    for (std::size_t d = 0; d < vehicle.devices.size(); ++d) {
        const Device& device = vehicle.devices[d];
        number_.emplace_back(device.terminals.size(), 0);
        if (device.as<Relay>() != nullptr) {
            for (std::size_t t = 0; t < device.terminals.size(); ++t) {
                const bool is_coil = device.terminals[t] == "85" || device.terminals[t] == "86";
                const bool is_break = device.terminals[t] == "87a";
                const bool has_break = device.as<Relay>()->has_break_contact;
                number_[d][t] = is_coil ? 1 : is_break && !has_break ? 2 : 0;
            }
        } else if (device.as<Switch>() != nullptr) {
            find_poles(d);
        } else if (device.as<Connector>() != nullptr) {
            for (std::size_t t = 0; t < device.terminals.size(); ++t) {
                number_[d][t] = static_cast<int>(t);
            }
        }
    }
    for (std::size_t d = 0; d < vehicle.devices.size(); ++d) {
        for (std::size_t t = 0; t < vehicle.devices[d].terminals.size(); ++t) {
            const int reached = groups.reached[d][t];
            if (reached < 0) {
                continue;
            }
            const TerminalRef ref{DeviceId(d), static_cast<int>(t)};
            PartHome& home = homes_[of(ref)];
            if (home.reached < 0 || reached < home.reached) {
                home = {groups.of_terminal[d][t], ref.terminal, reached};
            }
        }
    }
    // A protective device is drawn at the head of its own group, not where its feed comes from.
    for (std::size_t g = 0; g < groups.groups.size(); ++g) {
        const DeviceId head = groups.groups[g].head;
        if (head.is_valid() && groups.groups[g].continues == 0 &&
            vehicle.device(head).as<Protection>() != nullptr) {
            homes_[{head, 0}].group = static_cast<int>(g);
        }
    }
}

/// Terminals that some position of the switch joins are one pole.
void Parts::find_poles(std::size_t device) {
    std::vector<int>& pole = number_[device];
    for (std::size_t t = 0; t < pole.size(); ++t) {
        pole[t] = static_cast<int>(t);
    }
    for (const SwitchPosition& position : vehicle_.devices[device].as<Switch>()->positions) {
        for (const ContactPair& pair : position.closed) {
            const int a = pole[static_cast<std::size_t>(pair.from)];
            const int b = pole[static_cast<std::size_t>(pair.to)];
            std::ranges::replace(pole, std::max(a, b), std::min(a, b));
        }
    }
}

Part Parts::of(TerminalRef ref) const {
    const Device& device = vehicle_.device(ref.device);
    const auto t = static_cast<std::size_t>(ref.terminal);
    const auto* connector = device.as<Connector>();
    if (connector != nullptr && connector->mate.is_valid() && connector->mate < ref.device) {
        const int there = vehicle_.device(connector->mate).terminal(device.terminals[t]);
        if (there >= 0) {
            return {connector->mate, there};
        }
    }
    return {ref.device, number_[ref.device.index()][t]};
}

PartHome Parts::home(Part part) const {
    const auto found = homes_.find(part);
    return found == homes_.end() ? PartHome{} : found->second;
}

std::vector<int> Parts::terminals(Part part) const {
    std::vector<int> out;
    const auto& numbers = number_[part.device.index()];
    for (std::size_t t = 0; t < numbers.size(); ++t) {
        if (numbers[t] == part.number) {
            out.push_back(static_cast<int>(t));
        }
    }
    return out;
}

namespace {

Symbol load_symbol(const Load& load) {
    if (load.word == "led-lamp") {
        return Symbol::led_lamp;
    }
    if (load.word == "lamp") {
        return Symbol::lamp;
    }
    if (load.word == "motor") {
        return Symbol::motor;
    }
    if (load.word == "coil") {
        return Symbol::solenoid;
    }
    return load.word == "electronics" ? Symbol::electronics : Symbol::heater;
}

Symbol protection_symbol(const Protection& protection) {
    switch (protection.kind) {
    case ProtectionKind::fuse:
        return Symbol::fuse;
    case ProtectionKind::breaker:
        return Symbol::breaker;
    case ProtectionKind::fusible_link:
        return Symbol::fusible_link;
    }
    return Symbol::fuse;
}

/// Kinds that have one symbol whatever else they say.
struct Plain {
    Symbol operator()(const Battery&) const { return Symbol::battery; }
    Symbol operator()(const Alternator&) const { return Symbol::generator; }
    Symbol operator()(const Charger&) const { return Symbol::charger; }
    Symbol operator()(const Starter&) const { return Symbol::starter; }
    Symbol operator()(const Protection& it) const { return protection_symbol(it); }
    Symbol operator()(const Relay&) const { return Symbol::make_contact; }
    Symbol operator()(const Flasher&) const { return Symbol::flasher; }
    Symbol operator()(const Switch&) const { return Symbol::switch_contact; }
    Symbol operator()(const Load& it) const { return load_symbol(it); }
    Symbol operator()(const Controller&) const { return Symbol::controller; }
    Symbol operator()(const Sensor&) const { return Symbol::sensor; }
    Symbol operator()(const Ground&) const { return Symbol::ground; }
    Symbol operator()(const Strap&) const { return Symbol::resistor; }
    Symbol operator()(const Splice&) const { return Symbol::splice; }
    Symbol operator()(const Stud&) const { return Symbol::stud; }
    Symbol operator()(const Connector&) const { return Symbol::connector; }
    Symbol operator()(const Diode&) const { return Symbol::diode; }
    Symbol operator()(const Resistor&) const { return Symbol::resistor; }
    Symbol operator()(const Unit&) const { return Symbol::unit; }
};

} // namespace

Symbol symbol_of(const Vehicle& vehicle, Part part, std::size_t terminals) {
    const Device& device = vehicle.device(part.device);
    if (device.as<Relay>() != nullptr) {
        if (part.number == 1) {
            return Symbol::relay_coil;
        }
        return terminals > 2 ? Symbol::change_over : Symbol::make_contact;
    }
    return std::visit(Plain{}, device.spec);
}

int plus_end(const Vehicle& vehicle, Part part) {
    const Device& device = vehicle.device(part.device);
    if (device.as<Diode>() != nullptr) {
        return device.terminal("a");
    }
    // A coil is alike at both ends unless a diode lies across it.
    const bool has_diode = suppression_of(device) == Suppression::diode;
    if (device.as<Relay>() != nullptr) {
        return part.number == 1 && has_diode ? device.terminal("86") : -1;
    }
    if (const auto* load = device.as<Load>()) {
        const bool has_poles = has_diode || load->word == "led-lamp" || load->word == "motor" ||
                               load->word == "electronics";
        return has_poles ? device.terminal("+") : -1;
    }
    return device.as<Charger>() != nullptr ? device.terminal("+") : -1;
}

std::string word_of(const Vehicle& vehicle, const Design& design, Part part) {
    const Device& device = vehicle.device(part.device);
    if (const auto* protection = device.as<Protection>()) {
        const auto& ratings = design.ratings;
        const std::size_t index = part.device.index();
        if (index < ratings.size() && ratings[index]) {
            return show(*ratings[index]);
        }
        if (protection->link) {
            return show(*protection->link);
        }
        return protection->rating ? show(*protection->rating) : "";
    }
    if (const auto* relay = device.as<Relay>()) {
        if (part.number == 1) {
            return show(relay->coil);
        }
        return relay->contact ? show(*relay->contact) : "";
    }
    if (const auto* load = device.as<Load>()) {
        // Three digits: what a load takes is known no better.
        const double amps = load->draws.current.value();
        return amps < 0.1 ? show_number(amps * 1e3, 3) + " mA" : show_number(amps, 3) + " A";
    }
    if (const auto* resistor = device.as<Resistor>()) {
        return show(resistor->resistance);
    }
    return "";
}

} // namespace loomwright::draw
