// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What every single fault does: shorts and opens, each place once over all states.
#include "page/report_parts.hpp"

#include "base/display.hpp"
#include "base/word_list.hpp"
#include "checks/fault_dangers.hpp"
#include "network/zones.hpp"
#include "sheets/fault_sheets.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace loomwright::page {
namespace {

using States = std::vector<std::size_t>;

/// Where it is told how a fault is followed: no working of its own stands behind each of thousands.
constexpr const char* method_section = "method";

class FaultTables {
public:
    FaultTables(const ReportContext& context, const FaultAnswer& answer)
        : context_(context), answer_(answer) {}

    /// Of each end of a wire the short that ends worst; of equals the one of most current.
    [[nodiscard]] ReportTable shorts() const {
        std::map<std::pair<std::size_t, bool>, const ShortCase*> worst;
        for (const ShortCase& which : answer_.sweep.shorts) {
            const ShortCase*& here = worst[{which.wire.index(), !which.is_from_end}];
            if (here == nullptr ||
                is_worse(answer_.sweep.event(which), answer_.sweep.event(*here))) {
                here = &which;
            }
        }
        ReportTable table;
        table.id = "shorts";
        table.caption = "Each end of each wire shorted to metal, in its worst state";
        table.columns = {{"wire"},     {"short at"}, {"in state"}, {"fault (A)", true},
                         {"opens"},    {"ends in"},  {"hottest"},  {"peak (C)", true},
                         {"goes dead"}};
        std::size_t harmless = 0;
        for (const auto& [place, which] : worst) {
            const ShortEvent& event = answer_.sweep.event(*which);
            if (event.is_solved && event.outcome == ShortOutcome::harmless) {
                ++harmless;
            } else {
                table.rows.push_back(short_row(*which));
            }
        }
        table.notes = {fmt::format("Ends that nothing minds in any state, left out: {}.", harmless),
                       "Ends in: carried, cleared or cycles leave every conductor within what its "
                       "insulation stands; too-late, overheats and fire do not."};
        return table;
    }

    /// What each open does, the states that agree together; things that do the same when opened, as
    /// those in a row do, stand together.
    [[nodiscard]] ReportTable opens() const {
        std::map<std::string, std::vector<int>> same;
        std::vector<const std::string*> order;
        for (const auto& [branch, effect] : effects()) {
            const auto [place, is_new] = same.try_emplace(effect);
            place->second.push_back(branch);
            if (is_new) {
                order.push_back(&place->first);
            }
        }
        ReportTable table;
        table.id = "opens";
        table.caption = "Each conductor, contact, fuse and ground opened";
        table.columns = {{"opened"}, {"what it does"}};
        for (const std::string* effect : order) {
            const std::vector<int>& branches = same[*effect];
            table.rows.push_back({"",
                                  {text_cell(branches_text(branches), link_of(branches.front())),
                                   text_cell(*effect)}});
        }
        table.notes = {"Things that do the same when opened stand together. Opens that change "
                       "nothing in a state are left out."};
        return table;
    }

    [[nodiscard]] ReportTable sneaks() const {
        ReportTable table;
        table.id = "sneaks";
        table.caption = "What an open wakes or turns round";
        table.columns = {{"opened"},
                         {"device"},
                         {"has"},
                         {"volts (V)", true},
                         {"amps (A)", true},
                         {"in states"},
                         {"way of the current"}};
        for (const SneakDanger& danger : sneak_dangers(answer_)) {
            const UnexpectedDevice& device = *danger.worst;
            std::string way;
            for (const std::string& step : way_names(answer_.study, device.way)) {
                way += (way.empty() ? "" : " > ") + step;
            }
            table.rows.push_back(
                {"",
                 {text_cell(branches_text(danger.branches)),
                  text_cell(answer_.study.vehicle.device(device.device).name,
                            context_.device_working(device.device)),
                  text_cell(sneak_text(device)), number_cell(device.volts, 2, method_section),
                  number_cell(device.amps, 2, method_section), text_cell(names_of(danger.states)),
                  text_cell(way)},
                 true});
        }
        return table;
    }

private:
    static bool is_worse(const ShortEvent& one, const ShortEvent& other) {
        return std::pair(static_cast<int>(one.outcome), one.fault_a) >
               std::pair(static_cast<int>(other.outcome), other.fault_a);
    }

    [[nodiscard]] ReportRow short_row(const ShortCase& which) const {
        const ShortEvent& event = answer_.sweep.event(which);
        const Vehicle& vehicle = answer_.study.vehicle;
        const bool is_hot = event.hottest.is_valid();
        ReportRow row;
        row.is_bad = burns(event.outcome) || !event.is_solved;
        row.cells = {
            text_cell(vehicle.wire(which.wire).number, context_.wire_working(which.wire)),
            text_cell(answer_.study.network.node_names[static_cast<std::size_t>(event.node)]),
            text_cell(state_of_case(event.state)),
            number_cell(event.fault_a, 0, method_section),
            text_cell(event.opens.empty() ? std::string("nothing")
                                          : openings_text(answer_.study, event)),
            text_cell(event.is_solved ? std::string(outcome_name(event.outcome))
                                      : std::string("no answer")),
            is_hot ? text_cell(vehicle.wire(event.hottest).number,
                               context_.wire_working(event.hottest))
                   : no_cell(),
            is_hot ? number_cell(told_c(event.hottest_c), 0, method_section) : no_cell(),
            text_cell(devices_of(event.dead))};
        return row;
    }

