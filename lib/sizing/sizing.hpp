// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "solve/skin.hpp"
#include "study/operating.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace loomwright {

/// Which demand decided a size.
enum class Reason : std::uint8_t {
    given,      ///< written in the file
    frozen,     ///< cut or fitted already: the frozen file
    ampacity,   ///< heat in its place
    drop,       ///< voltage drop of the whole path
    fuse,       ///< must be protected by its fuse
    least_size, ///< mechanical least
    not_found,  ///< no standard size will do
    load,       ///< (fuse) smallest rating that carries the load
    inrush,     ///< (fuse) smallest rating that rides the start
};
[[nodiscard]] std::string_view reason_name(Reason reason);

/// Heat that may leave a bundle before its middle passes a temperature, made evenly inside.
struct SkinBudget {
    double limit_c = 0.0;
    double w_per_m = 0.0;
    double open_w_per_m = 0.0; ///< with no cover over it
    /// What the cover leaves of every current.
    [[nodiscard]] double cover_share() const;
    [[nodiscard]] bool operator==(const SkinBudget&) const = default;
};

/// How loaded the wires of one run are in the state that is worst for them (engine not cranking).
struct RunLoading {
    int wires = 0;              ///< loaded wires: at a tenth of their free-air ampacity or more
    double loading = 0.0;       ///< sum of their currents over the sum of their free-air ampacities
    double factor = 1.0;        ///< handbook factor for the two
    bool outside_table = false; ///< more wires than the handbook's table has
    StateId state;
    std::string cover;          ///< over the run; "" for none
    solve::Skin skin{0.0, 0.0}; ///< of the bundle of all its wires, loaded or not, and its cover
    double conductivity_w_per_m_k = 0.0; ///< of its inside
    double air_c = 0.0;                  ///< in the hottest state
    StateId heat_state;                  ///< in which its wires make the most heat
    double heat_w_per_m = 0.0; ///< of all its wires in that state, conductors at their limit
    std::vector<double> wire_heat_w_per_m; ///< of each, in the order of Routing::run_wires
    std::vector<double> wire_outside_m;    ///< outside diameter of each, in the same order
    /// Heat through the skin by the surface of the bundle, under the cover: from the air to the
    /// highest limit among its wires.
    std::vector<solve::Skin::Point> skin_curve;
    std::vector<SkinBudget> budgets; ///< for each limit among its wires

    /// Its wires heat one another, or a cover keeps their heat back.
    [[nodiscard]] bool is_shared() const { return wires > 1 || !cover.empty(); }
    [[nodiscard]] SkinBudget budget(double limit_c) const;
    [[nodiscard]] bool operator==(const RunLoading&) const = default;
};

/// Ampacity of a wire in its place, with both methods.
struct Ampacity {
    double air_c = 0.0;
    double limit_c = 0.0;        ///< of the insulation
    double free_air_a = 0.0;     ///< heat balance, alone in still air
    int bundle_wires = 1;        ///< loaded wires in the fullest run on its way
    double bundle_loading = 0.0; ///< how loaded they are, together
    double bundle_factor = 1.0;  ///< handbook
    bool outside_table = false;  ///< the handbook's table ends before this many wires
    std::string cover;           ///< of that run; "" for none
    double cover_share = 1.0;    ///< what the cover leaves of the current, by the heat balance
    double handbook_a = 0.0;     ///< free_air_a x bundle_factor x cover_share
    double skin_a = 0.0; ///< heat balance of the whole bundle's skin; 0 when alone and uncovered
    std::string bundle_source;
    double amps = 0.0; ///< what is used: the lower of the two
    RunId fullest;     ///< run that decides; invalid: none

    /// Its place alone, air or neighbours, brings it to its class: no size carries anything there.
    [[nodiscard]] bool is_cooked() const { return amps <= 0.0; }
};

/// Ampacity of one conductor: where the wire lies, with what it lies there, in the hottest state.
[[nodiscard]] Ampacity ampacity_in_place(const StudyInput& input, const Design& design, WireId wire,
                                         const std::vector<RunLoading>& runs);
/// Temperature (degrees Celsius) of a wire that carries nothing in the middle of a run's bundle:
/// what the others there make of it, their conductors at their limits.
[[nodiscard]] double rest_temperature_c(const StudyInput& input, WireId wire, RunId run,
                                        const RunLoading& loading);
/// Loading of every run, by RunId, from the currents of `states` (those of cranking are left out).
[[nodiscard]] std::vector<RunLoading> run_loadings(const StudyInput& input, const Design& design,
                                                   const std::vector<const StateSolution*>& states);

/// One branch of a load's path and the voltage lost in it, along the path.
struct PathPart {
    int branch = 0;
    double volts = 0.0;
};

/// What conductors, contacts and joints take from one load in one state, at full demand.
struct LoadDrop {
    DeviceId load;
    /// The path leads to the solenoid of that starter, not to its motor, and has no way back.
    bool is_solenoid = false;
    DeviceId source;
    StateId state;
    CircuitId circuit; ///< whose class sets the limit; invalid: none
    double amps = 0.0;
    double supply_v = 0.0;
    double load_v = 0.0;
    double drop_v =
        0.0; ///< in wires, contacts, fuses, joints, metal; not in other loads on the way
    double limit_v = 0.0;
    std::vector<PathPart> feed;
    std::vector<PathPart> back;
};

/// Protective devices that feed one load together: what they let pass adds up.
struct FeedGroup {
    std::vector<DeviceId> devices;
    std::vector<DeviceId> in_way_home; ///< in a row with all of them together
};

