// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Does a protective device protect a wire (docs/method/protection.md)?
//
//   overload        In <= Iz and I2 <= 1.45 Iz                      IEC 60364-4-43, 433.1
//                   In rating, Iz ampacity in place, I2 = m In the current that is sure to open it
//                   (m = 1.35 for blade fuses, ISO 8820-3)
//   short circuit   k^2 S^2 >= I^2 t, t <= 5 s                      IEC 60364-5-54, IEC 60949
//                   I^2 t the most that the slow side of the time-current band lets through at any
//                   current that opens it within 5 s; k from the insulation's class to its
//                   short-time limit
//   in between      gates slower than 5 s: c S dT/dt = I^2 r(T) - f^2 Q(T) from the class limit,
//   peak
//                   under the short-time limit; Q by the heat balance, f the bundle's share
//
// The band itself: lib/sizing/time_current.hpp.
#include "sizing/protect.hpp"

#include "sizing/stock.hpp"
#include "solve/heat.hpp"
#include "solve/warming_shelf.hpp"
#include "study/shelves.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <memory>

namespace loomwright {
namespace {

/// The heat of a conductor over the slow places of a band. What it stands for good needs no clock.
class SlowHeat {
public:
    SlowHeat(const StudyInput& input, const Conductor& conductor, const Insulation& insulation,
             const Ampacity& ampacity)
        : share_(ampacity.free_air_a > 0.0 ? ampacity.amps / ampacity.free_air_a : 0.0),
          copper_mm2_(conductor.copper_area.value() * 1e6), ampacity_(ampacity),
          body_(wire_body(input.catalogue, conductor, insulation)),
          shelf_(shelf_of<solve::WarmingShelf>(input)), limit_c_(insulation.short_time.value()) {}

    [[nodiscard]] bool stands(double amps, double seconds) {
        if (!for_good_a_) {
            for_good_a_ = share_ * solve::free_air_ampacity_a(body_, limit_c_, ampacity_.air_c);
        }
        return amps <= *for_good_a_ || peak_c(amps, seconds) <= limit_c_;
    }
    [[nodiscard]] double peak_c(double amps, double seconds) {
        if (!warming_) {
            warming_ =
                solve::find_warming(shelf_, body_, std::nullopt,
                                    solve::copper_j_per_m_k(copper_mm2_ * 1e-6), ampacity_.air_c);
        }
        // As temperature_after.
        return std::min(solve::runaway_c,
                        warming_->temperature_after_c(amps / share_, ampacity_.limit_c,
                                                      seconds * share_ * share_));
    }

private:
    double share_;
    double copper_mm2_;
    const Ampacity& ampacity_;
    solve::WireBody body_;
    solve::WarmingShelf* shelf_; ///< nullptr: none is shared
    double limit_c_;
    std::optional<double> for_good_a_;
    std::shared_ptr<const solve::Warming> warming_;
};

bool stands_slow_gates(const StudyInput& input, const DeviceBand& band, const Conductor& conductor,
                       const Insulation& insulation, const Ampacity& ampacity) {
    const double withstand = withstand_a2s(conductor, insulation);
    SlowHeat heat(input, conductor, insulation, ampacity);
    return std::ranges::all_of(band.slow_gates, [&](const SlowGate& gate) {
        const double amps = gate.multiple * band.rating_a;
        return amps * amps * gate.seconds <= withstand || heat.stands(amps, gate.seconds);
    });
}

/// Verdicts of stands_slow_gates by all that they go by: the same wire in the same air behind the
/// same device is asked for in every round, by the checks too, and in every car that is alike.
class SlowVerdicts {
public:
    [[nodiscard]] bool of(const StudyInput& input, const DeviceBand& band,
                          const Conductor& conductor, const Insulation& insulation,
                          const Ampacity& ampacity) {
        const solve::WireBody body = wire_body(input.catalogue, conductor, insulation);
        std::vector<double> figures{body.r20_ohm_per_m,
                                    body.conductor_diameter_m,
                                    body.outside_diameter_m,
                                    body.insulation_w_per_m_k,
                                    body.emissivity,
                                    conductor.copper_area.value(),
                                    insulation.k_a_sqrt_s_per_mm2,
                                    insulation.short_time.value(),
                                    ampacity.amps,
                                    ampacity.free_air_a,
                                    ampacity.air_c,
                                    ampacity.limit_c,
                                    band.rating_a};
        figures.reserve(figures.size() + 2 * band.slow_gates.size());
        for (const SlowGate& gate : band.slow_gates) {
            figures.insert(figures.end(), {gate.multiple, gate.seconds});
        }
        std::vector<std::int64_t> key(figures.size()); // whole numbers are hashed sooner
        std::ranges::transform(figures, key.begin(),
                               [](double x) { return std::bit_cast<std::int64_t>(x); });
        return *known_.of(key, key.size(), [&] {
            return std::make_shared<const bool>(
                stands_slow_gates(input, band, conductor, insulation, ampacity));
        });
    }

private:
    static constexpr std::size_t most_numbers = 2'000'000; ///< of the keys, 16 MB