    [[nodiscard]] std::string devices_of(const std::vector<DeviceId>& devices) const {
        std::vector<std::string> names;
        names.reserve(devices.size());
        for (const DeviceId device : devices) {
            names.push_back(answer_.study.vehicle.device(device).name);
        }
        return names.empty() ? std::string() : list_of(names);
    }

    [[nodiscard]] std::string state_of_case(std::size_t state) const {
        return state_name(answer_.study.vehicle, answer_.sweep.states[state].state);
    }

    [[nodiscard]] std::string names_of(const States& states) const {
        if (states.size() == answer_.sweep.states.size() && states.size() > 1) {
            return fmt::format("all {}", states.size());
        }
        std::vector<std::string> names;
        names.reserve(states.size());
        for (const std::size_t state : states) {
            names.push_back(state_of_case(state));
        }
        return list_of(names);
    }

    /// "in cranking: dead: E1. In parked: ..." of each branch that changes something when opened,
    /// in the order of the network.
    [[nodiscard]] std::map<int, std::string> effects() const {
        std::map<int, std::vector<std::pair<std::string, States>>> found;
        for (const OpenCase& open : answer_.sweep.opens) {
            const std::string effect = effect_of(open);
            if (effect.empty()) {
                continue;
            }
            auto& list = found[open.branch];
            const auto same =
                std::ranges::find(list, effect, &std::pair<std::string, States>::first);
            if (same == list.end()) {
                list.emplace_back(effect, States{open.state});
            } else {
                same->second.push_back(open.state);
            }
        }
        std::map<int, std::string> out;
        for (const auto& [branch, list] : found) {
            std::string& text = out[branch];
            for (const auto& [effect, states] : list) {
                text +=
                    fmt::format("{}in {}: {}.", text.empty() ? "" : " ", names_of(states), effect);
            }
        }
        return out;
    }

    [[nodiscard]] std::string branches_text(const std::vector<int>& branches) const {
        std::vector<std::string> names;
        names.reserve(branches.size());
        for (const int branch : branches) {
            names.push_back(branch_name(answer_.study, branch));
        }
        return list_of(names);
    }

    /// "dead: E1 and E2; wakes: M1"; "" where nothing changes.
    [[nodiscard]] std::string effect_of(const OpenCase& open) const {
        if (!open.is_solved) {
            return "no answer";
        }
        std::string out;
        const auto add = [&](const char* what, const std::vector<DeviceId>& devices) {
            if (!devices.empty()) {
                out += fmt::format("{}{}: {}", out.empty() ? "" : "; ", what, devices_of(devices));
            }
        };
        std::vector<DeviceId> woken;
        for (const UnexpectedDevice& device : open.unexpected) {
            woken.push_back(device.device);
        }
        add("dead", open.dead);
        add("wakes or is turned round", woken);
        add("goes on and off", open.chattering);
        if (!open.overheated.empty()) {
            std::vector<std::string> hot;
            for (const HotConductor& one : open.overheated) {
                hot.push_back(answer_.study.vehicle.wire(one.wire).number);
            }
            out += fmt::format("{}too hot: {}", out.empty() ? "" : "; ", list_of(hot));
        }
        return out;
    }

    [[nodiscard]] std::string link_of(int branch) const {
        const Branch& here = answer_.study.network.branches[static_cast<std::size_t>(branch)];
        return here.wire.is_valid()     ? context_.wire_working(here.wire)
               : here.device.is_valid() ? context_.device_working(here.device)
                                        : std::string();
    }

    const ReportContext& context_;
    const FaultAnswer& answer_;
};

ReportTable dangers(const FaultAnswer& answer) {
    ReportTable table = table_of(fault_dangers_sheet(answer), "short-dangers");
    for (ReportRow& row : table.rows) {
        row.is_bad = true;
    }
    return table;
}

} // namespace

std::string faults_part(const ReportContext& context) {
    const FaultSweep* const sweep = context.order.checked.faults;
    if (sweep == nullptr) {
        return "<p><b>No fault was tried for this page.</b> Shorts and opens are judged where it "
               "is "
               "made with them.</p>\n";
    }
    const std::vector<SourceZone> zones =
        source_zones(context.vehicle(), context.study().network, {});
    const FaultAnswer answer{context.study(), *sweep, zones};
    const FaultTables tables(context, answer);
    std::string out;
    const ReportTable burning = dangers(answer);
    out += burning.rows.empty() && !sweep->shorts.empty()
               ? std::string("<p>No short burns a conductor.</p>\n")
               : context.table(burning);
    const ReportTable sneaks = tables.sneaks();
    out += sneaks.rows.empty() ? std::string("<p>No open wakes anything.</p>\n")
                               : context.table(sneaks);
    return out + context.table(tables.shorts()) + context.table(tables.opens());
}

} // namespace loomwright::page
