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

#include <algorithm>
#include <array>
#include <optional>
#include <span>
#include <string_view>
#include <utility>
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

std::string state_id(std::size_t state) {
    return fmt::format("xs{}", state);
}

std::string finding_working_id(std::size_t finding) {
    return fmt::format("xf{}", finding);
}

std::string run_working_id(std::size_t run) {
    return fmt::format("xr{}", run);
}

std::string if_there(const Ids& ids, const std::string& id) {
    return ids.contains(id) ? id : std::string();
}

/// One working: closed, the id inside it, so that a link opens it. By hand, not by a template:
/// there are as many as the car has wires.
struct Working {
    std::string id;
    std::string what;
    std::string name;                   ///< by which it is asked for
    std::optional<std::size_t> finding; ///< in place of a name
    std::string html;                   ///< "" where nothing is told of it
};

void make(Working& working, Explainer& explainer, const ReportOrder& order) {
    auto sections = explainer.explain(working.name);
    if (working.finding) {
        // What else was computed about its subject stands in the subject's own working.
        sections = explainer.explain_finding(order.findings.all()[*working.finding]);
        sections->resize(std::min<std::size_t>(sections->size(), 1));
    }
    if (sections && !sections->empty()) {
        working.html = fmt::format(
            "<details><summary>{}</summary><pre id=\"{}\">{}</pre></details>\n",
            markup_text(working.what), working.id, markup_lines(proof_text(*sections, {columns})));
    }
}

/// Workings of one kind, and how many bytes of them a page takes: a browser must open it.
struct WorkingGroup {
    const char* what;
    std::size_t most_bytes;
    std::vector<Working> workings;
    std::size_t left_out = 0;
};

constexpr std::size_t megabyte = 1000000;

WorkingGroup findings_group(const ReportContext& context) {
    WorkingGroup out{"findings", 2 * megabyte, {}};
    const auto& findings = context.order.findings.all();
    for (std::size_t i = 0; i < findings.size(); ++i) {
        out.workings.push_back(
            {finding_working_id(i),
             fmt::format("finding {}: {}", rule_info(findings[i].rule).id, findings[i].subject),
             {},
             i,
             {}});
    }
    return out;
}

WorkingGroup states_group(const ReportContext& context) {
    WorkingGroup out{"states", 1 * megabyte, {}};
    const auto& states = context.sizing().states;
    for (std::size_t i = 0; i < states.size() && !context.vehicle().states.empty(); ++i) {
        const std::string name = state_name(context.vehicle(), states[i]);
        out.workings.push_back({state_id(i), "state " + name, name, {}, {}});
    }
    return out;
}

/// Protective devices, or all others.
WorkingGroup devices_group(const Vehicle& vehicle, bool protects) {
    WorkingGroup out{protects ? "protective devices" : "other devices", 4 * megabyte, {}};
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const Device& device = vehicle.devices[i];
        if ((device.as<Protection>() != nullptr) == protects) {
            out.workings.push_back({device_id(i),
                                    fmt::format("{} {}{}{}", device.word, device.name,
                                                device.title.empty() ? "" : ": ", device.title),
                                    device.name,
                                    {},
                                    {}});
        }
    }
    return out;
}

WorkingGroup wires_group(const Vehicle& vehicle) {
    WorkingGroup out{"wires", 8 * megabyte, {}};
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Wire& wire = vehicle.wires[i];
        out.workings.push_back({wire_id(i),
                                fmt::format("wire {}: {} to {}", wire.number,
                                            vehicle.show(wire.from), vehicle.show(wire.to)),
                                wire.number,
                                {},
                                {}});
    }
    return out;
}

WorkingGroup runs_group(const ReportContext& context) {
    WorkingGroup out{"runs", 1 * megabyte, {}};
    const auto& runs = context.vehicle().runs;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        if (!context.study().routing.run_wires[i].empty()) {
            out.workings.push_back(
                {run_working_id(i), "run " + runs[i].name, runs[i].name, {}, {}});
        }
    }
    return out;
}

/// Makes the workings of all groups, each group as far as it may go: so many at a time, that the
/// answer does not depend on which thread is quicker.
void make_groups(std::span<WorkingGroup> groups, const ReportContext& context) {
    const ReportOrder& order = context.order;
    constexpr std::size_t at_a_time = 64;
    constexpr std::size_t threads = 2;
    // Proofs of one explainer share what is dear to make.
    std::array<Explainer, threads> explainers = {
        Explainer(order.checked, &order.files, context.bundles),
        Explainer(order.checked, &order.files, context.bundles)};
    for (WorkingGroup& group : groups) {
        std::size_t bytes = 0;
        std::size_t done = 0;
        while (done < group.workings.size() && bytes < group.most_bytes) {
            const std::size_t end = std::min(done + at_a_time, group.workings.size());
            side_by_side(threads - 1, [&](std::size_t number) {
                for (std::size_t i = done + number; i < end; i += threads) {
                    make(group.workings[i], explainers.at(number), order);
                }
            });
            for (; done < end; ++done) {
                bytes += group.workings[done].html.size();
            }
        }
        group.left_out = group.workings.size() - done;
    }
}

} // namespace

std::string workings_part(ReportContext& context) {
    std::array<WorkingGroup, 6> groups = {findings_group(context),
                                          states_group(context),
                                          devices_group(context.vehicle(), true),
                                          wires_group(context.vehicle()),
                                          devices_group(context.vehicle(), false),
                                          runs_group(context)};
    make_groups(groups, context);
    std::string out;
    std::string left_out;
    for (const WorkingGroup& group : groups) {
        for (const Working& working : group.workings) {
            if (!working.html.empty()) {
                context.workings.insert(working.id);
                out += working.html;
            }
        }
        if (group.left_out > 0) {
            left_out +=
                fmt::format("{}{}: {}", left_out.empty() ? "" : ", ", group.what, group.left_out);
        }
    }
    if (!left_out.empty()) {
        out = fmt::format("<p class=\"note\">The car is so large that a browser would not open all "
                          "workings. Left out, the last of the file: {}. The verb explain has each "
                          "of them.</p>\n",
                          left_out) +
              out;
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
    return if_there(workings, state_id(state));
}

std::string ReportContext::run_working(RunId run) const {
    return if_there(workings, run_working_id(run.index()));
}

std::string ReportContext::finding_working(std::size_t finding) const {
    return if_there(workings, finding_working_id(finding));
}

} // namespace loomwright::page
