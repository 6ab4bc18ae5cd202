// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The protection schedule: every device against what it carries, what it protects and what it has
// to open; and its time-current plot.
#include "page/report_parts.hpp"

#include "base/display.hpp"
#include "draw/curves_plot.hpp"
#include "draw/svg_writer.hpp"
#include "sizing/device_bands.hpp"
#include "sizing/judged.hpp"
#include "sizing/protect.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <ranges>
#include <utility>

namespace loomwright::page {
namespace {

constexpr std::array protection_rules = {
    Rule::fuse_missing,   Rule::fuse_over_wire,    Rule::fuse_loading,
    Rule::fuse_inrush,    Rule::breaking_capacity, Rule::selectivity,
    Rule::unfused_length, Rule::short_not_cleared, Rule::short_overheats};

bool is_of_protection(Rule rule) {
    return std::ranges::find(protection_rules, rule) != protection_rules.end();
}

class ProtectionRows {
public:
    explicit ProtectionRows(const ReportContext& context) : context_(context) {}

    [[nodiscard]] ReportRow row(const FuseSizing& fuse) const {
        const Vehicle& vehicle = context_.vehicle();
        const Device& device = vehicle.device(fuse.device);
        const std::string working = context_.device_working(fuse.device);
        const int worst = worst_on(fuse);
        ReportRow row;
        row.cells = {
            text_cell(device.name, working, device.title.empty() ? device.word : device.title),
            fuse.rating_a > 0.0 ? number_cell(fuse.rating_a, 1, working) : no_cell(),
            has_answer(context_.sizing())
                ? number_cell(fuse.load_a, 2, working,
                              fuse.worst_state.is_valid() ? state_name(vehicle, fuse.worst_state)
                                                          : std::string())
                : no_cell()};
        add_load_share(row, fuse);
        add_wires(row, fuse);
        add_shorts(row, fuse);
        row.cells.push_back(verdict_cell(context_, worst, "nothing open"));
        row.cells.push_back(text_cell(source_of(fuse)));
        row.is_bad = worst >= 0;
        return row;
    }

private:
    /// The worst open finding of protection on the device or a wire that it protects; -1 for none.
    [[nodiscard]] int worst_on(const FuseSizing& fuse) const {
        const Vehicle& vehicle = context_.vehicle();
        const auto& all = context_.order.findings.all();
        int worst = context_.worst_open(vehicle.device(fuse.device).name, is_of_protection);
        for (const WireId wire : fuse.protects) {
            const int here = context_.worst_open(vehicle.wire(wire).number, is_of_protection);
            const auto rank = [&all](int index) {
                return std::pair(all[static_cast<std::size_t>(index)].severity, -index);
            };
            worst = here >= 0 && (worst < 0 || rank(here) > rank(worst)) ? here : worst;
        }
        return worst;
    }

    /// The load as a share of what the device may carry for long in its air.
    void add_load_share(ReportRow& row, const FuseSizing& fuse) const {
        const double may =
            fuse.rating_a * (fuse.is_short_time ? 1.0 : fuse.loading * fuse.temperature_factor);
        if (may <= 0.0 || !has_answer(context_.sizing())) {
            row.cells.push_back(no_cell());
            return;
        }
        ReportCell bar = picture_cell(share_bar(fuse.load_a / may), fuse.load_a / may);
        bar.small = fmt::format("of {} allowed", show(Amps(may)));
        row.cells.push_back(std::move(bar));
    }

    void add_wires(ReportRow& row, const FuseSizing& fuse) const {
        const Vehicle& vehicle = context_.vehicle();
        std::string numbers;
        for (const WireId wire : fuse.protects) {
            numbers += (numbers.empty() ? "" : ", ") + vehicle.wire(wire).number;
        }
        row.cells.push_back(numbers.empty() ? no_cell() : text_cell(numbers));
        if (!fuse.thinnest.is_valid()) {
            row.cells.push_back(no_cell());
            row.cells.push_back(no_cell());
            return;
        }
        const WireSizing& sized = context_.sizing().wires[fuse.thinnest.index()];
        const WireDesign& made = context_.sizing().design.wires[fuse.thinnest.index()];
        const std::string working = context_.wire_working(fuse.thinnest);
        row.cells.push_back(text_cell(vehicle.wire(fuse.thinnest).number, working,
                                      made.conductor != nullptr ? show(made.conductor->size)
                                                                : std::string("no size")));
        row.cells.push_back(made.conductor != nullptr ? number_cell(sized.ampacity.amps, 1, working)
                                                      : no_cell());
    }

