// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// coil-suppression: a coil that is switched off drives its current on, at any voltage that it
// takes, unless a diode or a resistor beside it gives the current a way.
//
//   across     a diode or a resistor of its own between the same two potentials as the coil, wires
//              and metal alone between; a resistor counts up to 10 times the coil's own, since the
//              voltage is I R at the current that flowed
//   wrong way  a diode across whose anode is at the coil's plus: it shorts the feed. Which side is
//              the plus is told by the coil's current in the solved states.
#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/wording.hpp"
#include "network/branch_kinds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace loomwright {
namespace {

constexpr double most_resistance_ratio = 10.0;
constexpr double least_coil_a = 1e-3;

/// Nodes of one potential: joined by nothing but copper and metal.
class Potentials {
public:
    explicit Potentials(const Network& network)
        : root_(static_cast<std::size_t>(network.node_count())) {
        std::iota(root_.begin(), root_.end(), 0);
        for (const Branch& branch : network.branches) {
            if (is_copper_or_metal(branch.kind)) {
                root_[at(find(branch.from))] = find(branch.to);
            }
        }
        for (std::size_t i = 0; i < root_.size(); ++i) {
            root_[i] = find(static_cast<int>(i));
        }
    }
    [[nodiscard]] int of(int node) const { return root_[at(node)]; }

private:
    static std::size_t at(int node) { return static_cast<std::size_t>(node); }
    int find(int node) {
        while (root_[at(node)] != node) {
            root_[at(node)] = root_[at(root_[at(node)])];
            node = root_[at(node)];
        }
        return node;
    }
    std::vector<int> root_;
};

/// A coil: its branch and what is said of it.
struct Coil {
    DeviceId device;
    std::size_t branch = 0;
    double most_a = 0.0;      ///< in any state
    bool is_reversed = false; ///< its current runs from its second terminal to its first
    const StateSolution* state = nullptr;
};

class CoilCheck {
public:
    CoilCheck(const CheckInput& input, Findings& findings)
        : input_(input), network_(input.study.network), potentials_(network_), findings_(findings),
          parts_at_(static_cast<std::size_t>(network_.node_count())) {
        for (const Branch& branch : network_.branches) {
            if (!is_copper_or_metal(branch.kind)) {
                for (const int node : {branch.from, branch.to}) {
                    parts_at_[static_cast<std::size_t>(potentials_.of(node))].push_back(&branch);
                }
            }
        }
    }

    void check(DeviceId id) {
        const Device& device = input_.study.vehicle.device(id);
        const auto* load = device.as<Load>();
        const bool is_coil = load != nullptr && load->word == "coil";
        for (const int index : network_.device_branches[id.index()]) {
            const Branch& branch = network_.branches[static_cast<std::size_t>(index)];
            if (branch.kind == BranchKind::coil || (is_coil && branch.kind == BranchKind::load)) {
                check(coil_at(id, static_cast<std::size_t>(index)));
            }
        }
    }

private:
    [[nodiscard]] Coil coil_at(DeviceId device, std::size_t index) const {
        Coil coil{device, index, 0.0, false, nullptr};
        for (const StateSolution& state : input_.sizing.states) {
            const double amps = state.converged ? state.branch_amps[index] : 0.0;
            if (std::abs(amps) > coil.most_a) {
                coil.most_a = std::abs(amps);
                coil.is_reversed = amps < 0.0;
                coil.state = &state;
            }
        }
        return coil;
    }

    void check(const Coil& coil) {
        if (coil.state == nullptr || coil.most_a < least_coil_a) {
            return; // nothing that is known ever feeds it
        }
        const Suppression said = suppression_of(input_.study.vehicle.device(coil.device));
        const Branch* diode = across(coil, BranchKind::diode);
        if (diode != nullptr && is_wrong_way(coil, *diode)) {
            add_wrong_way(coil, diode->device);
        } else if (said == Suppression::diode && coil.is_reversed) {
            add_turned(coil);
        } else if (said != Suppression::diode && said != Suppression::resistor &&
                   diode == nullptr && !has_resistor_across(coil)) {
            add_bare(coil, said);
        }
    }

    [[nodiscard]] bool is_across(const Coil& coil, const Branch& other) const {
        const Branch& own = network_.branches[coil.branch];
        const auto ends = std::minmax({potentials_.of(own.from), potentials_.of(own.to)});
        return ends.first != ends.second &&
               ends == std::minmax({potentials_.of(other.from), potentials_.of(other.to)});
    }

    [[nodiscard]] const Branch* across(const Coil& coil, BranchKind kind) const {
        const std::vector<const Branch*>& there = few_at_ends(coil);
        const auto found = std::ranges::find_if(there, [&](const Branch* branch) {
            return branch->kind == kind && is_across(coil, *branch);
        });
        return found == there.end() ? nullptr : *found;
    }

    /// All that is not copper at that end of a coil where less is.
    [[nodiscard]] const std::vector<const Branch*>& few_at_ends(const Coil& coil) const {
        const Branch& own = network_.branches[coil.branch];
        const auto& one = parts_at(own.from);
        const auto& other = parts_at(own.to);
        return one.size() <= other.size() ? one : other;
    }

    [[nodiscard]] const std::vector<const Branch*>& parts_at(int node) const {
        return parts_at_[static_cast<std::size_t>(potentials_.of(node))];
    }

    [[nodiscard]] bool has_resistor_across(const Coil& coil) const {
        const double coil_ohm = volts_of(coil) / coil.most_a;
        return std::ranges::any_of(few_at_ends(coil), [&](const Branch* branch) {
            const auto* resistor = branch->kind == BranchKind::resistor
                                       ? input_.study.vehicle.device(branch->device).as<Resistor>()
                                       : nullptr;
            return resistor != nullptr && is_across(coil, *branch) &&
                   resistor->resistance.value() <= most_resistance_ratio * coil_ohm;
        });
    }

