// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <string>
#include <vector>

namespace loomwright {

/// Large looms and every example are a test of their own (LOOMWRIGHT_LARGE_LOOMS): under sanitizers
/// they take minutes.
inline bool with_large_looms() {
    return std::getenv("LOOMWRIGHT_LARGE_LOOMS") != nullptr;
}

/// The examples whose drawings are looked at.
inline std::vector<std::string> examples_to_draw() {
    if (!with_large_looms()) {
        return {"relay-fan", "split-lights"};
    }
    return {"marlow", "marlow-as-found", "relay-fan", "split-lights", "truck-body", "six-volt"};
}

/// Sum of the lengths of a line's straight parts.
inline double length_of(const std::vector<draw::Spot>& line) {
    double out = 0.0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        out += std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
    }
    return out;
}

/// Pairs of straight parts of two lines that cross inside both. By the parameters of both lines at
/// their common point (Cramer's rule), so on another way than what is tested decides it.
inline std::size_t crossings(const std::vector<std::vector<draw::Spot>>& lines) {
    struct Part {
        draw::Spot a;
        draw::Spot b;
    };
    std::vector<Part> parts;
    for (const std::vector<draw::Spot>& line : lines) {
        for (std::size_t i = 1; i < line.size(); ++i) {
            parts.push_back({line[i - 1], line[i]});
        }
    }
    std::size_t out = 0;
    constexpr double inside = 1e-6;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        for (std::size_t k = i + 1; k < parts.size(); ++k) {
            const Part& p = parts[i];
            const Part& q = parts[k];
            const draw::Spot u{p.b.x - p.a.x, p.b.y - p.a.y};
            const draw::Spot v{q.b.x - q.a.x, q.b.y - q.a.y};
            const double determinant = u.x * v.y - u.y * v.x;
            if (std::abs(determinant) < 1e-9) {
                continue;
            }
            const draw::Spot w{q.a.x - p.a.x, q.a.y - p.a.y};
            const double s = (w.x * v.y - w.y * v.x) / determinant;
            const double t = (w.x * u.y - w.y * u.x) / determinant;
            const auto is_inside = [](double part) { return part > inside && part < 1.0 - inside; };
            out += is_inside(s) && is_inside(t) ? 1 : 0;
        }
    }
    return out;
}

} // namespace loomwright