    Shelf<std::vector<std::int64_t>, const bool> known_{most_numbers};
};

} // namespace

double withstand_a2s(const Conductor& conductor, const Insulation& insulation) {
    return std::pow(insulation.k_a_sqrt_s_per_mm2 * conductor.copper_area.value() * 1e6, 2);
}

double ampacity_behind(const FuseFamily& family, double rating_a) {
    const auto sure = family.sure_to_open();
    return sure ? std::max(rating_a, sure->multiple * rating_a / conventional_factor) : rating_a;
}

double adiabatic_end_c(const Catalogue& catalogue, double start_c, double a2s, double copper_mm2) {
    const double k = catalogue.default_value("adiabatic-copper").value;
    const double beta = catalogue.default_value("adiabatic-copper-beta").value;
    return (beta + start_c) * std::exp(a2s / std::pow(k * copper_mm2, 2)) - beta;
}

solve::Warming conductor_warming(const solve::WireBody& body, double copper_area_mm2,
                                 double air_c) {
    return {body, solve::Skin(body.outside_diameter_m, body.emissivity),
            solve::copper_j_per_m_k(copper_area_mm2 * 1e-6), air_c};
}

double temperature_after(const solve::WireBody& body, double copper_area_mm2, double bundle_factor,
                         double amps, double seconds, double start_c, double air_c) {
    // C dT/dt = I^2 r - f^2 Q is what the wire alone does at I / f in a time f^2 as long.
    const double share = bundle_factor;
    return std::min(solve::runaway_c,
                    conductor_warming(body, copper_area_mm2, air_c)
                        .temperature_after_c(amps / share, start_c, seconds * share * share));
}

ProtectionProof prove_protection(const StudyInput& input, const DeviceBand& band,
                                 const Conductor& conductor, const Insulation& insulation,
                                 const Ampacity& ampacity) {
    ProtectionProof proof;
    proof.rating_a = band.rating_a;
    proof.ampacity_a = ampacity.amps;
    proof.has_band = band.is_known();
    proof.sure_multiple = band.sure_multiple;
    proof.sure_a = band.sure_multiple * band.rating_a;
    proof.needed_ampacity_a = std::max(band.rating_a, proof.sure_a / conventional_factor);
    proof.carries = band.rating_a <= ampacity.amps;
    proof.opens_in_time = proof.has_band && proof.sure_a <= conventional_factor * ampacity.amps;
    proof.k = insulation.k_a_sqrt_s_per_mm2;
    proof.copper_mm2 = conductor.copper_area.value() * 1e6;
    proof.withstand_a2s = withstand_a2s(conductor, insulation);
    proof.let_through = band.let_through;
    proof.stands_short = proof.let_through && proof.let_through->a2s <= proof.withstand_a2s;
    proof.short_time_c = insulation.short_time.value();
    proof.stands_slow_gates = true;
    SlowHeat heat(input, conductor, insulation, ampacity);
    for (const SlowGate& gate : band.slow_gates) {
        const double peak = heat.peak_c(gate.multiple * band.rating_a, gate.seconds);
        proof.stands_slow_gates = proof.stands_slow_gates && peak <= proof.short_time_c;
        proof.slow_gates.push_back(
            {gate.multiple, gate.multiple * band.rating_a, gate.seconds, peak, gate.is_between});
    }
    return proof;
}

bool is_protected(const StudyInput& input, const DeviceBand& band, const Conductor& conductor,
                  const Insulation& insulation, const Ampacity& ampacity) {
    if (band.rating_a > ampacity.amps) {
        return false;
    }
    if (!band.is_known()) {
        return true; // nothing more can be said of a family without opening times
    }
    if (band.sure_multiple * band.rating_a > conventional_factor * ampacity.amps ||
        !band.let_through || band.let_through->a2s > withstand_a2s(conductor, insulation)) {
        return false;
    }
    auto* const verdicts = shelf_of<SlowVerdicts>(input);
    return verdicts != nullptr ? verdicts->of(input, band, conductor, insulation, ampacity)
                               : stands_slow_gates(input, band, conductor, insulation, ampacity);
}

const Conductor* link_conductor(const StudyInput& input, DeviceId device) {
    const auto* protection = input.vehicle.device(device).as<Protection>();
    return protection == nullptr || !protection->link
               ? nullptr
               : input.catalogue.find_conductor(*protection->link);
}

const FuseFamily* family_of(const StudyInput& input, DeviceId device) {
    return input.catalogue.find_fuse_family(input.vehicle, device);
}

BreakingCapacity breaking_capacity_of(const StudyInput& input, const Design& design,
                                      DeviceId device) {
    const auto& protection = *input.vehicle.device(device).as<Protection>();
    if (protection.breaking) {
        return {protection.breaking, "the device's own breaking capacity, the vehicle file"};
    }
    const FuseFamily* family = family_of(input, device);
    if (family == nullptr) {
        return {};
    }
    const Amps rating = design.ratings[device.index()].value_or(Amps(0.0));
    const StockItem* item = find_stock_fuse(input.vehicle, input.catalogue, family->name, rating);
    if (item != nullptr && item->breaking) {
        return {item->breaking, "the shop's stock, the vehicle file"};
    }
    if (!family->breaking_capacity) {
        return {};
    }
    return {family->breaking_capacity,
            fmt::format("tables fuses, {}: {}", family->name, family->breaking_origin.source)};
}

} // namespace loomwright
