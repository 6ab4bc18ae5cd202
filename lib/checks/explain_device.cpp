// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Which proofs a device of each kind has.
#include "base/display.hpp"
#include "checks/answered_states.hpp"
#include "checks/gathered.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "network/wire_bodies.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace loomwright {
namespace {

void append(std::vector<ProofSection>& out, std::vector<ProofSection> more) {
    std::ranges::move(more, std::back_inserter(out));
}

ProofSection tightest_path(const CheckInput& input, DeviceId id) {
    const LoadDrop* drop = tightest_drop(input, {}, id);
    if (drop != nullptr) {
        return prove_drop(input, *drop);
    }
    return {"Voltage drop",
            {{"the path to it", "", "in no state is it judged", "sizing, docs/method/sizing.md"}}};
}

/// The wires that end at it; of a device in a unit, which unit that is.
ProofSection wires_at(const CheckInput& input, DeviceId id) {
    const Vehicle& vehicle = input.study.vehicle;
    const AnsweredStates states = answered_states(input.study, input.sizing);
    ProofSection out{"Wires at it", {}};
    for (const WireSizing& sized : input.sizing.wires) {
        const Wire& wire = vehicle.wire(sized.wire);
        if (wire.from.device != id && wire.to.device != id) {
            continue;
        }
        const Conductor* conductor = input.sizing.design.wires[sized.wire.index()].conductor;
        out.steps.push_back(
            {fmt::format("largest current of {}, {} to {}, {}, in {}", wire.number,
                         vehicle.show(wire.from), vehicle.show(wire.to),
                         conductor != nullptr ? show(conductor->size) : std::string("no size"),
                         states.is_any ? busiest_state_name(vehicle, sized.worst_state)
                                       : states.every),
             "", states.is_any ? show(Amps(sized.worst_amps)) : states.none(),
             fmt::format("operating point; `explain {}`", wire.number)});
    }
    const DeviceId housing = vehicle.device(id).housing;
    if (housing.is_valid()) {
        const std::string& unit = vehicle.device(housing).name;
        out.steps.push_back(
            {"it is inside", "", unit, fmt::format("the vehicle file; `explain {}`", unit)});
    }
    return out;
}

std::vector<ProofSection> explain_protective(Gathered& gathered, const FuseSizing& fuse) {
    std::vector<ProofSection> out = explain_fuse(gathered.input, fuse);
    append(out, explain_shorts(gathered, fuse));
    return out;
}

std::vector<ProofSection> explain_kind(Gathered& gathered, DeviceId id, const Device& device) {
    std::vector<ProofSection> out;
    if (device.as<Relay>() != nullptr) {
        out.push_back(explain_coil(gathered, id));
        append(out, explain_contacts(gathered, id));
    } else if (device.as<Flasher>() != nullptr || device.as<Switch>() != nullptr) {
        append(out, explain_contacts(gathered, id));
    } else if (device.as<Battery>() != nullptr || device.as<Alternator>() != nullptr ||
               device.as<Charger>() != nullptr) {
        append(out, explain_source(gathered, id));
    } else if (device.as<Load>() != nullptr || device.as<Starter>() != nullptr ||
               device.as<Controller>() != nullptr || device.as<Sensor>() != nullptr) {
        out.push_back(tightest_path(gathered.input, id));
        if (const LoadDrop* drop = tightest_drop(gathered.input, {}, id, true)) {
            out.push_back(prove_drop(gathered.input, *drop));
        }
        out.push_back(explain_demand(gathered, id));
        if (device.as<Starter>() != nullptr) {
            out.push_back(explain_coil(gathered, id));
        }
        append(out, explain_contacts(gathered, id));
    } else {
        append(out, explain_joint(gathered, id));
    }
    return out;
}

} // namespace

std::vector<ProofSection> explain_device(Gathered& gathered, DeviceId id) {
    const auto& fuses = gathered.input.sizing.fuses;
    const auto fuse = std::ranges::find(fuses, id, &FuseSizing::device);
    if (fuse != fuses.end()) {
        return explain_protective(gathered, *fuse);
    }
    std::vector<ProofSection> out =
        explain_kind(gathered, id, gathered.input.study.vehicle.device(id));
    out.push_back(wires_at(gathered.input, id));
    std::erase_if(out, [](const ProofSection& section) { return section.steps.empty(); });
    if (out.empty()) {
        out.push_back({"Wires at it", {{"wires that end at it", "", "none", "the vehicle file"}}});
    }
    return out;
}

} // namespace loomwright
