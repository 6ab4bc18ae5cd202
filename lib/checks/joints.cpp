// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What is crimped together, against what a barrel, a seal and a bolt take.
//
//   seal-range    one wire in a sealed cavity; least <= D <= most of a seal of the stock, D the
//                 wire's outside diameter
//   splice-size   sum of the areas of all its wires <= most of a barrel (the stock's, else tables
//                 fittings); number of wires <= tables defaults, splice-wires
//   splice-place  splices of one run >= tables defaults, splice-stagger apart, each within the run
//   stud-lugs     lugs <= `lugs` of the stud or ground, else tables defaults, stud-lugs
//
// Areas of wires in one barrel add up: NASA-STD-8739.4 19.11.
#include "checks/checks.hpp"
#include "checks/stud_lugs.hpp"
#include "checks/wording.hpp"

#include "base/display.hpp"
#include "sizing/plug_halves.hpp"
#include "sizing/stock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace loomwright {
namespace {

constexpr double length_rounding = 1e-9;

/// The thickest and the thinnest wire that any seal of the stock closes on.
struct SealSpan {
    std::optional<Metres> least;
    std::optional<Metres> most;
};

SealSpan seal_span(const Vehicle& vehicle) {
    SealSpan out;
    for (const StockItem& item : vehicle.stock) {
        if (item.kind == "seal" && item.most_diameter) {
            out.least = std::min(out.least.value_or(*item.least_diameter), *item.least_diameter);
            out.most = std::max(out.most.value_or(*item.most_diameter), *item.most_diameter);
        }
    }
    return out;
}

class JointCheck {
public:
    JointCheck(const CheckInput& input, Findings& findings)
        : input_(input), vehicle_(input.study.vehicle), catalogue_(input.study.catalogue),
          findings_(findings), fittings_(vehicle_, catalogue_, input.sizing.design),
          seals_(seal_span(vehicle_)) {}

    void check_all() {
        for (const PlugHalf& half : plug_halves(input_.study, input_.sizing.design, fittings_)) {
            if (half.face->is_sealed) {
                check_seals(half);
            }
        }
        for (const Crimp& crimp : fittings_.crimps()) {
            if (vehicle_.device(crimp.at.device).as<Splice>() != nullptr) {
                check_splice(crimp);
            }
        }
        check_places();
        for (std::size_t i = 0; i < vehicle_.devices.size(); ++i) {
            const Device& device = vehicle_.devices[i];
            if (device.as<Stud>() != nullptr || device.as<Ground>() != nullptr) {
                check_lugs(DeviceId(i), device);
            }
        }
    }

private:
    void check_seals(const PlugHalf& half) {
        for (const Cavity& cavity : half.cavities) {
            if (cavity.wires.size() > 1) {
                report_two_wires(half, cavity);
            } else if (cavity.wires.size() == 1 && cavity.seal == nullptr && seals_.most) {
                report_no_seal(half, cavity);
            }
        }
    }

    void report_two_wires(const PlugHalf& half, const Cavity& cavity) {
        const Device& device = vehicle_.device(half.device);
        std::vector<std::string> numbers;
        for (const WireId wire : cavity.wires) {
            numbers.push_back(vehicle_.wire(wire).number);
        }
        Finding& finding = findings_.add(
            Rule::seal_range, device.name, device.plug->where,
            fmt::format("cavity {} of {} has the wires {}; a seal closes on one", cavity.name,
                        half.name, list_of(numbers)),
            "join them in a splice before the connector, and lead one wire to the cavity");
        finding.figures = {seen("wires", static_cast<double>(cavity.wires.size()), ""),
                           limit_of("most", 1.0, "")};
        finding.source = "common practice, no source";
        for (const WireId wire : cavity.wires) {
            finding.related.push_back(
                {vehicle_.wire(wire).where, "wire " + vehicle_.wire(wire).number});
        }
    }

    void report_no_seal(const PlugHalf& half, const Cavity& cavity) {
        const Device& device = vehicle_.device(half.device);
        const Wire& wire = vehicle_.wire(cavity.wires.front());
        const double outside_m = cavity.outside.value();
        Finding& finding = findings_.add(
            Rule::seal_range, wire.number, wire.where,
            fmt::format("no seal of the stock closes on it: it is {} thick outside, in cavity {} "
                        "of {}",
                        millimetres(cavity.outside), cavity.name, half.name),
            "add the seal to the stock, or choose a wire or an insulation that one of them takes");
        finding.figures = {seen("outside diameter", outside_m, "m")};
        if (outside_m > seals_.most->value()) {
            finding.figures.push_back(limit_of("widest seal", seals_.most->value(), "m"));
        } else {
            finding.figures.push_back(outside_m < seals_.least->value()
                                          ? least_of("narrowest seal", seals_.least->value(), "m")
                                          : given("widest seal", seals_.most->value(), "m"));
        }
        finding.related.push_back({device.plug->where, "the sealed cavity"});
    }

