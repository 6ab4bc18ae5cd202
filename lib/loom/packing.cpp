// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Circles of radius r_i, scaled so that sum r_i^2 = 1 (then the circle round them is 1 / sqrt of
// the density), are laid by corner placing, pressed together at falling pressure, and spread until
// none overlaps:
//
//   c_i <- c_i s,  s = max(1, max over pairs (r_i + r_j) / |c_i - c_j|)
//   R = max_i (|c_i| + r_i)
//
// so that what comes out is a packing whatever the search did. Tries differ in how many circles
// stand round the middle (1 to 5: the best packings of up to 20 equal circles are of these kinds).
// With full care the best try is shaken, or has two circles exchanged, and pressed again; what is
// better stays.
//
// Range: any count above 0 and any radii; cost grows with the count, and with its root. Held
// against the published best for 1 to 20 equal circles and against a second optimiser for unlike
// ones (tests/unit/loom).
#include "loom/packing.hpp"

#include "loom/close_pairs.hpp"
#include "loom/corner_placing.hpp"
#include "loom/pressing.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <utility>

namespace loomwright {
namespace {

using packing::Pressing;

// Equal circles up to this many are few cases and quickly packed: always with full care.
constexpr std::size_t most_equal = 20;
// Beyond this many one try comes within 2 % of many (measured), and takes long enough; few of them
// are always packed better than that.
constexpr std::size_t most_circles_for_full_care = 60;
constexpr std::size_t few = 12;     // so many are quickly packed: three kinds of middle at least
constexpr double shake_share = 0.5; // of a circle's radius

// Pressures, in the scale in which sum r^2 = 1: discs overlap by about as much.
constexpr double soft = 0.03;
constexpr double firm = 0.003;
constexpr double hard = 1e-3;
constexpr double hardest = 1e-4;

/// What a care comes to.
struct Effort {
    std::size_t kinds_of_middle = 5;
    int shakes = 12;
    int first_steps = 30; ///< of each of the two softer pressures, in every try
    int last_steps = 60;  ///< of each of the two harder ones, on the best
    bool in_every_gap = true;
};

struct Try {
    double radius = 0.0; ///< about, from the energy at a firm pressure
    std::vector<double> places;
};

class Packer {
public:
    Packer(std::vector<double> radii, const Effort& effort)
        : radii_(std::move(radii)), effort_(effort), pressing_(radii_), order_(radii_.size()) {
        std::iota(order_.begin(), order_.end(), std::size_t{0});
        std::ranges::stable_sort(order_, std::ranges::greater(),
                                 [&](std::size_t i) { return radii_[i]; });
    }

    /// The places of the best packing found, x0, y0, x1, y1, ..., and its radius.
    std::vector<double> pack() {
        Try best = first_try(1);
        for (std::size_t middle = 2; middle <= kinds_to_try(); ++middle) {
            keep_better(best, first_try(middle));
        }
        for (int i = 0; i < effort_.shakes; ++i) {
            keep_better(best, i % 2 == 0 ? shaken(best) : exchanged(best));
        }
        pressing_.press(best.places, hard, effort_.last_steps);
        pressing_.press(best.places, hardest, effort_.last_steps);
        spread(best.places);
        return std::move(best.places);
    }

private:
    [[nodiscard]] std::size_t kinds_to_try() const {
        const std::size_t kinds = radii_.size() <= few
                                      ? std::max<std::size_t>(3, effort_.kinds_of_middle)
                                      : effort_.kinds_of_middle;
        return std::min(kinds, radii_.size());
    }

    static void keep_better(Try& best, Try&& other) {
        if (other.radius < best.radius) {
            best = std::move(other);
        }
    }

    Try first_try(std::size_t middle) {
        std::vector<double> places =
            packing::place_in_corners(radii_, order_, middle, effort_.in_every_gap);
        places.push_back(0.0);
        set_radius(places);
        return pressed(std::move(places));
    }

    Try pressed(std::vector<double> places) {
        pressing_.press(places, soft, effort_.first_steps);
        const double radius = pressing_.press(places, firm, effort_.first_steps);
        return {radius, std::move(places)};
    }

