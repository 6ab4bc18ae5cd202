// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// shield-ends: the wires of a screen go one way together, from one end of the cable to the other;
// its drain is grounded at one of the two ends and nowhere else. Grounded at both, the screen is a
// second ground between the two places and carries what flows between them.
#include "checks/checks.hpp"
#include "checks/wording.hpp"

#include "loom/screened_cable.hpp"
#include "network/ground.hpp"
#include "sizing/screen_ground.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

class ShieldCheck {
public:
    ShieldCheck(const CheckInput& input, Findings& findings)
        : vehicle_(input.study.vehicle), input_(input), findings_(findings),
          ground_(ground_nodes(input.study.network)) {}

    void check(const Shield& shield) {
        const ScreenedCable cable = screened_cable(vehicle_, input_.study.routing, shield);
        check_way(shield, cable);
        if (shield.drains.empty()) {
            findings_.add(Rule::shield_ends, shield.name, shield.where,
                          "nothing drains it: a screen that floats keeps nothing out",
                          "end its drain wire at a ground: `drain: GND1`");
            return;
        }
        check_loop(shield, cable);
        for (const Given<TerminalRef>& drain : shield.drains) {
            check_drain(shield, cable, drain);
        }
    }

private:
    [[nodiscard]] std::string show(const CableEnd& end) const {
        return end.point.is_valid() ? vehicle_.point(end.point).name
                                    : vehicle_.device(end.device).name;
    }

    /// Each of its wires begins at the point at which it ends.
    [[nodiscard]] bool are_at_one_point(const Shield& shield) const {
        return std::ranges::all_of(shield.around, [&](const Given<WireId>& wire) {
            const WireRoute& route = input_.study.routing.wires[wire.value.index()];
            return route.start.is_valid() && route.start == route.end && route.runs.empty();
        });
    }

    void check_way(const Shield& shield, const ScreenedCable& cable) {
        if (cable.strays) {
            const Wire& wire = vehicle_.wire(*cable.strays);
            findings_
                .add(Rule::shield_ends, shield.name, shield.where,
                     fmt::format("wire {} does not go the way of the others in it", wire.number),
                     "take the wire out of the shield, or lead it with the others by `via`")
                .related.push_back({wire.where, "the wire"});
        } else if (are_at_one_point(shield)) {
            Finding& finding = findings_.add(
                Rule::shield_ends, shield.name, shield.where,
                "both ends of each of its wires are at one point: it lies in no run and screens "
                "nothing",
                "give the parts at its ends the points where they stand, or take the shield out");
            finding.severity = Severity::caution;
        } else if (cable.ends.size() != 2) {
            std::vector<std::string> names;
            for (const CableEnd& end : cable.ends) {
                names.push_back(show(end));
            }
            findings_.add(Rule::shield_ends, shield.name, shield.where,
                          names.empty() ? std::string("its wires are a ring: the cable has no ends")
                                        : fmt::format("its wires end at {}; a cable has two ends",
                                                      list_of(names)),
                          "name in one shield the wires of one cable");
        } else if (!vehicle_.runs.empty() && !cable.lies_in_run) {
            Finding& finding = findings_.add(Rule::shield_ends, shield.name, shield.where,
                                             "its wires lie in no run: it screens nothing",
                                             "give the parts at its ends their places with `at`");
            finding.severity = Severity::caution;
        }
    }

    void check_loop(const Shield& shield, const ScreenedCable& cable) {
        std::vector<std::string> names;
        for (const CableEnd& end : cable.ends) {
            const bool is_drained =
                std::ranges::any_of(shield.drains, [&](const Given<TerminalRef>& drain) {
                    return is_at(vehicle_, drain.value, end);
                });
            if (is_drained) {
                names.push_back(show(end));
            }
        }
        if (names.size() < 2) {
            return;
        }
        Finding& finding = findings_.add(
            Rule::shield_ends, shield.name, shield.drains.back().where,
            fmt::format("it is grounded at both ends, {}: a loop that carries what flows between "
                        "the two grounds",
                        list_of(names)),
            "cut the screen back at one end and cover it; where both are meant, say why in a "
            "waiver");
        finding.severity = Severity::caution;
        finding.figures = {seen("ends that are grounded", static_cast<double>(names.size()), ""),
                           limit_of("most", 1.0, "")};
    }

    void check_drain(const Shield& shield, const ScreenedCable& cable,
                     const Given<TerminalRef>& drain) {
        const auto is_here = [&](const CableEnd& end) {
            return may_be_at(vehicle_, drain.value, end);
        };
        if (cable.ends.size() == 2 && std::ranges::none_of(cable.ends, is_here)) {
            findings_.add(Rule::shield_ends, shield.name, drain.where,
                          fmt::format("its drain ends at {}, where the cable does not: it goes "
                                      "from {} to {}",
                                      vehicle_.show(drain.value), show(cable.ends[0]),
                                      show(cable.ends[1])),
                          "end the drain wire at a ground where the cable ends");
        }
        if (!is_screen_ground(vehicle_, input_.study.network, ground_, drain.value)) {
            findings_
                .add(Rule::shield_ends, shield.name, drain.where,
                     fmt::format("its drain ends at {}, which is no ground",
                                 vehicle_.show(drain.value)),
                     "end it at a ground, at a terminal 31, or at one that is named a ground or a "
                     "shield")
                .related.push_back({vehicle_.device(drain.value.device).where, "the part"});
        }
    }

    const Vehicle& vehicle_;
    const CheckInput& input_;
    Findings& findings_;
    std::vector<std::uint8_t> ground_;
};

} // namespace

void check_shields(const CheckInput& input, Findings& findings) {
    if (input.study.vehicle.shields.empty()) {
        return;
    }
    ShieldCheck check(input, findings);
    for (const Shield& shield : input.study.vehicle.shields) {
        check.check(shield);
    }
}

} // namespace loomwright
