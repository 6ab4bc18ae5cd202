// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Where a circle of radius r touches two others, with centres a and b, radii ra and rb, d apart:
// with p = ra + r and q = rb + r the third corner of a triangle of sides d, p, q,
//
//   u = (d^2 + p^2 - q^2) / (2 d)      along a to b
//   v = +- sqrt(p^2 - u^2)             across it
//
// The corners of one radius hold while circles of that radius are laid, but for those that get
// covered; circles come by falling radius, so they are seldom worked out anew.
#include "loom/corner_placing.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <queue>

namespace loomwright::packing {
namespace {

// Two that touch may overlap by the rounding of their corner's square roots.
constexpr double touching = 1e-9;

struct Disc {
    double x = 0.0;
    double y = 0.0;
    double radius = 0.0;
};

struct Corner {
    double x = 0.0;
    double y = 0.0;
    double square = 0.0; ///< of its distance from the origin
    std::size_t made = 0;
};

/// Of two as far away the one that was made first is the nearer.
struct Farther {
    bool operator()(const Corner& a, const Corner& b) const {
        return a.square > b.square || (a.square == b.square && a.made > b.made);
    }
};

/// Discs by where they lie, in square cells no smaller than the widest disc. What lies beyond the
/// edge is in the cells of the edge.
class Cells {
public:
    Cells(double cell, double half_width)
        : cell_(cell), half_(half_width),
          across_(std::clamp(static_cast<long>(std::ceil(2.0 * half_width / cell)), 1L, most)),
          lists_(static_cast<std::size_t>(across_ * across_)) {
        cell_ = 2.0 * half_ / static_cast<double>(across_);
    }

    void add(const Disc& disc) { list(cell_of(disc.x), cell_of(disc.y)).push_back(disc); }

    /// True when `test` is for a disc of the cells within `reach` of a point.
    template <typename Test>
    [[nodiscard]] bool any_near(double x, double y, double reach, const Test& test) const {
        const long last_row = cell_of(y + reach);
        const long last_column = cell_of(x + reach);
        for (long row = cell_of(y - reach); row <= last_row; ++row) {
            for (long column = cell_of(x - reach); column <= last_column; ++column) {
                if (std::ranges::any_of(lists_[static_cast<std::size_t>(row * across_ + column)],
                                        test)) {
                    return true;
                }
            }
        }
        return false;
    }

private:
    static constexpr long most = 200; // across: memory stays small

    [[nodiscard]] long cell_of(double coordinate) const {
        const double place = std::floor((coordinate + half_) / cell_);
        return static_cast<long>(std::clamp(place, 0.0, static_cast<double>(across_ - 1)));
    }
    std::vector<Disc>& list(long column, long row) {
        return lists_[static_cast<std::size_t>(row * across_ + column)];
    }

    double cell_;
    double half_;
    long across_;
    std::vector<std::vector<Disc>> lists_;
};

class Placer {
public:
    Placer(std::span<const double> radii, bool in_every_gap)
        : in_every_gap_(in_every_gap), widest_(*std::ranges::max_element(radii)),
          cells_(2.0 * widest_, likely_reach(radii)) {}

    void lay(const Disc& disc) {
        cells_.add(disc);
        discs_.push_back(disc);
        if (disc.radius == corner_radius_) {
            add_corners_of(disc);
        }
    }

    /// The free place nearest to the origin for a circle of this radius.
    [[nodiscard]] Disc best_for(double radius) {
        if (radius != corner_radius_) {
            corner_radius_ = radius;
            if (in_every_gap_ || corners_.empty()) {
                find_corners();
            }
        }
        while (!corners_.empty()) {
            const Corner best = corners_.top();
            corners_.pop(); // it is taken, or covered for good
            if (is_free(best)) {
                return {best.x, best.y, radius};
            }
        }
        const Disc& alone = discs_.back(); // no two lie there: beside it
        return {alone.x + alone.radius + radius, alone.y, radius};
    }

private:
    void find_corners() {
        corners_ = {};
        for (const Disc& disc : discs_) {
            add_corners_of(disc);
        }
    }

    /// A square of this half width holds them with little beyond its edge.
    static double likely_reach(std::span<const double> radii) {
        const double squares = std::inner_product(radii.begin(), radii.end(), radii.begin(), 0.0);
        return 1.5 * std::sqrt(squares) + 2.0 * *std::ranges::max_element(radii);
    }

    [[nodiscard]] bool is_free(const Corner& corner) const {
        return !cells_.any_near(
            corner.x, corner.y, corner_radius_ + widest_, [&](const Disc& other) {
                const double reach = (corner_radius_ + other.radius) * (1.0 - touching);
                const double dx = corner.x - other.x;
                const double dy = corner.y - other.y;
                return dx * dx + dy * dy < reach * reach;
            });
    }

    /// The corners of a disc with all that lie there.
    void add_corners_of(const Disc& disc) {
        const double reach = disc.radius + 2.0 * corner_radius_ + widest_;
        (void)cells_.any_near(disc.x, disc.y, reach, [&](const Disc& other) {
            add_corners(other, disc);
            return false;
        });
    }

    void add_corners(const Disc& a, const Disc& b) {
        const double p = a.radius + corner_radius_;
        const double q = b.radius + corner_radius_;
        const double dx = b.x - a.x;
        const double dy = b.y - a.y;
        const double square = dx * dx + dy * dy;
        if (square > (p + q) * (p + q) || square <= 0.0) {
            return;
        }
        const double d = std::sqrt(square);
        const double u = (square + p * p - q * q) / (2.0 * d);
        const double v = std::sqrt(std::max(0.0, p * p - u * u));
        const double foot_x = a.x + u * dx / d;
        const double foot_y = a.y + u * dy / d;
        for (const double side : {v, -v}) {
            const double x = foot_x - side * dy / d;
            const double y = foot_y + side * dx / d;
            corners_.push({x, y, x * x + y * y, count_++});
        }
    }

    bool in_every_gap_; ///< else corners of larger circles serve smaller ones, too
    double widest_;
    Cells cells_;
    std::vector<Disc> discs_;
    /// Of a circle of `corner_radius_`, covered ones too: whether one is free is asked when its
    /// turn comes, and most never have it.
    std::priority_queue<Corner, std::vector<Corner>, Farther> corners_;
    std::size_t count_ = 0;
    double corner_radius_ = -1.0;
};

} // namespace

std::vector<double> place_in_corners(std::span<const double> radii,
                                     std::span<const std::size_t> order, std::size_t middle,
                                     bool in_every_gap) {
    Placer placer(radii, in_every_gap);
    std::vector<double> out(2 * radii.size());
    const std::size_t ring = std::min(middle, radii.size());
    double widest = 0.0;
    for (std::size_t i = 0; i < ring; ++i) {
        widest = std::max(widest, radii[order[i]]);
    }
    const double angle = 2.0 * std::numbers::pi / static_cast<double>(ring);
    const double ring_radius = ring < 2 ? 0.0 : widest / std::sin(angle / 2.0);
    for (std::size_t i = 0; i < radii.size(); ++i) {
        const double radius = radii[order[i]];
        const double at = angle * static_cast<double>(i);
        const Disc disc = i < ring
                              ? Disc{ring_radius * std::cos(at), ring_radius * std::sin(at), radius}
                              : placer.best_for(radius);
        placer.lay(disc);
        out[2 * order[i]] = disc.x;
        out[2 * order[i] + 1] = disc.y;
    }
    return out;
}

} // namespace loomwright::packing
