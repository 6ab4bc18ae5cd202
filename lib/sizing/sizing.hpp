// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "study/operating.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace loomwright {

/// Which demand decided a size.
enum class Reason : std::uint8_t {
    given,        ///< written in the file
    ampacity,     ///< heat in its place
    drop,         ///< voltage drop of the whole path
    fuse,         ///< must be protected by its fuse
    least_size,   ///< mechanical least
    not_found,    ///< no standard size will do
    load,         ///< (fuse) smallest rating that carries the load
    inrush,       ///< (fuse) smallest rating that rides the start
};
[[nodiscard]] std::string_view reason_name(Reason reason);

/// Ampacity of a wire in its place, with both methods.
struct Ampacity {
    double air_c = 0.0;
    double limit_c = 0.0;       ///< of the insulation
    double free_air_a = 0.0;    ///< heat balance, alone in still air
    int bundle_wires = 1;       ///< loaded wires in the fullest run on its way
    double bundle_factor = 1.0;
    std::string bundle_source;
    double amps = 0.0;          ///< what is used
    RunId fullest;              ///< run with the most loaded wires; invalid: none
};
[[nodiscard]] Ampacity ampacity_in_place(const StudyInput& input, const Design& design, WireId wire,
                                         const std::vector<std::uint8_t>& is_loaded);

/// What was chosen for one wire, with the figures that decided.
struct WireSizing {
    WireId wire;
    bool was_auto = false;
    Reason decided_by = Reason::given;
    std::string why;              ///< one sentence with its figures
    double worst_amps = 0.0;      ///< largest current of any state
    StateId worst_state;
    Ampacity ampacity;
    double worst_drop_v = 0.0;    ///< of this wire alone
    DeviceId fuse;                ///< that protects it; invalid: none
    double fuse_rating_a = 0.0;
    double area_for_ampacity_m2 = 0.0; ///< smallest catalogue area that each demand alone asks for
    double area_for_drop_m2 = 0.0;
    double area_for_fuse_m2 = 0.0;
    double area_for_least_m2 = 0.0;
};

/// What was chosen for one protective device.
struct FuseSizing {
    DeviceId device;
    bool was_auto = false;
    Reason decided_by = Reason::given;
    std::string why;
    double load_a = 0.0;          ///< largest continuous current of any state
    StateId worst_state;
    double air_c = 0.0;
    double temperature_factor = 1.0;
    double loading = 0.75;        ///< permitted share of the rating
    double least_rating_a = 0.0;  ///< load / (loading x factor)
    double rating_a = 0.0;
    std::vector<WireId> protects;
    WireId thinnest;              ///< the wire with the lowest ampacity among them
};

struct Sizing {
    Design design;
    std::vector<WireSizing> wires; ///< by WireId
    std::vector<FuseSizing> fuses; ///< protective devices in the order of the file
    std::vector<StateSolution> states; ///< solved with `design`
    ProtectionZones zones;         ///< contacts of all states together
    double copper_kg = 0.0;
    int rounds = 0;                ///< of choose and solve until nothing moved
};

/// Chooses every `auto` wire and fuse, solves all states with them, and repeats until nothing moves.
/// What no standard size can meet is a finding.
[[nodiscard]] Sizing size_vehicle(const StudyInput& input, Findings& findings);

} // namespace loomwright
