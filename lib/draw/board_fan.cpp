// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A branch whose lines all point into an angle of less than half a turn stays in the cone of that
// angle from where it begins. The cones of branches that begin at one node have angles beside each
// other, and a cone that begins inside another with the same or a smaller angle is inside it. So no
// two lines cross, whatever their lengths.
#include "draw/board_fan.hpp"

#include <cmath>
#include <map>
#include <numbers>

namespace loomwright::draw {
namespace {

struct Cone {
    Spot at;
    double from = 0.0; ///< angle, what of it is not given away yet
    double to = 0.0;
    double ends = 1.0; ///< loose ends behind it, of what is not given away yet
};

} // namespace

std::vector<std::vector<Spot>> fan_out(const BoardPiece& piece, const std::vector<BoardRun>& runs) {
    // Steps are in an order in which each begins where one before it ended.
    std::map<int, double> ends;
    for (std::size_t i = piece.steps.size(); i-- > 0;) {
        const BoardStep& step = piece.steps[i];
        const double behind = step.leaving == 0 ? 1.0 : ends[step.far];
        ends[step.far] = behind;
        ends[step.near] += behind;
    }
    constexpr double half = 0.49 * std::numbers::pi;
    std::map<int, Cone> cones;
    cones[piece.root] = {{0.0, 0.0}, -half, half, ends[piece.root]};
    std::vector<std::vector<Spot>> out;
    for (const BoardStep& step : piece.steps) {
        Cone& near = cones[step.near];
        const double share = (near.to - near.from) * ends[step.far] / near.ends;
        const double angle = near.from + 0.5 * share;
        const Spot end = near.at + Spot{runs[step.run].length * std::cos(angle),
                                        runs[step.run].length * std::sin(angle)};
        out.push_back({near.at, end});
        cones[step.far] = {end, near.from, near.from + share, ends[step.far]};
        near.from += share;
        near.ends -= ends[step.far];
    }
    return out;
}

} // namespace loomwright::draw
