// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// output-feed: a high-side output that names no feed, of a controller with more than one wired
// feed. Which of them it is joined to inside stands in no file; the network takes the first, those
// that a contact switches before those that are always live.
#include "checks/checks.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

namespace loomwright {
namespace {

constexpr std::size_t most_feeds_named = 3;

std::vector<std::size_t> wired_feeds(const Controller& controller,
                                     const std::vector<std::uint8_t>& wired) {
    std::vector<std::size_t> out;
    for (std::size_t t = 0; t < controller.parts.size(); ++t) {
        if (controller.parts[t].part == TerminalPart::feed && wired[t] != 0) {
            out.push_back(t);
        }
    }
    return out;
}

/// The feed to which the network joined an output.
std::size_t feed_taken(const Network& network, DeviceId device, std::size_t output,
                       const std::vector<std::size_t>& feeds) {
    const auto is_of_output = [&](int index) {
        const Branch& branch = network.branches[static_cast<std::size_t>(index)];
        return branch.kind == BranchKind::output && branch.part == static_cast<int>(output);
    };
    const std::vector<int>& branches = network.device_branches[device.index()];
    const int index = *std::ranges::find_if(branches, is_of_output);
    const int node = network.branches[static_cast<std::size_t>(index)].from;
    return *std::ranges::find_if(feeds, [&](std::size_t feed) {
        return network.node({.device = device, .terminal = static_cast<int>(feed)}) == node;
    });
}

/// "logic and power", or "a, b, c and others".
std::string say_feeds(const Device& device, const std::vector<std::size_t>& feeds) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < std::min(feeds.size(), most_feeds_named); ++i) {
        names.push_back(device.terminals[feeds[i]]);
    }
    if (feeds.size() > most_feeds_named) {
        names.emplace_back("others");
    }
    return list_of(names);
}

void check_outputs_of(const StudyInput& input, DeviceId id, const std::vector<std::uint8_t>& wired,
                      Findings& findings) {
    const Device& device = input.vehicle.device(id);
    const Controller& controller = *device.as<Controller>();
    const std::vector<std::size_t> feeds = wired_feeds(controller, wired);
    if (feeds.size() < 2) {
        return;
    }
    const std::string all = say_feeds(device, feeds);
    for (std::size_t t = 0; t < controller.parts.size(); ++t) {
        const ControllerTerminal& output = controller.parts[t];
        if (output.part != TerminalPart::high_side || output.feed >= 0 || wired[t] == 0) {
            continue;
        }
        const std::string& name = device.terminals[t];
        const std::string& taken = device.terminals[feed_taken(input.network, id, t, feeds)];
        Finding& finding = findings.add(
            Rule::output_feed, device.name, device.where,
            fmt::format("output {} does not say which of the feeds {} it is behind: {} is taken, "
                        "and its current and the fuse that its wire is held "
                        "against follow from that",
                        name, all, taken),
            fmt::format("add `feed: {0}` (`{1}: {{part: high-side, feed: {0}}}`), or the feed that "
                        "it is in truth",
                        taken, name));
        finding.figures = {seen("feeds with a wire", static_cast<double>(feeds.size()), "")};
    }
}

} // namespace

void check_output_feeds(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const std::vector<std::vector<std::uint8_t>> wired = wired_terminals(vehicle);
    for (const DeviceId id : devices_of<Controller>(vehicle)) {
        check_outputs_of(input.study, id, wired[id.index()], findings);
    }
}

} // namespace loomwright
