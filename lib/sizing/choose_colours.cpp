// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// For each wire in the order of the file: its base by duty (wire_duties.hpp), else one that its
// circuit takes in turn; then the first of base, base/tracer, base/tracer/tracer that no wire in
// one of its runs or in another cavity of its connectors has. Tracers that are hard to tell from
// their base stand last (brown and orange on red: DIN 72551-7, read; the others common practice, no
// source). GNYE is for protective earth alone and never chosen; GD and SR are not made as wire
// (common practice, no source).
#include "sizing/choose_colours.hpp"

#include "sizing/wire_duties.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 12> codes = {"BK", "WH", "RD", "YE", "GN", "BU",
                                                    "BN", "GY", "VT", "OG", "PK", "TQ"};
/// Bases of circuits that custom gives none, in turn.
constexpr std::array<std::string_view, 8> free_bases = {"BU", "GN", "VT", "OG",
                                                        "WH", "YE", "GY", "PK"};
constexpr std::string_view in_turn = "common practice, no source";

struct HardToTell {
    std::string_view base;
    std::string_view tracers;
};
constexpr std::array hard_to_tell = {
    HardToTell{"RD", "BN OG PK"}, HardToTell{"BN", "RD OG VT"}, HardToTell{"BK", "BN BU VT"},
    HardToTell{"WH", "YE PK GY"}, HardToTell{"YE", "WH OG PK"}, HardToTell{"GN", "BU TQ GY"},
    HardToTell{"BU", "VT GN TQ"}, HardToTell{"VT", "BU BN BK"}, HardToTell{"GY", "WH TQ PK"},
    HardToTell{"OG", "RD YE BN"}, HardToTell{"PK", "WH RD GY"}, HardToTell{"TQ", "BU GN GY"}};

bool is_hard(std::string_view base, std::string_view tracer) {
    const auto* const row = std::ranges::find(hard_to_tell, base, &HardToTell::base);
    return row != hard_to_tell.end() && row->tracers.find(tracer) != std::string_view::npos;
}

std::vector<std::string_view> tracers_of(std::string_view base) {
    std::vector<std::string_view> out;
    for (const std::string_view code : codes) {
        if (code != base) {
            out.push_back(code);
        }
    }
    std::stable_partition(out.begin(), out.end(),
                          [base](std::string_view code) { return !is_hard(base, code); });
    return out;
}

/// Every colour with this base, in the order in which they are tried.
std::vector<std::string> colours_of(std::string_view base) {
    const std::vector<std::string_view> tracers = tracers_of(base);
    std::vector<std::string> out{std::string(base)};
    for (const std::string_view tracer : tracers) {
        out.push_back(fmt::format("{}/{}", base, tracer));
    }
    for (const std::string_view first : tracers) {
        for (const std::string_view second : tracers) {
            if (first != second) {
                out.push_back(fmt::format("{}/{}/{}", base, first, second));
            }
        }
    }
    return out;
}

/// Where wires lie side by side: a run, or a connector. Of a connector, the two wires of one cavity
/// are not beside one another.
struct Side {
    int scope = 0;
    int cavity = -1; ///< of a connector
};

/// Which wires have which colour in every scope.
class Neighbours {
public:
    explicit Neighbours(const StudyInput& study) {
        sides_.resize(study.vehicle.wires.size());
        const int runs = static_cast<int>(study.vehicle.runs.size());
        for (std::size_t i = 0; i < sides_.size(); ++i) {
            for (const RunId run : study.routing.wires[i].runs) {
                add_side(i, {static_cast<int>(run.index()), -1});
            }
            const Wire& wire = study.vehicle.wires[i];
            for (const TerminalRef end : {wire.from, wire.to}) {
                if (has_cavities(study.vehicle.device(end.device))) {
                    add_side(i, {runs + static_cast<int>(end.device.index()), end.terminal});
                }
            }
        }
        taken_.resize(static_cast<std::size_t>(runs) + study.vehicle.devices.size());
    }

    /// A wire beside this one that has the colour; invalid: none.
    [[nodiscard]] WireId with(WireId wire, const std::string& colour) const {
        for (const Side& side : sides_[wire.index()]) {
            const auto& taken = taken_[static_cast<std::size_t>(side.scope)];
            const auto found = taken.find(colour);
            if (found == taken.end()) {
                continue;
            }
            for (const auto& [other, cavity] : found->second) {
                if (other != wire && (side.cavity < 0 || cavity != side.cavity)) {
                    return other;
                }
            }
        }
        return {};
    }
    void give(WireId wire, const std::string& colour) {
        for (const Side& side : sides_[wire.index()]) {
            taken_[static_cast<std::size_t>(side.scope)][colour].emplace_back(wire, side.cavity);
        }
    }

private:
    /// Parts whose wires plug into one housing side by side.
    static bool has_cavities(const Device& device) {
        return device.as<Connector>() != nullptr || device.as<Controller>() != nullptr ||
               device.as<Unit>() != nullptr || device.plug.has_value();
    }
    void add_side(std::size_t wire, Side side) {
        const auto same = [&side](const Side& other) {
            return other.scope == side.scope && other.cavity == side.cavity;
        };
        if (std::ranges::none_of(sides_[wire], same)) {
            sides_[wire].push_back(side);
        }
    }

    std::vector<std::vector<Side>> sides_; ///< by WireId
    std::vector<std::map<std::string, std::vector<std::pair<WireId, int>>, std::less<>>> taken_;
};

