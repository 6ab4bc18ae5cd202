// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/opening_curves.hpp"

#include "sizing/device_bands.hpp"

namespace loomwright {
namespace {

std::vector<OpeningPoint> points_of(const std::vector<BandPoint>& side) {
    std::vector<OpeningPoint> out;
    out.reserve(side.size());
    for (const BandPoint& point : side) {
        out.push_back({point.amps, point.seconds});
    }
    return out;
}

} // namespace

std::vector<OpeningCurve> opening_curves(const StudyInput& input, const Design& design) {
    std::vector<OpeningCurve> out(input.vehicle.devices.size());
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto* protection = input.vehicle.devices[i].as<Protection>();
        if (protection != nullptr) {
            const double rating_a = design.ratings[i].value_or(Amps(0.0)).value();
            const TimeCurrentBand band = band_in_place(input, DeviceId(i), rating_a);
            // A breaker that does not say its type is taken to close again: the worst for its
            // wires.
            const bool closes_again =
                protection->kind == ProtectionKind::breaker &&
                protection->reset.value_or(BreakerReset::by_itself) == BreakerReset::by_itself;
            out[i] = OpeningCurve(points_of(band.shortest), points_of(band.longest), closes_again);
        }
    }
    return out;
}

} // namespace loomwright
