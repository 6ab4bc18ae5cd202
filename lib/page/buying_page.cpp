// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/display.hpp"
#include "page/page_data.hpp"
#include "page/papers.hpp"

#include <fmt/format.h>

#include <cctype>

namespace loomwright::page {
namespace {

/// A sum of pieces that are cut in whole steps of 5 mm; the head of the column has the unit.
std::string metres_without_unit(Metres length) {
    return fmt::format("{:.3f}", length.value());
}

std::string money(const std::optional<Money>& cost) {
    return cost ? fmt::format("{:.2f}", cost->value()) : std::string();
}

std::string part_number(const StockItem* item) {
    return item != nullptr ? item->part_number : "";
}

Data buy_wire_data(const BuyWire& wire) {
    Data row;
    row.set("what", wire.spool->title());
    row.set("pieces", std::to_string(wire.spool->lines.size()));
    row.set("needed", metres_without_unit(wire.needed));
    row.set("with_spare", metres_without_unit(wire.with_spare));
    row.set("buy", wire.spool_length ? fmt::format("{} of {}",
                                                   counted(static_cast<std::size_t>(wire.spools),
                                                           "spool", "spools"),
                                                   show_number(wire.spool_length->value()) + " m")
                                     : show_number(wire.bought.value()) + " m");
    row.set("part", part_number(wire.stock));
    row.set("cost", money(wire.cost));
    return row;
}

/// The parts of one group after the other, each group a table of its own.
Data::List part_groups(const std::vector<BuyPart>& parts) {
    Data::List groups;
    for (std::size_t first = 0; first < parts.size();) {
        Data::List lines;
        std::size_t next = first;
        for (; next < parts.size() && parts[next].group == parts[first].group; ++next) {
            Data row;
            row.set("what", parts[next].what);
            row.set("count", std::to_string(parts[next].count));
            row.set("buy", std::to_string(parts[next].with_spare));
            row.set("part", part_number(parts[next].stock));
            row.set("cost", money(parts[next].cost));
            row.set("used_at", parts[next].used_at);
            lines.push_back(std::move(row));
        }
        Data group;
        std::string name = parts[first].group + "s";
        name.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(name.front())));
        group.set("group", name);
        group.set("parts", std::move(lines));
        groups.push_back(std::move(group));
        first = next;
    }
    return groups;
}

} // namespace

std::string buying_page(const StudyInput& study, const BuyingList& list, const Findings& findings,
                        Paper paper) {
    Data data = page_data(study.vehicle, findings, paper);
    Data::List wires;
    for (const BuyWire& wire : list.wires) {
        wires.push_back(buy_wire_data(wire));
    }
    data.set("has_wires", !list.wires.empty());
    data.set("wires", std::move(wires));
    data.set("groups", part_groups(list.parts));
    data.set("spare",
             fmt::format("with {} spare ({})", show_percent(list.spare), list.spare_source));
    std::vector<std::string> notes = {
        "Part numbers, spool lengths and prices are those of the vehicle file's own stock; prices "
        "in "
        "its currency. Wire without a spool length is up to the next metre.",
        "Terminals are common practice, no source: hold them against the parts they go on before "
        "buying. Housings are on this list where the vehicle file has their part numbers; holders "
        "of fuses and relays, covers, sleeves, tape, clips and ties are not."};
    if (list.total) {
        notes.push_back(
            fmt::format("Cost of the lines with a price: {:.2f}. Lines without one: {}.",
                        list.total->value(), list.lines_without_price));
    }
    data.set("notes", text_rows("text", notes));
    return render("buying-list.html", data);
}

} // namespace loomwright::page
