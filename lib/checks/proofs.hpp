// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "diag/proof.hpp"
#include "sizing/judged.hpp"
#include "sizing/protect.hpp"

namespace loomwright {

class Gathered;

// The parts of `explain`, one for each subject.

[[nodiscard]] std::vector<ProofSection> explain_wire(Gathered& gathered, WireId id);
/// A device of any kind: what it does in the states, its ratings, the wires at it.
[[nodiscard]] std::vector<ProofSection> explain_device(Gathered& gathered, DeviceId id);
/// One state by its place in Sizing::states: what is set, the sources, the largest loads, the proof
/// of its operating point, and what is expected.
[[nodiscard]] std::vector<ProofSection> explain_state(Gathered& gathered, std::size_t state);
/// A run: its length, the wires in it, their bundle and the holes at its ends.
[[nodiscard]] std::vector<ProofSection> explain_run(Gathered& gathered, RunId id);
/// A point: the devices there, the runs that meet there and the hole they go through.
[[nodiscard]] std::vector<ProofSection> explain_point(Gathered& gathered, PointId id);

[[nodiscard]] std::vector<ProofSection> explain_fuse(const CheckInput& input,
                                                     const FuseSizing& fuse);
/// The coil of a relay or starter in each state in which it has current.
[[nodiscard]] ProofSection explain_coil(Gathered& gathered, DeviceId id);
/// The contacts of a relay, flasher, switch or the outputs of a controller against their ratings.
[[nodiscard]] std::vector<ProofSection> explain_contacts(Gathered& gathered, DeviceId id);
/// A battery, alternator or charger: what it is, and what it does in each state.
[[nodiscard]] std::vector<ProofSection> explain_source(Gathered& gathered, DeviceId id);
/// What it does in one state, by its place in Sizing::states; the state must have an answer.
void add_source_in_state(ProofSection& out, Gathered& gathered, DeviceId id, std::size_t state);
/// The same of a battery.
void add_battery_in_state(ProofSection& out, Gathered& gathered, DeviceId id, std::size_t state);
/// What a battery is at each charge and temperature that the states have it at.
[[nodiscard]] std::vector<ProofSection> prove_battery(Gathered& gathered, DeviceId id);
/// A load, starter, sensor or controller: its law in each state in which it has current.
[[nodiscard]] ProofSection explain_demand(Gathered& gathered, DeviceId id);
/// A splice, stud, ground, strap, connector, unit, diode or resistor.
[[nodiscard]] std::vector<ProofSection> explain_joint(Gathered& gathered, DeviceId id);

/// Why a wire takes its way, run by run; no steps for one that lies in no run.
[[nodiscard]] ProofSection prove_route(Gathered& gathered, WireId id);
/// How a colour that is left to the program came about; no steps for one that is written.
[[nodiscard]] ProofSection prove_colour(const CheckInput& input, WireId id);
/// The figures of a wire's conductor and insulation, and its resistance at 20 C.
[[nodiscard]] ProofSection prove_conductor(const CheckInput& input, WireId id);
/// Heat balance of a wire at its worst steady current: from I to the conductor's temperature.
[[nodiscard]] ProofSection prove_temperature(const CheckInput& input, WireId id);
/// The same with the largest currents of all wires at hand.
[[nodiscard]] ProofSection prove_temperature(const CheckInput& input, const WireLoads& loads,
                                             WireId id);
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
[[nodiscard]] ProofSection prove_sources(Gathered& gathered, WireId id);
/// The start behind a device that takes most of its shortest opening time; it must have one.
[[nodiscard]] ProofSection prove_start(const CheckInput& input, const FuseSizing& fuse,
                                       const FuseFamily& family);
/// A device in its car: the greatest short behind it against what it breaks, and whether it opens
/// before each device above it.
[[nodiscard]] std::vector<ProofSection> explain_shorts(Gathered& gathered, const FuseSizing& fuse);
/// The drop of a load's path in one state, part by part.
[[nodiscard]] ProofSection prove_drop(const CheckInput& input, const LoadDrop& drop);
/// The judged path over a wire that is nearest to its limit, or of a load (of a starter that to its
/// motor, or to its solenoid); nullptr for none.
[[nodiscard]] const LoadDrop* tightest_drop(const CheckInput& input, WireId wire, DeviceId load,
                                            bool is_solenoid = false);

} // namespace loomwright
