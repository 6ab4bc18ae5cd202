// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/rules.hpp"

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::string_view format_page = "the format of the vehicle file, docs/format";
constexpr std::string_view practice = "common practice, no source";

constexpr std::array catalogue = {
    RuleInfo{Rule::bad_file, "bad-file", Severity::fault, true, "file cannot be read", format_page},
    RuleInfo{Rule::bad_yaml, "bad-yaml", Severity::fault, true, "text is not YAML", format_page},
    RuleInfo{Rule::bad_include, "bad-include", Severity::fault, true, "include cannot be followed",
             format_page},
    RuleInfo{Rule::unknown_key, "unknown-key", Severity::fault, true, "key is not known here",
             format_page},
    RuleInfo{Rule::duplicate_key, "duplicate-key", Severity::fault, true, "key is given twice",
             format_page},
    RuleInfo{Rule::missing_key, "missing-key", Severity::fault, true, "a needed key is missing",
             format_page},
    RuleInfo{Rule::wrong_shape, "wrong-shape", Severity::fault, true,
             "list, map or single value in the wrong place", format_page},
    RuleInfo{Rule::unknown_word, "unknown-word", Severity::fault, true,
             "word is not one of those known", format_page},
    RuleInfo{Rule::missing_unit, "missing-unit", Severity::fault, true, "number without its unit",
             format_page},
    RuleInfo{Rule::wrong_dimension, "wrong-dimension", Severity::fault, true,
             "unit of another quantity", format_page},
    RuleInfo{Rule::bad_number, "bad-number", Severity::fault, true, "number cannot be read",
             format_page},
    RuleInfo{Rule::out_of_range, "out-of-range", Severity::fault, true, "value is not possible",
             format_page},
    RuleInfo{Rule::unknown_reference, "unknown-reference", Severity::fault, true,
             "name refers to nothing", format_page},
    RuleInfo{Rule::unknown_terminal, "unknown-terminal", Severity::fault, true,
             "device has no such terminal", format_page},
    RuleInfo{Rule::cannot_pass, "cannot-pass", Severity::fault, true,
             "a path cannot pass through this device", format_page},
    RuleInfo{Rule::duplicate_number, "duplicate-number", Severity::fault, true,
             "two wires have one number", format_page},
    RuleInfo{Rule::contradiction, "contradiction", Severity::fault, true,
             "two places say different things", format_page},
    RuleInfo{Rule::no_route, "no-route", Severity::fault, true, "no way between two points",
             format_page},
    RuleInfo{Rule::wire_ampacity, "wire-ampacity", Severity::danger, false,
             "wire carries more than it can in its place", "heat balance, docs/method/heat.md"},
    RuleInfo{Rule::insulation_heat, "insulation-heat", Severity::danger, false,
             "place is too hot for the insulation", "temperature classes of ISO 6722-1"},
    RuleInfo{Rule::least_size, "least-size", Severity::caution, false,
             "wire is thinner than will last", practice},
    RuleInfo{Rule::drop_limit, "drop-limit", Severity::fault, false,
             "too much voltage is lost on the way", "tables drop-limits"},
    RuleInfo{Rule::no_return, "no-return", Severity::fault, false,
             "load has no way back to its source", practice},
    RuleInfo{Rule::fuse_missing, "fuse-missing", Severity::danger, false,
             "wire has no protective device", "FAA AC 43.13-1B par. 11-47"},
    RuleInfo{Rule::fuse_over_wire, "fuse-over-wire", Severity::danger, false,
             "fuse does not protect its wire", "IEC 60364-4-43 433.1"},
    RuleInfo{Rule::fuse_loading, "fuse-loading", Severity::fault, false,
             "fuse is loaded beyond its share", practice},
    RuleInfo{Rule::fuse_inrush, "fuse-inrush", Severity::fault, false,
             "fuse may open when its loads start", "tables fuse-gates"},
    RuleInfo{Rule::breaking_capacity, "breaking-capacity", Severity::caution, false,
             "a short may be more than the device can break",
             "the breaking capacity of its standard, tables fuses"},
    RuleInfo{Rule::selectivity, "selectivity", Severity::caution, false,
             "a device above may open before the one at the fault", "tables fuse-gates"},
    RuleInfo{Rule::unfused_length, "unfused-length", Severity::danger, false,
             "too much wire before the first protective device", "33 CFR 183.455"},
    RuleInfo{Rule::relay_contact, "relay-contact", Severity::fault, false,
             "relay contact carries more than its rating", "the relay's own rating"},
    RuleInfo{Rule::switch_contact, "switch-contact", Severity::fault, false,
             "switch contact carries more than its rating", "FAA AC 43.13-1B table 11-4"},
    RuleInfo{Rule::terminal_rating, "terminal-rating", Severity::fault, false,
             "terminal carries more than its rating, or its wire does not fit", "tables fittings"},
    RuleInfo{Rule::seal_range, "seal-range", Severity::caution, false,
             "a sealed cavity does not close on its wire", "the shop's own seals"},
    RuleInfo{Rule::splice_size, "splice-size", Severity::caution, false,
             "splice has more wire than a barrel takes", "tables fittings"},
    RuleInfo{Rule::splice_place, "splice-place", Severity::caution, false,
             "splices lie on one another, or beyond their run", practice},
    RuleInfo{Rule::stud_lugs, "stud-lugs", Severity::fault, false,
             "stud holds more lugs than it may", "its own number, or tables defaults"},
    RuleInfo{Rule::bulkhead_side, "bulkhead-side", Severity::fault, false,
             "connector in a wall does not part its two sides", practice},
    RuleInfo{Rule::state_not_met, "state-not-met", Severity::fault, false,
             "a device is not as the state expects it", "the vehicle file"},
    RuleInfo{Rule::crank_voltage, "crank-voltage", Severity::fault, false,
             "controller has too little voltage where it must stay awake",
             "the controller's own need"},
    RuleInfo{Rule::ground_offset, "ground-offset", Severity::caution, false,
             "a signal is made and read at different grounds", practice},
    RuleInfo{Rule::relay_pull_in, "relay-pull-in", Severity::caution, false,
             "relay coil has too little voltage to come in", "the relay's own pull-in voltage"},
    RuleInfo{Rule::coil_suppression, "coil-suppression", Severity::caution, false,
             "nothing takes the voltage off a coil that is switched off", practice},
    RuleInfo{Rule::charge_balance, "charge-balance", Severity::caution, false,
             "alternator cannot give what the state takes", "docs/method/energy.md"},
    RuleInfo{Rule::parked_drain, "parked-drain", Severity::fault, false,
             "parked car drains its battery too soon", "docs/method/energy.md"},
    RuleInfo{Rule::source_shorted, "source-shorted", Severity::danger, false,
             "nothing but conductors between a source's posts", practice},
    RuleInfo{Rule::sneak_path, "sneak-path", Severity::fault, false,
             "current takes a way that is not meant for it", "docs/method/operating-point.md"},
    RuleInfo{Rule::short_not_cleared, "short-not-cleared", Severity::danger, false,
             "a short flows for good and burns a conductor", "docs/method/faults.md"},
    RuleInfo{Rule::short_overheats, "short-overheats", Severity::danger, false,
             "a conductor is too hot before its short is cleared", "docs/method/faults.md"},
    RuleInfo{Rule::retained_wire, "retained-wire", Severity::caution, false,
             "old wire has more to carry than it had", practice},
    RuleInfo{Rule::passage_fill, "passage-fill", Severity::fault, false,
             "loom does not go through its passage, or fills it", practice},
    RuleInfo{Rule::bend_radius, "bend-radius", Severity::fault, false,
             "run is bent tighter than its wires allow", "FAA AC 43.13-1B 11-96"},
    RuleInfo{Rule::support_spacing, "support-spacing", Severity::caution, false,
             "run is held too seldom", "FAA AC 43.13-1B 11-96a"},
    RuleInfo{Rule::pair_broken, "pair-broken", Severity::fault, false,
             "wires of a twisted pair do not stay together", practice},
    RuleInfo{Rule::colour_clash, "colour-clash", Severity::caution, false,
             "two wires side by side have one colour", practice},
    RuleInfo{Rule::shield_ends, "shield-ends", Severity::fault, false,
             "a screen or its drain wire does not end where it should", practice},
    RuleInfo{Rule::frozen_differs, "frozen-differs", Severity::caution, false,
             "file and what is cut or fitted differ", "what was frozen, docs/guide"},
    RuleInfo{Rule::output_feed, "output-feed", Severity::caution, false,
             "an output may be behind another feed than was taken", practice},
    RuleInfo{Rule::unused_part, "unused-part", Severity::note, false, "part is used by nothing",
             practice},
    RuleInfo{Rule::estimated_length, "estimated-length", Severity::note, false,
             "length is an estimate, not a measurement", practice},
    RuleInfo{Rule::outside_table, "outside-table", Severity::caution, false,
             "question lies outside the table's range", "the table's range of validity"},
    RuleInfo{Rule::not_solved, "not-solved", Severity::fault, false,
             "no operating point could be found", "docs/method/operating-point.md"},
    RuleInfo{Rule::chattering, "chattering", Severity::fault, false, "a device never settles",
             "docs/method/operating-point.md"},
    RuleInfo{Rule::unused_waiver, "unused-waiver", Severity::note, false,
             "waiver accepts nothing that is there", "the vehicle file"},
    RuleInfo{Rule::size_not_found, "size-not-found", Severity::fault, false,
             "no standard size or rating will do", "the built-in tables"},
};

static_assert(std::ranges::is_sorted(catalogue, {}, &RuleInfo::rule));

} // namespace

std::string_view severity_name(Severity severity) {
    switch (severity) {
    case Severity::note:
        return "note";
    case Severity::caution:
        return "caution";
    case Severity::fault:
        return "fault";
    case Severity::danger:
        return "danger";
    }
    return "fault";
}

std::span<const RuleInfo> rule_catalogue() {
    return catalogue;
}

const RuleInfo& rule_info(Rule rule) {
    return catalogue[static_cast<std::size_t>(rule)];
}

const RuleInfo* find_rule(std::string_view id) {
    const auto* const found = std::ranges::find(catalogue, id, &RuleInfo::id);
    return found == catalogue.end() ? nullptr : &*found;
}

} // namespace loomwright
