// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// ground-offset: how far the ground that a signal is measured from stands from the ground that it
// is made at.
//
//   offset = V(ground of the sensor, or of the other controller) - V(ground of the controller)
//
// A sensor of 5 V that is read 50 mV wrong is read 1 % wrong (common practice, no source). Between
// controllers ISO 16750-2 asks that each stands an offset of 1 V (read: summary pages).
#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/wording.hpp"
#include "network/branch_kinds.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <numeric>

namespace loomwright {
namespace {

/// One end of a signal: the copper its terminal stands on, and the node it counts from.
struct SignalEnd {
    DeviceId device;
    int signal = -1; ///< group of copper
    int ground = -1; ///< node
    bool is_sensor = false;
};

/// Which nodes copper joins.
class CopperGroups {
public:
    explicit CopperGroups(const Network& network)
        : up_(static_cast<std::size_t>(network.node_count())) {
        std::iota(up_.begin(), up_.end(), 0);
        for (const Branch& branch : network.branches) {
            if (is_copper(branch.kind)) {
                up_[static_cast<std::size_t>(of(branch.from))] = of(branch.to);
            }
        }
    }
    [[nodiscard]] int of(int node) {
        while (up_[static_cast<std::size_t>(node)] != node) {
            int& up = up_[static_cast<std::size_t>(node)];
            up = up_[static_cast<std::size_t>(up)];
            node = up;
        }
        return node;
    }

private:
    std::vector<int> up_;
};

/// The node a controller's own works count from: where its feeds' current leaves, else its first
/// ground terminal, else its case; -1: it has none.
int controller_ground(const Network& network, const Vehicle& vehicle, DeviceId id) {
    for (const int index : network.device_branches[id.index()]) {
        const Branch& branch = network.branches[static_cast<std::size_t>(index)];
        if (branch.kind == BranchKind::load) {
            return branch.to;
        }
    }
    const Device& device = vehicle.device(id);
    const auto& parts = device.as<Controller>()->parts;
    for (std::size_t t = 0; t < parts.size(); ++t) {
        if (parts[t].part == TerminalPart::ground) {
            return network.terminal_nodes[id.index()][t];
        }
    }
    return device.case_body ? network.body_nodes[static_cast<std::size_t>(*device.case_body)] : -1;
}

std::vector<SignalEnd> signal_ends(const StudyInput& input, CopperGroups& groups) {
    std::vector<SignalEnd> out;
    for (std::size_t i = 0; i < input.vehicle.devices.size(); ++i) {
        const Device& device = input.vehicle.devices[i];
        const auto& nodes = input.network.terminal_nodes[i];
        if (device.as<Sensor>() != nullptr) {
            const int signal = device.terminal("signal");
            const int minus = device.terminal("-");
            if (signal >= 0 && minus >= 0) {
                out.push_back({DeviceId(i), groups.of(nodes[static_cast<std::size_t>(signal)]),
                               nodes[static_cast<std::size_t>(minus)], true});
            }
        } else if (const auto* controller = device.as<Controller>()) {
            const int ground = controller_ground(input.network, input.vehicle, DeviceId(i));
            for (std::size_t t = 0; ground >= 0 && t < controller->parts.size(); ++t) {
                if (controller->parts[t].part == TerminalPart::signal) {
                    out.push_back({DeviceId(i), groups.of(nodes[t]), ground, false});
                }
            }
        }
    }
    return out;
}

struct Offset {
    double volts = 0.0;
    const StateSolution* state = nullptr;
};

Offset worst_offset(const CheckInput& input, int ground, int reference) {
    Offset worst;
    const auto at = [](int node) { return static_cast<std::size_t>(node); };
    for (const StateSolution& solution : input.sizing.states) {
        if (!solution.converged || solution.floating[at(ground)] != 0 ||
            solution.floating[at(reference)] != 0) {
            continue;
        }
        const double volts = solution.node_volts[at(ground)] - solution.node_volts[at(reference)];
        if (std::abs(volts) > std::abs(worst.volts)) {
            worst = {volts, &solution};
        }
    }
    return worst;
}

void add_offset(const CheckInput& input, const SignalEnd& end, const SignalEnd& reader,
                const Offset& offset, const Limit& limit, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Device& device = vehicle.device(end.device);
    const Device& other = vehicle.device(reader.device);
    Finding& finding = findings.add(
        Rule::ground_offset, device.name, device.where,
        fmt::format("its ground stands {} {} that of {} in {}", show(Volts(std::abs(offset.volts))),
                    offset.volts > 0.0 ? "above" : "below", other.name,
                    state_name(vehicle, *offset.state)),
        end.is_sensor
            ? fmt::format("take its `-` to a ground terminal of {} by a wire of its own, not to "
                          "the metal",
                          other.name)
            : fmt::format("ground {} and {} at one point, by wires that carry nothing else",
                          device.name, other.name));
    finding.figures = {seen("offset", std::abs(offset.volts), "V"),
                       limit_of("harmless", limit.value, "V")};
    finding.source = limit.source;
    finding.related.push_back({other.where, other.name + " reads it"});
}

} // namespace

void check_ground_offsets(const CheckInput& input, Findings& findings) {
    CopperGroups groups(input.study.network);
    const std::vector<SignalEnd> ends = signal_ends(input.study, groups);
    std::map<int, std::vector<std::size_t>> readers; // by the copper they read
    for (std::size_t k = 0; k < ends.size(); ++k) {
        if (!ends[k].is_sensor) {
            readers[ends[k].signal].push_back(k);
        }
    }
    for (std::size_t i = 0; i < ends.size(); ++i) {
        const SignalEnd& end = ends[i];
        const auto found = readers.find(end.signal);
        if (found == readers.end()) {
            continue;
        }
        for (const std::size_t k : found->second) {
            const SignalEnd& reader = ends[k];
            if (end.device == reader.device || (!end.is_sensor && i > k)) {
                continue;
            }
            const Limit limit = ground_offset_limit(input.study, end.is_sensor);
            const Offset offset = worst_offset(input, end.ground, reader.ground);
            if (std::abs(offset.volts) > limit.value) {
                add_offset(input, end, reader, offset, limit, findings);
            }
        }
    }
}

} // namespace loomwright
