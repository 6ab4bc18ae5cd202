// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Wires that warm up, with our temperature after each of some times, as one JSON line a case, for
// compare_warming_with_ngspice.py.
#include "solve/warming.hpp"

#include <fmt/format.h>

#include <array>

using namespace loomwright::solve;

int main() {
    struct Case {
        double area_mm2, conductor_mm, outside_mm, amps, start_c, air_c;
        bool is_covered;
    };
    constexpr std::array cases{Case{0.5, 0.95, 1.6, 14.0, 40.0, 40.0, false},
                               Case{2.5, 2.1, 3.0, 45.0, 20.0, 20.0, false},
                               Case{2.5, 2.1, 3.0, 45.0, 60.0, 60.0, true},
                               Case{25.0, 7.2, 9.0, 250.0, 50.0, 50.0, false},
                               Case{50.0, 10.3, 13.0, 600.0, 90.0, 90.0, true},
                               Case{1.5, 1.7, 2.4, 8.0, 150.0, 30.0, false}};
    constexpr std::array seconds{0.3, 3.0, 10.0, 30.0, 100.0, 600.0};
    for (const Case& one : cases) {
        const WireBody body{.r20_ohm_per_m = 17.241e-3 / one.area_mm2,
                            .conductor_diameter_m = one.conductor_mm * 1e-3,
                            .outside_diameter_m = one.outside_mm * 1e-3,
                            .insulation_w_per_m_k = 0.17};
        std::optional<Cover> cover;
        if (one.is_covered) {
            cover =
                Cover{.gap_m = 1e-3, .wall_m = 1.2e-3, .wall_w_per_m_k = 0.05, .emissivity = 0.1};
        }
        const Skin skin(body.outside_diameter_m, body.emissivity, cover);
        const double held = copper_j_per_m_k(one.area_mm2 * 1e-6);
        const Warming warming(body, skin, held, one.air_c);
        fmt::print(R"({{"r20": {}, "held": {}, "inside": {}, "outside_m": {}, "emissivity": {}, )"
                   R"("amps": {}, "start": {}, "air": {}, "answers": [)",
                   body.r20_ohm_per_m, held,
                   insulation_k_m_per_w(body) +
                       skin.through_cover_k_m_per_w(0.0) * (one.is_covered ? 1.0 : 0.0),
                   skin.outside_diameter_m(), one.is_covered ? 0.1 : 0.9, one.amps, one.start_c,
                   one.air_c);
        for (std::size_t i = 0; i < seconds.size(); ++i) {
            fmt::print("{}[{}, {}]", i == 0 ? "" : ", ", seconds[i],
                       warming.temperature_after_c(one.amps, one.start_c, seconds[i]));
        }
        fmt::print("]}}\n");
    }
    return 0;
}