/// The colours in which the shop has this wire; empty: its stock names none.
std::set<std::string> stock_colours(const Vehicle& vehicle, const WireDesign& design) {
    std::set<std::string> out;
    for (const StockItem& item : vehicle.stock) {
        const bool fits =
            item.kind == "wire" && !item.colour.empty() &&
            (!item.size || (design.conductor != nullptr && *item.size == design.conductor->size)) &&
            (item.insulation.empty() ||
             (design.insulation != nullptr && item.insulation == design.insulation->name));
        if (fits) {
            out.insert(item.colour);
        }
    }
    return out;
}

/// The colour that goes on through each cavity of a connector, on both sides of it.
class Cavities {
public:
    explicit Cavities(const Vehicle& vehicle) : vehicle_(vehicle) {}

    void give(const Wire& wire, const std::string& colour) {
        for (const TerminalRef end : {wire.from, wire.to}) {
            if (const auto key = key_of(end)) {
                colours_.try_emplace(*key, colour);
            }
        }
    }
    /// The colours that arrive where the wire goes on.
    [[nodiscard]] std::vector<std::string> arriving(const Wire& wire) const {
        std::vector<std::string> out;
        for (const TerminalRef end : {wire.from, wire.to}) {
            const auto key = key_of(end);
            const auto found = key ? colours_.find(*key) : colours_.end();
            if (found != colours_.end()) {
                out.push_back(found->second);
            }
        }
        return out;
    }

private:
    using Key = std::pair<std::size_t, std::string>; ///< of the two halves the first in the file
    [[nodiscard]] std::optional<Key> key_of(TerminalRef end) const {
        const Device& device = vehicle_.device(end.device);
        const auto* connector = device.as<Connector>();
        if (connector == nullptr) {
            return std::nullopt;
        }
        const std::size_t own = end.device.index();
        const std::size_t first =
            connector->mate.is_valid() ? std::min(own, connector->mate.index()) : own;
        return Key{first, device.terminals[static_cast<std::size_t>(end.terminal)]};
    }

    const Vehicle& vehicle_;
    std::map<Key, std::string> colours_;
};

class Chooser {
public:
    Chooser(const StudyInput& study, const Design& design)
        : study_(study), design_(design), duties_(wire_duties(study)), neighbours_(study),
          cavities_(study.vehicle) {
        for (std::size_t i = 0; i < study.vehicle.wires.size(); ++i) {
            const Wire& wire = study.vehicle.wires[i];
            if (!wire.colour_is_auto && !wire.colour.empty()) {
                give(WireId(i), wire.colour);
            }
        }
    }

    std::vector<ColourChoice> choose() {
        std::vector<ColourChoice> out;
        for (std::size_t i = 0; i < study_.vehicle.wires.size(); ++i) {
            if (study_.vehicle.wires[i].colour_is_auto) {
                out.push_back(choose_one(WireId(i)));
                if (!out.back().colour.empty()) {
                    give(WireId(i), out.back().colour);
                }
            }
        }
        return out;
    }

private:
    void give(WireId wire, const std::string& colour) {
        neighbours_.give(wire, colour);
        cavities_.give(study_.vehicle.wire(wire), colour);
    }

    void set_base(ColourChoice& choice) const {
        const WireDuty& duty = duties_[choice.wire.index()];
        choice.base = duty.base;
        choice.why = duty.why;
        choice.source = duty.source;
        if (duty.base.empty()) {
            const CircuitId circuit = study_.vehicle.wire(choice.wire).circuit;
            choice.base = free_bases[circuit.index() % free_bases.size()];
            choice.why = "colour of circuit " + study_.vehicle.circuit(circuit).number;
            choice.source = in_turn;
        }
    }

    /// The colours of this base, then those of the bases that no custom binds.
    const std::vector<std::string>& listed(const std::string& base) {
        const auto [found, is_new] = listed_.try_emplace(base);
        if (is_new) {
            found->second = colours_of(base);
            for (const std::string_view other : free_bases) {
                if (other != base) {
                    const std::vector<std::string> more = colours_of(other);
                    found->second.insert(found->second.end(), more.begin(), more.end());
                }
            }
        }
        return found->second;
    }

    ColourChoice choose_one(WireId wire) {
        ColourChoice choice;
        choice.wire = wire;
        set_base(choice);
        const std::set<std::string> stock =
            stock_colours(study_.vehicle, design_.wires[wire.index()]);
        const auto is_in_stock = [&stock](const std::string& colour) {
            return stock.empty() || stock.contains(colour);
        };
        for (const std::string& colour : cavities_.arriving(study_.vehicle.wire(wire))) {
            if (is_in_stock(colour) && !neighbours_.with(wire, colour).is_valid()) {
                choice.colour = colour;
                choice.goes_on = true;
                choice.from_stock = !stock.empty();
                return choice;
            }
        }
        std::string first;
        for (const std::string& colour : listed(choice.base)) {
            if (!is_in_stock(colour)) {
                continue;
            }
            first = first.empty() ? colour : first;
            if (!neighbours_.with(wire, colour).is_valid()) {
                choice.colour = colour;
                break;
            }
            ++choice.taken;
        }
        choice.from_stock = !stock.empty() && !first.empty();
        if (choice.colour.empty()) {
            choice.colour = first;
            choice.clash = first.empty() ? WireId() : neighbours_.with(wire, first);
        }
        return choice;
    }

    const StudyInput& study_;
    const Design& design_;
    std::vector<WireDuty> duties_;
    Neighbours neighbours_;
    Cavities cavities_;
    std::map<std::string, std::vector<std::string>, std::less<>> listed_;
};

} // namespace

std::vector<ColourChoice> choose_colours(const StudyInput& study, const Design& design) {
    const auto is_auto = [](const Wire& wire) { return wire.colour_is_auto; };
    if (std::ranges::none_of(study.vehicle.wires, is_auto)) {
        return {};
    }
    return Chooser(study, design).choose();
}

} // namespace loomwright
