// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// Fittings by the kind of device and the wire's area; lengths stripped by the kind of barrel.
//
// Everything here is common practice of the trade, no source: studs of batteries and starters are
// M8, control terminals of relays and switches are 6.3 mm blades (those of high-current relays 9.5
// mm), a 6.3 mm receptacle takes wire up to 6 mm2 and a 9.5 mm one up to 10 mm2, anything thicker
// is bolted. Stripped length = barrel of the fitting + 1 mm, to half a millimetre. Valid up to 120
// mm2.
#include "sizing/fittings.hpp"

#include <array>

namespace loomwright {
namespace {

constexpr double to_mm2 = 1e6;

/// What a kind of device offers to a wire.
enum class Post : std::uint8_t { blade_small, blade_large, stud_m5, stud_m6, stud_m8, plug, joint };

Post protection_post(const Protection& protection) {
    if (protection.kind == ProtectionKind::fusible_link) {
        return Post::joint;
    }
    const std::string& family = protection.family;
    if (family.find("maxi") != std::string::npos) {
        return Post::blade_large;
    }
    for (const char* word : {"blade", "cartridge", "glass", "torpedo"}) {
        if (family.find(word) != std::string::npos) {
            return Post::blade_small;
        }
    }
    // SF51 strips lie between bolts of 8 mm, whatever their rating.
    const bool is_heavy =
        protection.family == "strip" || (protection.rating && protection.rating->value() > 125.0);
    return is_heavy ? Post::stud_m8 : Post::stud_m5;
}

Post relay_post(const Relay& relay, const std::string& terminal) {
    const bool is_coil = terminal == "85" || terminal == "86";
    const double contact_a = relay.contact ? relay.contact->value() : 0.0;
    if (is_coil || contact_a <= 40.0) {
        return Post::blade_small;
    }
    return contact_a <= 80.0 ? Post::blade_large : Post::stud_m6;
}

Post post_of(const Vehicle& vehicle, TerminalRef at) {
    const Device& device = vehicle.device(at.device);
    const auto index = static_cast<std::size_t>(at.terminal);
    const std::string terminal =
        index < device.terminals.size() ? device.terminals[index] : std::string();
    if (const auto* protection = device.as<Protection>()) {
        return protection_post(*protection);
    }
    if (const auto* relay = device.as<Relay>()) {
        return relay_post(*relay, terminal);
    }
    if (device.as<Battery>() != nullptr || device.as<Strap>() != nullptr) {
        return Post::stud_m8;
    }
    if (device.as<Alternator>() != nullptr) {
        return terminal == "D+" ? Post::blade_small : Post::stud_m8;
    }
    if (device.as<Starter>() != nullptr) {
        return terminal == "50" ? Post::blade_small : Post::stud_m8;
    }
    if (device.as<Ground>() != nullptr || device.as<Stud>() != nullptr ||
        device.as<Charger>() != nullptr) {
        return Post::stud_m6;
    }
    if (device.as<Splice>() != nullptr) {
        return Post::joint;
    }
    if (device.as<Connector>() != nullptr || device.as<Controller>() != nullptr ||
        device.as<Sensor>() != nullptr) {
        return Post::plug;
    }
    return Post::blade_small;
}

/// A post with too small a barrel for the wire is met by a ring on its screw.
Post post_for(Post post, double area_mm2) {
    if (post == Post::blade_small && area_mm2 > 6.0) {
        post = Post::blade_large;
    }
    if (post == Post::blade_large && area_mm2 > 10.0) {
        post = Post::stud_m6;
    }
    if (post == Post::stud_m6 && area_mm2 > 16.0) {
        return Post::stud_m8;
    }
    return post;
}

/// One row of a table "up to this area, this length".
struct Step {
    double up_to_mm2;
    double strip_mm;
};

template <std::size_t Count>
Metres strip_of(const std::array<Step, Count>& steps, double area_mm2) {
    for (const Step& step : steps) {
        if (area_mm2 <= step.up_to_mm2) {
            return Metres(step.strip_mm * 1e-3);
        }
    }
    return Metres(steps.back().strip_mm * 1e-3);
}

constexpr std::array lug = {Step{1.0, 4.5}, Step{2.5, 5.5}, Step{6.0, 7.0}, Step{10.0, 10.0},
                            Step{16, 12.0}, Step{25, 14.0}, Step{35, 16.0}, Step{50, 18.0},
                            Step{70, 20.0}, Step{95, 22.0}, Step{120, 24.0}};
constexpr std::array contact = {Step{0.5, 3.5}, Step{1.0, 4.0}, Step{2.5, 5.0}, Step{6.0, 6.5},
                                Step{10.0, 9.0}};
constexpr std::array splice = {Step{1.0, 7.0}, Step{2.5, 8.0}, Step{6.0, 10.0}, Step{16.0, 15.0},
                               Step{120.0, 20.0}};

} // namespace

const SuppliedLead* supplied_lead_at(const Vehicle& vehicle, TerminalRef at) {
    for (const SuppliedHarness& harness : vehicle.supplied) {
        if (harness.device != at.device) {
            continue;
        }
        for (const SuppliedLead& lead : harness.leads) {
            if (lead.terminal == at.terminal) {
                return &lead;
            }
        }
    }
    return nullptr;
}

namespace {

std::string kind_of(Post post) {
    switch (post) {
    case Post::blade_small:
        return "receptacle 6.3 mm";
    case Post::blade_large:
        return "receptacle 9.5 mm";
    case Post::stud_m5:
        return "ring M5";
    case Post::stud_m6:
        return "ring M6";
    case Post::stud_m8:
        return "ring M8";
    case Post::plug:
        return "crimp contact";
    case Post::joint:
        return "crimp splice";
    }
    return "receptacle 6.3 mm";
}

} // namespace

EndFitting end_fitting(const Vehicle& vehicle, TerminalRef at, SquareMetres area) {
    const double area_mm2 = area.value() * to_mm2;
    if (const SuppliedLead* lead = supplied_lead_at(vehicle, at)) {
        return {"crimp splice", "to supplied lead " + lead->name, strip_of(splice, area_mm2)};
    }
    const Post post = post_for(post_of(vehicle, at), area_mm2);
    switch (post) {
    case Post::plug:
        return {kind_of(post), "", strip_of(contact, area_mm2)};
    case Post::joint:
        return {kind_of(post), "", strip_of(splice, area_mm2)};
    default:
        return {kind_of(post), "", strip_of(lug, area_mm2)};
    }
}

std::optional<std::string> own_fitting(const Vehicle& vehicle, TerminalRef at) {
    const Device& device = vehicle.device(at.device);
    if (supplied_lead_at(vehicle, at) != nullptr ||
        (device.as<Relay>() == nullptr && device.as<Flasher>() == nullptr &&
         device.as<Protection>() == nullptr)) {
        return std::nullopt;
    }
    return kind_of(post_of(vehicle, at));
}

} // namespace loomwright
