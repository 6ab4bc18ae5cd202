// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "diag/proof.hpp"
#include "sizing/protect.hpp"

namespace loomwright {

// The parts of `explain`, one for each subject.

[[nodiscard]] std::vector<ProofSection> explain_wire(const CheckInput& input, WireId id);
[[nodiscard]] std::vector<ProofSection> explain_fuse(const CheckInput& input,
                                                     const FuseSizing& fuse);
[[nodiscard]] std::vector<ProofSection> explain_relay(const CheckInput& input, DeviceId id);
[[nodiscard]] std::vector<ProofSection> explain_load(const CheckInput& input, DeviceId load);

/// Why a wire takes its way, run by run; no steps for one that lies in no run.
[[nodiscard]] ProofSection prove_route(const CheckInput& input, WireId id);
/// How a colour that is left to the program came about; no steps for one that is written.
[[nodiscard]] ProofSection prove_colour(const CheckInput& input, WireId id);
/// The figures of a wire's conductor and insulation, and its resistance at 20 C.
[[nodiscard]] ProofSection prove_conductor(const CheckInput& input, WireId id);
/// Heat balance of a wire at its worst steady current: from I to the conductor's temperature.
[[nodiscard]] ProofSection prove_temperature(const CheckInput& input, WireId id);
/// Ampacity in its place, both ways.
[[nodiscard]] ProofSection prove_ampacity(const CheckInput& input, WireId id);
/// The bundle's part of that, for a wire whose fullest run counts: by the handbook and by the heat
/// balance of the skin.
void add_bundle(ProofSection& out, const CheckInput& input, WireId id);
/// Device against wire.
[[nodiscard]] ProofSection prove_guard(const CheckInput& input, WireId id);
/// To what share of their currents the air of a device moves the two sides of its band; nothing for
/// a side that it leaves where it is.
void add_air_shares(ProofSection& out, const FuseFamily& family, double rating_a, AirRange air);
/// Which devices stand between a wire and each source, in which states.
[[nodiscard]] ProofSection prove_sources(const CheckInput& input, WireId id);
/// The start behind a device that takes most of its shortest opening time; it must have one.
[[nodiscard]] ProofSection prove_start(const CheckInput& input, const FuseSizing& fuse,
                                       const FuseFamily& family);
/// A device in its car: the greatest short behind it against what it breaks, and whether it opens
/// before each device above it.
[[nodiscard]] std::vector<ProofSection> explain_shorts(const CheckInput& input,
                                                       const FuseSizing& fuse);
/// The drop of a load's path in one state, part by part.
[[nodiscard]] ProofSection prove_drop(const CheckInput& input, const LoadDrop& drop);
/// The judged path over a wire that is nearest to its limit, or of a load; nullptr for none.
[[nodiscard]] const LoadDrop* tightest_drop(const CheckInput& input, WireId wire, DeviceId load);

} // namespace loomwright
