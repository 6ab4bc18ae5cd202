// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "page/pack.hpp"

#include "base/display.hpp"
#include "draw/feeds.hpp"
#include "page/page_data.hpp"
#include "sheets/bundle_schedule.hpp"
#include "sheets/buying_list.hpp"
#include "sheets/cut_list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>

namespace loomwright {
namespace {

using page::counted;
using page::Data;

std::string millimetres(Metres length, int decimals) {
    return fmt::format("{:.{}f}", length.value() * 1e3, decimals);
}

std::string metres(Metres length) {
    return fmt::format("{:.2f}", length.value());
}

std::string money(const std::optional<Money>& cost) {
    return cost ? fmt::format("{:.2f}", cost->value()) : std::string();
}

std::string part_number(const StockItem* item) {
    return item != nullptr ? item->part_number : "";
}

void set_end(Data& row, const std::string& which, const WireEnd& end) {
    const bool is_known = !end.fitting.empty();
    row.set(which, end.at);
    row.set(which + "_device", end.title);
    row.set(which + "_strip", is_known ? millimetres(end.strip, 1) : "-");
    row.set(which + "_terminal", is_known ? fitting_text(end) : "-");
    row.set(which + "_part", end.part_number);
}

/// What every line says of its wire, so that a line read alone cannot go to the wrong spool.
std::string short_title(const CutSpool& spool) {
    return spool.conductor != nullptr ? show(spool.conductor->size) + " " + spool.colour
                                      : std::string("no size");
}

Data spool_data(const CutSpool& spool) {
    Data out;
    out.set("spool", spool.title());
    out.set("count", counted(spool.lines.size(), "wire", "wires"));
    out.set("sum", show(spool.total));
    Data::List lines;
    for (const CutLine& line : spool.lines) {
        Data row;
        row.set("wire", line.number);
        row.set("what", short_title(spool));
        row.set("length", spool.conductor != nullptr ? millimetres(line.length, 0) : "-");
        set_end(row, "from", line.from);
        set_end(row, "to", line.to);
        row.set("label", line.label);
        row.set("note", cut_line_note(line));
        lines.push_back(std::move(row));
    }
    out.set("lines", std::move(lines));
    return out;
}

Data::List retained_data(const Vehicle& vehicle, const std::vector<WireId>& wires) {
    Data::List out;
    for (std::size_t i = 0; i < wires.size(); ++i) {
        const Wire& wire = vehicle.wire(wires[i]);
        Data row;
        row.set("wire", wire.number);
        row.set("from", vehicle.show(wire.from));
        row.set("to", vehicle.show(wire.to));
        row.set("separator", i + 1 < wires.size() ? ", " : ".");
        out.push_back(std::move(row));
    }
    return out;
}

Data::List notes_data(const std::vector<std::string>& notes) {
    Data::List out;
    for (const std::string& note : notes) {
        out.emplace_back().set("text", note);
    }
    return out;
}

std::string cut_page(const StudyInput& study, const CutList& list, const Findings& findings,
                     Paper paper) {
    Data data = page::page_data(study.vehicle, findings, paper);
    Data::List spools;
    std::size_t count = 0;
    Metres total;
    for (const CutSpool& spool : list.spools) {
        spools.push_back(spool_data(spool));
        count += spool.lines.size();
        total += spool.total;
    }
    data.set("spools", std::move(spools));
    data.set("has_spools", !list.spools.empty());
    data.set("wire_count", counted(count, "wire", "wires"));
    data.set("spool_count", counted(list.spools.size(), "spool", "spools"));
    data.set("total", show(total));
    data.set("has_retained", !list.retained.empty());
    data.set("retained", retained_data(study.vehicle, list.retained));
    data.set(
        "notes",
        notes_data({"Lengths hold all allowances and are rounded up to 5 mm. The label text goes "
                    "on a sleeve at both ends.",
                    "Strip lengths and terminals are common practice, no source: the data sheet "
                    "of the terminal that is bought decides. Try one, look at it, pull at it.",
                    "Colours by IEC 60757: the first is the wire's, the second its tracer's."}));
    return page::render("cut-list.html", data);
}

Data buy_wire_data(const BuyWire& wire) {
    Data row;
    row.set("what", wire.spool->title());
    row.set("pieces", std::to_string(wire.spool->lines.size()));
    row.set("needed", metres(wire.needed));
    row.set("with_spare", metres(wire.with_spare));
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

std::string buying_page(const StudyInput& study, const BuyingList& list, const Findings& findings,
                        Paper paper) {
    Data data = page::page_data(study.vehicle, findings, paper);
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
        "buying. Housings, seals, sleeves and tape are not on this list."};
    if (list.total) {
        notes.push_back(
            fmt::format("Cost of the lines with a price: {:.2f}. Lines without one: {}.",
                        list.total->value(), list.lines_without_price));
    }
    data.set("notes", notes_data(notes));
    return page::render("buying-list.html", data);
}

} // namespace

std::optional<Paper> paper_named(std::string_view name) {
    std::string lower(name);
    std::ranges::transform(lower, lower.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (lower == "a4") {
        return Paper::a4;
    }
    return lower == "letter" ? std::optional(Paper::letter) : std::nullopt;
}

std::string cut_list_page(const StudyInput& study, const Sizing& sizing, const Findings& findings,
                          Paper paper) {
    return cut_page(study, cut_list(study, sizing), findings, paper);
}

std::string buying_list_page(const StudyInput& study, const Sizing& sizing,
                             const Findings& findings, Paper paper) {
    const CutList cuts = cut_list(study, sizing);
    return buying_page(study, buying_list(study, sizing, cuts), findings, paper);
}

std::optional<std::vector<PackFile>> pack_files(const StudyInput& study, const Sizing& sizing,
                                                const Findings& findings, Paper paper,
                                                std::string& why_not) {
    const CutList cuts = cut_list(study, sizing);
    const BuyingList buying = buying_list(study, sizing, cuts);
    std::vector<PackFile> files;
    files.push_back({"cut-list.csv", sheet_csv(cut_list_sheet(study, cuts))});
    files.push_back({"cut-list.html", cut_page(study, cuts, findings, paper)});
    files.push_back({"buying-list.csv", sheet_csv(buying_list_sheet(buying))});
    files.push_back({"buying-list.html", buying_page(study, buying, findings, paper)});
    files.push_back({"bundle-schedule.csv",
                     sheet_csv(bundle_schedule_sheet(study, bundle_schedule(study, sizing)))});
    constexpr std::array formats = {DrawingFormat::svg, DrawingFormat::pdf};
    auto drawings = draw_feeds(study, sizing, formats, why_not);
    if (!drawings) {
        return std::nullopt;
    }
    files.push_back({"feeds.svg", std::move((*drawings)[0])});
    files.push_back({"feeds.pdf", std::move((*drawings)[1])});
    return files;
}

} // namespace loomwright
