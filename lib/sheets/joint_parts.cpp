// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/joint_parts.hpp"

#include "base/display.hpp"
#include "sizing/plug_halves.hpp"
#include "sizing/stock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace loomwright {
namespace {

// Groups of the buying list, after fuses and relays.
constexpr int terminals = 2;
constexpr int seals = 3;
constexpr int plugs = 4;
constexpr int housings = 5;

/// "1.5 mm2", or "1.5 mm2 + 0.75 mm2" in one barrel.
std::string sizes_of(const Design& design, const Crimp& crimp) {
    std::string out;
    for (const WireId wire : crimp.wires) {
        out += (out.empty() ? "" : " + ") + show(design.wires[wire.index()].conductor->size);
    }
    return out;
}

bool is_new_work(const StudyInput& study, const Design& design, const Crimp& crimp) {
    const auto has_size = [&](WireId wire) {
        return design.wires[wire.index()].conductor != nullptr;
    };
    return std::ranges::all_of(crimp.wires, has_size) && has_cut_wire(study.vehicle, crimp);
}

/// `what_in`: what lies in the crimp; `used_at`: of a terminal.
void count_crimp(PartCounter& counter, const StudyInput& study, const EndFittings& fittings,
                 const Crimp& crimp, const std::string& what_in, const std::string& used_at) {
    const EndFitting fitting = fittings.fitting(crimp);
    BuyPart part;
    part.group = "terminal";
    part.stock = fitting.stock;
    if (fitting.kind != "crimp splice") {
        part.what = fmt::format("{} for {}", fitting.kind, what_in);
        counter.add({terminals, -crimp.area.value(), part.what}, part, used_at);
        return;
    }
    const FittingType* barrel = study.catalogue.find_splice_barrel(crimp.area);
    part.what = barrel != nullptr ? fmt::format("crimp splice for {} to {} in all",
                                                show(barrel->least), show(barrel->most))
                                  : fmt::format("crimp splice for {} in all", show(crimp.area));
    const double order = barrel != nullptr ? -barrel->most.value() : -crimp.area.value();
    counter.add({terminals, order, part.what}, part, study.vehicle.show(crimp.at));
}

void count_drains(PartCounter& counter, const StudyInput& study, const EndFittings& fittings) {
    const std::string drain_wire = fmt::format(
        "{} drain wire", show(SquareMetres(study.catalogue.default_value("drain-size").value)));
    for (const Shield& shield : study.vehicle.shields) {
        if (!has_cut_wire(study.vehicle, shield)) {
            continue;
        }
        for (const Given<TerminalRef>& drain : shield.drains) {
            count_crimp(counter, study, fittings, drain_crimp(study, drain.value), drain_wire,
                        shield.name);
        }
    }
}

/// True where nothing but old wiring comes to a housing: it stays, with what is in it.
bool is_old(const Vehicle& vehicle, const PlugHalf& half) {
    bool has_old = false;
    for (const Cavity& cavity : half.cavities) {
        for (const WireId wire : cavity.wires) {
            if (!vehicle.wire(wire).retained) {
                return false;
            }
            has_old = true;
        }
    }
    return has_old;
}

/// True of a cavity whose wire is cut; no seal closes on two wires.
bool has_new_seal(const StudyInput& study, const Design& design, const Cavity& cavity) {
    return cavity.wires.size() == 1 && !study.vehicle.wire(cavity.wires.front()).retained &&
           design.wires[cavity.wires.front().index()].conductor != nullptr;
}

void count_seals(PartCounter& counter, const StudyInput& study, const Design& design,
                 const PlugHalf& half) {
    bool is_named = false; // among the housings with empty cavities
    for (const Cavity& cavity : half.cavities) {
        BuyPart part;
        part.stock = cavity.seal;
        const std::string series = half.fitting.empty() ? "" : " beside " + half.fitting;
        if (cavity.wires.empty()) {
            part.group = "plug";
            part.what = part.stock != nullptr ? part.stock->name : "plug for a cavity" + series;
            counter.add({plugs, 0.0, part.what}, part,
                        std::exchange(is_named, true) ? "" : half.name);
        } else if (has_new_seal(study, design, cavity)) {
            part.group = "seal";
            part.what = part.stock != nullptr
                            ? part.stock->name
                            : fmt::format("seal for {} mm{}",
                                          show_number(cavity.outside.value() * 1e3, 3), series);
            const Metres order =
                part.stock != nullptr ? *part.stock->least_diameter : cavity.outside;
            counter.add({seals, order.value(), part.what}, part, half.name + "." + cavity.name);
        }
    }
}

void count_housing(PartCounter& counter, const Vehicle& vehicle, const PlugHalf& half) {
    if (half.face->part_number.empty()) {
        return;
    }
    BuyPart part;
    part.group = "housing";
    part.stock =
        half.is_counterpart ? nullptr : find_stock_housing(vehicle, half.face->part_number);
    const std::string what = part.stock != nullptr
                                 ? part.stock->name
                                 : fmt::format("housing {}", half.face->part_number);
    part.what = half.is_counterpart ? "counterpart of " + what : what;
    counter.add({housings, 0.0, part.what}, part, half.name);
}

} // namespace

Crimp drain_crimp(const StudyInput& study, TerminalRef at) {
    Crimp out{at, Half::arriving, {}, {}};
    out.area = SquareMetres(study.catalogue.default_value("drain-size").value);
    if (const SuppliedLead* lead = supplied_lead_at(study.vehicle, at)) {
        const Conductor* conductor = study.catalogue.find_conductor(lead->size);
        out.area += conductor != nullptr ? conductor->area : SquareMetres();
    }
    return out;
}

bool has_cut_wire(const Vehicle& vehicle, const Crimp& crimp) {
    return std::ranges::any_of(crimp.wires,
                               [&](WireId wire) { return !vehicle.wire(wire).retained; });
}

bool has_cut_wire(const Vehicle& vehicle, const Shield& shield) {
    return std::ranges::any_of(shield.around, [&](const Given<WireId>& wire) {
        return !vehicle.wire(wire.value).retained;
    });
}

void count_joint_parts(PartCounter& counter, const StudyInput& study, const Sizing& sizing) {
    const EndFittings fittings(study.vehicle, study.catalogue, sizing.design);
    for (const Crimp& crimp : fittings.crimps()) {
        if (is_new_work(study, sizing.design, crimp)) {
            count_crimp(counter, study, fittings, crimp, sizes_of(sizing.design, crimp), "");
        }
    }
    count_drains(counter, study, fittings);
    for (const PlugHalf& half : plug_halves(study, sizing.design, fittings)) {
        if (is_old(study.vehicle, half)) {
            continue;
        }
        if (half.face->is_sealed) {
            count_seals(counter, study, sizing.design, half);
        }
        count_housing(counter, study.vehicle, half);
    }
}

} // namespace loomwright