/// How one wire is fed in the state in which that is worst.
struct WireFeed {
    bool is_fed = false; ///< from a source, without passing a load or the metal of the car
    bool is_unprotected =
        false; ///< an unlimited source reaches it with no protective device between
    double self_limited_a =
        0.0;                ///< what sources that limit themselves can send into it unprotected
    bool is_return = false; ///< takes the current of fed loads home to the metal of the car
    /// Unprotected, with more let pass in another state, by the devices that feed it there.
    bool is_guarded_elsewhere = false;
    /// The protective devices that feed it together; of a return those that feed its loads, of an
    /// unprotected wire the one that it ends at.
    std::vector<DeviceId> devices;
    /// Of a return, by `devices`: those in the way home of its loads, in a row with it. It may be
    /// shorter: none in any way home that is left out.
    std::vector<std::vector<DeviceId>> in_way_home;
    /// Of a return: those of them that feed one of its loads together.
    std::vector<FeedGroup> together;
    /// So many of them, the first, feed it from one end and the others from the other: no part of
    /// it carries more than the one or the other lets pass. 0: all from one end, or ends that meet.
    std::size_t at_one_end = 0;
    /// What sources that limit themselves send in at the end of those first devices, and at that of
    /// the others, beside what the devices let pass.
    double limited_first_a = 0.0;
    double limited_rest_a = 0.0;
    /// Sum of those at the worse end; of a return the largest of all and of the sums of those that
    /// feed one load together, of a row the least.
    double rating_a = 0.0;
    StateId state; ///< in which; invalid: with every contact closed
};

/// What was chosen for one wire, with the figures that decided.
struct WireSizing {
    WireId wire;
    bool was_auto = false;
    Reason decided_by = Reason::given;
    std::string why;         ///< one sentence with its figures
    double worst_amps = 0.0; ///< largest current of any state
    StateId worst_state;
    Ampacity ampacity;
    bool is_short_time = false; ///< worst_amps is of cranking, beyond what it may carry for long
    double short_time_a = 0.0;  ///< what it may carry while cranking lasts
    double worst_drop_v = 0.0;  ///< of this wire alone
    DeviceId fuse;              ///< that protects it; invalid: none
    double fuse_rating_a = 0.0;
    double beside_a = 0.0;       ///< what limits itself sends in at that device's end, beside it
    double self_limited_a = 0.0; ///< what limits itself sends into it, whatever the device passes
    const Conductor* link = nullptr; ///< the fusible link that it must suit; nullptr: none
    double link_a2s = 0.0; ///< that the link lets through in a short, where that asks for the size
    double area_for_ampacity_m2 =
        0.0; ///< smallest catalogue area that each demand alone asks for; 0: none will do
    double area_for_drop_m2 = 0.0;
    double area_for_fuse_m2 = 0.0;
    double area_for_least_m2 = 0.0;
};

/// A current that flows for a time.
struct PulseStage {
    double amps = 0.0;
    double seconds = 0.0;
};

/// What starts at once behind a protective device, in one state.
struct StartPulse {
    StateId state;
    std::vector<DeviceId> loads;   ///< that start
    std::vector<PulseStage> first; ///< through the device, filaments cold; the others run on
    std::vector<PulseStage> again; ///< when it starts once more at once, filaments still warm
};

/// What was chosen for one protective device.
struct FuseSizing {
    DeviceId device;
    bool was_auto = false;
    Reason decided_by = Reason::given;
    std::string why;
    double load_a = 0.0; ///< largest continuous current of any state
    StateId worst_state;
    bool is_short_time = false; ///< load_a is of cranking: judged against the full rating
    double air_c = 0.0;
    double temperature_factor = 1.0;
    double loading = 0.75;       ///< permitted share of the rating
    double least_rating_a = 0.0; ///< load / (loading x factor)
    /// The start that takes most of its shortest opening time; nothing: no load behind it starts.
    std::optional<StartPulse> pulse;
    double pulse_air_c = 0.0;  ///< round the device in the state of that start
    double pulse_factor = 1.0; ///< share of its currents to which that air moves its opening times
    double pulse_share = 0.0;  ///< taken by all the starts in a row; may open at 1
    double rating_a = 0.0;
    bool largest_carries = true; ///< (not found) the family's largest rating carries the load
    std::vector<WireId> protects;
    WireId thinnest; ///< the wire with the lowest ampacity among them
};

struct Sizing {
    Design design;
    std::vector<WireSizing> wires;     ///< by WireId
    std::vector<FuseSizing> fuses;     ///< protective devices in the order of the file
    std::vector<StateSolution> states; ///< solved with `design`
    /// The states that hold a load at part level (70 %), solved again with that load at full: drop
    /// and heat are judged so. `full_index`, by state: which of them; -1: the state as it is.
    std::vector<StateSolution> full_demand;
    std::vector<int> full_index;
    /// Of every working load in every state, at full demand; in each the solenoids of starters
    /// last.
    std::vector<LoadDrop> drops;
    std::vector<WireFeed> feeds;  ///< by WireId
    std::vector<RunLoading> runs; ///< by RunId
    double copper_kg = 0.0;
    int rounds = 0; ///< of choose and solve until nothing moved

    /// The solution that state number `index` of `states` is judged by.
    [[nodiscard]] const StateSolution& judged(std::size_t index) const {
        return full_index[index] < 0 ? states[index]
                                     : full_demand[static_cast<std::size_t>(full_index[index])];
    }
};

/// The design as the file has it; nothing when a size or a rating is left to choose.
[[nodiscard]] std::optional<Design> design_as_written(const StudyInput& input);

/// Chooses every `auto` wire and fuse, solves all states with them, and repeats until nothing
/// moves. What no standard size can meet is a finding.
[[nodiscard]] Sizing size_vehicle(const StudyInput& input, Findings& findings);

} // namespace loomwright
