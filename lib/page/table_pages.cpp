// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Pages of several tables.
#include "draw/mating_view.hpp"
#include "page/page_data.hpp"
#include "page/papers.hpp"
#include "page/print_page.hpp"

#include <fmt/format.h>

namespace loomwright::page {
namespace {

/// As many states side by side as can be read on a lying sheet.
constexpr std::size_t states_a_table = 8;

/// The note of a table that stands on the page's head once.
Sheet without_notes(Sheet sheet) {
    sheet.notes.clear();
    return sheet;
}

} // namespace

std::string connectors_page(const StudyInput& study, const std::vector<PlugHalf>& halves,
                            const std::vector<Sheet>& tables, const Findings& findings,
                            Paper paper) {
    std::vector<PrintSection> sections;
    for (std::size_t i = 0; i < halves.size(); ++i) {
        // The picture bears the name of the housing.
        sections.push_back({"", {mating_view_svg(study, halves[i])}, tables[i]});
    }
    const PageHead head{"Connectors",
                        counted(sections.size(), "housing", "housings"),
                        {"crimped by, date", "plugged by, date", "checked by, date"}};
    return print_page(study.vehicle, findings, paper, head, sections);
}

std::string first_power_page(const StudyInput& study, const Sizing& sizing,
                             const std::vector<TestPlace>& places, const Findings& findings,
                             Paper paper) {
    const PageHead head{"First power",
                        fmt::format("{}, {}", counted(places.size(), "place", "places"),
                                    counted(sizing.states.size(), "state", "states")),
                        {"tested by, date", "meter", "checked by, date"}};
    std::vector<PrintSection> sections;
    for (Sheet& sheet : first_power_tables(study, sizing, places, states_a_table)) {
        sections.push_back({"", {}, without_notes(std::move(sheet))});
    }
    if (!sections.empty()) {
        sections.front().heading = "Expected volts against the battery's minus post";
        sections.back().sheet.notes = first_power_steps();
    }
    return print_page(study.vehicle, findings, paper, head, sections);
}

} // namespace loomwright::page
