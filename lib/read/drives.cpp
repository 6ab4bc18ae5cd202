// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What ties states together: which one a state follows, and drives, a row of states each for a
// time.

#include "read/steps.hpp"

#include <fmt/format.h>

#include <array>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 5> drive_keys{"legs", "charge", "times", "title", "note"};
constexpr std::array<std::string_view, 3> leg_keys{"state", "lasts", "note"};
constexpr int most_times = 1000;

/// The time a leg takes: its own, else that of its state.
bool find_duration(const Fields& fields, DriveLeg& leg) {
    Reading& reading = fields.reading();
    if (fields.has("lasts")) {
        const auto lasts = fields.quantity<Seconds>("lasts", ranges::duration);
        leg.lasts = lasts.value_or(Seconds());
        return lasts.has_value();
    }
    const State& state = reading.vehicle.state(leg.state);
    if (state.lasts) {
        leg.lasts = *state.lasts;
        return true;
    }
    if (fields.is_misspelt("lasts") || reading.unread_durations.contains(leg.state.index())) {
        return false;
    }
    reading
        .complain(Rule::missing_key, fields.subject(), leg.where,
                  fmt::format("how long {} lasts is not said", quoted(state.name)),
                  "write `{state: ..., lasts: 10 min}`, or `lasts` in the state itself")
        .related.push_back({state.where, "the state is here"});
    return false;
}

std::optional<DriveLeg> read_leg(const Fields& drive, const Node& node) {
    Reading& reading = drive.reading();
    DriveLeg leg;
    leg.where = node.where();
    const Fields fields(reading, node, drive.subject(), node.where(), leg_keys);
    if (!fields.is_map()) {
        return std::nullopt;
    }
    (void)fields.text("note");
    const Node name = fields.need("state");
    const auto state =
        name.is_valid() ? fields.reference("state", reading.states, "state") : std::nullopt;
    if (!state) {
        return std::nullopt;
    }
    leg.state = StateId(*state);
    return find_duration(fields, leg) ? std::optional(leg) : std::nullopt;
}

void read_drive(Reading& reading, const Entry& entry) {
    if (!reading.add_name(reading.drives, "drive", entry.key, reading.vehicle.drives.size())) {
        return;
    }
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), drive_keys);
    Drive drive;
    drive.name = entry.key.text();
    drive.where = entry.key.where();
    if (fields.is_map()) {
        drive.title = fields.text_or_empty("title");
        (void)fields.text("note");
        drive.charge = fields.share("charge", ranges::share);
        drive.times = fields.count("times", 1, most_times).value_or(1);
        const Node legs = fields.need("legs");
        if (legs.is_valid() && !legs.is_list()) {
            fields.complain(Rule::wrong_shape, "legs",
                            fmt::format("the legs of a drive are a list, not {}", shape_name(legs)),
                            "write `legs: [{state: cruise, lasts: 20 min}]`");
        } else if (legs.is_valid()) {
            bool is_empty = true;
            for (const Node& node : legs.items()) {
                is_empty = false;
                if (const auto leg = read_leg(fields, node)) {
                    drive.legs.push_back(*leg);
                }
            }
            if (is_empty) {
                fields.complain(Rule::wrong_shape, "legs", "a drive without a leg is none",
                                "write `legs: [{state: cruise, lasts: 20 min}]`");
            }
        }
    }
    reading.vehicle.drives.push_back(std::move(drive));
}

/// A state that follows itself, by whatever way round, never begins.
void check_rounds(Reading& reading) {
    std::vector<State>& states = reading.vehicle.states;
    for (std::size_t i = 0; i < states.size(); ++i) {
        StateId at = states[i].after;
        std::size_t steps = 0;
        while (at.is_valid() && at.index() != i && steps <= states.size()) {
            at = states[at.index()].after;
            ++steps;
        }
        if (at.is_valid() && at.index() == i) {
            reading.complain(Rule::contradiction, states[i].name, states[i].where,
                             steps == 0 ? "the state follows itself"
                                        : "the state follows one that follows it",
                             "let one state of the round begin from rest, without `after`");
        }
    }
}

} // namespace

void read_drives(Reading& reading, const Node& section) {
    if (!is_map_of_names(reading, section, "drives")) {
        return;
    }
    for (const Entry entry : section.entries()) {
        read_drive(reading, entry);
    }
}

void find_states_before(Reading& reading) {
    for (const auto& [index, node] : reading.states_before) {
        State& state = reading.vehicle.states[index];
        const auto found = need_text(reading, node, state.name, "after")
                               ? find_reference(reading, node, state.name, reading.states, "state")
                               : std::nullopt;
        if (found) {
            state.after = StateId(*found);
        }
    }
    check_rounds(reading);
}

} // namespace loomwright
