// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <optional>

namespace loomwright::solve {

/// What is drawn or wound over a wire or a bundle: a still gap, then a wall.
struct Cover {
    double gap_m = 0.0;             ///< between what it covers and the wall
    double gap_w_per_m_k = 0.026;   ///< of the air in the gap, at rest
    double wall_m = 0.0;            ///< thickness of the wall
    double wall_w_per_m_k = 0.2;    ///< its conductivity
    std::optional<double> duct_u{}; ///< constants of the air space of a duct (IEC 60287-2-1), which
    double duct_v = 0.0;            ///< then stand for the gap's conduction
    double duct_y = 0.0;
    double emissivity = 0.9; ///< of its outside
};

/// The surface through which the heat of a wire or of a bundle leaves, with its cover if it has
/// one.
class Skin {
public:
    Skin(double diameter_m, double emissivity, const std::optional<Cover>& cover = std::nullopt);

    /// Under the cover (without one: at the surface), and the heat that passes.
    struct Point {
        double under_c = 0.0;
        double w_per_m = 0.0;
        [[nodiscard]] bool operator==(const Point&) const = default;
    };
    [[nodiscard]] bool operator==(const Skin&) const = default;
    /// By the temperature of the outermost surface.
    [[nodiscard]] Point at_outside(double outside_c, double air_c) const;
    /// Heat given off at a temperature under the cover. A cover is not given credit: where it would
    /// let more heat through than the bare surface gives off, the bare surface counts.
    [[nodiscard]] double heat_w_per_m(double under_c, double air_c) const;
    /// The heat that brings a place inside, so many K m/W from the skin, to `limit_c`; 0 when the
    /// air is as hot as that.
    [[nodiscard]] double heat_to_limit_w_per_m(double inside_k_m_per_w, double limit_c,
                                               double air_c) const;

    [[nodiscard]] bool is_covered() const { return is_covered_; }
    [[nodiscard]] double diameter_m() const { return diameter_m_; }
    [[nodiscard]] double outside_diameter_m() const { return outside_diameter_m_; }
    [[nodiscard]] double emissivity() const { return outside_emissivity_; }
    /// From the covered surface to the outermost, K m/W, with the outermost at a temperature.
    [[nodiscard]] double through_cover_k_m_per_w(double outside_c) const;
    /// The same skin with nothing over it.
    [[nodiscard]] Skin bare() const { return {diameter_m_, bare_emissivity_}; }
    /// Kelvin for each watt of a metre that no air of -40 C and more can make it exceed: radiation
    /// alone, the cover's duct at -40 C.
    [[nodiscard]] double most_k_m_per_w() const;

private:
    double diameter_m_;
    double bare_emissivity_;
    bool is_covered_;
    double outside_diameter_m_;
    double outside_emissivity_;
    double layers_k_m_per_w_ = 0.0; ///< gap and wall, where they conduct like tubes
    std::optional<double> duct_u_;
    double duct_v_ = 0.0;
    double duct_y_ = 0.0;
};

} // namespace loomwright::solve
