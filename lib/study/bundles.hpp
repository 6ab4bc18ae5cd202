// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/bundle_heat.hpp"
#include "study/operating.hpp"

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace loomwright {

/// A cover of the tables as the heat balance takes it; nothing for "" and for words without a row.
[[nodiscard]] std::optional<solve::Cover> heat_cover(const Catalogue& catalogue,
                                                     std::string_view name);
/// A conductor in its insulation as the heat balance sees it.
[[nodiscard]] solve::WireBody heat_body(const Catalogue& catalogue, const Conductor& conductor,
                                        const Insulation& insulation);

/// The bundle of one run: its skin and what its inside conducts.
struct BundleBody {
    solve::Skin skin;
    double conductivity_w_per_m_k = 0.2;
};
/// Of the wires of a run in a design: the least diameter they can have together, sqrt(sum D^2), and
/// the tables' conductivity or that of the poorest insulation among them.
[[nodiscard]] BundleBody bundle_body(const StudyInput& input, const Design& design, RunId run);

/// Which wires lie together, for the heat balance: what all states share. A run counts when it has
/// a cover or more than one wire; else its wire is alone there.
class Bundles {
public:
    explicit Bundles(const StudyInput& input);
    /// Takes another design; only runs with a wire that changed are worked out again.
    void set_design(const Design& design, const std::vector<std::uint8_t>& wire_changed);

    /// One run that counts.
    struct Bundle {
        RunId run;
        std::size_t first = 0; ///< its places: [first, last)
        std::size_t last = 0;
        solve::Skin skin{0.0, 0.0};
        double j_per_k_m = 0.0;      ///< heat that all its copper holds
        double most_k_m_per_w = 0.0; ///< bound on any rise, for each watt of a metre
    };
    /// One wire in one bundle.
    struct Place {
        WireId wire;
        std::uint32_t bundle = 0;
        double j_per_k_m = 0.0; ///< heat that its copper holds
    };
    std::vector<Bundle> bundles;            ///< in the order of the file
    std::vector<Place> places;              ///< by bundle
    std::vector<solve::BundledWire> bodies; ///< by place
    std::vector<std::uint32_t> place_of_wire;
    std::vector<std::size_t> first_of_wire; ///< into place_of_wire, by WireId, one more than wires
    std::vector<std::optional<solve::Cover>> covers; ///< each that is used, first none
    std::vector<std::uint8_t> covers_of_wire;        ///< by WireId: bit k for covers[k]

private:
    void settle(Bundle& bundle, const Design& design);

    StudyInput input_;
};

} // namespace loomwright
