// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "sizing/sizing.hpp"

namespace loomwright {

struct FaultSweep;

/// What every check sees.
struct CheckInput {
    const StudyInput& study;
    const Sizing& sizing;
    const FaultSweep* faults = nullptr; ///< of every state; none: not asked for
};

// One function a family of rules; each adds its findings in the order of the file.
void check_conductors(const CheckInput& input,
                      Findings& findings); ///< wire-ampacity, insulation-heat, least-size
void check_drops(const CheckInput& input, Findings& findings); ///< drop-limit, no-return
/// fuse-missing, fuse-over-wire, fuse-loading, fuse-inrush, breaking-capacity, selectivity,
/// unfused-length
void check_protection(const CheckInput& input, Findings& findings);
void check_retained(const CheckInput& input, Findings& findings);         ///< retained-wire
void check_terminals(const CheckInput& input, Findings& findings);        ///< terminal-rating
void check_coil_suppression(const CheckInput& input, Findings& findings); ///< coil-suppression
void check_contacts(const CheckInput& input, Findings& findings); ///< relay-contact, switch-contact
void check_states(const CheckInput& input,
                  Findings& findings); ///< state-not-met, crank-voltage, not-solved, chattering
void check_ground_offsets(const CheckInput& input, Findings& findings); ///< ground-offset
void check_relay_coils(const CheckInput& input, Findings& findings);    ///< relay-pull-in
void check_energy(const CheckInput& input, Findings& findings); ///< charge-balance, parked-drain
void check_short_circuits(const CheckInput& input, Findings& findings); ///< source-shorted
void check_stray_returns(const CheckInput& input, Findings& findings);  ///< sneak-path
/// short-not-cleared, short-overheats, sneak-path
void check_faults(const CheckInput& input, const FaultSweep& sweep, Findings& findings);
/// passage-fill, bend-radius, support-spacing
void check_bundles(const CheckInput& input, Findings& findings);
void check_colours(const CheckInput& input, Findings& findings); ///< colour-clash
void check_pairs(const CheckInput& input, Findings& findings);   ///< pair-broken
/// seal-range, splice-size, splice-place, stud-lugs
void check_joints(const CheckInput& input, Findings& findings);
void check_bulkheads(const CheckInput& input, Findings& findings);    ///< bulkhead-side
void check_shields(const CheckInput& input, Findings& findings);      ///< shield-ends
void check_frozen(const CheckInput& input, Findings& findings);       ///< frozen-differs
void check_output_feeds(const CheckInput& input, Findings& findings); ///< output-feed
void check_bookkeeping(const CheckInput& input,
                       Findings& findings); ///< unused-part, estimated-length, outside-table

/// True for rules that are judged, in part at least, from a sweep of faults.
[[nodiscard]] bool needs_sweep(std::string_view rule);

/// All of them, then the waivers applied, then sorted.
void check_vehicle(const CheckInput& input, Findings& findings);

/// Marks what the waivers accept and adds unused-waiver where one accepts nothing; not for rules
/// that only a sweep of faults can break where there was none.
void apply_waivers(const Vehicle& vehicle, bool is_swept, Findings& findings);

} // namespace loomwright
