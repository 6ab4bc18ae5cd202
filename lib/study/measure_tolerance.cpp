// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The standard deviation s of a factor f about the figure of the file, sqrt(E (f - 1)^2):
//
//   normal, mean m, deviation w        s^2 = w^2 + (m - 1)^2
//   uniform, m +- w                    s^2 = w^2 / 3 + (m - 1)^2
//   log-normal, median 1, exp(q) = w   s^2 = exp(2 q^2) - 2 exp(q^2 / 2) + 1
//
// What is added (volts of a source) likewise about nothing. The moments are those of any text on
// statistics (memory); the widths are rows of the table `spreads`, each with its source.
#include "study/measure_tolerance.hpp"

#include "study/spread_plan.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright {
namespace {

double deviation(const Spread& spread) {
    const double offset = spread.middle - (spread.is_factor ? 1.0 : 0.0);
    switch (spread.kind) {
    case SpreadKind::normal:
        return std::hypot(spread.width, offset);
    case SpreadKind::uniform:
        return std::hypot(spread.width / std::sqrt(3.0), offset);
    case SpreadKind::log_normal:
        break;
    }
    const double q = std::log(spread.width);
    return std::sqrt(std::exp(2.0 * q * q) - 2.0 * std::exp(q * q / 2.0) + 1.0);
}

class ToleranceList {
public:
    ToleranceList(const StudyPlan& plan, const SpreadTable& spreads)
        : plan_(plan), spreads_(spreads) {}

    [[nodiscard]] std::vector<Tolerance> make() {
        for (std::size_t i = 0; i < plan_.input.network.branches.size(); ++i) {
            add_branch(static_cast<int>(i));
        }
        for (auto& [conductor, tolerance] : spools_) {
            out_.push_back(std::move(tolerance));
        }
        return std::move(out_);
    }

private:
    [[nodiscard]] double row(const char* name) const { return deviation(spreads_.row(name)); }

    void add(int branch, double share) {
        out_.push_back({{{.branch = branch, .deviation = share, .is_emf = false}}});
    }

    void add_branch(int index) {
        const Branch& branch = plan_.input.network.branches[static_cast<std::size_t>(index)];
        switch (branch.kind) {
        case BranchKind::wire:
            add_wire(index, branch.wire);
            break;
        case BranchKind::lead:
            add(index, std::hypot(row("wire-length"), row("conductor")));
            break;
        case BranchKind::bond:
            add(index, row("ground-bond"));
            break;
        case BranchKind::strap:
            add(index, row("strap"));
            break;
        case BranchKind::joint:
            add(index, row("connector-contact"));
            break;
        case BranchKind::output:
            add(index, row("controller-output"));
            break;
        case BranchKind::contact:
            add(index, row(contact_spread_row(plan_.input.vehicle.device(branch.device))));
            break;
        case BranchKind::protection:
            add_protection(index);
            break;
        case BranchKind::coil:
            add(index, row("coil"));
            break;
        case BranchKind::load:
            add(index, row(load_spread_row(plan_.input.vehicle.device(branch.device))));
            break;
        case BranchKind::battery:
            add(index, row("battery-resistance"));
            add_battery_volts(index, branch.device);
            break;
        case BranchKind::alternator:
        case BranchKind::charger:
            out_.push_back(
                {{{.branch = index, .deviation = row("regulator") * scale(), .is_emf = true}}});
            break;
        case BranchKind::suppressor:
        case BranchKind::diode:
        case BranchKind::resistor:
        case BranchKind::shunt:
            break; // taken as they are, as by `solve --spread`
        }
    }

    [[nodiscard]] double scale() const {
        return plan_.input.vehicle.nominal.value() / spread_nominal_v;
    }

    void add_wire(int index, WireId wire) {
        const LengthSource from = plan_.input.routing.wires[wire.index()].source;
        const bool is_known = from == LengthSource::measured || from == LengthSource::written ||
                              from == LengthSource::routed;
        add(index, row(is_known ? "wire-length" : "wire-length-estimated"));
        const Conductor* const conductor = plan_.wires[wire.index()].conductor;
        auto found = std::ranges::find(spools_, conductor, [](const auto& s) { return s.first; });
        if (found == spools_.end()) {
            found = spools_.insert(found, {conductor, {}});
        }
        found->second.parts.push_back({.branch = index, .deviation = row("conductor")});
    }

    void add_protection(int index) {
        const Branch& branch = plan_.input.network.branches[static_cast<std::size_t>(index)];
        const auto* made = plan_.input.vehicle.device(branch.device).as<Protection>();
        const double siemens = plan_.elements[static_cast<std::size_t>(index)].a;
        const bool has_holder = !made->resistance && !made->link;
        const double holder =
            has_holder ? std::min(plan_.defaults.fuse_holder_ohm * siemens, 1.0) : 0.0;
        add(index, std::hypot((1.0 - holder) * row("fuse"), holder * row("fuse-holder")));
    }

    /// Its voltage for its charge, and a charge that is not as the file says.
    void add_battery_volts(int index, DeviceId device) {
        const auto& battery = *plan_.input.vehicle.device(device).as<Battery>();
        const int in_row = std::max(plan_.battery_rows[device.index()], 1);
        const StudyDefaults defaults = plan_.defaults.in_row(in_row);
        const double share = row("battery-charge");
        const double celsius =
            battery_temperature_c(battery, defaults, plan_.input.vehicle.policy, nullptr);
        const auto open_v = [&](double charge) {
            return battery_values(battery, defaults, std::clamp(charge, 0.0, 1.0), celsius).open_v;
        };
        const double by_charge = open_v(battery.charge) - open_v(battery.charge - share);
        out_.push_back(
            {{{.branch = index,
               .deviation = std::hypot(row("battery-voltage") * scale() / in_row, by_charge),
               .is_emf = true}}});
    }

    const StudyPlan& plan_;
    const SpreadTable& spreads_;
    std::vector<Tolerance> out_;
    /// In the order in which a wire of the size is met first.
    std::vector<std::pair<const Conductor*, Tolerance>> spools_;
};

} // namespace

std::vector<Tolerance> tolerances(const StudyPlan& plan, const SpreadTable& spreads) {
    return ToleranceList(plan, spreads).make();
}

} // namespace loomwright