    void add_shorts(ReportRow& row, const FuseSizing& fuse) const {
        const std::string working = context_.device_working(fuse.device);
        const auto place = static_cast<std::size_t>(&fuse - context_.sizing().fuses.data());
        const auto& least = context_.shorts[place].least;
        const double greatest = context_.shorts[place].greatest.amps;
        if (!least) {
            row.cells.push_back(no_cell());
            row.cells.push_back(no_cell());
        } else {
            row.cells.push_back(number_cell(least->amps, 0, working,
                                            "wire " + context_.vehicle().wire(least->wire).number));
            row.cells.push_back(clearing(fuse, least->amps));
        }
        const BreakingCapacity breaks =
            breaking_capacity_of(context_.study(), context_.sizing().design, fuse.device);
        row.cells.push_back(greatest > 0.0
                                ? number_cell(greatest, 0, working,
                                              breaks.amps ? "breaks " + show(*breaks.amps)
                                                          : std::string("breaks: not known"))
                                : no_cell());
    }

    [[nodiscard]] ReportCell clearing(const FuseSizing& fuse, double amps) const {
        const TimeCurrentBand band = band_in_place(context_.study(), fuse.device, fuse.rating_a);
        const auto seconds = longest_opening_s(band, amps);
        if (!seconds) {
            return no_cell(band.is_known() ? "may stay closed" : "not known");
        }
        ReportCell cell = text_cell(show(Seconds(*seconds)), context_.device_working(fuse.device));
        cell.number = *seconds;
        return cell;
    }

    [[nodiscard]] std::string source_of(const FuseSizing& fuse) const {
        const FuseFamily* family = family_of(context_.study(), fuse.device);
        const TimeCurrentBand band = band_in_place(context_.study(), fuse.device, fuse.rating_a);
        std::string out = family != nullptr ? family->standard : std::string();
        if (!band.longest.empty()) {
            const Origin& origin = band.longest.front().origin;
            out += fmt::format("{}times: {} ({})", out.empty() ? "" : "; ", origin.source,
                               provenance_name(origin.provenance));
        }
        return out.empty() ? "-" : out;
    }

    const ReportContext& context_;
};

} // namespace

std::string protection_part(const ReportContext& context) {
    ReportTable table;
    table.id = "protection-schedule";
    table.caption = "Protection schedule";
    table.columns = {{"device"},
                     {"rating (A)", true},
                     {"load (A)", true},
                     {"load of what is allowed", true},
                     {"protects"},
                     {"thinnest"},
                     {"its ampacity (A)", true},
                     {"least short (A)", true},
                     {"open within"},
                     {"greatest short (A)", true},
                     {"verdict"},
                     {"source"}};
    const ProtectionRows rows(context);
    for (const FuseSizing& fuse : context.sizing().fuses) {
        table.rows.push_back(rows.row(fuse));
    }
    table.notes = {
        "Allowed: rating x permitted loading x what the air leaves of it. Held against each wire: "
        "rating at most its ampacity, the current that surely opens it at most 1.45 times that "
        "(IEC 60364-4-43 433.1), and its let-through against k2S2 of the copper (IEC 60949). The "
        "least short is the weakest dead short at an end of a protected wire, in the worst state; "
        "the greatest is as if the device were a piece of metal."};
    return context.table(table);
}

std::string curves_part(const ReportContext& context) {
    constexpr std::size_t most_bytes = 8000000; // a browser must open the page
    std::string out = "<div class=\"plots\">\n";
    const auto& fuses = context.sizing().fuses;
    std::size_t drawn = 0;
    for (; drawn < fuses.size() && out.size() < most_bytes; ++drawn) {
        const FuseSizing& fuse = fuses[drawn];
        const std::string& name = context.vehicle().device(fuse.device).name;
        draw::MarksTaken none;
        out += fmt::format("<figure id=\"{}\">", curves_id(fuse.device));
        out += draw::svg_figure(draw::plot_sheet(curves_plot(context.study(), context.sizing(),
                                                             fuse.device, context.shorts[drawn])),
                                "Time and current of " + name, "", none);
        out += "</figure>\n";
    }
    out += "</div>\n";
    if (drawn < fuses.size()) {
        out +=
            fmt::format("<p class=\"note\">The car is so large that a browser would not open all "
                        "plots: {} are left out, the last of the file. `draw --view curves` has "
                        "each of them.</p>\n",
                        fuses.size() - drawn);
    }
    return out;
}

} // namespace loomwright::page
