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

/// In the order in which the network looks for one.
std::vector<std::size_t> wired_feeds(const Controller& controller,
                                     const std::vector<std::uint8_t>& wired,
                                     const std::vector<std::uint8_t>& always_live) {
    std::vector<std::size_t> out;
    for (const bool is_live : {false, true}) {
        for (std::size_t t = 0; t < controller.parts.size(); ++t) {
            if (controller.parts[t].part == TerminalPart::feed && wired[t] != 0 &&
                (always_live[t] != 0) == is_live) {
                out.push_back(t);
            }
        }
    }
    return out;
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

void check_outputs_of(const Device& device, const Controller& controller,
                      const std::vector<std::uint8_t>& wired,
                      const std::vector<std::uint8_t>& always_live, Findings& findings) {
    const std::vector<std::size_t> feeds = wired_feeds(controller, wired, always_live);
    if (feeds.size() < 2) {
        return;
    }
    const std::string& taken = device.terminals[feeds.front()];
    const std::string all = say_feeds(device, feeds);
    for (std::size_t t = 0; t < controller.parts.size(); ++t) {
        const ControllerTerminal& output = controller.parts[t];
        if (output.part != TerminalPart::high_side || output.feed >= 0 || wired[t] == 0) {
            continue;
        }
        const std::string& name = device.terminals[t];
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
        const Device& device = vehicle.device(id);
        check_outputs_of(device, *device.as<Controller>(), wired[id.index()],
                         input.study.network.always_live[id.index()], findings);
    }
}

} // namespace loomwright