    [[nodiscard]] double volts_of(const Coil& coil) const {
        const Branch& branch = network_.branches[coil.branch];
        return std::abs(coil.state->node_volts[static_cast<std::size_t>(branch.from)] -
                        coil.state->node_volts[static_cast<std::size_t>(branch.to)]);
    }

    /// The anode is where the coil is fed.
    [[nodiscard]] bool is_wrong_way(const Coil& coil, const Branch& diode) const {
        const Branch& own = network_.branches[coil.branch];
        const int fed = coil.is_reversed ? own.to : own.from;
        return potentials_.of(diode.from) == potentials_.of(fed);
    }

    void add_wrong_way(const Coil& coil, DeviceId diode_id) {
        const Device& device = input_.study.vehicle.device(coil.device);
        const Device& diode = input_.study.vehicle.device(diode_id);
        Finding& finding = findings_.add(
            Rule::coil_suppression, device.name, place_of(device),
            fmt::format("{} across its coil has its anode at the plus of the coil: it shorts the "
                        "feed in {}",
                        diode.name, state_name(input_.study.vehicle, *coil.state)),
            fmt::format("turn {} round: its cathode (`k`) to the plus of the coil", diode.name));
        finding.severity = Severity::fault;
        finding.figures = {given("current in the diode",
                                 std::abs(coil.state->devices[diode_id.index()].amps), "A")};
        finding.related.push_back({place_of(diode), diode.name + " stands here"});
    }

    void add_turned(const Coil& coil) {
        const Device& device = input_.study.vehicle.device(coil.device);
        const bool is_relay = device.as<Relay>() != nullptr;
        double amps = 0.0;
        for (const int index : network_.device_branches[coil.device.index()]) {
            const auto at = static_cast<std::size_t>(index);
            if (network_.branches[at].kind == BranchKind::suppressor) {
                amps = std::max(amps, std::abs(coil.state->branch_amps[at]));
            }
        }
        Finding& finding = findings_.add(
            Rule::coil_suppression, device.name, place_of(device),
            fmt::format("its coil is fed the wrong way round in {}: the diode inside it shorts "
                        "the feed",
                        state_name(input_.study.vehicle, *coil.state)),
            is_relay ? "feed it at 86 and lead 85 to ground: with a diode inside 85 is the minus"
                     : "change over its two wires");
        finding.severity = Severity::fault;
        finding.figures = {given("current in the diode", amps, "A")};
        finding.source = "DIN 72552: with a built-in diode 85 is negative (second-hand)";
    }

    /// A controller's output, or a contact, that stands at an end of the coil: at the end where
    /// less is first, since what feeds others too is not there for this coil.
    [[nodiscard]] const Branch* switched_by(const Coil& coil, BranchKind kind) const {
        const Branch& own = network_.branches[coil.branch];
        const int metal = network_.reference < 0 ? -1 : potentials_.of(network_.reference);
        std::array ends{own.from, own.to};
        std::ranges::stable_sort(ends, {}, [this](int node) { return parts_at(node).size(); });
        for (const int node : ends) {
            const auto& parts = parts_at(node);
            const auto found = std::ranges::find_if(parts, [&](const Branch* branch) {
                return branch->kind == kind && branch->device != coil.device;
            });
            if (potentials_.of(node) != metal && found != parts.end()) {
                return *found;
            }
        }
        return nullptr;
    }

    void add_bare(const Coil& coil, Suppression said) {
        const Device& device = input_.study.vehicle.device(coil.device);
        const Branch* output = switched_by(coil, BranchKind::output);
        const Branch* contact =
            output == nullptr ? switched_by(coil, BranchKind::contact) : nullptr;
        const std::string who = output != nullptr ? output_name(*output)
                                : contact != nullptr
                                    ? name_of(input_.study.vehicle, contact->device)
                                    : std::string("what switches it");
        Finding& finding = findings_.add(
            Rule::coil_suppression, device.name, place_of(device),
            said == Suppression::none || device.as<Relay>() == nullptr
                ? fmt::format("nothing takes the voltage off its coil when {} switches it off", who)
                : fmt::format("its suppression is not said: does anything take the voltage off its "
                              "coil when {} switches it off",
                              who),
            device.as<Relay>() != nullptr
                ? "use a relay with a resistor or a diode inside (`suppression`), or put one across"
                : "put a diode across it, cathode to its plus, or say what it has "
                  "inside (`suppression`)");
        finding.severity = output != nullptr ? Severity::caution : Severity::note;
        finding.figures = {given("current that is switched off", coil.most_a, "A")};
        finding.source = "relay coils of 12 V unsuppressed: 1000 to 1500 V (application note on "
                         "coil suppression)";
    }

    [[nodiscard]] std::string output_name(const Branch& output) const {
        const Device& device = input_.study.vehicle.device(output.device);
        return device.name + "." + device.terminals[static_cast<std::size_t>(output.part)];
    }

    const CheckInput& input_;
    const Network& network_;
    Potentials potentials_;
    Findings& findings_;
    /// By potential: all that is not copper and ends there, in the order of the network.
    std::vector<std::vector<const Branch*>> parts_at_;
};

} // namespace

void check_coil_suppression(const CheckInput& input, Findings& findings) {
    CoilCheck check(input, findings);
    for (std::size_t i = 0; i < input.study.vehicle.devices.size(); ++i) {
        check.check(DeviceId(i));
    }
}

} // namespace loomwright
