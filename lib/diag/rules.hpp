// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace loomwright {

/// How bad a finding is: danger = fire, loss of lights or brakes.
enum class Severity : std::uint8_t { note, caution, fault, danger };

[[nodiscard]] std::string_view severity_name(Severity severity);

/// Every rule there is. The ids are words; the catalogue below is the one list of them.
enum class Rule : std::uint8_t {
    // the input cannot be read as a vehicle: exit status 2
    bad_file,
    bad_yaml,
    bad_include,
    unknown_key,
    duplicate_key,
    missing_key,
    wrong_shape,
    unknown_word,
    missing_unit,
    wrong_dimension,
    bad_number,
    out_of_range,
    unknown_reference,
    unknown_terminal,
    cannot_pass,
    duplicate_number,
    contradiction,
    no_route,
    // the vehicle can be read and something about it is not good
    wire_ampacity,
    insulation_heat,
    least_size,
    drop_limit,
    no_return,
    fuse_missing,
    fuse_over_wire,
    fuse_loading,
    fuse_inrush,
    breaking_capacity,
    selectivity,
    unfused_length,
    relay_contact,
    switch_contact,
    terminal_rating,
    seal_range,
    splice_size,
    splice_place,
    stud_lugs,
    bulkhead_side,
    state_not_met,
    crank_voltage,
    ground_offset,
    relay_pull_in,
    coil_suppression,
    charge_balance,
    parked_drain,
    source_shorted,
    sneak_path,
    short_not_cleared,
    short_overheats,
    retained_wire,
    passage_fill,
    bend_radius,
    support_spacing,
    pair_broken,
    colour_clash,
    shield_ends,
    frozen_differs,
    output_feed,
    unused_part,
    estimated_length,
    outside_table,
    not_solved,
    chattering,
    unused_waiver,
    size_not_found,
};

/// One row of the catalogue.
struct RuleInfo {
    Rule rule;
    std::string_view id;       ///< the word people see: "fuse-over-wire"
    Severity severity;         ///< the severity it has unless the check raises it
    bool is_input;             ///< a fault of the input: no answer is given
    std::string_view title;    ///< one line: what is wrong
    std::string_view standard; ///< where the limit comes from when the check names no other source
};

/// The whole catalogue, in the order of the enumeration.
[[nodiscard]] std::span<const RuleInfo> rule_catalogue();
[[nodiscard]] const RuleInfo& rule_info(Rule rule);
/// The rule with this id, or nullptr.
[[nodiscard]] const RuleInfo* find_rule(std::string_view id);

} // namespace loomwright
