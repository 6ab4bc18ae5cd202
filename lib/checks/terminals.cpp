// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// terminal-rating: what terminals carry against their rating, and whether the wire fits the
// fitting.
//
//   connector   current through each cavity <= `contact` of the connector, or of its mate
//   tab, ring   current that a terminal takes in (the sum of its wires, by their sign) <= table
//               fittings; least <= sum of the areas of the wires in one barrel <= most, of parts
//               whose terminals are known, by the stock or the table
//
// Currents are of the states that last: cranking is too short to heat a terminal through.
#include "base/display.hpp"
#include "checks/contact_loads.hpp"
#include "checks/wording.hpp"
#include "sizing/fittings.hpp"
#include "sizing/judged.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double area_rounding = 1e-9;

/// The largest of a current over the states that last.
struct Most {
    double amps = 0.0;
    StateId state;
};
template <typename AmpsIn> Most largest(const CheckInput& input, const AmpsIn& amps_in) {
    Most out;
    for (const StateSolution* state : judged_states(input.sizing)) {
        if (!state->converged || is_cranking(input.study.vehicle, state->state)) {
            continue;
        }
        const double amps = std::abs(amps_in(*state));
        if (is_clearly_more(amps, out.amps)) {
            out = {amps, state->state};
        }
    }
    return out;
}

/// The cavity of a connector that is beyond its rating by most, and the others that are; one
/// finding a connector.
void check_connector(const CheckInput& input, DeviceId id, Findings& findings) {
    const Network& network = input.study.network;
    const Device& device = input.study.vehicle.device(id);
    const Branch* worst = nullptr;
    Most most;
    double rating_a = 0.0;
    std::vector<const Branch*> over;
    for (const int index : network.device_branches[id.index()]) {
        const auto at = static_cast<std::size_t>(index);
        const Branch& joint = network.branches[at];
        const auto rating = cavity_rating(input.study.vehicle, id);
        if (joint.kind != BranchKind::joint || joint.device != id || !rating) {
            continue;
        }
        const Most here =
            largest(input, [&](const StateSolution& state) { return state.branch_amps[at]; });
        if (here.amps <= *rating) {
            continue;
        }
        over.push_back(&joint);
        if (is_clearly_more(here.amps, most.amps)) {
            worst = &joint;
            most = here;
            rating_a = *rating;
        }
    }
    if (worst == nullptr) {
        return;
    }
    const auto cavity = [&](const Branch& joint) {
        return device.terminals[static_cast<std::size_t>(joint.part)];
    };
    std::vector<std::string> others;
    for (const Branch* joint : over) {
        if (joint != worst) {
            others.push_back(cavity(*joint));
        }
    }
    Finding& finding = findings.add(
        Rule::terminal_rating, device.name, place_of(device),
        fmt::format("cavity {} carries {} in {}; its contacts are rated {}{}", cavity(*worst),
                    show(Amps(most.amps)), state_name(input.study.vehicle, most.state),
                    show(Amps(rating_a)), also_over(others)),
        "share the current between two cavities, or use a connector with larger contacts");
    finding.figures = {seen("current", most.amps, "A"), limit_of("contact rating", rating_a, "A")};
    finding.source = "the connector's own rating, the vehicle file";
}

/// The wires that end at one terminal, in one barrel or several.
struct Ending {
    TerminalRef at;
    Half half = Half::arriving;
    std::vector<WireId> wires;
    std::vector<const Crimp*> crimps;
};

std::vector<Ending> endings(const EndFittings& fittings) {
    std::vector<Ending> out;
    for (const Crimp& crimp : fittings.crimps()) {
        // The crimps of one terminal follow one another.
        if (out.empty() || out.back().at != crimp.at || out.back().half != crimp.half) {
            out.push_back({crimp.at, crimp.half, {}, {}});
        }
        out.back().wires.insert(out.back().wires.end(), crimp.wires.begin(), crimp.wires.end());
        out.back().crimps.push_back(&crimp);
    }
    return out;
}

/// What a terminal takes in from its wires.
double amps_into(const Vehicle& vehicle, const Ending& ending, const StateSolution& state) {
    double sum = 0.0;
    for (const WireId id : ending.wires) {
        const double amps = state.wires[id.index()].amps;
        sum += vehicle.wire(id).to == ending.at ? amps : -amps;
    }
    return sum;
}

void check_current(const CheckInput& input, const Ending& ending, const FittingType& fitting,
                   Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Most most = largest(
        input, [&](const StateSolution& state) { return amps_into(vehicle, ending, state); });
    if (!fitting.current || most.amps <= fitting.current->value()) {
        return;
    }
    const Device& device = vehicle.device(ending.at.device);
    Finding& finding =
        findings.add(Rule::terminal_rating, device.name, place_of(device),
                     fmt::format("{} takes {} in {}; a {} carries {}", vehicle.show(ending.at),
                                 show(Amps(most.amps)), state_name(vehicle, most.state),
                                 fitting.name, show(*fitting.current)),
                     "use a part with larger terminals, or share the load between two");
    finding.severity = Severity::caution; // of what is usual, not of the part that is bought
    finding.figures = {seen("current", most.amps, "A"),
                       limit_of("terminal rating", fitting.current->value(), "A")};
    finding.source = "tables fittings: " + fitting.current_origin.source;
}

