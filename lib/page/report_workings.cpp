// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// How every figure comes about: closed until a link opens it.
#include "page/report_parts.hpp"

#include "checks/explain.hpp"
#include "sheets/characters.hpp"
#include "sheets/text.hpp"

#include <fmt/format.h>

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

std::string if_there(const Ids& ids, std::string id) {
    return ids.contains(id) ? id : std::string();
}

/// Text with its line ends, as the content of an element.
std::string lines_of(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        out += markup_text(text.substr(0, end)) + "\n";
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    }
    return out;
}

/// Writes the workings one after another. By hand, not by a template: there are as many as the car
/// has wires.
class Workings {
public:
    explicit Workings(ReportContext& context) : context_(context) {}

    void add(const std::string& id, const std::string& what,
             const std::optional<std::vector<ProofSection>>& sections) {
        if (!sections || sections->empty()) {
            return;
        }
        context_.workings.insert(id);
        out_ += fmt::format("<details><summary>{}</summary><pre id=\"{}\">{}</pre></details>\n",
                            markup_text(what), id, lines_of(proof_text(*sections, columns)));
    }
    [[nodiscard]] std::string take() { return std::move(out_); }

private:
    ReportContext& context_;
    std::string out_;
};

} // namespace

std::string workings_part(ReportContext& context) {
    const Vehicle& vehicle = context.vehicle();
    Workings workings(context);
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const Device& device = vehicle.devices[i];
        workings.add(device_id(i),
                     fmt::format("{} {}{}{}", device.word, device.name,
                                 device.title.empty() ? "" : ": ", device.title),
                     explain(context.order.checked, device.name));
    }
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Wire& wire = vehicle.wires[i];
        workings.add(wire_id(i),
                     fmt::format("wire {}: {} to {}", wire.number, vehicle.show(wire.from),
                                 vehicle.show(wire.to)),
                     explain(context.order.checked, wire.number));
    }
    return workings.take();
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
