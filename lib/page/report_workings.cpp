// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// How every figure comes about: closed until a link opens it.
#include "page/report_parts.hpp"

#include "base/side_by_side.hpp"
#include "checks/explain.hpp"
#include "sheets/characters.hpp"
#include "sheets/text.hpp"

#include <fmt/format.h>

#include <string_view>
#include <vector>

namespace loomwright::page {
namespace {

constexpr int columns = 96;

std::string wire_id(std::size_t wire) {
    return fmt::format("xw{}", wire);
}

std::string device_id(std::size_t device) {
    return fmt::format("xd{}", device);
}

std::string if_there(const Ids& ids, std::string id) {
    return ids.contains(id) ? id : std::string();
}

/// One working: closed, the id inside it, so that a link opens it. By hand, not by a template:
/// there are as many as the car has wires.
struct Working {
    std::string id;
    std::string what;
    std::string name; ///< by which it is asked for
    std::string html; ///< "" where nothing is told of it
};

void make(Working& working, const CheckInput& checked) {
    const auto sections = explain(checked, working.name);
    if (sections && !sections->empty()) {
        working.html = fmt::format(
            "<details><summary>{}</summary><pre id=\"{}\">{}</pre></details>\n",
            markup_text(working.what), working.id, markup_lines(proof_text(*sections, {columns})));
    }
}

std::vector<Working> all_workings(const Vehicle& vehicle) {
    std::vector<Working> out;
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const Device& device = vehicle.devices[i];
        out.push_back({device_id(i),
                       fmt::format("{} {}{}{}", device.word, device.name,
                                   device.title.empty() ? "" : ": ", device.title),
                       device.name,
                       {}});
    }
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Wire& wire = vehicle.wires[i];
        out.push_back({wire_id(i),
                       fmt::format("wire {}: {} to {}", wire.number, vehicle.show(wire.from),
                                   vehicle.show(wire.to)),
                       wire.number,
                       {}});
    }
    return out;
}

} // namespace

std::string workings_part(ReportContext& context) {
    std::vector<Working> all = all_workings(context.vehicle());
    each_side_by_side(all.size(), [&](std::size_t i) { make(all[i], context.order.checked); });
    std::string out;
    for (const Working& working : all) {
        if (!working.html.empty()) {
            context.workings.insert(working.id);
            out += working.html;
        }
    }
    return out;
}

std::string ReportContext::wire_working(WireId wire) const {
    return if_there(workings, wire_id(wire.index()));
}

std::string ReportContext::device_working(DeviceId device) const {
    return if_there(workings, device_id(device.index()));
}

std::string ReportContext::state_working(std::size_t state) const {
    return if_there(workings, fmt::format("xs{}", state));
}

std::string ReportContext::finding_working(std::size_t finding) const {
    return if_there(workings, fmt::format("xf{}", finding));
}

} // namespace loomwright::page
