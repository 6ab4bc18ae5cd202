// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The loom: flattened and to scale, its bundles, and the cross-section of every run.
#include "page/report_parts.hpp"

#include "draw/loom_drawing.hpp"
#include "draw/loom_plan.hpp"
#include "draw/section_drawing.hpp"
#include "draw/svg_writer.hpp"
#include "sheets/bundle_schedule.hpp"

#include <fmt/format.h>

namespace loomwright::page {
namespace {

std::string flattened(const ReportContext& context) {
    const draw::LoomPlan plan =
        draw::loom_plan(context.study(), context.bundles, draw::BoardSize());
    draw::MarksTaken none;
    return "<figure class=\"drawing\">" +
           draw::svg_figure(draw::loom_sheet(context.study(), plan), "Loom flattened, to scale", "",
                            none) +
           "</figure>\n";
}

/// The bundle schedule, each run leading to its cross-section.
ReportTable bundles_table(const ReportContext& context) {
    ReportTable table =
        table_of(bundle_schedule_sheet(context.study(), context.bundles), "bundles");
    std::size_t row = 0;
    for (const RunBundle& bundle : context.bundles) {
        if (!bundle.section.wires.empty()) {
            for (ReportCell& cell : table.rows[row].cells) {
                cell.link = cell.number ? context.run_working(bundle.run) : std::string();
            }
            table.rows[row].cells.front().link = section_id(bundle.run);
            ++row;
        }
    }
    return table;
}

std::string sections(const ReportContext& context) {
    std::string out = "<div class=\"plots\">\n";
    for (const RunBundle& bundle : context.bundles) {
        if (bundle.section.wires.empty()) {
            continue;
        }
        draw::MarksTaken none;
        out += fmt::format("<figure id=\"{}\">", section_id(bundle.run));
        out += draw::svg_figure(draw::section_sheet(context.study(), context.sizing(), bundle),
                                "Cross-section of run " + context.vehicle().run(bundle.run).name,
                                "", none);
        out += "</figure>\n";
    }
    return out + "</div>\n";
}

} // namespace

std::string loom_part(const ReportContext& context) {
    if (draw::laced_runs(context.study()).empty()) {
        return "<p>The wires of this car lie in no run: there is no loom to draw.</p>\n";
    }
    return flattened(context) + context.table(bundles_table(context)) + sections(context);
}

} // namespace loomwright::page
