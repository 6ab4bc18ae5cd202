// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// frozen-differs: where the file asks for something else than what is cut and fitted already. A
// wire that is cut fits while it is at least as long as needed, and longer by the two service loops
// at most: so much can be taken up at its ends.
#include "base/display.hpp"
#include "checks/wording.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace loomwright {
namespace {

// Lengths are sums: a last bit of difference is none.
constexpr double rounding_m = 1e-6;

void report_no_wire(const Vehicle& vehicle, const FrozenWire& cut, Findings& findings) {
    const WireId other = vehicle.find_wire(cut.number);
    if (!other.is_valid()) {
        findings.add(
            Rule::frozen_differs, cut.number, cut.where,
            fmt::format("a wire of this number is cut, from {} to {}, and the file has none",
                        cut.from, cut.to),
            "pull it, and take the line out of the frozen file");
        return;
    }
    const Wire& wire = vehicle.wire(other);
    findings
        .add(Rule::frozen_differs, cut.number, cut.where,
             fmt::format("cut to go from {} to {}, and in the file it goes from {} to {}: nothing "
                         "that is frozen is used for it",
                         cut.from, cut.to, vehicle.show(wire.from), vehicle.show(wire.to)),
             "give it back its `number`, or take the line out of the frozen file and cut anew")
        .related.push_back({wire.where, "the wire in the file"});
}

/// What is written of a wire that is cut otherwise: "2.5 mm2 is written and 1.5 mm2 is cut".
void report_make(const CheckInput& input, const FrozenWire& cut, Findings& findings) {
    const Wire& wire = input.study.vehicle.wire(cut.wire);
    std::vector<std::string> parts;
    std::vector<Figure> figures;
    const auto say = [&](const std::string& written, const std::string& made) {
        if (!written.empty() && !made.empty() && written != made) {
            parts.push_back(fmt::format("{} is written and {} is cut", written, made));
        }
    };
    if (wire.size && wire.size->value != cut.size.value) {
        parts.push_back(fmt::format("{} is written and {} is cut", show(wire.size->value),
                                    show(cut.size.value)));
        const Conductor* made = input.study.catalogue.find_conductor(cut.size.value);
        const Conductor* written = input.study.catalogue.find_conductor(wire.size->value);
        figures = {given("area written", written->area.value(), "m2"),
                   given("area cut", made->area.value(), "m2")};
    }
    say(wire.insulation.value, cut.insulation);
    say(wire.colour, cut.colour);
    if (parts.empty()) {
        return;
    }
    Finding& finding =
        findings.add(Rule::frozen_differs, wire.number, wire.size ? wire.size->where : wire.where,
                     fmt::format("{}: the file is followed", fmt::join(parts, "; ")),
                     "cut it anew and freeze again, or leave it to the frozen file");
    finding.figures = std::move(figures);
    finding.related.push_back({cut.where, "frozen here"});
}

void report_length(const CheckInput& input, const FrozenWire& cut, Findings& findings) {
    const Wire& wire = input.study.vehicle.wire(cut.wire);
    const double needed_m = input.sizing.design.wires[cut.wire.index()].length.value();
    const double over_m = cut.length.value() - needed_m;
    const Limit loops = service_loops(input.study);
    if (over_m < -rounding_m) {
        Finding& finding = findings.add(
            Rule::frozen_differs, wire.number, wire.length ? wire.length->where : wire.where,
            fmt::format("{:.3f} m is needed and {:.3f} m is cut: it is too short", needed_m,
                        cut.length.value()),
            "cut it anew and freeze again");
        finding.figures = {seen("length cut", cut.length.value(), "m"),
                           least_of("length needed", needed_m, "m")};
        finding.related.push_back({cut.where, "frozen here"});
        return;
    }
    // Cutting rounds up to 5 mm, which is less than any loop: it needs no word of its own.
    if (over_m > loops.value + 0.005 + rounding_m) {
        Finding& finding = findings.add(Rule::frozen_differs, wire.number,
                                        wire.length ? wire.length->where : wire.where,
                                        fmt::format("{:.3f} m is needed and {:.3f} m is cut: more "
                                                    "is over than the loops at its ends take",
                                                    needed_m, cut.length.value()),
                                        "shorten it at one end and freeze again");
        finding.severity = Severity::note;
        finding.figures = {seen("left over", over_m, "m"),
                           limit_of("service loops", loops.value, "m"),
                           given("length needed", needed_m, "m")};
        finding.source = loops.source;
        finding.related.push_back({cut.where, "frozen here"});
    }
}

void report_fuse(const Vehicle& vehicle, const FrozenFuse& fitted, Findings& findings) {
    if (!fitted.device.is_valid()) {
        findings.add(Rule::frozen_differs, fitted.name, fitted.where,
                     fmt::format("{} is fitted under this name, and the file has no such device",
                                 show(fitted.rating)),
                     "take it out, and its line out of the frozen file");
        return;
    }
    const Device& device = vehicle.device(fitted.device);
    const auto& rating = device.as<Protection>()->rating;
    if (!rating || *rating == fitted.rating) {
        return;
    }
    Finding& finding = findings.add(Rule::frozen_differs, device.name, place_of(device),
                                    fmt::format("{} is written and {} is fitted: the file is "
                                                "followed",
                                                show(*rating), show(fitted.rating)),
                                    "fit the other and freeze again, or write `rating: auto`");
    finding.figures = {given("rating written", rating->value(), "A"),
                       given("rating fitted", fitted.rating.value(), "A")};
    finding.related.push_back({fitted.where, "frozen here"});
}

} // namespace

void check_frozen(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    for (const FrozenWire& cut : vehicle.frozen.wires) {
        if (!cut.wire.is_valid()) {
            report_no_wire(vehicle, cut, findings);
            continue;
        }
        report_make(input, cut, findings);
        report_length(input, cut, findings);
    }
    for (const FrozenFuse& fitted : vehicle.frozen.fuses) {
        report_fuse(vehicle, fitted, findings);
    }
}

} // namespace loomwright
