// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// Fittings by the kind of device and the wire's area; lengths stripped by the kind of barrel.
//
//   A = sum of the areas of the wires in one barrel (NASA-STD-8739.4 19.11: add the circular mils)
//   strip = the stock's own, else tables strip-lengths by barrel and A
//
// Everything else here is common practice of the trade, no source: studs of batteries and starters
// are M8, control terminals of relays and switches are 6.3 mm blades (those of high-current relays
// 9.5 mm), a 6.3 mm receptacle takes wire up to 6 mm2 and a 9.5 mm one up to 10 mm2, anything
// thicker is bolted. All rings of a stud are for one bolt, which its thickest wire decides. Valid
// up to 120 mm2.
#include "sizing/fittings.hpp"

#include "sizing/stock.hpp"

#include <algorithm>
#include <utility>

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

bool is_bolted(Post post) {
    return post == Post::stud_m5 || post == Post::stud_m6 || post == Post::stud_m8;
}

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

/// The plug that wires reach a terminal through: the device's own, or its housing's.
const PlugFace* plug_of(const Vehicle& vehicle, DeviceId id) {
    const Device& device = vehicle.device(id);
    if (device.plug) {
        return &*device.plug;
    }
    return device.housing.is_valid() ? plug_of(vehicle, device.housing) : nullptr;
}

/// What a plug names for its cavities; of a mated pair the other half has what is pushed into it.
std::string plug_fitting(const Vehicle& vehicle, const Catalogue& catalogue, TerminalRef at,
                         Half half) {
    const PlugFace* plug = plug_of(vehicle, at.device);
    if (plug == nullptr || plug->fitting.empty()) {
        return {};
    }
    const FittingType* row = catalogue.find_fitting(plug->fitting);
    return half == Half::leaving && row != nullptr && !row->mate.empty() ? row->mate
                                                                         : plug->fitting;
}

/// Adds what is the same for every kind: the part of the stock, what comes off.
void complete(EndFitting& made, const Vehicle& vehicle, const Catalogue& catalogue,
              SquareMetres area) {
    made.stock = find_stock_terminal(vehicle, catalogue, made.kind, area);
    made.is_out_of_range = made.stock == nullptr && has_stock_terminal(vehicle, made.kind);
    const FittingType* row = catalogue.find_fitting(made.kind);
    made.strip = catalogue.strip_length(row != nullptr ? row->barrel : "contact", area);
    if (made.stock != nullptr) {
        made.strip = made.stock->strip.value_or(made.strip);
        made.crimp_height = made.stock->crimp_height;
    }
}

/// What is crimped at a terminal.
struct Copper {
    SquareMetres together; ///< of all crimps there: whether a bolt is needed
    SquareMetres thickest; ///< crimp: which bolt
    SquareMetres here;     ///< in the crimp at hand: which barrel
};

std::string kind_at(const Vehicle& vehicle, const Catalogue& catalogue, TerminalRef at,
                    const Copper& copper, Half half) {
    if (supplied_lead_at(vehicle, at) != nullptr) {
        return "crimp splice";
    }
    if (std::string named = plug_fitting(vehicle, catalogue, at, half); !named.empty()) {
        return named;
    }
    const Post own = post_of(vehicle, at);
    const Post met = post_for(own, copper.together.value() * to_mm2);
    const Post bolt = is_bolted(own) ? own : Post::stud_m6;
    return kind_of(is_bolted(met) ? post_for(bolt, copper.thickest.value() * to_mm2) : met);
}

EndFitting made_fitting(const Vehicle& vehicle, const Catalogue& catalogue, TerminalRef at,
                        const Copper& copper, Half half) {
    EndFitting out;
    out.kind = kind_at(vehicle, catalogue, at, copper, half);
    if (const SuppliedLead* lead = supplied_lead_at(vehicle, at)) {
        out.note = "to supplied lead " + lead->name;
    }
    complete(out, vehicle, catalogue, copper.here);
    return out;
}

bool is_mated_pair(const Device& device) {
    const auto* connector = device.as<Connector>();
    return connector != nullptr && !connector->mate.is_valid();
}

} // namespace

EndFittings::EndFittings(const Vehicle& vehicle, const Catalogue& catalogue, const Design& design)
    : vehicle_(vehicle), catalogue_(catalogue), design_(design),
      of_wire_(vehicle.wires.size(), {0, 0}), by_device_(vehicle.devices.size()) {
    std::vector<std::vector<std::vector<Landing>>> landings(vehicle.devices.size());
    gather(landings);
    std::vector<std::vector<std::uint8_t>> done(landings.size());
    for (std::size_t d = 0; d < landings.size(); ++d) {
        done[d].resize(landings[d].size(), 0);
    }
    for (const Wire& wire : vehicle.wires) {
        for (const TerminalRef at : {wire.from, wire.to}) {
            const auto t = static_cast<std::size_t>(at.terminal);
            if (std::exchange(done[at.device.index()][t], 1) == 0) {
                add_crimps(at, landings[at.device.index()][t]);
            }
        }
    }
}

