// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Colours by duty, as older cars have them: no standard asks for it. Sources: a reference page on
// DIN 72551-7 (read): brown ground, red battery, black terminal 15 and starter, white high beam,
// yellow low beam, grey side and tail, black/white and black/green turn. It is custom, not law.
#include "sizing/wire_duties.hpp"

#include "network/branch_kinds.hpp"

#include <algorithm>
#include <array>
#include <numeric>

namespace loomwright {
namespace {

constexpr std::string_view custom = "custom of older cars (reference page on DIN 72551-7, read)";

struct Custom {
    std::string_view terminal; ///< DIN 72552
    WireDuty duty;
};

constexpr std::array customs = {
    Custom{"31", {"BN", "ground", custom}},
    Custom{"56a", {"WH", "high beam (terminal 56a)", custom}},
    Custom{"56b", {"YE", "low beam (terminal 56b)", custom}},
    Custom{"58", {"GY", "side and tail lamps (terminal 58)", custom}},
    Custom{"58L", {"GY", "side and tail lamps left (terminal 58L)", custom}},
    Custom{"58R", {"GY", "side and tail lamps right (terminal 58R)", custom}},
    Custom{"L", {"BK", "turn lamps left (terminal L)", custom}},
    Custom{"R", {"BK", "turn lamps right (terminal R)", custom}},
    Custom{"50", {"BK", "starter (terminal 50)", custom}},
    Custom{"15", {"BK", "switched on with the ignition (terminal 15)", custom}},
};
constexpr WireDuty ground{"BN", "ground", custom};
constexpr WireDuty battery{"RD", "always live (terminal 30)", custom};

/// Nodes of the network that conductors alone join.
class Nets {
public:
    explicit Nets(const Network& network) : above_(static_cast<std::size_t>(network.node_count())) {
        std::iota(above_.begin(), above_.end(), 0);
        for (const Branch& branch : network.branches) {
            if (is_copper(branch.kind)) {
                join(branch.from, branch.to);
            }
        }
    }
    [[nodiscard]] int of(int node) {
        int& above = above_[static_cast<std::size_t>(node)];
        if (above != node) {
            above = of(above);
        }
        return above;
    }

private:
    void join(int a, int b) {
        const int first = of(a);
        const int second = of(b);
        above_[static_cast<std::size_t>(std::max(first, second))] = std::min(first, second);
    }
    std::vector<int> above_;
};

/// Duty of every net, by its first node.
class Duties {
public:
    Duties(const StudyInput& study) : study_(study), nets_(study.network) {
        duties_.resize(static_cast<std::size_t>(study.network.node_count()));
        mark_grounds();
        mark_batteries();
        go_on_through_fuses();
        mark_terminals();
        go_on_through_fuses();
    }

    [[nodiscard]] WireDuty of_wire(WireId wire) {
        const int branch = study_.network.wire_branch[wire.index()];
        return branch < 0 ? WireDuty()
                          : at(study_.network.branches[static_cast<std::size_t>(branch)].from);
    }

private:
    [[nodiscard]] WireDuty& at(int node) {
        return duties_[static_cast<std::size_t>(nets_.of(node))];
    }
    void mark(int node, const WireDuty& duty) {
        if (at(node).base.empty()) {
            at(node) = duty;
        }
    }

    void mark_grounds() {
        for (const int body : study_.network.body_nodes) {
            if (body >= 0) {
                mark(body, ground);
            }
        }
        for (const Branch& branch : study_.network.branches) {
            if (branch.kind == BranchKind::bond) {
                mark(branch.from, ground);
                mark(branch.to, ground);
            }
        }
        if (study_.network.reference >= 0) {
            mark(study_.network.reference, ground);
        }
    }

    void mark_batteries() {
        for (const Branch& branch : study_.network.branches) {
            if (branch.kind == BranchKind::battery || branch.kind == BranchKind::alternator) {
                mark(branch.from, battery);
            }
        }
    }

    /// What is fed has the duty of what feeds it, as long as fuses lead to new nets.
    void go_on_through_fuses() {
        for (bool is_new = true; is_new;) {
            is_new = false;
            for (const Branch& branch : study_.network.branches) {
                if (branch.kind == BranchKind::protection) {
                    is_new |= go_on(branch.from, branch.to) || go_on(branch.to, branch.from);
                }
            }
        }
    }

    /// True when `to` gets the duty of `from`, and had none.
    bool go_on(int from, int to) {
        const WireDuty duty = at(from);
        const bool is_new = !duty.base.empty() && duty.why != ground.why && at(to).base.empty();
        if (is_new) {
            at(to) = duty;
        }
        return is_new;
    }

    void mark_terminals() {
        const Vehicle& vehicle = study_.vehicle;
        for (const Custom& custom_of : customs) {
            for (std::size_t d = 0; d < vehicle.devices.size(); ++d) {
                const int terminal = vehicle.devices[d].terminal(custom_of.terminal);
                // The cavity of a connector is numbered, not named by its duty.
                if (terminal < 0 || vehicle.devices[d].as<Connector>() != nullptr) {
                    continue;
                }
                const int node = study_.network.node({DeviceId(d), terminal});
                if (node >= 0) {
                    mark(node, custom_of.duty);
                }
            }
        }
    }

    const StudyInput& study_;
    Nets nets_;
    std::vector<WireDuty> duties_;
};

} // namespace

std::vector<WireDuty> wire_duties(const StudyInput& study) {
    Duties duties(study);
    std::vector<WireDuty> out;
    out.reserve(study.vehicle.wires.size());
    for (std::size_t i = 0; i < study.vehicle.wires.size(); ++i) {
        out.push_back(duties.of_wire(WireId(i)));
    }
    return out;
}

} // namespace loomwright
