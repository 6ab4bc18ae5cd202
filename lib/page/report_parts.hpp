// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/curves_plot.hpp"
#include "loom/bundle.hpp"
#include "page/report.hpp"
#include "page/report_table.hpp"

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

// Inside the room only: the sections of the report, and the ids by which they lead to one another.

namespace loomwright::page {

using Ids = std::set<std::string, std::less<>>;

// Ids are a letter and the place in the file: a name cannot break a link.
[[nodiscard]] std::string finding_id(std::size_t finding); ///< by its place
[[nodiscard]] std::string curves_id(DeviceId device);      ///< its time-current plot
[[nodiscard]] std::string section_id(RunId run);           ///< its cross-section
/// Before the marks of the feeds drawing.
inline constexpr std::string_view feeds_prefix = "g";

/// The findings that nobody has accepted, by what they are about: places in the list.
using OpenFindings = std::map<std::string_view, std::vector<std::size_t>>;
[[nodiscard]] OpenFindings open_findings(const Findings& findings);

/// What the sections of one page share.
struct ReportContext {
    const ReportOrder& order;
    OpenFindings open;
    std::vector<RunBundle> bundles;   ///< by RunId
    std::vector<ShortsToOpen> shorts; ///< by the place of each device in Sizing::fuses
    Ids drawn;                        ///< of the feeds drawing
    Ids workings;                     ///< that are on the page

    [[nodiscard]] const StudyInput& study() const { return order.checked.study; }
    [[nodiscard]] const Sizing& sizing() const { return order.checked.sizing; }
    [[nodiscard]] const Vehicle& vehicle() const { return study().vehicle; }
    /// The table, with the title of the car over its head on every printed page.
    [[nodiscard]] std::string table(const ReportTable& table) const;
    /// The place of the worst open finding on a subject, of those rules that `counts` takes (none:
    /// of all); the first of equals, -1 for none.
    [[nodiscard]] int worst_open(std::string_view subject, bool (*counts)(Rule) = nullptr) const;
    // Where links lead; "" to what is not on the page.
    [[nodiscard]] std::string in_feeds(std::string_view mark) const; ///< a mark of that drawing
    [[nodiscard]] std::string wire_working(WireId wire) const;       ///< how its figures come about
    [[nodiscard]] std::string device_working(DeviceId device) const;
    [[nodiscard]] std::string state_working(std::size_t state) const; ///< by its place
    [[nodiscard]] std::string run_working(RunId run) const;
    [[nodiscard]] std::string finding_working(std::size_t finding) const;
};

/// The severity of that finding, leading to it; `good` for none.
[[nodiscard]] ReportCell verdict_cell(const ReportContext& context, int finding,
                                      const std::string& good);

// The sections: each the HTML under its heading.
[[nodiscard]] std::string findings_part(const ReportContext& context);
[[nodiscard]] std::string waivers_part(const ReportContext& context);
[[nodiscard]] std::string states_part(const ReportContext& context);
[[nodiscard]] std::string protection_part(const ReportContext& context);
[[nodiscard]] std::string curves_part(const ReportContext& context);
[[nodiscard]] std::string drops_part(const ReportContext& context);
[[nodiscard]] std::string wires_part(const ReportContext& context);
[[nodiscard]] std::string faults_part(const ReportContext& context);
[[nodiscard]] std::string loom_part(const ReportContext& context);
[[nodiscard]] std::string retained_part(const ReportContext& context);
[[nodiscard]] std::string assumptions_part(const ReportContext& context);
[[nodiscard]] std::string method_part(const ReportContext& context);
/// Every working that there is; its id goes into `context.workings`.
[[nodiscard]] std::string workings_part(ReportContext& context);

} // namespace loomwright::page