void EndFittings::gather(std::vector<std::vector<std::vector<Landing>>>& landings) const {
    for (std::size_t i = 0; i < vehicle_.wires.size(); ++i) {
        const Wire& wire = vehicle_.wires[i];
        for (const bool at_from : {true, false}) {
            const TerminalRef at = at_from ? wire.from : wire.to;
            auto& terminals = landings[at.device.index()];
            const auto t = static_cast<std::size_t>(at.terminal);
            terminals.resize(std::max(terminals.size(), t + 1));
            terminals[t].push_back({WireId(i), at_from});
        }
    }
}

void EndFittings::add_crimps(TerminalRef at, const std::vector<Landing>& landings) {
    if (is_mated_pair(vehicle_.device(at.device))) {
        std::vector<Landing> arriving;
        std::vector<Landing> leaving;
        for (const Landing& landing : landings) {
            (landing.at_from ? leaving : arriving).push_back(landing);
        }
        // Written from both ends towards the connector: the first wire has a half to itself, as in
        // the network.
        if ((arriving.empty() || leaving.empty()) && landings.size() > 1) {
            arriving.assign(landings.begin() + 1, landings.end());
            leaving.assign(1, landings.front());
        }
        add(at, Half::arriving, arriving);
        add(at, Half::leaving, leaving);
        return;
    }
    SquareMetres sum;
    for (const Landing& landing : landings) {
        sum += area_of(landing.wire);
    }
    // Each wire has a lug of its own on a bolt; elsewhere all are crimped into one barrel.
    if (!kind_at(vehicle_, catalogue_, at, {sum, sum, sum}, Half::arriving).starts_with("ring")) {
        add(at, Half::arriving, landings);
        return;
    }
    for (const Landing& landing : landings) {
        add(at, Half::arriving, {landing});
    }
}

void EndFittings::add(TerminalRef at, Half half, const std::vector<Landing>& landings) {
    if (landings.empty()) {
        return;
    }
    const std::size_t index = crimps_.size();
    Crimp crimp{at, half, {}, {}};
    for (const Landing& landing : landings) {
        crimp.wires.push_back(landing.wire);
        crimp.area += area_of(landing.wire);
        of_wire_[landing.wire.index()][landing.at_from ? 0 : 1] = index;
    }
    if (const SuppliedLead* lead = supplied_lead_at(vehicle_, at)) {
        const Conductor* conductor = catalogue_.find_conductor(lead->size);
        crimp.area += conductor != nullptr ? conductor->area : SquareMetres();
    }
    crimps_.push_back(std::move(crimp));
    by_device_[at.device.index()].push_back(index);
}

SquareMetres EndFittings::area_of(WireId wire) const {
    const Conductor* conductor = design_.wires[wire.index()].conductor;
    return conductor != nullptr ? conductor->area : SquareMetres();
}

const Crimp& EndFittings::crimp(WireId wire, bool at_from) const {
    return crimps_[of_wire_[wire.index()][at_from ? 0 : 1]];
}

EndFitting EndFittings::fitting(const Crimp& crimp) const {
    Copper copper{{}, crimp.area, crimp.area};
    for (const std::size_t other : by_device_[crimp.at.device.index()]) {
        if (crimps_[other].at == crimp.at && crimps_[other].half == crimp.half) {
            copper.together += crimps_[other].area;
            copper.thickest = std::max(copper.thickest, crimps_[other].area);
        }
    }
    return made_fitting(vehicle_, catalogue_, crimp.at, copper, crimp.half);
}

EndFitting end_fitting(const Vehicle& vehicle, const Catalogue& catalogue, TerminalRef at,
                       SquareMetres area, Half half) {
    return made_fitting(vehicle, catalogue, at, {area, area, area}, half);
}

std::optional<std::string> own_fitting(const Vehicle& vehicle, const Catalogue& catalogue,
                                       TerminalRef at, Half half) {
    if (supplied_lead_at(vehicle, at) != nullptr) {
        return std::nullopt;
    }
    if (std::string named = plug_fitting(vehicle, catalogue, at, half); !named.empty()) {
        return named;
    }
    const Device& device = vehicle.device(at.device);
    if (device.as<Relay>() == nullptr && device.as<Flasher>() == nullptr &&
        device.as<Protection>() == nullptr) {
        return std::nullopt;
    }
    return kind_of(post_of(vehicle, at));
}

} // namespace loomwright
