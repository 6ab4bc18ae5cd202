// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What the answers rest on: old wiring, assumptions, defaults, tables and method.
#include "page/report_parts.hpp"

#include "base/display.hpp"
#include "loom/routing.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

namespace loomwright::page {
namespace {

/// What is said of a number that the file or the tables give.
void add_limit(ReportTable& table, const std::string& what, const std::string& value,
               const std::string& source) {
    table.rows.push_back({"", {text_cell(what), text_cell(value), text_cell(source)}});
}

ReportTable limits_table(const ReportContext& context) {
    const StudyInput& study = context.study();
    ReportTable table;
    table.id = "limits";
    table.caption = "Limits that this car is held to";
    table.columns = {{"limit"}, {"value"}, {"where from"}};
    const Limit loading = fuse_loading_limit(study);
    add_limit(table, "share of a rating that may flow for long", show_percent(loading.value),
              loading.source);
    const Limit area = least_area(study);
    add_limit(table, "thinnest conductor", show(SquareMetres(area.value)), area.source);
    std::set<std::string> said;
    for (std::size_t i = 0; i < context.vehicle().circuits.size(); ++i) {
        const std::string& named = context.vehicle().circuits[i].drop_class.value;
        const std::string name = named.empty() ? "other" : named;
        if (said.insert(name).second) {
            const Limit drop = drop_limit(study, CircuitId(i));
            add_limit(table, "drop of circuits of class " + name, show(Volts(drop.value)),
                      drop.source);
        }
    }
    return table;
}

std::string_view length_words(LengthSource source) {
    switch (source) {
    case LengthSource::estimated:
        return "estimated from coordinates";
    case LengthSource::assumed:
        return "assumed: an end has no place";
    case LengthSource::same_place:
        return "allowances alone: both ends at one point";
    default:
        return "";
    }
}

ReportTable lengths_table(const ReportContext& context) {
    ReportTable table;
    table.id = "assumed-lengths";
    table.caption = "Lengths that nobody has measured or written";
    table.columns = {{"wire"}, {"length (m)", true}, {"how it came about"}};
    const Vehicle& vehicle = context.vehicle();
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const std::string_view words = length_words(context.study().routing.wires[i].source);
        if (!words.empty()) {
            table.rows.push_back(
                {"",
                 {text_cell(vehicle.wires[i].number, context.wire_working(WireId(i))),
                  number_cell(context.sizing().design.wires[i].length.value(), 2),
                  text_cell(std::string(words))}});
        }
    }
    return table;
}

ReportTable defaults_table(const ReportContext& context) {
    ReportTable table;
    table.id = "defaults";
    table.caption = "Defaults: used wherever the vehicle file does not say";
    table.columns = {{"name"}, {"what it is"}, {"value", true}, {"unit"}, {"mark"}, {"source"}};
    for (const DefaultValue& row : context.study().catalogue.defaults()) {
        ReportCell value = text_cell(show_number(row.value));
        value.number = row.value;
        table.rows.push_back(
            {"",
             {text_cell(row.name), text_cell(row.title), std::move(value), text_cell(row.unit),
              text_cell(std::string(provenance_name(row.origin.provenance))),
              text_cell(row.origin.source)}});
    }
    return table;
}

/// "12 read, 3 memory" of the rows of a table.
std::string marks_of(const TableView& view) {
    constexpr std::array marks = {Provenance::read, Provenance::derived, Provenance::memory};
    std::string out;
    for (const Provenance mark : marks) {
        const auto count = std::ranges::count_if(view.rows, [&](const auto& row) {
            return row.size() >= 2 && row[row.size() - 2] == provenance_name(mark);
        });
        if (count > 0) {
            out += fmt::format("{}{} {}", out.empty() ? "" : ", ", count, provenance_name(mark));
        }
    }
    return out;
}

ReportTable tables_table(const ReportContext& context) {
    ReportTable table;
    table.id = "tables";
    table.caption = "Built-in tables";
    table.columns = {{"table"}, {"what it holds"}, {"edition"}, {"valid for"}, {"rows by mark"}};
    const Catalogue& catalogue = context.study().catalogue;
    for (const std::string& name : catalogue.table_names()) {
        if (const auto view = catalogue.view(name)) {
            table.rows.push_back(
                {"",
                 {text_cell(name), text_cell(view->description), text_cell(view->edition),
                  text_cell(view->validity), text_cell(marks_of(*view))}});
        }
    }
    table.notes = {"read: taken from the standard or a page that quotes it; derived: computed from "
                   "such figures; memory: recalled and not yet held against the standard, which "
                   "has the last word."};
    return table;
}

} // namespace

std::string retained_part(const ReportContext& context) {
    ReportTable table;
    table.id = "retained";
    table.caption = "Old wiring that stays in the car";
    table.columns = {{"wire"},
                     {"from"},
                     {"to"},
                     {"since"},
                     {"fuse before (A)", true},
                     {"load before (A)", true},
                     {"load now (A)", true},
                     {"verdict"}};
    const Vehicle& vehicle = context.vehicle();
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Wire& wire = vehicle.wires[i];
        if (!wire.retained) {
            continue;
        }
        const Retained& old = wire.retained->value;
        const int worst = context.worst_open(wire.number);
        table.rows.push_back(
            {"",
             {text_cell(wire.number, context.wire_working(WireId(i))),
              text_cell(vehicle.show(wire.from)), text_cell(vehicle.show(wire.to)),
              old.since ? text_cell(std::to_string(*old.since)) : no_cell("not said"),
              old.fuse ? number_cell(old.fuse->value(), 1) : no_cell("not said"),
              old.load ? number_cell(old.load->value(), 2) : no_cell("not said"),
              has_answer(context.sizing()) ? number_cell(context.sizing().wires[i].worst_amps, 2,
                                                         context.wire_working(WireId(i)))
                                           : no_cell(),
              verdict_cell(context, worst, "nothing open")},
             worst >= 0});
    }
    if (table.rows.empty()) {
        return "<p>No old wiring stays in this car.</p>\n";
    }
    return context.table(table);
}

std::string assumptions_part(const ReportContext& context) {
    std::string out = context.table(limits_table(context));
    const ReportTable lengths = lengths_table(context);
    out += lengths.rows.empty()
               ? std::string("<p>Every length is written, measured or the sum of its runs.</p>\n")
               : context.table(lengths);
    return out + context.table(defaults_table(context));
}

std::string method_part(const ReportContext& context) {
    return render("report-method.html", Data()) + context.table(tables_table(context));
}

} // namespace loomwright::page
