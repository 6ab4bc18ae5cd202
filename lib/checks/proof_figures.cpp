// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/proof_figures.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <cmath>

namespace loomwright {
namespace {

std::string verdict(bool holds, double value, double limit) {
    if (!(limit > 0.0)) {
        return holds ? "holds, nothing to spare" : "does not hold, nothing is allowed";
    }
    const double share = value / limit;
    return holds ? fmt::format("holds, {} % to spare", figure((1.0 - share) * 100.0, 3))
                 : fmt::format("does not hold, {} % over", figure((share - 1.0) * 100.0, 3));
}

} // namespace

std::string figure(double value, int digits) {
    return show_number(value, digits);
}

std::string exact_length(Metres length) {
    return figure(length.value(), 4) + " m";
}

std::string within(double value, double limit) {
    return verdict(value <= limit, value, limit);
}

std::string under(double value, double limit) {
    return verdict(value < limit, value, limit);
}

std::string within(Celsius value, Celsius limit) {
    const double left = (limit - value).value();
    return left >= 0.0 ? fmt::format("holds, {} K to spare", figure(left, 4))
                       : fmt::format("does not hold, {} K over", figure(-left, 4));
}

std::string time_on_side(const std::vector<BandPoint>& side, double amps) {
    for (std::size_t i = 1; i < side.size(); ++i) {
        const BandPoint& low = side[i - 1];
        const BandPoint& high = side[i];
        if (amps <= high.amps) {
            return fmt::format("{0} x ({1} / {2})^(ln({3} / {0}) / ln({4} / {2}))",
                               figure(low.seconds), figure(amps), figure(low.amps),
                               figure(high.seconds), figure(high.amps));
        }
    }
    return fmt::format("{} x ({} / {})^2", figure(side.back().seconds), figure(side.back().amps),
                       figure(amps));
}

} // namespace loomwright
