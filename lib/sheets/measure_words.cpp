// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/display.hpp"
#include "network/branch_kinds.hpp"
#include "sheets/measure_sheets.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

const Branch& branch_of(const MeasureReport& report, const Suspect& suspect) {
    return report.study.network.branches[static_cast<std::size_t>(suspect.index)];
}

std::string_view protection_word(const Device& device) {
    switch (device.as<Protection>()->kind) {
    case ProtectionKind::fuse:
        return "fuse";
    case ProtectionKind::breaker:
        return "breaker";
    case ProtectionKind::fusible_link:
        break;
    }
    return "fusible link";
}

std::string joint_words(const MeasureReport& report, const Branch& branch,
                        const std::string& name) {
    const Vehicle& vehicle = report.study.vehicle;
    if (branch.kind == BranchKind::wire) {
        const Wire& wire = vehicle.wire(branch.wire);
        return fmt::format("wire {} with its ends at {} and {}", name, vehicle.show(wire.from),
                           vehicle.show(wire.to));
    }
    const Device& device = vehicle.device(branch.device);
    switch (branch.kind) {
    case BranchKind::lead:
        return fmt::format("lead {} with its ends", name);
    case BranchKind::bond:
        return device.as<Ground>() != nullptr
                   ? fmt::format("ground {}, where its stud meets the metal", name)
                   : fmt::format("{}, where it meets the metal", name);
    case BranchKind::strap:
        return fmt::format("strap {} with its ends", name);
    case BranchKind::protection:
        return fmt::format("{} {} with its holder", protection_word(device), name);
    case BranchKind::contact:
        return fmt::format("contact {} of {}", name, device.name);
    case BranchKind::output:
        return fmt::format("output {}", name);
    case BranchKind::joint:
        return fmt::format("connector {}, its pair of contacts", name);
    default:
        return fmt::format("{}, inside", name);
    }
}

} // namespace

std::string_view verdict_name(ReadingVerdict verdict) {
    switch (verdict) {
    case ReadingVerdict::as_predicted:
        return "as predicted";
    case ReadingVerdict::explained:
        return "explained";
    case ReadingVerdict::unexplained:
        return "unexplained";
    case ReadingVerdict::impossible:
        return "impossible";
    case ReadingVerdict::no_prediction:
        break;
    }
    return "no prediction";
}

std::string_view suspect_kind_name(Suspect::Kind kind) {
    switch (kind) {
    case Suspect::Kind::joint:
        return "joint";
    case Suspect::Kind::source:
        return "source";
    case Suspect::Kind::load:
        return "load";
    case Suspect::Kind::reading:
        break;
    }
    return "reading";
}

std::string suspect_id(const MeasureReport& report, const Suspect& suspect) {
    return suspect.kind == Suspect::Kind::reading
               ? report.readings[static_cast<std::size_t>(suspect.index)].at.name
               : branch_name(report.study, suspect.index);
}

std::string suspect_words(const MeasureReport& report, const Suspect& suspect) {
    const std::string name = suspect_id(report, suspect);
    switch (suspect.kind) {
    case Suspect::Kind::joint:
        return joint_words(report, branch_of(report, suspect), name);
    case Suspect::Kind::source:
        return fmt::format("{}, its voltage", name);
    case Suspect::Kind::load:
        return fmt::format("{}, what it takes", name);
    case Suspect::Kind::reading:
        break;
    }
    const MeterReading& reading = report.readings[static_cast<std::size_t>(suspect.index)];
    return fmt::format("the reading at {} in {}", name,
                       state_name(report.study.vehicle, reading.state));
}

std::string_view suspect_remedy(const MeasureReport& report, const Suspect& suspect) {
    switch (suspect.kind) {
    case Suspect::Kind::source:
        return "charge and test it, and read its own posts in this state";
    case Suspect::Kind::load:
        return "look at its own contacts, its bulb or winding, and whether it is the part that the "
               "file names";
    case Suspect::Kind::reading:
        return "check the meter's place, the state of the car, or the line in the file";
    case Suspect::Kind::joint:
        break;
    }
    switch (branch_of(report, suspect).kind) {
    case BranchKind::wire:
    case BranchKind::lead:
    case BranchKind::strap:
        return "look at both ends, crimp or clean them anew, and pull at the wire for broken "
               "strands";
    case BranchKind::bond:
        return "undo it, bring both sides to bright metal, and tighten it with a toothed washer";
    case BranchKind::protection:
        return "pull it, look at blades and clips for colour and play, and fit a new one";
    case BranchKind::contact:
        return "try another relay or switch in its place; a burnt contact does not mend";
    case BranchKind::joint:
        return "part it, look for green, brown or wide contacts, and replace both halves of the "
               "pair";
    case BranchKind::battery:
        return "charge and test it: its inner resistance is greater than the file's";
    default:
        return "test it by itself";
    }
}

std::string probe_words(const MeasureReport& report, int node) {
    const StudyInput& study = report.study;
    const Network& network = study.network;
    for (std::size_t d = 0; d < network.terminal_nodes.size(); ++d) {
        const auto found = std::ranges::find(network.terminal_nodes[d], node);
        if (found != network.terminal_nodes[d].end() &&
            study.vehicle.devices[d].as<Strap>() == nullptr) {
            return study.vehicle.show(
                {DeviceId(d), static_cast<int>(found - network.terminal_nodes[d].begin())});
        }
    }
    return node < 0 ? std::string("nowhere") : network.node_names[static_cast<std::size_t>(node)];
}

std::string accuracy_words(const MeterAccuracy& accuracy) {
    return fmt::format("{} + {}", show_percent(accuracy.share), show(accuracy.fixed));
}

bool has_deviation(const MeasureAnswer& answer) {
    return std::ranges::any_of(answer.results, [](const ReadingResult& result) {
        return result.verdict != ReadingVerdict::as_predicted &&
               result.verdict != ReadingVerdict::no_prediction;
    });
}

} // namespace loomwright
