// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// charge-balance, parked-drain: whether the batteries live (docs/method/energy.md).
#include "study/energy.hpp"

#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/wording.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

/// A battery that gives less beside a running alternator is at its own voltage, not drained (common
/// practice, no source).
constexpr double least_drain_a = 0.5;

void check_balance(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    for (const StateBalance& balance : state_balances(input.study, input.sizing.states)) {
        if (!balance.has_generator || balance.battery_a <= least_drain_a) {
            continue;
        }
        const State& state = vehicle.state(balance.state);
        const double may_lose = input.study.catalogue.default_value("balance-loss").value;
        const double flat_s = balance.lasts_s.value_or(0.0);
        if (state.lasts && state.lasts->value() <= may_lose * flat_s) {
            continue; // over before it matters; what follows makes it up, or the drive tells
        }
        double most = 0.0;
        std::vector<std::string> generators;
        for (const SourceLoad& source : balance.sources) {
            if (source.most_a > 0.0) {
                most += source.most_a;
                generators.push_back(name_of(vehicle, source.device));
            }
        }
        Finding& finding = findings.add(
            Rule::charge_balance, state.name, state.where,
            fmt::format("{} give{} all {} {} and the battery {} more: it is flat in {}",
                        list_of(generators), generators.size() == 1 ? "s" : "",
                        generators.size() == 1 ? "it can," : "they can,", show(Amps(most)),
                        show(Amps(balance.battery_a)), show(Seconds(flat_s))),
            "switch something off in that state, take an alternator that gives more at that "
            "speed and heat, or say by `lasts` that the state is short");
        finding.figures = {seen("taken in all", most + balance.battery_a, "A"),
                           limit_of("can be given", most, "A")};
        finding.source = "docs/method/energy.md";
        if (state.engine == EngineCondition::running) {
            finding.severity = Severity::fault; // nothing makes it up again
        }
    }
}

/// A battery that runs down in the time that the state lasts, though the car starts all the same.
void check_low(const CheckInput& input, const ParkedDrain& drain, Findings& findings) {
    if (!drain.low || !drain.lasts_s || drain.low->after_s >= *drain.lasts_s ||
        drain.starts_until_s.value_or(*drain.lasts_s) < drain.low->after_s) {
        return; // in time, or the car stands still before that
    }
    const Vehicle& vehicle = input.study.vehicle;
    const State& state = vehicle.state(drain.state);
    const LowBattery& low = *drain.low;
    Finding& finding = findings.add(
        Rule::parked_drain, state.name, state.where,
        fmt::format("{} is drawn from {}: after {} it is down to {} %; the car starts without it "
                    "(tried by {})",
                    show(Amps(low.amps)), name_of(vehicle, low.device), show(Seconds(low.after_s)),
                    show_number(100.0 * low.charge), vehicle.state(drain.cranked_by).name),
        "take a larger battery, let less hang on it, or charge it in between");
    finding.severity = Severity::caution; // what hangs on it is lost, not the engine
    finding.figures = {seen("low after", low.after_s, "s"),
                       least_of("stands for", *drain.lasts_s, "s"), given("drain", low.amps, "A"),
                       given("charge then", 100.0 * low.charge, "%")};
    finding.source = "docs/method/energy.md";
}

void check_parked(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const auto says_how_long = [](const State& state) {
        return state.engine == EngineCondition::stopped && state.lasts;
    };
    if (std::ranges::none_of(vehicle.states, says_how_long)) {
        return;
    }
    for (const ParkedDrain& drain : parked_drains(input.study, input.sizing.design,
                                                  input.sizing.states, ParkedTrial::for_its_time)) {
        check_low(input, drain, findings);
        // A car that does not start to begin with is a matter of its cranking state.
        if (!drain.starts_at_all || !drain.lasts_s || !drain.starts_until_s ||
            *drain.starts_until_s >= *drain.lasts_s) {
            continue;
        }
        const State& state = vehicle.state(drain.state);
        const std::string tried =
            drain.cranked_by.is_valid()
                ? fmt::format("tried by {}", vehicle.state(drain.cranked_by).name)
                : "there is no cranking state to try it by";
        Finding& finding = findings.add(
            Rule::parked_drain, state.name, state.where,
            fmt::format("{} is drawn: after {} the car no longer starts ({})",
                        show(Amps(drain.drain_a)), show(Seconds(*drain.starts_until_s)), tried),
            "find what draws and feed it from a switched terminal, disconnect the battery, or take "
            "a larger one");
        finding.figures = {seen("starts until", *drain.starts_until_s, "s"),
                           least_of("stands for", *drain.lasts_s, "s"),
                           given("drain", drain.drain_a, "A"),
                           given("charge then", 100.0 * drain.least_charge, "%")};
        finding.source = "docs/method/energy.md";
    }
}

} // namespace

void check_energy(const CheckInput& input, Findings& findings) {
    check_balance(input, findings);
    check_parked(input, findings);
}

} // namespace loomwright