    Try shaken(const Try& from) {
        std::vector<double> places = from.places;
        for (std::size_t i = 0; i < radii_.size(); ++i) {
            const double reach = 2.0 * shake_share * radii_[i];
            places[2 * i] += reach * (chance() - 0.5);
            places[2 * i + 1] += reach * (chance() - 0.5);
        }
        return pressed(std::move(places));
    }

    /// Two circles change places, or of a like pair the first goes across to the other side.
    Try exchanged(const Try& from) {
        std::vector<double> places = from.places;
        const std::size_t i = any_circle();
        const std::size_t j = any_circle();
        if (radii_[i] != radii_[j]) {
            std::swap(places[2 * i], places[2 * j]);
            std::swap(places[2 * i + 1], places[2 * j + 1]);
        } else {
            places[2 * i] = -places[2 * i];
            places[2 * i + 1] = -places[2 * i + 1];
        }
        return pressed(std::move(places));
    }

    /// 0 to 1, the same row of numbers in every run: the engine is fixed by the standard of C++.
    double chance() {
        return static_cast<double>(engine_() - std::minstd_rand::min()) /
               static_cast<double>(std::minstd_rand::max() - std::minstd_rand::min() + 1U);
    }
    std::size_t any_circle() {
        return static_cast<std::size_t>(chance() * static_cast<double>(radii_.size()));
    }

    void spread(std::vector<double>& places) const {
        double share = 1.0;
        packing::for_close_pairs(
            radii_, places, 1.0, [&](std::size_t i, std::size_t j, double square) {
                share = std::max(share, (radii_[i] + radii_[j]) / std::sqrt(square));
            });
        for (double& value : places) {
            value *= share;
        }
        set_radius(places);
    }

    void set_radius(std::vector<double>& places) const {
        double radius = 0.0;
        for (std::size_t i = 0; i < radii_.size(); ++i) {
            radius = std::max(radius, std::hypot(places[2 * i], places[2 * i + 1]) + radii_[i]);
        }
        places.back() = radius;
    }

    std::vector<double> radii_;
    Effort effort_;
    Pressing pressing_;
    std::vector<std::size_t> order_; ///< by falling radius
    std::minstd_rand engine_{1};
};

Effort effort_for(std::span<const double> radii_m, PackingCare care) {
    const auto [least, most] = std::ranges::minmax(radii_m);
    const bool is_easy = least == most && radii_m.size() <= most_equal;
    if (is_easy || (care == PackingCare::full && radii_m.size() <= most_circles_for_full_care)) {
        return {};
    }
    const bool is_brief = care == PackingCare::rough && radii_m.size() > most_circles_for_full_care;
    const int steps = is_brief ? 6 : 20;
    return {.kinds_of_middle = 1,
            .shakes = 0,
            .first_steps = steps,
            .last_steps = std::min(steps, 15),
            .in_every_gap = care == PackingCare::full};
}

} // namespace

Packing pack_circles(std::span<const double> radii_m, PackingCare care) {
    Packing out;
    if (radii_m.size() < 2) {
        out.centres.resize(radii_m.size());
        out.radius_m = radii_m.empty() ? 0.0 : radii_m.front();
        return out;
    }
    const double widest = std::ranges::max(radii_m);
    std::vector<double> radii(radii_m.begin(), radii_m.end());
    double squares = 0.0;
    for (double& radius : radii) {
        radius /= widest; // first, so that no square is too small or too large for a double
        squares += radius * radius;
    }
    const double scale = 1.0 / std::sqrt(squares);
    for (double& radius : radii) {
        radius *= scale;
    }
    const std::vector<double> places = Packer(std::move(radii), effort_for(radii_m, care)).pack();
    const double size_m = widest / scale;
    for (std::size_t i = 0; i < radii_m.size(); ++i) {
        out.centres.push_back({places[2 * i] * size_m, places[2 * i + 1] * size_m});
    }
    out.radius_m = places.back() * size_m;
    return out;
}

} // namespace loomwright
