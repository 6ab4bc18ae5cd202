// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// wire-ampacity, insulation-heat, least-size: what a wire carries and where it lies.
#include "base/display.hpp"
#include "checks/wording.hpp"
#include "sizing/ampacity.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

constexpr std::string_view heat_source = "heat balance in still air, docs/method/heat.md";
constexpr std::string_view cover_source =
    "heat balance in still air x what the cover leaves, docs/method/heat.md";
constexpr std::string_view bundle_source =
    "heat balance in still air x bundle curves of MIL-W-5088L (as in FAA AC 43.13-1B) x what the "
    "cover leaves, docs/method/heat.md";
constexpr std::string_view skin_source = "heat balance of the bundle's skin, docs/method/heat.md";
constexpr std::string_view short_source =
    "adiabatic equation IEC 60949 from the air to the insulation's class, docs/method/heat.md";

std::string source_of(const Ampacity& ampacity) {
    if (!ampacity.fullest.is_valid()) {
        return std::string(heat_source);
    }
    if (ampacity.skin_a < ampacity.handbook_a) {
        return std::string(skin_source);
    }
    return std::string(ampacity.bundle_wires > 1 ? bundle_source : cover_source);
}

/// The least hot class that stands this air, of those sold on the wire's standard.
std::string fitting_insulation(const StudyInput& study, const WireDesign& made, double air_c) {
    const Insulation* best = nullptr;
    for (const Insulation& insulation : study.catalogue.insulations()) {
        const bool is_sold =
            insulation.standards.empty() ||
            std::ranges::find(insulation.standards, made.conductor->size.standard) !=
                insulation.standards.end();
        if (is_sold && insulation.limit.value() > air_c &&
            (best == nullptr || insulation.limit < best->limit)) {
            best = &insulation;
        }
    }
    return best == nullptr
               ? "lead the wire another way; no insulation of the tables stands this air"
               : fmt::format("use insulation of {} or more ({}), or lead the wire another way",
                             show(best->limit), best->name);
}

/// The air is bearable, but the other wires of a bundle heat it beyond what this one stands.
void check_neighbours(const CheckInput& input, WireId id, Findings& findings) {
    const StudyInput& study = input.study;
    const Wire& wire = study.vehicle.wire(id);
    const WireDesign& made = input.sizing.design.wires[id.index()];
    const Ampacity& ampacity = input.sizing.wires[id.index()].ampacity;
    const RunLoading& loading = input.sizing.runs[ampacity.fullest.index()];
    const double rest_c = rest_temperature_c(study, id, ampacity.fullest, loading);
    const Run& run = study.vehicle.run(ampacity.fullest);
    Finding& finding = findings.add(
        Rule::insulation_heat, wire.number,
        wire.insulation.where.is_known() ? wire.insulation.where : wire.where,
        fmt::format("{} insulation is good for {}; in {} the other wires bring {} air to {} in the "
                    "middle of the bundle, before this one carries anything",
                    made.insulation->name, show(made.insulation->limit), run.name,
                    show(Celsius(loading.air_c)), show(Celsius(rest_c))),
        fitting_insulation(study, made, rest_c) +
            ", or give the wires that heat the bundle more copper");
    finding.figures = {seen("middle of the bundle", rest_c, "C"),
                       limit_of("insulation class", made.insulation->limit.value(), "C"),
                       given("air", loading.air_c, "C"),
                       given("heat of the bundle", loading.heat_w_per_m, "W/m"),
                       given("bundle diameter", loading.skin.diameter_m(), "m")};
    finding.source = std::string(skin_source);
    finding.related.push_back({run.where, "the run and its bundle"});
}

void check_insulation(const CheckInput& input, WireId id, Findings& findings) {
    const StudyInput& study = input.study;
    const Wire& wire = study.vehicle.wire(id);
    const WireDesign& made = input.sizing.design.wires[id.index()];
    const Ampacity& ampacity = input.sizing.wires[id.index()].ampacity;
    const double air = ampacity.air_c;
    if (air < made.insulation->limit.value()) {
        check_neighbours(input, id, findings);
        return;
    }
    const ZoneId zone = study.routing.wires[id.index()].hottest;
    Finding& finding = findings.add(
        Rule::insulation_heat, wire.number,
        wire.insulation.where.is_known() ? wire.insulation.where : wire.where,
        fmt::format("{} insulation is good for {} and lies in {} air{}", made.insulation->name,
                    show(made.insulation->limit), show(Celsius(air)),
                    zone.is_valid() ? " (" + study.vehicle.zone(zone).name + ")" : ""),
        fitting_insulation(study, made, air));
    finding.figures = {seen("air", air, "C"),
                       limit_of("insulation class", made.insulation->limit.value(), "C")};
    finding.source = made.insulation->limit_origin.source;
    if (zone.is_valid()) {
        finding.related.push_back({study.vehicle.zone(zone).where, "the zone and its air"});
    }
}

struct Overload {
    double amps = 0.0;
    StateId state;
    double allowed_a = 0.0;
    bool is_short = false;
    double seconds = 0.0;
};

