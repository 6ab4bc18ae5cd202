// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Every state of the car: whether it comes to rest, and what each source gives of what it can.
#include "page/report_parts.hpp"

#include "base/display.hpp"
#include "checks/wording.hpp"
#include "network/battery_rows.hpp"
#include "study/energy.hpp"
#include "study/values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright::page {
namespace {

std::string engine_word(const Vehicle& vehicle, StateId id) {
    const State* state = state_of(vehicle, id);
    return std::string(engine_name(state == nullptr ? EngineCondition::stopped : state->engine));
}

/// Makes the rows of one car.
class StateRows {
public:
    explicit StateRows(const ReportContext& context)
        : context_(context), defaults_(context.study().catalogue, context.vehicle()),
          rows_(battery_rows(context.vehicle(), context.study().network)) {}

    void add(ReportTable& table, std::size_t index, const StateBalance& balance) const {
        const Vehicle& vehicle = context_.vehicle();
        const std::string name = state_name(vehicle, balance.state);
        const std::string working = context_.state_working(index);
        const int worst = context_.worst_open(name);
        if (!balance.failure.empty()) {
            table.rows.push_back(
                {"",
                 {text_cell(name, working), text_cell(engine_word(vehicle, balance.state)),
                  text_cell(balance.failure), no_cell(), no_cell(), no_cell(), no_cell(), no_cell(),
                  verdict_cell(context_, worst, "no answer")},
                 true});
            return;
        }
        for (const SourceLoad& source : balance.sources) {
            const Device& device = vehicle.device(source.device);
            const double most = most_of(source, balance.state);
            const double share = most > 0.0 ? std::max(0.0, source.amps) / most : 0.0;
            table.rows.push_back(
                {"",
                 {text_cell(name, working), text_cell(engine_word(vehicle, balance.state)),
                  text_cell(device.name, context_.device_working(source.device),
                            source.amps < 0.0 ? device.word + ", charged" : device.word),
                  number_cell(source.volts, 2, working), number_cell(source.amps, 2, working),
                  most > 0.0 ? number_cell(most, 0, working) : no_cell("0"),
                  most > 0.0 ? picture_cell(share_bar(share), share) : no_cell(),
                  source.lasts_s ? text_cell(show(Seconds(*source.lasts_s))) : no_cell(),
                  verdict_cell(context_, worst, "at rest")},
                 worst >= 0 || share > 1.0});
        }
    }

private:
    [[nodiscard]] double most_of(const SourceLoad& source, StateId id) const {
        const auto* battery = context_.vehicle().device(source.device).as<Battery>();
        if (battery == nullptr) {
            return source.most_a;
        }
        const State* state = state_of(context_.vehicle(), id);
        const StudyDefaults in_row = defaults_.in_row(std::max(1, rows_[source.device.index()]));
        const BatteryValues values = battery_values(
            *battery, in_row, battery_charge(*battery, state),
            battery_temperature_c(*battery, in_row, context_.vehicle().policy, state));
        return battery_most_a(values, in_row);
    }

    const ReportContext& context_;
    StudyDefaults defaults_;
    std::vector<int> rows_;
};

ReportTable proof_table(const ReportContext& context) {
    ReportTable table;
    table.id = "state-proofs";
    table.caption = "How well each state is solved";
    table.columns = {{"state"},
                     {"largest sum of currents at a node (A)", true},
                     {"power given less power used (share)", true},
                     {"steps", true},
                     {"given by the sources (A)", true}};
    const auto& states = context.sizing().states;
    for (std::size_t i = 0; i < states.size(); ++i) {
        const StateSolution& solution = states[i];
        const std::string name = state_name(context.vehicle(), solution);
        if (!solution.converged) {
            table.rows.push_back({"",
                                  {text_cell(name, context.state_working(i), solution.failure),
                                   no_cell(), no_cell(), no_cell(), no_cell()},
                                  true});
            continue;
        }
        ReportCell imbalance = text_cell(fmt::format("{:.1e}", solution.imbalance_a));
        imbalance.number = solution.imbalance_a;
        ReportCell power = text_cell(fmt::format("{:.1e}", solution.power_error));
        power.number = std::abs(solution.power_error);
        table.rows.push_back(
            {"",
             {text_cell(name, context.state_working(i)), std::move(imbalance), std::move(power),
              number_cell(solution.iterations, 0), number_cell(solution.source_current_a, 2)}});
    }
    return table;
}

} // namespace

std::string states_part(const ReportContext& context) {
    ReportTable table;
    table.id = "state-sources";
    table.caption = "Sources in each state";
    table.columns = {{"state"},
                     {"engine"},
                     {"source"},
                     {"volts (V)", true},
                     {"gives (A)", true},
                     {"can give (A)", true},
                     {"share of it", true},
                     {"battery flat in"},
                     {"verdict"}};
    const StateRows rows(context);
    const auto balances = state_balances(context.study(), context.sizing().states);
    for (std::size_t i = 0; i < balances.size(); ++i) {
        rows.add(table, i, balances[i]);
    }
    table.notes = {
        "A source that gives less than nothing is being charged. An alternator can give what it "
        "gives at that engine speed and heat, a charger its limit, a battery the current that "
        "brings it down to the voltage of the cold cranking test (SAE J537, 7.2 V of 12 V) at its "
        "charge and temperature in that state. The bar is full at what the source can give."};
    return context.table(table) + context.table(proof_table(context));
}

} // namespace loomwright::page
