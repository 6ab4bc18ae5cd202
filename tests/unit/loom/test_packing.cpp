// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Packing constants of equal circles: published best-known ratios (tests/reference/
// circle-packing.source). Unlike circles: a second optimiser
// (tests/reference/packing-mixed.source), and bounds that hold for any packing.
#include "loom/packing.hpp"

#include "tables/reference.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <sstream>

using namespace loomwright;

namespace {

/// Checks from the centres alone that nothing overlaps and nothing is outside, to 1e-9 of the
/// radius.
void check_is_packing(const std::vector<double>& radii, const Packing& packing) {
    REQUIRE(packing.centres.size() == radii.size());
    const double slack = 1e-9 * packing.radius_m;
    double worst_overlap = 0.0;
    double worst_outside = 0.0;
    for (std::size_t i = 0; i < radii.size(); ++i) {
        const SectionSpot& a = packing.centres[i];
        worst_outside =
            std::max(worst_outside, std::hypot(a.x_m, a.y_m) + radii[i] - packing.radius_m);
        for (std::size_t j = 0; j < i; ++j) {
            const SectionSpot& b = packing.centres[j];
            worst_overlap = std::max(worst_overlap, radii[i] + radii[j] -
                                                        std::hypot(a.x_m - b.x_m, a.y_m - b.y_m));
        }
    }
    CHECK(worst_overlap <= slack);
    CHECK(worst_outside <= slack);
}

/// No packing at all is smaller: the area, and the widest two side by side.
double bound(std::vector<double> radii) {
    std::ranges::sort(radii, std::ranges::greater());
    const double squares = std::inner_product(radii.begin(), radii.end(), radii.begin(), 0.0);
    return std::max(std::sqrt(squares), radii.size() > 1 ? radii[0] + radii[1] : radii[0]);
}

std::vector<double> random_radii(std::minstd_rand& engine, std::size_t count) {
    std::vector<double> out;
    for (std::size_t i = 0; i < count; ++i) {
        out.push_back(0.6e-3 + 5e-3 * std::pow(static_cast<double>(engine() % 1000U) / 1000.0, 3));
    }
    return out;
}

} // namespace

TEST_CASE("1 to 20 equal circles come within 1.5 % of the published best") {
    const auto table = reference_rows("circle-packing");
    REQUIRE(table.size() == 20);
    for (const auto& row : table) {
        const auto count = static_cast<std::size_t>(std::stoi(row.at("n")));
        const double best = std::stod(row.at("ratio_R_over_r"));
        CAPTURE(count);
        for (const PackingCare care : {PackingCare::rough, PackingCare::quick, PackingCare::full}) {
            // A radius of a real wire, so that the scale counts too.
            const std::vector<double> radii(count, 0.95e-3);
            const Packing packing = pack_circles(radii, care);
            check_is_packing(radii, packing);
            const double ratio = packing.radius_m / 0.95e-3;
            CHECK(ratio <= 1.015 * best);        // asked for: 3 %
            CHECK(ratio >= best * (1.0 - 1e-6)); // figures of the table: 7 digits
        }
    }
}

TEST_CASE("unlike circles are a packing, and never smaller than any packing can be") {
    std::minstd_rand engine(11);
    for (std::size_t count = 1; count <= 60; count += count < 12 ? 1 : 7) {
        for (const PackingCare care : {PackingCare::rough, PackingCare::quick, PackingCare::full}) {
            const std::vector<double> radii = random_radii(engine, count);
            const Packing packing = pack_circles(radii, care);
            CAPTURE(count);
            check_is_packing(radii, packing);
            CHECK(packing.radius_m >= bound(radii) * (1.0 - 1e-9));
            // Not a loose heap either: circles of one size fill 0.65 and more of theirs.
            CHECK(packing.radius_m <= bound(radii) * 1.35);
        }
    }
}

TEST_CASE("unlike circles against a second optimiser") {
    const auto table = reference_rows("packing-mixed");
    REQUIRE(table.size() == 24);
    double sum = 0.0;
    for (const auto& row : table) {
        std::vector<double> radii;
        std::istringstream text(row.at("radii_mm"));
        for (double radius = 0.0; text >> radius;) {
            radii.push_back(radius);
        }
        const double share = pack_circles(radii).radius_m / std::stod(row.at("radius_mm"));
        CAPTURE(row.at("radii_mm"));
        CHECK(share <= 1.03);
        sum += share;
    }
    CHECK(sum / static_cast<double>(table.size()) <= 1.005);
}

TEST_CASE("what can be worked out by hand") {
    // Descartes: a third circle in the gap of two unit circles side by side in a circle of 2 has
    // the curvature -1/2 + 1 + 1 + 2 sqrt(1 - 1/2 - 1/2) = 3/2, so up to 2/3 it adds nothing.
    const std::vector<double> three{1.0, 1.0, 0.66};
    CHECK(pack_circles(three).radius_m == doctest::Approx(2.0).epsilon(0.002));
    // A thin wire between seven of one size is in the gap of three: r <= 2/sqrt(3) - 1.
    std::vector<double> eight(7, 1.0);
    eight.push_back(0.15);
    CHECK(pack_circles(eight).radius_m == doctest::Approx(3.0).epsilon(0.002));
    CHECK(pack_circles({}).radius_m == 0.0);
}

TEST_CASE("many, and very unlike, circles") {
    std::minstd_rand engine(3);
    const std::vector<double> many = random_radii(engine, 700);
    check_is_packing(many, pack_circles(many));
    std::vector<double> unlike{1.0};
    for (int i = 0; i < 30; ++i) {
        unlike.push_back(i % 2 == 0 ? 1e-3 : 0.3);
    }
    check_is_packing(unlike, pack_circles(unlike));
    std::vector<double> tiny(unlike);
    for (double& radius : tiny) {
        radius *= 1e-200;
    }
    check_is_packing(tiny, pack_circles(tiny));
}

TEST_CASE("the same radii give the same packing, to the last bit") {
    std::minstd_rand engine(5);
    const std::vector<double> radii = random_radii(engine, 17);
    const Packing once = pack_circles(radii);
    const Packing again = pack_circles(radii);
    CHECK(once.radius_m == again.radius_m);
    CHECK(std::ranges::equal(once.centres, again.centres, [](SectionSpot a, SectionSpot b) {
        return a.x_m == b.x_m && a.y_m == b.y_m;
    }));
}