/// Smallest size of the wire's own standard that carries the overload in its place.
std::string larger_size(const StudyInput& study, WirePlaces& places, const Sizing& sizing,
                        WireId id, const Overload& overload) {
    const WireDesign& made = sizing.design.wires[id.index()];
    for (const Conductor& conductor : study.catalogue.conductors(made.conductor->size.standard)) {
        if (!conductor.is_standard_size || conductor.area <= made.conductor->area) {
            continue;
        }
        double may = ampacity_of(study, places, id, conductor, *made.insulation, sizing.runs).amps;
        if (overload.is_short) {
            may = std::max(may,
                           short_time_ampacity(conductor, places.air_c(id),
                                               made.insulation->limit.value(), overload.seconds));
        }
        if (may >= overload.amps) {
            return fmt::format("use {} or more, or bring the current down to {}",
                               show(conductor.size), show(Amps(overload.allowed_a)));
        }
    }
    return fmt::format("bring the current down to {} or share it between wires with a fuse each",
                       show(Amps(overload.allowed_a)));
}

void add_overload(const CheckInput& input, WirePlaces& places, WireId id, const Overload& overload,
                  Findings& findings) {
    const StudyInput& study = input.study;
    const Wire& wire = study.vehicle.wire(id);
    const Ampacity& ampacity = input.sizing.wires[id.index()].ampacity;
    const std::string place = place_words(study.vehicle, ampacity);
    const WireDesign& made = input.sizing.design.wires[id.index()];
    Finding& finding = findings.add(
        Rule::wire_ampacity, wire.number, wire.size ? wire.size->where : wire.where,
        fmt::format("{} carries {} in {} and may carry {}{} ({})", show(made.conductor->size),
                    show(Amps(overload.amps)), state_name(study.vehicle, overload.state),
                    show(Amps(overload.allowed_a)),
                    overload.is_short ? fmt::format(" for {}", show(Seconds(overload.seconds)))
                                      : std::string(),
                    place),
        larger_size(study, places, input.sizing, id, overload));
    finding.figures = {seen("current", overload.amps, "A"),
                       limit_of("ampacity in its place", overload.allowed_a, "A"),
                       given("air", ampacity.air_c, "C"),
                       given("insulation class", ampacity.limit_c, "C"),
                       given("alone in still air", ampacity.free_air_a, "A"),
                       given("bundle factor", ampacity.bundle_factor, "")};
    if (!ampacity.cover.empty()) {
        finding.figures.push_back(given("share that the cover leaves", ampacity.cover_share, ""));
    }
    finding.source = overload.is_short ? std::string(short_source) : source_of(ampacity);
}

void check_ampacity(const CheckInput& input, WirePlaces& places, const WireLoads& loads, WireId id,
                    Findings& findings) {
    const std::size_t at = id.index();
    const Ampacity& ampacity = input.sizing.wires[at].ampacity;
    if (loads.steady_a[at] > ampacity.amps) {
        add_overload(input, places, id,
                     {loads.steady_a[at], loads.steady_state[at], ampacity.amps, false, 0.0},
                     findings);
        return;
    }
    if (loads.cranking_a[at] > ampacity.amps) {
        const WireDesign& made = input.sizing.design.wires[at];
        const double seconds = cranking_time(input.study, loads.cranking_state[at]).value;
        const double may =
            std::max(ampacity.amps, short_time_ampacity(*made.conductor, ampacity.air_c,
                                                        made.insulation->limit.value(), seconds));
        if (loads.cranking_a[at] > may) {
            add_overload(input, places, id,
                         {loads.cranking_a[at], loads.cranking_state[at], may, true, seconds},
                         findings);
        }
    }
}

void check_least(const CheckInput& input, const Limit& least, WireId id, Findings& findings) {
    const Wire& wire = input.study.vehicle.wire(id);
    const Conductor& conductor = *input.sizing.design.wires[id.index()].conductor;
    if (conductor.area.value() >= least.value * (1.0 - 1e-9)) {
        return;
    }
    Finding& finding =
        findings.add(Rule::least_size, wire.number, wire.size ? wire.size->where : wire.where,
                     fmt::format("{} is thinner than {}, the least that lasts in a car",
                                 show(conductor.size), show(SquareMetres(least.value))),
                     fmt::format("use {} or more", show(SquareMetres(least.value))));
    finding.figures = {seen("area", conductor.area.value(), "m2"),
                       least_of("least area", least.value, "m2")};
    finding.source = least.source;
}

} // namespace

void check_conductors(const CheckInput& input, Findings& findings) {
    WirePlaces places(input.study);
    const WireLoads loads = wire_loads(input.study, judged_states(input.sizing));
    const Limit least = least_area(input.study);
    for (std::size_t i = 0; i < input.sizing.wires.size(); ++i) {
        const Ampacity& ampacity = input.sizing.wires[i].ampacity;
        if (ampacity.is_cooked()) {
            check_insulation(input, WireId(i), findings);
        } else {
            check_ampacity(input, places, loads, WireId(i), findings);
        }
        check_least(input, least, WireId(i), findings);
    }
}

} // namespace loomwright
