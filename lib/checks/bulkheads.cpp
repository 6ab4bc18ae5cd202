// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// bulkhead-side: a connector that is held in a wall stands at a point with a hole, so does its mate
// at the same one, and no run has wires of both halves: else one of them passes the wall another
// way, or comes back through it.
#include "checks/checks.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

namespace loomwright {
namespace {

/// The wires of each run that leave the connector by it, by half.
using WiresByRun = std::map<RunId, std::array<std::vector<WireId>, 2>>;

/// Which half a wire ends at: 0 or 1; -1: at neither. Of a mated pair that is one connector, wires
/// come to the one half and leave from the other.
int half_of(DeviceId near, DeviceId far, DeviceId device, bool at_from) {
    if (!far.is_valid()) {
        return device == near ? (at_from ? 1 : 0) : -1;
    }
    return device == near ? 0 : device == far ? 1 : -1;
}

WiresByRun leaving(const CheckInput& input, DeviceId near, DeviceId far) {
    WiresByRun out;
    const Vehicle& vehicle = input.study.vehicle;
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const std::vector<RunId>& runs = input.study.routing.wires[i].runs;
        for (const bool at_from : {true, false}) {
            const TerminalRef end = at_from ? vehicle.wires[i].from : vehicle.wires[i].to;
            const int half = half_of(near, far, end.device, at_from);
            if (half >= 0 && !runs.empty()) {
                out[at_from ? runs.front() : runs.back()][static_cast<std::size_t>(half)]
                    .emplace_back(i);
            }
        }
    }
    return out;
}

void check_hole(const CheckInput& input, const Device& device, DeviceId mate, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    if (!device.at.is_valid()) {
        findings.add(Rule::bulkhead_side, device.name, device.where,
                     "it is held in a wall, and stands at no point",
                     "say where with `at`, and give that point its `opening`");
        return;
    }
    const Point& point = vehicle.point(device.at);
    if (!point.opening) {
        findings
            .add(Rule::bulkhead_side, device.name, device.where,
                 fmt::format("it is held in a wall, and its point {} has no hole", point.name),
                 "give the point its `opening`, or leave `bulkhead` out")
            .related.push_back({point.where, "the point"});
    }
    if (mate.is_valid() && vehicle.device(mate).at != device.at) {
        findings
            .add(Rule::bulkhead_side, device.name, device.where,
                 fmt::format("its mate {} stands at {} point; the two meet in one wall",
                             vehicle.device(mate).name,
                             vehicle.device(mate).at.is_valid() ? "another" : "no"),
                 "give both halves the same `at`")
            .related.push_back({vehicle.device(mate).where, "the mate"});
    }
}

void check_sides(const CheckInput& input, const Device& device, DeviceId id, DeviceId mate,
                 Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    for (const auto& [run, halves] : leaving(input, id, mate)) {
        if (halves[0].empty() || halves[1].empty()) {
            continue;
        }
        const std::size_t fewer = halves[0].size() < halves[1].size() ? 0 : 1;
        std::vector<std::string> numbers;
        for (const WireId wire : halves.at(fewer)) {
            numbers.push_back(vehicle.wire(wire).number);
        }
        Finding& finding = findings.add(
            Rule::bulkhead_side, device.name, device.where,
            fmt::format("wires of both its halves leave by run {}: {} of the one, {} of the other "
                        "({})",
                        vehicle.run(run).name, halves.at(1 - fewer).size(), numbers.size(),
                        list_of(numbers)),
            "lead the wires of each half away on its own side of the wall, or turn round how they "
            "are written at the connector");
        finding.figures = {seen("wires on the wrong side", static_cast<double>(numbers.size()), ""),
                           limit_of("most", 0.0, "")};
        finding.related.push_back({vehicle.run(run).where, "the run"});
    }
}

} // namespace

void check_bulkheads(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    for (const DeviceId id : devices_of<Connector>(vehicle)) {
        const Device& device = vehicle.device(id);
        const auto* connector = device.as<Connector>();
        const DeviceId mate = connector->mate;
        const bool mate_too = mate.is_valid() && mate.index() < id.index() &&
                              vehicle.device(mate).as<Connector>()->is_bulkhead;
        if (!connector->is_bulkhead || mate_too) {
            continue; // told once, at the first of two halves
        }
        check_hole(input, device, mate, findings);
        check_sides(input, device, id, mate, findings);
    }
}

} // namespace loomwright
