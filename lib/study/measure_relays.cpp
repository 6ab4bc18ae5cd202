// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The search for sets follows slopes, and a relay has none: until its coil lets go, or does not
// pull in, what it switches knows nothing of a bad joint on the coil's way. So every joint is also
// tried as it fits alone, and open; where something then stands otherwise than predicted, it is
// fitted from there. Where the readings say no more than that the relay is out, the least
// resistance that does as well is found by halving the way, in logarithms.
#include "study/measure_relays.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double open_joint_ohm = 1e7;

bool is_turned(const TrueFit& fit, std::span<const ChangedState> predicted) {
    for (std::size_t s = 0; s < predicted.size(); ++s) {
        if (fit.is_solved && predicted[s].is_solved && fit.states[s].stand != predicted[s].stand) {
            return true;
        }
    }
    return false;
}

} // namespace

std::vector<TrueFit> joints_that_turn(const TrueFitter& fitter,
                                      std::span<const ChangedState> predicted,
                                      const Response& response,
                                      const std::vector<SuspectClass>& classes,
                                      const std::vector<SetFit>& alone) {
    std::vector<TrueFit> out;
    for (const SuspectClass& one : classes) {
        const std::size_t suspect = one.members.front();
        if (response.suspects[suspect].kind != Suspect::Kind::joint) {
            continue;
        }
        const auto fitted = std::ranges::find_if(
            alone, [suspect](const SetFit& fit) { return fit.set.front() == suspect; });
        const double as_fitted = fitted == alone.end() ? 0.0 : fitted->value.front();
        TrueFit best;
        best.chi_square = HUGE_VAL;
        for (const double ohm : {as_fitted, open_joint_ohm}) {
            const SetFit start{.set = {suspect}, .value = {ohm}};
            if (!is_turned(fitter.at_values(start.set, start.value), predicted)) {
                continue;
            }
            TrueFit found = fitter.refine(start);
            if (found.is_solved && found.chi_square < best.chi_square) {
                best = std::move(found);
            }
        }
        if (best.is_solved) {
            if (best.fit.value.front() >= open_joint_ohm) {
                best.fit.is_open.front() = 1;
            }
            out.push_back(std::move(best));
        }
    }
    return out;
}

} // namespace loomwright
