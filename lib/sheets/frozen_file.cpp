// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/frozen_file.hpp"

#include "sheets/cut_list.hpp"
#include "sizing/limits.hpp"
#include "yaml/written_text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

std::string head(const Vehicle& vehicle) {
    std::string of = vehicle.title.empty() ? std::string("a vehicle without a title")
                                           : written_text(vehicle.title);
    if (!vehicle.revision.empty()) {
        of += ", revision " + written_text(vehicle.revision);
    }
    return fmt::format(
        "# What is cut and fitted, written by `loomwright size --freeze` from {}.\n"
        "# `auto` wires and fuses take their size from here. Take a line out, and it "
        "is chosen anew.\n"
        "loomwright: 1\n"
        "frozen:\n",
        of);
}

/// What is over goes into the loops at its ends; a wire that is longer is shortened, one of another
/// make is cut anew, and then they are as long as the cut list says.
bool still_fits(const StudyInput& study, Metres cut, Metres needed) {
    constexpr double rounding_m = 1e-6; // lengths are sums
    return cut >= needed &&
           (cut - cut_length(needed)).value() <= service_loops(study).value + rounding_m;
}

bool is_of_make(const FrozenWire& cut, const WireDesign& made, const Wire& wire) {
    const auto is_same = [](const std::string& was, const std::string& is) {
        return was.empty() || is.empty() || was == is;
    };
    return cut.size.value == made.conductor->size &&
           is_same(cut.insulation, made.insulation->name) && is_same(cut.colour, wire.colour);
}

std::string wire_line(const StudyInput& study, const WireDesign& made, const Wire& wire,
                      const FrozenWire* before) {
    Metres length = cut_length(made.length);
    if (before != nullptr && still_fits(study, before->length, made.length)) {
        length = before->length;
    }
    const std::string colour =
        wire.colour.empty() ? "" : fmt::format(", colour: {}", written_text(wire.colour));
    return fmt::format(
        "    {}: {{size: {}, insulation: {}{}, length: {:.3f} m, from: {}, to: {}}}\n",
        written_text(wire.number), show(made.conductor->size), written_text(made.insulation->name),
        colour, length.value(), written_text(study.vehicle.show(wire.from)),
        written_text(study.vehicle.show(wire.to)));
}

} // namespace

FrozenFile frozen_file(const StudyInput& study, const Sizing& sizing) {
    const Vehicle& vehicle = study.vehicle;
    const auto before = vehicle.frozen.by_wire(vehicle.wires.size());
    FrozenFile out;
    std::string wires;
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const WireDesign& made = sizing.design.wires[i];
        const Wire& wire = vehicle.wires[i];
        if (wire.retained || made.conductor == nullptr || made.insulation == nullptr) {
            continue; // old wiring that stays is not cut
        }
        const bool is_that = before[i] != nullptr && is_of_make(*before[i], made, wire);
        wires += wire_line(study, made, wire, is_that ? before[i] : nullptr);
        ++out.wires;
    }
    std::string fuses;
    for (const FuseSizing& fuse : sizing.fuses) {
        if (fuse.rating_a > 0.0) {
            fuses += fmt::format("    {}: {} A\n", written_text(vehicle.device(fuse.device).name),
                                 fuse.rating_a);
            ++out.fuses;
        }
    }
    out.text = head(vehicle) + (wires.empty() ? "" : "  wires:\n" + wires) +
               (fuses.empty() ? "" : "  fuses:\n" + fuses);
    return out;
}

} // namespace loomwright
