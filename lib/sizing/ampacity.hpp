// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"
#include "solve/heat.hpp"

#include <array>
#include <string>
#include <vector>

namespace loomwright {

/// A conductor in its insulation as the heat balance sees it.
[[nodiscard]] solve::WireBody wire_body(const Catalogue& catalogue, const Conductor& conductor,
                                        const Insulation& insulation);
/// Air and free-air ampacity of every wire's place, each figure computed once.
class WirePlaces {
public:
    explicit WirePlaces(const StudyInput& input);
    /// Hottest air that the wire meets on its way in any state.
    [[nodiscard]] double air_c(WireId wire) const { return air_c_[wire.index()]; }
    /// Ampacity of a conductor of the tables, in the wire's own insulation, alone in that air.
    [[nodiscard]] double free_air_a(WireId wire, const Conductor& conductor);

private:
    /// One insulation in one air, with the conductors of each standard; negative: not yet computed.
    struct Row {
        const Insulation* insulation = nullptr;
        double air_c = 0.0;
        std::array<std::vector<double>, 3> amps;
    };
    const StudyInput& input_;
    std::vector<double> air_c_;
    std::vector<std::size_t> row_of_wire_;
    std::vector<Row> rows_;
};

/// "95 C air, 7 loaded wires in engine-left under heat-sleeve".
[[nodiscard]] std::string place_words(const Vehicle& vehicle, const Ampacity& ampacity);
/// Ampacity of any conductor in the place of a wire.
[[nodiscard]] Ampacity ampacity_of(const StudyInput& input, WirePlaces& places, WireId wire,
                                   const Conductor& conductor, const Insulation& insulation,
                                   const std::vector<RunLoading>& runs);
/// As the function of sizing.hpp, with what is known of the places.
[[nodiscard]] std::vector<RunLoading> run_loadings(const StudyInput& input, WirePlaces& places,
                                                   const Design& design,
                                                   const std::vector<const StateSolution*>& states);
/// Least share of its free-air ampacity at which a wire counts as loaded.
constexpr double loaded_share = 0.1;

/// The constants of the adiabatic equation for copper (IEC 60949): k = K sqrt(ln((beta + to)/(beta
/// + from))), K = 226 A s^0.5/mm2, beta = 234.5 C.
[[nodiscard]] double adiabatic_k(double from_c, double to_c);
/// Current that a conductor may carry for a short time from the air's temperature to its
/// insulation's limit, no heat leaving: k S / sqrt(t).
[[nodiscard]] double short_time_ampacity(const Conductor& conductor, double air_c, double limit_c,
                                         double seconds);

} // namespace loomwright
