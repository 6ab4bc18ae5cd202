// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/joint_parts.hpp"

#include "base/display.hpp"
#include "sizing/fittings.hpp"
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
    const auto is_cut = [&](WireId wire) { return !study.vehicle.wire(wire).retained; };
    return std::ranges::all_of(crimp.wires, has_size) && std::ranges::any_of(crimp.wires, is_cut);
}

void count_crimp(PartCounter& counter, const StudyInput& study, const EndFittings& fittings,
                 const Design& design, const Crimp& crimp) {
    const EndFitting fitting = fittings.fitting(crimp);
    BuyPart part;
    part.group = "terminal";
    part.stock = fitting.stock;
    if (fitting.kind != "crimp splice") {
        part.what = fmt::format("{} for {}", fitting.kind, sizes_of(design, crimp));
        counter.add({terminals, -crimp.area.value(), part.what}, part, "");
        return;
    }
    const FittingType* barrel = study.catalogue.find_splice_barrel(crimp.area);
    part.what = barrel != nullptr ? fmt::format("crimp splice for {} to {} in all",
                                                show(barrel->least), show(barrel->most))
                                  : fmt::format("crimp splice for {} in all", show(crimp.area));
    const double order = barrel != nullptr ? -barrel->most.value() : -crimp.area.value();
    counter.add({terminals, order, part.what}, part, study.vehicle.show(crimp.at));
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

void count_joint_parts(PartCounter& counter, const StudyInput& study, const Sizing& sizing) {
    const EndFittings fittings(study.vehicle, study.catalogue, sizing.design);
    for (const Crimp& crimp : fittings.crimps()) {
        if (is_new_work(study, sizing.design, crimp)) {
            count_crimp(counter, study, fittings, sizing.design, crimp);
        }
    }
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
