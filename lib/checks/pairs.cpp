// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// pair-broken: wires of one `twisted` name lead from the same part to the same part, two at least,
// and by the same runs. Else what they pick up on the way is not the same in both, and does not
// fall out at the far end.
#include "checks/checks.hpp"
#include "checks/wording.hpp"

#include "loom/twists.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace loomwright {
namespace {

std::vector<RunId> runs_in_order(const WireRoute& route) {
    std::vector<RunId> out = route.runs;
    std::ranges::sort(out);
    return out;
}

/// Names of the runs that one of the two lies in and the other does not.
std::vector<std::string> apart(const Vehicle& vehicle, const WireRoute& a, const WireRoute& b) {
    std::vector<RunId> out;
    std::ranges::set_symmetric_difference(runs_in_order(a), runs_in_order(b),
                                          std::back_inserter(out));
    out.erase(std::unique(out.begin(), out.end()), out.end());
    std::vector<std::string> names;
    names.reserve(out.size());
    for (const RunId run : out) {
        names.push_back(vehicle.run(run).name);
    }
    return names;
}

void report_alone(const Vehicle& vehicle, const Twist& twist, const std::set<std::string>& several,
                  Findings& findings) {
    const Wire& wire = vehicle.wire(twist.wires.front());
    const bool has_others = several.contains(twist.name);
    findings
        .add(Rule::pair_broken, wire.number, wire.where,
             has_others ? fmt::format("no other wire of the pair {} leads from {} to {}",
                                      twist.name, vehicle.device(wire.from.device).name,
                                      vehicle.device(wire.to.device).name)
                        : fmt::format("the only wire of the pair {}", twist.name),
             has_others
                 ? "lead both wires of the pair from the same part to the same part"
                 : "name the same pair on the wire it is twisted with, or take `twisted` out")
        .figures = {seen("wires from part to part", 1.0, ""), least_of("wires of a pair", 2.0, "")};
}

void report_apart(const CheckInput& input, const Twist& twist, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const WireId first = twist.wires.front();
    for (std::size_t i = 1; i < twist.wires.size(); ++i) {
        const Wire& wire = vehicle.wire(twist.wires[i]);
        const std::vector<std::string> runs =
            apart(vehicle, input.study.routing.wires[first.index()],
                  input.study.routing.wires[twist.wires[i].index()]);
        if (runs.empty()) {
            continue;
        }
        Finding& finding = findings.add(
            Rule::pair_broken, wire.number, wire.where,
            fmt::format("{} and {} are the pair {}, but one of them alone lies in {}",
                        vehicle.wire(first).number, wire.number, twist.name, list_of(runs)),
            "give both the same `via` and `avoid`");
        finding.figures = {seen("runs with one of them", static_cast<double>(runs.size()), ""),
                           limit_of("most", 0.0, "")};
        finding.related.push_back({vehicle.wire(first).where, "the other wire"});
    }
}

} // namespace

void check_pairs(const CheckInput& input, Findings& findings) {
    const std::vector<Twist> all = twists(input.study.vehicle);
    std::set<std::string> met;
    std::set<std::string> several; // names with wires between more than one pair of parts
    for (const Twist& twist : all) {
        if (!met.insert(twist.name).second) {
            several.insert(twist.name);
        }
    }
    for (const Twist& twist : all) {
        if (twist.wires.size() == 1) {
            report_alone(input.study.vehicle, twist, several, findings);
        } else {
            report_apart(input, twist, findings);
        }
    }
}

} // namespace loomwright
