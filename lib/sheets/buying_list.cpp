// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/buying_list.hpp"

#include "base/display.hpp"
#include "sheets/joint_parts.hpp"
#include "sizing/stock.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

void set_spare(BuyingList& list, const StudyInput& study) {
    if (study.vehicle.policy.spare) {
        list.spare = study.vehicle.policy.spare->value;
        list.spare_source = "the vehicle file's policy";
        return;
    }
    for (const DefaultValue& value : study.catalogue.defaults()) {
        if (value.name == "spare") {
            list.spare = value.value;
            list.spare_source = value.origin.source;
            return;
        }
    }
    list.spare_source = "none is stated";
}

BuyWire buy_wire(const StudyInput& study, const CutSpool& spool, double spare) {
    BuyWire out;
    out.spool = &spool;
    out.needed = spool.total;
    out.with_spare = spool.total * (1.0 + spare);
    out.bought = Metres(whole_up(out.with_spare.value()));
    const std::string insulation = spool.insulation != nullptr ? spool.insulation->name : "";
    out.stock = find_stock_wire(study.vehicle, *spool.conductor, insulation, spool.colour);
    if (out.stock == nullptr) {
        return out;
    }
    if (out.stock->spool && out.stock->spool->value() > 0.0) {
        out.spool_length = out.stock->spool;
        out.cutting = cut_from_spools(spool, *out.spool_length);
        Metres too_long;
        for (const CutLine* line : out.cutting->too_long) {
            too_long += line->length;
        }
        out.spools =
            std::max(static_cast<int>(out.cutting->spools.size()),
                     static_cast<int>(whole_up((out.with_spare - too_long) / *out.spool_length)));
        out.bought = *out.spool_length * out.spools + too_long;
    }
    if (out.stock->price) {
        out.cost = *out.stock->price * out.bought.value();
    }
    return out;
}

void count_protection(PartCounter& counter, const StudyInput& study, const Sizing& sizing,
                      std::size_t index, const Protection& protection) {
    const Device& device = study.vehicle.devices[index];
    BuyPart part;
    part.group = "fuse";
    if (protection.kind == ProtectionKind::fusible_link && protection.link) {
        part.what = "fusible link " + show(*protection.link);
        counter.add({0, 0.0, part.what}, part, device.name);
        return;
    }
    const auto rating = index < sizing.design.ratings.size() && sizing.design.ratings[index]
                            ? sizing.design.ratings[index]
                            : protection.rating;
    if (!rating) {
        part.what = protection.family + ": no rating was found";
        counter.add({0, 0.0, part.what}, part, device.name);
        return;
    }
    part.what = fmt::format("{} {}", protection.family, show(*rating));
    if (const FuseFamily* family = study.catalogue.find_fuse_family(protection.family)) {
        const FuseRating* row = family->find(*rating);
        if (row != nullptr && !row->colour.empty()) {
            part.what += ", " + row->colour;
        }
    }
    part.stock = find_stock_fuse(study.vehicle, study.catalogue, protection.family, *rating);
    counter.add({0, rating->value(), part.what}, part, device.name);
}

void count_relay(PartCounter& counter, const Device& device, const Relay& relay) {
    BuyPart part;
    part.group = "relay";
    const std::string contact = relay.contact ? show(*relay.contact) : "contact not stated";
    part.what =
        fmt::format("relay {}, {}, coil {}", contact,
                    relay.has_break_contact ? "change-over" : "make contact", show(relay.coil));
    if (relay.suppression == Suppression::resistor) {
        part.what += ", with resistor";
    } else if (relay.suppression == Suppression::diode) {
        part.what += ", with diode";
    }
    counter.add({1, relay.contact ? relay.contact->value() : 0.0, part.what}, part, device.name);
}

void add_up(BuyingList& list) {
    const auto add = [&list](const std::optional<Money>& cost) {
        if (!cost) {
            ++list.lines_without_price;
        } else if (list.total) {
            *list.total += *cost;
        } else {
            list.total = cost;
        }
    };
    for (const BuyWire& wire : list.wires) {
        add(wire.cost);
    }
    for (const BuyPart& part : list.parts) {
        add(part.cost);
    }
}

std::string part_number(const StockItem* item) {
    return item != nullptr ? item->part_number : "";
}
/// Sums of lengths, without the last bits that are none.
Cell to_the_millimetre(Metres length) {
    return std::round(length.value() * 1e3) / 1e3;
}
Cell money(const std::optional<Money>& cost) {
    return cost ? Cell(cost->value()) : Cell();
}

} // namespace

BuyingList buying_list(const StudyInput& study, const Sizing& sizing, const CutList& cuts) {
    BuyingList list;
    set_spare(list, study);
    for (const CutSpool& spool : cuts.spools) {
        if (spool.conductor != nullptr) {
            list.wires.push_back(buy_wire(study, spool, list.spare));
        }
    }
    PartCounter counter;
    for (std::size_t i = 0; i < study.vehicle.devices.size(); ++i) {
        const Device& device = study.vehicle.devices[i];
        if (const auto* protection = device.as<Protection>()) {
            count_protection(counter, study, sizing, i, *protection);
        } else if (const auto* relay = device.as<Relay>()) {
            count_relay(counter, device, *relay);
        }
    }
    count_joint_parts(counter, study, sizing);
    list.parts = counter.take(list.spare);
    add_up(list);
    return list;
}

Sheet buying_list_sheet(const BuyingList& list) {
    Sheet sheet;
    sheet.name = "buying-list";
    sheet.title = "Buying list";
    sheet.columns = {{"done", "done", ""},
                     {"group", "group", ""},
                     {"what", "what", "", Alignment::left, 1.0, -1, true},
                     {"needed", "needed", "", Alignment::right, 1.0, -1},
                     {"with_spare", "with spare", "", Alignment::right, 1.0, -1},
                     {"unit", "unit", ""},
                     {"spool_m", "spool", "m", Alignment::right, 1.0, -1},
                     {"spools", "spools", "", Alignment::right, 1.0, 0},
                     {"buy", "buy", "", Alignment::right, 1.0, -1},
                     {"part_number", "part number", ""},
                     {"cost", "cost", "", Alignment::right, 1.0, 2},
                     {"used_at", "used at", "", Alignment::left, 1.0, -1, true}};
    for (const BuyWire& wire : list.wires) {
        const bool by_spool = wire.spool_length.has_value();
        sheet.rows.push_back({std::string(), "wire", wire.spool->title(),
                              to_the_millimetre(wire.needed), to_the_millimetre(wire.with_spare),
                              "m", by_spool ? Cell(wire.spool_length->value()) : Cell(),
                              by_spool ? Cell(static_cast<double>(wire.spools)) : Cell(),
                              to_the_millimetre(wire.bought), part_number(wire.stock),
                              money(wire.cost),
                              fmt::format("{} {}", wire.spool->lines.size(),
                                          wire.spool->lines.size() == 1 ? "wire" : "wires")});
    }
    for (const BuyPart& part : list.parts) {
        sheet.rows.push_back({std::string(), part.group, part.what, static_cast<double>(part.count),
                              static_cast<double>(part.with_spare), "pieces", Cell(), Cell(),
                              static_cast<double>(part.with_spare), part_number(part.stock),
                              money(part.cost), part.used_at});
    }
    sheet.notes.push_back(
        fmt::format("Spare: {} on every line ({}).", show_percent(list.spare), list.spare_source));
    if (list.total) {
        sheet.notes.push_back(
            fmt::format("Cost of the lines with a price: {:.2f}; {} lines have none.",
                        list.total->value(), list.lines_without_price));
    }
    return sheet;
}

} // namespace loomwright