/// "1.5 mm2", or "1.5 mm2 and 0.75 mm2 together".
std::string sizes_of(const CheckInput& input, const Crimp& crimp) {
    std::vector<std::string> sizes;
    for (const WireId wire : crimp.wires) {
        sizes.push_back(show(input.sizing.design.wires[wire.index()].conductor->size));
    }
    return list_of(sizes) + (sizes.size() > 1 ? " together" : "");
}

Finding& report_fit(const CheckInput& input, const Crimp& crimp, std::string message,
                    std::string remedy, Findings& findings) {
    const Wire& wire = input.study.vehicle.wire(crimp.wires.front());
    Finding& finding =
        findings.add(Rule::terminal_rating, wire.number, wire.size ? wire.size->where : wire.where,
                     std::move(message), std::move(remedy));
    finding.figures = {seen("area", crimp.area.value(), "m2")};
    for (std::size_t i = 1; i < crimp.wires.size(); ++i) {
        finding.related.push_back(
            {input.study.vehicle.wire(crimp.wires[i]).where, "the wire in the same barrel"});
    }
    return finding;
}

/// A terminal of the tables against the wires in its barrel.
void check_range(const CheckInput& input, const Crimp& crimp, const FittingType& fitting,
                 Findings& findings) {
    const double area = crimp.area.value();
    const bool is_thick = area > fitting.most.value() * (1.0 + area_rounding);
    if (!is_thick && area >= fitting.least.value() * (1.0 - area_rounding)) {
        return;
    }
    Finding& finding = report_fit(
        input, crimp,
        fmt::format("{} {} too {} for the {} of {}, which takes {} to {}", sizes_of(input, crimp),
                    crimp.wires.size() > 1 ? "are" : "is", is_thick ? "thick" : "thin",
                    fitting.name, input.study.vehicle.show(crimp.at), show(fitting.least),
                    show(fitting.most)),
        is_thick ? "use a part with larger terminals, or join a thinner wire to it near by"
                 : "use a thicker wire, or a fitting made for this one",
        findings);
    finding.severity = Severity::caution;
    finding.figures.push_back(is_thick ? limit_of("thickest wire", fitting.most.value(), "m2")
                                       : least_of("thinnest wire", fitting.least.value(), "m2"));
    finding.source = "tables fittings: " + fitting.range_origin.source;
}

/// The shop's own terminal first, by what its data sheet says; else that of the tables. What the
/// terminal asks for by itself (`own`) holds, though the wire would be met by another.
void check_fit(const CheckInput& input, const EndFittings& fittings, const Crimp& crimp,
               const std::string& own, Findings& findings) {
    const EndFitting made = fittings.fitting(crimp);
    const bool is_own = made.kind == own;
    if (is_own && made.is_out_of_range) {
        report_fit(input, crimp,
                   fmt::format("{} {} in no {} of the stock, at {}", sizes_of(input, crimp),
                               crimp.wires.size() > 1 ? "fit" : "fits", own,
                               input.study.vehicle.show(crimp.at)),
                   "add the terminal for it to the stock, or choose another wire", findings)
            .source = "the shop's own stock";
    } else if (!is_own || made.stock == nullptr || !made.stock->most_area) {
        if (const FittingType* row = input.study.catalogue.find_fitting(own)) {
            check_range(input, crimp, *row, findings);
        }
    }
}

} // namespace

void check_terminals(const CheckInput& input, Findings& findings) {
    for (std::size_t i = 0; i < input.study.vehicle.devices.size(); ++i) {
        if (input.study.vehicle.devices[i].as<Connector>() != nullptr) {
            check_connector(input, DeviceId(i), findings);
        }
    }
    const EndFittings fittings(input.study.vehicle, input.study.catalogue, input.sizing.design);
    for (const Ending& ending : endings(fittings)) {
        const auto kind =
            own_fitting(input.study.vehicle, input.study.catalogue, ending.at, ending.half);
        if (!kind) {
            continue;
        }
        const FittingType* fitting = input.study.catalogue.find_fitting(*kind);
        // What a fuse's own terminals carry is its rating: fuse-loading. A connector's is
        // `contact`.
        const Device& device = input.study.vehicle.device(ending.at.device);
        const auto* connector = device.as<Connector>();
        const bool has_own = connector != nullptr && connector->contact.has_value();
        if (fitting != nullptr && !has_own && device.as<Protection>() == nullptr) {
            check_current(input, ending, *fitting, findings);
        }
        for (const Crimp* crimp : ending.crimps) {
            check_fit(input, fittings, *crimp, *kind, findings);
        }
    }
}

} // namespace loomwright
