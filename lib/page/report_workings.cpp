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
#include <optional>
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

std::string if_there(const Ids& ids, std::string id) {
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

std::vector<Working> all_workings(const ReportContext& context) {
    const Vehicle& vehicle = context.vehicle();
    std::vector<Working> out;
    const auto add = [&out](std::string id, std::string what, std::string name) {
        out.push_back({std::move(id), std::move(what), std::move(name), {}, {}});
    };
    const auto& findings = context.order.findings.all();
    for (std::size_t i = 0; i < findings.size(); ++i) {
        add(finding_working_id(i),
            fmt::format("finding {}: {}", rule_info(findings[i].rule).id, findings[i].subject), "");
        out.back().finding = i;
    }
    const auto& states = context.sizing().states;
    for (std::size_t i = 0; i < states.size() && !vehicle.states.empty(); ++i) {
        const std::string name = state_name(vehicle, states[i]);
        add(state_id(i), "state " + name, name);
    }
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const Device& device = vehicle.devices[i];
        add(device_id(i),
            fmt::format("{} {}{}{}", device.word, device.name, device.title.empty() ? "" : ": ",
                        device.title),
            device.name);
    }
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Wire& wire = vehicle.wires[i];
        add(wire_id(i),
            fmt::format("wire {}: {} to {}", wire.number, vehicle.show(wire.from),
                        vehicle.show(wire.to)),
            wire.number);
    }
    for (std::size_t i = 0; i < vehicle.runs.size(); ++i) {
        if (!context.study().routing.run_wires[i].empty()) {
            add(run_working_id(i), "run " + vehicle.runs[i].name, vehicle.runs[i].name);
        }
    }
    return out;
}

} // namespace

std::string workings_part(ReportContext& context) {
    std::vector<Working> all = all_workings(context);
    // Proofs of one explainer share what is dear to make; every other one to each thread.
    constexpr std::size_t threads = 2;
    side_by_side(threads - 1, [&](std::size_t number) {
        Explainer explainer(context.order.checked, &context.order.files);
        for (std::size_t i = number; i < all.size(); i += threads) {
            make(all[i], explainer, context.order);
        }
    });
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
    return if_there(workings, state_id(state));
}

std::string ReportContext::run_working(RunId run) const {
    return if_there(workings, run_working_id(run.index()));
}

std::string ReportContext::finding_working(std::size_t finding) const {
    return if_there(workings, finding_working_id(finding));
}

} // namespace loomwright::page
