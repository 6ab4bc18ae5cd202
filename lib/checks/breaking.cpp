// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// breaking-capacity: the prospective current of a dead short just beyond a protective device
// (study/prospective.cpp) against what it is made to break.
//
//   I_p <= I_cn        I_p = V / R, V and R of everything before the device and of the way home
//   R_more = V / I_cn - R        what more before it would bring the current down to that
#include "base/display.hpp"
#include "checks/guards.hpp"
#include "checks/wording.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

/// The family that breaks most of those that have a rating as large; nullptr for none that breaks
/// the current.
const FuseFamily* stronger_family(const CheckInput& input, double rating_a, double amps) {
    for (const FuseFamily& family : input.study.catalogue.fuse_families()) {
        const bool has_rating = std::ranges::any_of(family.ratings, [&](const FuseRating& row) {
            return row.rating.value() >= rating_a && row.rating.value() <= 1.5 * rating_a;
        });
        if (has_rating && family.breaking_capacity && family.breaking_capacity->value() >= amps) {
            return &family;
        }
    }
    return nullptr;
}

/// What makes the current: nothing of the car does where the source limits itself.
void add_way(const Prospect& prospect, Finding& finding) {
    if (prospect.open_v > 0.0) {
        finding.figures.push_back(given("voltage before it", prospect.open_v, "V"));
        finding.figures.push_back(given("resistance before it and home", prospect.ohm(), "ohm"));
    }
}

void add_too_weak(const CheckInput& input, DeviceId id, const Prospect& prospect,
                  const BreakingCapacity& breaking, Findings& findings) {
    const Device& device = input.study.vehicle.device(id);
    const double rating = input.sizing.design.ratings[id.index()].value_or(Amps(0.0)).value();
    const FuseFamily* stronger = stronger_family(input, rating, prospect.amps);
    const std::string with = stronger != nullptr
                                 ? fmt::format("use a {} fuse, which breaks {}, or a part",
                                               stronger->name, show(*stronger->breaking_capacity))
                                 : std::string("use a part");
    const std::string more =
        prospect.open_v > 0.0
            ? fmt::format(", or let {} more of wire lie before it",
                          show(Ohms(prospect.open_v / breaking.amps->value() - prospect.ohm())))
            : std::string();
    Finding& finding = findings.add(
        Rule::breaking_capacity, device.name, place_of(device),
        fmt::format("a dead short behind it can draw {} in {}; it is made to break {}",
                    show(Amps(prospect.amps)), state_name(input.study.vehicle, prospect.state),
                    show(*breaking.amps)),
        fmt::format("{} whose data sheet states {} or more (`breaking`){}", with,
                    show(Amps(prospect.amps)), more));
    finding.figures = {seen("prospective current", prospect.amps, "A"),
                       limit_of("breaking capacity", breaking.amps->value(), "A")};
    add_way(prospect, finding);
    finding.source = breaking.source;
}

/// Families whose breaking capacity nobody has given: one finding each, on the device that may see
/// most.
struct Unknown {
    const FuseFamily* family = nullptr;
    DeviceId device;
    const Prospect* prospect = nullptr;
    int devices = 0;
};

void add_unknown(const CheckInput& input, const Unknown& row, Findings& findings) {
    const Device& device = input.study.vehicle.device(row.device);
    const std::string others = row.devices > 1
                                   ? fmt::format(", {} more of this family less", row.devices - 1)
                                   : std::string();
    Finding& finding = findings.add(
        Rule::outside_table, device.name, place_of(device),
        fmt::format("the breaking capacity of the {} family is not known: a dead short behind "
                    "this one can draw {}{}",
                    row.family->name, show(Amps(row.prospect->amps)), others),
        "give what its data sheet states (`breaking`), or use a family of ISO 8820");
    finding.figures = {given("prospective current", row.prospect->amps, "A")};
    add_way(*row.prospect, finding);
    finding.source = "tables fuses";
}

void note(std::vector<Unknown>& unknown, const FuseFamily& family, DeviceId device,
          const Prospect& prospect) {
    auto row = std::ranges::find(unknown, &family, &Unknown::family);
    if (row == unknown.end()) {
        row = unknown.insert(unknown.end(), Unknown{&family, device, &prospect, 0});
    }
    ++row->devices;
    if (prospect.amps > row->prospect->amps) {
        row->device = device;
        row->prospect = &prospect;
    }
}

} // namespace

void check_breaking(const CheckInput& input, const std::vector<ProspectPair>& prospects,
                    Findings& findings) {
    std::vector<Unknown> unknown;
    for (const FuseSizing& fuse : input.sizing.fuses) {
        const auto& protection = *input.study.vehicle.device(fuse.device).as<Protection>();
        const FuseFamily* family = family_of(input.study, fuse.device);
        const Prospect& prospect = prospects[fuse.device.index()].greater();
        // A link has no breaking capacity: it is a wire that melts in its sleeve.
        if (family == nullptr || protection.kind == ProtectionKind::fusible_link ||
            prospect.amps <= 0.0) {
            continue;
        }
        const BreakingCapacity breaking =
            breaking_capacity_of(input.study, input.sizing.design, fuse.device);
        if (!breaking.amps) {
            note(unknown, *family, fuse.device, prospect);
        } else if (prospect.amps > breaking.amps->value()) {
            add_too_weak(input, fuse.device, prospect, breaking, findings);
        }
    }
    for (const Unknown& row : unknown) {
        add_unknown(input, row, findings);
    }
}

} // namespace loomwright
