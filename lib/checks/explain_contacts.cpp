// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The contacts of relays, flashers and switches, and the outputs of controllers: their currents and
// what the rules relay-contact and switch-contact ask of them (equations in contacts.cpp).
#include "base/display.hpp"
#include "checks/answered_states.hpp"
#include "checks/contact_loads.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "sizing/limits.hpp"
#include "study/branch_names.hpp"
#include "study/values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

const Branch& branch_of(const CheckInput& input, int index) {
    return input.study.network.branches[static_cast<std::size_t>(index)];
}

/// Its current in each state; false: it never has any.
bool add_currents(ProofSection& out, const CheckInput& input, int index, const std::string& what) {
    bool has_any = false;
    for (const StateSolution& solution : input.sizing.states) {
        const double amps = solution.branch_amps[static_cast<std::size_t>(index)];
        if (solution.converged && std::abs(amps) > negligible_a) {
            out.steps.push_back({fmt::format("current through {} in {}", what,
                                             state_name(input.study.vehicle, solution)),
                                 "", show(Amps(std::abs(amps))),
                                 std::string(from_operating_point)});
            has_any = true;
        }
    }
    if (!has_any) {
        const AnsweredStates states = answered_states(input.study, input.sizing);
        out.steps.push_back({fmt::format("current through {} in {}", what, states.every), "",
                             states.none(), std::string(from_operating_point)});
    }
    return has_any;
}

/// Where what it is made for leaves less than its default.
void add_resistance(ProofSection& out, const CheckInput& input, int index,
                    const StudyDefaults& defaults, const std::string& what) {
    const Branch& branch = branch_of(input, index);
    const Device& device = input.study.vehicle.device(branch.device);
    const ContactOhms closed = contact_ohms(device, branch.part, defaults);
    if (!closed.by_rating) {
        return;
    }
    const bool is_output = branch.kind == BranchKind::output;
    const double drop_v = is_output ? defaults.output_drop_v : defaults.contact_drop_v;
    out.steps.push_back(
        {fmt::format("R of {}, closed = drop allowed / {}", what, is_output ? "limit" : "rating"),
         fmt::format("{} / {}", figure(drop_v), figure(closed.by_rating->value())),
         show(Ohms(closed.ohm)),
         fmt::format("tables defaults, {}", is_output ? "output-drop" : "contact-drop")});
}

void add_relay_rating(ProofSection& out, const CheckInput& input, int index,
                      const std::string& what) {
    const Branch& branch = branch_of(input, index);
    const ContactRating rated = relay_rating(input, branch);
    if (!rated.rating) {
        out.steps.push_back({"rating of " + what, "", "not given", "the vehicle file"});
        return;
    }
    const auto by_amps = [](const ContactLoad& load) { return load.amps; };
    const ContactLoad worst = ContactLoads(input).worst(index, by_amps);
    const double air =
        device_air(input.study, branch.device, state_of(input.study.vehicle, worst.state)).value();
    const auto& from = input.study.catalogue.default_value("relay-hot-from");
    const auto& slope = input.study.catalogue.default_value("relay-hot-slope");
    const double kept = std::clamp(1.0 - slope.value * std::max(0.0, air - from.value), 0.1, 1.0);
    const double may = rated.rating->value() * kept;
    out.steps.push_back(
        {"I_may = rating x max(0.1, 1 - slope x max(0, air - from))",
         fmt::format("{} x max(0.1, 1 - {} x max(0, {} - {}))", figure(rated.rating->value()),
                     figure(slope.value), figure(air), figure(from.value)),
         show(Amps(may)), rated.source + "; tables defaults: relay-hot-from, relay-hot-slope"});
    out.steps.push_back(
        {fmt::format("I <= I_may, the most through {} in any state, at full demand", what),
         fmt::format("{} <= {}", figure(worst.amps), figure(may)), within(worst.amps, may),
         rated.source});
    const auto by_lamps = [](const ContactLoad& load) { return load.lamps(); };
    const ContactLoad lamps = ContactLoads(input).worst(index, by_lamps);
    if (lamps.lamps() > negligible_a) {
        const auto& making = input.study.catalogue.default_value("relay-lamp-making");
        const auto& cold = input.study.catalogue.default_value("lamp-cold-ratio");
        const double inrush = cold.value * lamps.lamps();
        out.steps.push_back(
            {"cold ratio x I of lamps <= making ratio x rating",
             fmt::format("{} x {} <= {} x {}", figure(cold.value), figure(lamps.lamps()),
                         figure(making.value), figure(rated.rating->value())),
             within(inrush, making.value * rated.rating->value()),
             making.origin.source + "; inrush: " + cold.origin.source});
    }
}

