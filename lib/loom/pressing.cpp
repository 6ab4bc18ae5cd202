// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Energy of n discs of radius r_i at c_i in a hose of radius R under the pressure p:
//
//   E = p R + 1/2 sum_{i<j} max(0, r_i + r_j - |c_i - c_j|)^2 + 1/2 sum_i max(0, |c_i| + r_i - R)^2
//
// As p goes to 0 the overlaps do, and E / p goes to a local least R of a packing without overlap.
// Lowered by the limited-memory quasi-Newton method of Nocedal (1980), with steps halved until they
// lower E enough (Armijo). It has no care for being the best: the caller starts it from several
// places.
#include "loom/pressing.hpp"

#include "loom/close_pairs.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace loomwright::packing {
namespace {

constexpr double first_share = 0.3; // of the slope, where no step tells how far
constexpr double longest_step = 0.2;
constexpr double enough = 1e-4; // of what the slope promises
constexpr int most_halvings = 12;
constexpr int steps_between_looks = 12; // for who lies near whom
// Discs move less than this, in their own size, between two looks; if more, the next look sees it.
constexpr double near_share = 0.25;

double dot(const std::vector<double>& a, const std::vector<double>& b) {
    return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
}

void add(std::vector<double>& to, double times, const std::vector<double>& what) {
    for (std::size_t i = 0; i < to.size(); ++i) {
        to[i] += times * what[i];
    }
}

} // namespace

Pressing::Pressing(std::span<const double> radii) : radii_(radii), steps_(memory) {
    const std::size_t count = 2 * radii.size() + 1;
    for (std::vector<double>* room : {&slope_, &direction_, &next_, &next_slope_}) {
        room->resize(count);
    }
    for (Step& step : steps_) {
        step.moved.resize(count);
        step.turned.resize(count);
    }
}

void Pressing::find_near(const std::vector<double>& places) {
    near_.clear();
    for_close_pairs(radii_, places, 1.0 + near_share, [this](std::size_t i, std::size_t j, double) {
        near_.push_back({i, j});
    });
}

double Pressing::energy(const std::vector<double>& places, std::vector<double>& slope) const {
    const double hose = places.back();
    double out = pressure_ * hose;
    std::ranges::fill(slope, 0.0);
    slope.back() = pressure_;
    for (std::size_t i = 0; i < radii_.size(); ++i) {
        const double x = places[2 * i];
        const double y = places[2 * i + 1];
        const double from_middle = std::sqrt(x * x + y * y);
        const double outside = from_middle + radii_[i] - hose;
        if (outside > 0.0 && from_middle > 0.0) {
            out += 0.5 * outside * outside;
            slope.back() -= outside;
            slope[2 * i] += outside * x / from_middle;
            slope[2 * i + 1] += outside * y / from_middle;
        }
    }
    for (const auto& [i, j] : near_) {
        const double dx = places[2 * i] - places[2 * j];
        const double dy = places[2 * i + 1] - places[2 * j + 1];
        const double touch = radii_[i] + radii_[j];
        const double square = dx * dx + dy * dy;
        if (square >= touch * touch) {
            continue;
        }
        const double apart = std::sqrt(square);
        const double pressed = touch - apart;
        out += 0.5 * pressed * pressed;
        // Two on one spot go apart sideways.
        const double push_x = pressed * (apart > 0.0 ? dx / apart : 1.0);
        const double push_y = pressed * (apart > 0.0 ? dy / apart : 0.0);
        slope[2 * i] -= push_x;
        slope[2 * i + 1] -= push_y;
        slope[2 * j] += push_x;
        slope[2 * j + 1] += push_y;
    }
    return out;
}

void Pressing::find_direction() {
    std::array<double, memory> shares{};
    const std::size_t known = std::min(step_count_, memory);
    direction_ = slope_;
    for (std::size_t back = 1; back <= known; ++back) {
        const Step& step = steps_[(step_count_ - back) % memory];
        shares.at(back - 1) = step.weight * dot(step.moved, direction_);
        add(direction_, -shares.at(back - 1), step.turned);
    }
    double scale = first_share;
    if (known > 0) {
        const Step& last = steps_[(step_count_ - 1) % memory];
        scale = 1.0 / (last.weight * dot(last.turned, last.turned));
    }
    for (double& value : direction_) {
        value *= scale;
    }
    for (std::size_t back = known; back >= 1; --back) {
        const Step& step = steps_[(step_count_ - back) % memory];
        add(direction_, shares.at(back - 1) - step.weight * dot(step.turned, direction_),
            step.moved);
    }
}

bool Pressing::step(std::vector<double>& places) {
    find_direction();
    const double promised = dot(slope_, direction_);
    double longest = 0.0;
    for (const double value : direction_) {
        longest = std::max(longest, std::abs(value));
    }
    if (!(promised > 0.0) || !(longest > 0.0)) {
        return false;
    }
    double share = std::min(1.0, longest_step / longest);
    for (int halving = 0; halving < most_halvings; ++halving, share *= 0.5) {
        next_ = places;
        add(next_, -share, direction_);
        const double lower = energy(next_, next_slope_);
        if (lower <= energy_ - enough * share * promised) {
            remember(places);
            places.swap(next_);
            slope_.swap(next_slope_);
            energy_ = lower;
            return true;
        }
    }
    return false;
}

void Pressing::remember(const std::vector<double>& places) {
    Step& step = steps_[step_count_ % memory];
    for (std::size_t i = 0; i < places.size(); ++i) {
        step.moved[i] = next_[i] - places[i];
        step.turned[i] = next_slope_[i] - slope_[i];
    }
    const double curved = dot(step.moved, step.turned);
    if (curved > 0.0) {
        step.weight = 1.0 / curved;
        ++step_count_;
    }
}

double Pressing::press(std::vector<double>& places, double pressure, int most_steps) {
    constexpr double rest = 1e-3; // of the pressure: what is left to push
    pressure_ = pressure;
    step_count_ = 0;
    for (int done = 0; done < most_steps; ++done) {
        if (done % steps_between_looks == 0) {
            find_near(places);
            energy_ = energy(places, slope_);
        }
        if (dot(slope_, slope_) < rest * rest * pressure * pressure) {
            break;
        }
        if (!step(places)) {
            if (step_count_ == 0) {
                break;
            }
            step_count_ = 0; // once more, straight down
        }
    }
    find_near(places); // none that came to lie on another since the last look is passed over
    return energy(places, slope_) / pressure;
}

} // namespace loomwright::packing
