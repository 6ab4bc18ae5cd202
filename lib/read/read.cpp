// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/read.hpp"

#include "read/steps.hpp"

#include <array>

namespace loomwright {
namespace {

using SectionStep = void (*)(Reading&, const Node&);

struct NamedStep {
    std::string_view key;
    SectionStep step;
};

/// Names are known before they are used: this order, whatever the order of the file.
constexpr std::array first_steps{NamedStep{"zones", read_zones}, NamedStep{"points", read_points},
                                 NamedStep{"runs", read_runs}, NamedStep{"devices", read_devices}};
constexpr std::array later_steps{
    NamedStep{"circuits", read_circuits}, NamedStep{"shields", read_shields},
    NamedStep{"states", read_states},     NamedStep{"drives", read_drives},
    NamedStep{"supplied", read_supplied}, NamedStep{"curves", read_curves},
    NamedStep{"frozen", read_frozen}};

void run_steps(Reading& reading, const Sections& sections, std::span<const NamedStep> steps) {
    for (const NamedStep& step : steps) {
        for (const Section& section : sections.all) {
            if (section.key.text() == step.key) {
                step.step(reading, section.value);
            }
        }
    }
}

void read_headings(Reading& reading, const Sections& sections) {
    const Section* bodies = nullptr;
    for (const Section& section : sections.all) {
        const std::string_view key = section.key.text();
        if (key == "title" || key == "revision" || key == "note" || key == "nominal") {
            read_heading(reading, section);
        } else if (key == "bodies" && bodies == nullptr) {
            bodies = &section;
            read_bodies(reading, section);
        } else if (key == "bodies") {
            reading
                .complain(Rule::duplicate_key, "bodies", section.key.where(),
                          "the bodies of metal are listed in two files", "list them once")
                .related.push_back({bodies->key.where(), "the first list is here"});
        }
    }
}

void read_all(Reading& reading, const Sections& sections) {
    read_headings(reading, sections);
    run_steps(reading, sections, first_steps);
    finish_devices(reading);
    run_steps(reading, sections, later_steps);
    find_states_before(reading);
    check_needed_in(reading);
    NameTable policy_keys;
    for (const Section& section : sections.all) {
        const std::string_view key = section.key.text();
        if (key == "policy") {
            read_policy(reading, section.value, policy_keys);
        } else if (key == "waivers") {
            read_waivers(reading, section.value);
        } else if (key == "stock") {
            read_stock(reading, section.value);
        }
    }
    leave_colours_open(reading);
    check_plug_fittings(reading);
}

} // namespace

Vehicle read_vehicle(const std::string& file_name, const std::string& text,
                     const Catalogue& catalogue, const IncludeReader& include, SourceFiles& files,
                     Findings& findings, PieceShelf* shelf) {
    Reading reading(catalogue, findings);
    const Sections sections = read_sections(reading, file_name, text, include, files, shelf);
    read_all(reading, sections);
    findings.mention_untold();
    return std::move(reading.vehicle);
}

} // namespace loomwright