std::string sum_of_kinds(const ContactLoad& load, double nominal_v) {
    std::string out;
    for (std::size_t k = 0; k < load.by_kind.size(); ++k) {
        if (load.by_kind[k] > negligible_a) {
            out += fmt::format("{}{} x {}", out.empty() ? "" : " + ",
                               figure(switch_factor(static_cast<SwitchedKind>(k), nominal_v)),
                               figure(load.by_kind[k]));
        }
    }
    return out;
}

void add_switch_rating(ProofSection& out, const CheckInput& input, int index,
                       std::optional<Amps> rating, const std::string& what) {
    const double nominal = input.study.vehicle.nominal.value();
    const auto weight = [nominal](const ContactLoad& load) { return load.needed_rating(nominal); };
    const ContactLoad worst = ContactLoads(input).worst(index, weight);
    const double needed = weight(worst);
    const std::string name = state_name(input.study.vehicle, worst.state);
    out.steps.push_back(
        {fmt::format("rating needed = sum of factor x I, by kind of load, {} in {}", what, name),
         sum_of_kinds(worst, nominal), show(Amps(needed)),
         "FAA AC 43.13-1B table 11-4: " + say_kinds(worst, nominal)});
    if (!rating) {
        out.steps.push_back({"rating of " + what, "", "not given", "the vehicle file"});
        return;
    }
    out.steps.push_back({"rating needed <= rating of " + what,
                         fmt::format("{} <= {}", figure(needed), figure(rating->value())),
                         within(needed, rating->value()), "FAA AC 43.13-1B table 11-4"});
}

void add_output_rating(ProofSection& out, const CheckInput& input, int index,
                       const Controller& controller, const std::string& what) {
    const Branch& branch = branch_of(input, index);
    const auto part = static_cast<std::size_t>(branch.part);
    if (part >= controller.parts.size() || !controller.parts[part].limit) {
        out.steps.push_back({"limit of " + what, "", "not given", "the vehicle file"});
        return;
    }
    const double limit = controller.parts[part].limit->value();
    const ContactLoad worst =
        ContactLoads(input).worst(index, [](const ContactLoad& load) { return load.amps; });
    out.steps.push_back(
        {fmt::format("I <= limit of {}, the most in any state, at full demand", what),
         fmt::format("{} <= {}", figure(worst.amps), figure(limit)), within(worst.amps, limit),
         "the vehicle file"});
}

} // namespace

std::vector<ProofSection> explain_contacts(Gathered& gathered, DeviceId id) {
    const CheckInput& input = gathered.input;
    const Device& device = input.study.vehicle.device(id);
    const StudyDefaults defaults(input.study.catalogue, input.study.vehicle);
    std::vector<ProofSection> out;
    for (const int index : input.study.network.device_branches[id.index()]) {
        const BranchKind kind = branch_of(input, index).kind;
        if (kind != BranchKind::contact && kind != BranchKind::output) {
            continue;
        }
        const std::string what = branch_name(input.study, index);
        ProofSection section{"Contact " + what, {}};
        const bool is_used = add_currents(section, input, index, what);
        add_resistance(section, input, index, defaults, what);
        if (device.as<Relay>() != nullptr || device.as<Flasher>() != nullptr) {
            add_relay_rating(section, input, index, what);
        } else if (const auto* hand = device.as<Switch>(); hand != nullptr && is_used) {
            add_switch_rating(section, input, index, hand->contact, what);
        } else if (const auto* controller = device.as<Controller>()) {
            add_output_rating(section, input, index, *controller, what);
        }
        out.push_back(std::move(section));
    }
    return out;
}

} // namespace loomwright
