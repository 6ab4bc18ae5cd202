// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/display.hpp"
#include "page/page_data.hpp"
#include "page/papers.hpp"

#include <fmt/format.h>

namespace loomwright::page {
namespace {

std::string millimetres(Metres length, int decimals) {
    return fmt::format("{:.{}f}", length.value() * 1e3, decimals);
}

/// A sum of pieces that are cut in whole steps of 5 mm.
std::string metres_with_unit(Metres sum) {
    return fmt::format("{:.3f} m", sum.value());
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
    out.set("sum", metres_with_unit(spool.total));
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

} // namespace

std::string cut_page(const StudyInput& study, const CutList& list, const Findings& findings,
                     Paper paper) {
    Data data = page_data(study.vehicle, findings, paper);
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
    data.set("total", metres_with_unit(total));
    data.set("has_retained", !list.retained.empty());
    data.set("retained", retained_data(study.vehicle, list.retained));
    data.set(
        "notes",
        text_rows("text",
                  {"Lengths hold all allowances and are rounded up to 5 mm. The label text goes "
                   "on a sleeve at both ends.",
                   "Strip lengths and terminals are common practice, no source: the data sheet "
                   "of the terminal that is bought decides. Try one, look at it, pull at it.",
                   "Colours by IEC 60757: the first is the wire's, the second its tracer's."}));
    return render("cut-list.html", data);
}

} // namespace loomwright::page
