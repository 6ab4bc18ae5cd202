// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Supplied harnesses: what arrives made up.

#include "read/kinds.hpp"
#include "read/steps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 6> supplied_keys{"device", "from",  "trunk",
                                                        "leads",  "title", "note"};
constexpr std::array<std::string_view, 4> lead_keys{"terminal", "size", "length", "note"};

std::optional<SuppliedLead> read_lead(Reading& reading, const Entry& entry, const Device* device) {
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), lead_keys);
    if (!fields.is_map()) {
        return std::nullopt;
    }
    SuppliedLead lead;
    lead.name = entry.key.text();
    lead.where = entry.key.where();
    (void)fields.text("note");
    const Node terminal = fields.need("terminal");
    if (terminal.is_valid() && device != nullptr) {
        lead.terminal = read_terminal(reading, terminal, fields.subject(), "terminal", *device);
    }
    const Node size = fields.need("size");
    const auto conductor = size.is_valid()
                               ? read_conductor_size(reading, size, fields.subject(), "size")
                               : std::nullopt;
    const auto length = fields.needed<Metres>("length", ranges::stretch);
    lead.size = conductor.value_or(ConductorSize());
    lead.length = length.value_or(Metres());
    return lead;
}

void read_leads(const Fields& fields, SuppliedHarness& harness, const Device* device) {
    Reading& reading = fields.reading();
    const Node leads = fields.need("leads");
    if (!leads.is_valid() || !is_map_of_names(reading, leads, "leads")) {
        return;
    }
    for (const Entry entry : leads.entries()) {
        auto lead = read_lead(reading, entry, device);
        if (!lead) {
            continue;
        }
        const auto same = std::ranges::find(harness.leads, lead->terminal, &SuppliedLead::terminal);
        if (lead->terminal >= 0 && same != harness.leads.end()) {
            reading
                .complain(Rule::contradiction, lead->name, lead->where,
                          fmt::format("the leads {} and {} are on the same terminal", same->name,
                                      lead->name),
                          "give each terminal one lead")
                .related.push_back({same->where, "the first one is here"});
            continue;
        }
        harness.leads.push_back(std::move(*lead));
    }
}

/// A terminal has one lead, whichever harness brings it: those that another brought are dropped.
void drop_brought_before(Reading& reading, SuppliedHarness& harness) {
    for (const SuppliedHarness& before : reading.vehicle.supplied) {
        if (!harness.device.is_valid() || before.device != harness.device) {
            continue;
        }
        std::erase_if(harness.leads, [&](const SuppliedLead& lead) {
            const auto same =
                std::ranges::find(before.leads, lead.terminal, &SuppliedLead::terminal);
            if (lead.terminal < 0 || same == before.leads.end()) {
                return false;
            }
            reading
                .complain(Rule::contradiction, lead.name, lead.where,
                          fmt::format("the leads {} of {} and {} of {} are on the same terminal",
                                      same->name, before.name, lead.name, harness.name),
                          "give each terminal one lead")
                .related.push_back({same->where, "the first one is here"});
            return true;
        });
    }
}

void read_harness(Reading& reading, const Entry& entry) {
    if (!reading.add_name(reading.supplied, "supplied harness", entry.key,
                          reading.vehicle.supplied.size())) {
        return;
    }
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), supplied_keys);
    SuppliedHarness harness;
    harness.name = entry.key.text();
    harness.where = entry.key.where();
    (void)fields.text("title");
    (void)fields.text("note");
    const Device* device = nullptr;
    if (fields.need("device").is_valid()) {
        if (const auto found = fields.reference("device", reading.devices, "device")) {
            harness.device = DeviceId(*found);
            device = reading.passes[*found].is_broken ? nullptr : &reading.vehicle.devices[*found];
        }
    }
    if (fields.need("from").is_valid()) {
        if (const auto from = fields.reference("from", reading.points, "point")) {
            harness.from = PointId(*from);
        }
    }
    harness.trunk = fields.quantity<Metres>("trunk", ranges::stretch);
    read_leads(fields, harness, device);
    drop_brought_before(reading, harness);
    reading.vehicle.supplied.push_back(std::move(harness));
}

} // namespace

void read_supplied(Reading& reading, const Node& section) {
    if (!is_map_of_names(reading, section, "supplied")) {
        return;
    }
    for (const Entry entry : section.entries()) {
        read_harness(reading, entry);
    }
}

} // namespace loomwright