    void check_splice(const Crimp& crimp) {
        const Device& device = vehicle_.device(crimp.at.device);
        const EndFitting fitting = fittings_.fitting(crimp);
        const FittingType* barrel = catalogue_.find_splice_barrel(crimp.area);
        const auto say = [&](std::string message) -> Finding& {
            return findings_.add(Rule::splice_size, device.name, device.where, std::move(message),
                                 "part it in two splices with a wire between them");
        };
        if (fitting.is_out_of_range) {
            Finding& finding =
                say(fmt::format("its wires are {} in all, and no splice of the stock takes that",
                                show(crimp.area)));
            finding.figures = {seen("area in all", crimp.area.value(), "m2")};
            finding.source = "the shop's own stock";
        } else if (fitting.stock == nullptr && barrel == nullptr) {
            const FittingType* widest = widest_barrel();
            Finding& finding =
                say(fmt::format("its wires are {} in all; the largest barrel takes {}",
                                show(crimp.area), show(widest->most)));
            finding.figures = {seen("area in all", crimp.area.value(), "m2"),
                               limit_of("largest barrel", widest->most.value(), "m2")};
            finding.source = "tables fittings: " + widest->range_origin.source;
        }
        const DefaultValue& most = catalogue_.default_value("splice-wires");
        const auto wires = static_cast<double>(crimp.wires.size());
        if (wires > most.value) {
            Finding& finding = say(fmt::format("it joins {} wires; one crimp takes {}",
                                               crimp.wires.size(), show_number(most.value)));
            finding.figures = {seen("wires", wires, ""), limit_of("most", most.value, "")};
            finding.source = source_of(most);
        }
    }

    [[nodiscard]] const FittingType* widest_barrel() const {
        const FittingType* out = nullptr;
        for (const FittingType& row : catalogue_.fittings()) {
            if (row.name.starts_with("splice barrel") && (out == nullptr || row.most > out->most)) {
                out = &row;
            }
        }
        return out;
    }

    void check_places() {
        std::map<RunId, std::vector<const SplicePlace*>> by_run;
        for (const SplicePlace& place : input_.study.routing.splices) {
            if (place.along.is_valid()) {
                check_within(place);
                by_run[place.along].push_back(&place);
            }
        }
        for (const auto& [run, places] : by_run) {
            check_apart(run, places);
        }
    }

    [[nodiscard]] Metres length_of(RunId run) const {
        return input_.study.routing.run_lengths[run.index()];
    }

    void check_within(const SplicePlace& place) {
        const Device& device = vehicle_.device(place.splice);
        const Run& run = vehicle_.run(place.along);
        const Metres length = length_of(place.along);
        if (!place.has_room) {
            const DefaultValue& apart = catalogue_.default_value("splice-stagger");
            Finding& finding = findings_.add(
                Rule::splice_place, device.name, device.where,
                fmt::format("run {} of {} has no place for it {} from the other splices there",
                            run.name, show(length), millimetres(Metres(apart.value))),
                "move a splice to another point, or write the `offset` of each");
            finding.figures = {given("length of the run", length.value(), "m")};
            finding.source = source_of(apart);
        } else if (place.offset.value() > length.value() * (1.0 + length_rounding)) {
            Finding& finding = findings_.add(
                Rule::splice_place, device.name, device.as<Splice>()->offset->where,
                fmt::format("it is {} along run {}, which is {} long", show(place.offset), run.name,
                            show(length)),
                "write an offset within the run, or move the splice to its other end");
            finding.figures = {seen("offset", place.offset.value(), "m"),
                               limit_of("length of the run", length.value(), "m")};
            finding.source = "the vehicle file";
        }
    }

    void check_apart(RunId run, std::vector<const SplicePlace*> places) {
        const DefaultValue& least = catalogue_.default_value("splice-stagger");
        const auto position = [&](const SplicePlace* place) {
            return position_in_run(vehicle_, *place, length_of(run)).value();
        };
        std::ranges::stable_sort(places, {}, position);
        for (std::size_t i = 1; i < places.size(); ++i) {
            const SplicePlace* a = places[i - 1];
            const SplicePlace* b = places[i];
            const double apart_m = position(b) - position(a);
            if (apart_m >= least.value * (1.0 - length_rounding) ||
                (!a->is_given && !b->is_given)) {
                continue; // where the file says nothing the program sets them apart itself
            }
            const SplicePlace* told = b->is_given ? b : a;
            const Device& device = vehicle_.device(told->splice);
            const Device& other = vehicle_.device((told == b ? a : b)->splice);
            Finding& finding = findings_.add(
                Rule::splice_place, device.name, device.as<Splice>()->offset->where,
                fmt::format("it is {} from {} in run {}: the loom has a lump there",
                            millimetres(Metres(apart_m)), other.name, vehicle_.run(run).name),
                "set the two further apart");
            finding.figures = {seen("from one to the other", apart_m, "m"),
                               least_of("least", least.value, "m")};
            finding.source = source_of(least);
            finding.related.push_back({other.where, "the other splice"});
        }
    }

    void check_lugs(DeviceId id, const Device& device) {
        const StudLugs on = stud_lugs(input_.study, fittings_, id);
        if (static_cast<double>(on.lugs) <= on.most) {
            return;
        }
        Finding& finding = findings_.add(
            Rule::stud_lugs, device.name, place_of(device),
            fmt::format("{} lugs lie on it; it holds {}", on.lugs, show_number(on.most)),
            "use a second stud with a link between the two, or join wires before it");
        finding.figures = {seen("lugs", static_cast<double>(on.lugs), ""),
                           limit_of("most", on.most, "")};
        finding.source = on.source;
        if (!on.is_own) {
            finding.severity = Severity::note; // of what is usual, not of this stud
        }
    }

    const CheckInput& input_;
    const Vehicle& vehicle_;
    const Catalogue& catalogue_;
    Findings& findings_;
    EndFittings fittings_;
    SealSpan seals_;
};

} // namespace

void check_joints(const CheckInput& input, Findings& findings) {
    JointCheck(input, findings).check_all();
}

} // namespace loomwright
