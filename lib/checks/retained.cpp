// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// retained-wire: old wiring against what it carried and was fused with before. Its own figures of
// size and insulation may be right and its copper still be bright where it was looked at: what it
// stood for decades is the best that is known of it.
#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/wording.hpp"
#include "sizing/feeds.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double fuse_rounding = 1e-9;

std::string say_since(const Retained& retained) {
    return retained.since ? fmt::format("kept since {}", *retained.since) : "kept in the car";
}

/// The first run on a wire's way that moves; nullptr for none.
const Run* moving_run(const CheckInput& input, WireId id) {
    for (const RunId run : input.study.routing.wires[id.index()].runs) {
        if (input.study.vehicle.run(run).moving) {
            return &input.study.vehicle.run(run);
        }
    }
    return nullptr;
}

/// Rating that stands before a wire now; nothing where nothing does, 0 for one without a rating.
std::optional<double> fuse_now(const CheckInput& input, WireId id) {
    const WireFeed& feed = input.sizing.feeds[id.index()];
    if (feed.devices.empty() || feed.is_unprotected) {
        return std::nullopt;
    }
    return worst_share(input.sizing.design, feed).rating_a;
}

std::string say_devices(const CheckInput& input, WireId id) {
    std::vector<std::string> names;
    for (const DeviceId device :
         worst_share(input.sizing.design, input.sizing.feeds[id.index()]).devices) {
        names.push_back(input.study.vehicle.device(device).name);
    }
    return list_of(names);
}

/// What it has now and did not have before, as words and figures.
void judge_fuse(const CheckInput& input, WireId id, const Retained& old,
                std::vector<std::string>& said, std::vector<Figure>& figures) {
    const WireFeed& feed = input.sizing.feeds[id.index()];
    if (!old.fuse || (!feed.is_fed && feed.devices.empty())) {
        return;
    }
    const auto now = fuse_now(input, id);
    if (!now) {
        said.push_back(fmt::format("it had a fuse of {} and has none now", show(*old.fuse)));
        figures.push_back(given("fuse before", old.fuse->value(), "A"));
    } else if (*now > old.fuse->value() * (1.0 + fuse_rounding)) {
        said.push_back(fmt::format("it had a fuse of {} and has {} of {} now", show(*old.fuse),
                                   say_devices(input, id), show(Amps(*now))));
        figures.push_back(seen("fuse now", *now, "A"));
        figures.push_back(limit_of("fuse before", old.fuse->value(), "A"));
    }
}

void judge_load(const CheckInput& input, WireId id, const Retained& old,
                std::vector<std::string>& said, std::vector<Figure>& figures) {
    const WireSizing& wire = input.sizing.wires[id.index()];
    if (!old.load || wire.worst_amps <= old.load->value() * (1.0 + fuse_rounding)) {
        return;
    }
    said.push_back(fmt::format("it carried {} and carries {} in {}", show(*old.load),
                               show(Amps(wire.worst_amps)),
                               state_name(input.study.vehicle, wire.worst_state)));
    figures.push_back(seen("load now", wire.worst_amps, "A"));
    figures.push_back(limit_of("load before", old.load->value(), "A"));
}

void add_unknown(const Wire& wire, Findings& findings) {
    const Retained& old = wire.retained->value;
    std::string what = old.load ? "" : "carried";
    if (!old.fuse) {
        what += what.empty() ? "was fused with" : " and was fused with";
    }
    Finding& finding = findings.add(
        Rule::retained_wire, wire.number, wire.retained->where,
        fmt::format("{}: what it {} is not said, so nothing tells whether it has more now",
                    say_since(old), what),
        "write it, as in `retained: {since: 1961, fuse: 8 A, load: 5 A}`");
    finding.severity = Severity::note;
}

void check_wire(const CheckInput& input, WireId id, Findings& findings) {
    const Wire& wire = input.study.vehicle.wire(id);
    const Retained& old = wire.retained->value;
    std::vector<std::string> said;
    std::vector<Figure> figures;
    judge_fuse(input, id, old, said, figures);
    judge_load(input, id, old, said, figures);
    std::string remedy = "bring fuse and load down to what they were, or lay a new wire";
    if (said.empty()) {
        if (const Run* run = moving_run(input, id)) {
            said.push_back(
                fmt::format("it lies in {}, which moves: old insulation breaks there", run->name));
            remedy = "lay a new wire where it is bent";
        }
    }
    if (said.empty()) {
        if (!old.fuse || !old.load) {
            add_unknown(wire, findings);
        }
        return;
    }
    Finding& finding =
        findings.add(Rule::retained_wire, wire.number, wire.retained->where,
                     fmt::format("{}: {}", say_since(old), fmt::join(said, "; ")), remedy);
    finding.figures = std::move(figures);
}

} // namespace

void check_retained(const CheckInput& input, Findings& findings) {
    for (std::size_t i = 0; i < input.study.vehicle.wires.size(); ++i) {
        if (input.study.vehicle.wires[i].retained) {
            check_wire(input, WireId(i), findings);
        }
    }
}

} // namespace loomwright
