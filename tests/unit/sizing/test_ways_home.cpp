// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What comes home where several fuses feed one load, and where it can come home on several ways.
#include "../checks/checked.hpp"

#include "sizing/feed_ends.hpp"
#include "sizing/feeds.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <random>

using namespace loomwright;

namespace {

/// A car of a battery, fuses and these devices and paths, with wires of 10 mm2 but where said.
std::unique_ptr<Checked> homeward_car(std::string_view devices, std::string_view paths,
                                      std::string_view wires = "") {
    auto out =
        check_text(fmt::format("loomwright: 1\n"
                               "devices:\n"
                               "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
                               "  GND1: {{is: ground, body: chassis}}\n"
                               "  GND2: {{is: ground, body: chassis}}\n"
                               "{}"
                               "circuits:\n"
                               "  one:\n"
                               "    number: 1\n"
                               "    size: 10 mm2\n"
                               "    paths: [{}]\n"
                               "    wires: {{{}}}\n",
                               devices, paths, wires),
                   {}, true);
    INFO(out->text());
    REQUIRE(out->is_sized);
    return out;
}

const WireFeed& way_of(const Checked& car, std::string_view number) {
    return car.sizing.feeds[car.vehicle.find_wire(number).index()];
}

/// "F1 F2 40": what a wire is held against, with the amperes.
std::string held_against(const Checked& car, std::string_view number) {
    const FeedShare share = worst_share(car.sizing.design, way_of(car, number));
    std::string out;
    for (const DeviceId device : share.devices) {
        out += car.vehicle.device(device).name + " ";
    }
    return out + fmt::format("{}", share.rating_a);
}

/// "F1 F2 ": all whose current a wire takes home.
std::string taken_home(const Checked& car, std::string_view number) {
    std::string out;
    for (const DeviceId device : way_of(car, number).devices) {
        out += car.vehicle.device(device).name + " ";
    }
    return way_of(car, number).is_return ? out : "no return: " + out;
}

/// Adds the edges of all ways from `node` to `root` that meet no place twice.
void add_simple_ways(const std::vector<PieceEdge>& edges, int node, int root,
                     std::vector<bool>& met, std::vector<std::size_t>& way,
                     std::vector<bool>& on_one) {
    if (node == root) {
        for (const std::size_t edge : way) {
            on_one[edge] = true;
        }
        return;
    }
    met[static_cast<std::size_t>(node)] = true;
    for (std::size_t i = 0; i < edges.size(); ++i) {
        const bool is_here = edges[i].a == node || edges[i].b == node;
        const int far = edges[i].a == node ? edges[i].b : edges[i].a;
        if (is_here && !met[static_cast<std::size_t>(far)]) {
            way.push_back(i);
            add_simple_ways(edges, far, root, met, way, on_one);
            way.pop_back();
        }
    }
    met[static_cast<std::size_t>(node)] = false;
}

} // namespace

TEST_CASE("meshes towards a root: against trying every way, on 400 random pieces") {
    std::mt19937 random(20261126);
    int beside = 0; // edges that no way from a node takes
    int in_rings = 0;
    for (int round = 0; round < 400; ++round) {
        const int nodes = 2 + static_cast<int>(random() % 7);
        std::vector<PieceEdge> edges;
        for (int node = 1; node < nodes; ++node) {
            edges.push_back({static_cast<int>(random() % static_cast<unsigned>(node)), node});
        }
        for (auto more = random() % 5; more > 0; --more) {
            edges.push_back({static_cast<int>(random() % static_cast<unsigned>(nodes)),
                             static_cast<int>(random() % static_cast<unsigned>(nodes))});
        }
        std::ranges::shuffle(edges, random);
        const int root = static_cast<int>(random() % static_cast<unsigned>(nodes));
        const Meshes meshes = meshes_towards(root, edges);
        REQUIRE(meshes.first.find(root) == meshes.first.end());
        for (int node = 0; node < nodes; ++node) {
            std::vector<bool> expected(edges.size(), false);
            std::vector<bool> met(static_cast<std::size_t>(nodes), false);
            std::vector<std::size_t> way;
            add_simple_ways(edges, node, root, met, way, expected);
            std::vector<bool> found(edges.size(), false);
            const auto first = meshes.first.find(node);
            for (int mesh = first == meshes.first.end() ? -1 : first->second; mesh >= 0;
                 mesh = meshes.next[static_cast<std::size_t>(mesh)]) {
                const auto& here = meshes.edges[static_cast<std::size_t>(mesh)];
                in_rings += here.size() > 1 ? 1 : 0;
                for (const std::size_t edge : here) {
                    found[edge] = true;
                }
            }
            REQUIRE(found == expected);
            beside += static_cast<int>(std::ranges::count(expected, false));
        }
    }
    CHECK(beside > 1000);
    CHECK(in_rings > 100);
}

TEST_CASE("two fuses feed one load together: its ground is held against their sum as its feed is") {
    // 20 A + 20 A. 2.5 mm2 alone in 50 C air carries over 20 A and less than 40 A. Of another load
    // on the same stud, behind 15 A: one fault at a time, 40 A and not 55 A.
    const auto car = homeward_car("  F1: {is: fuse, rating: 20 A}\n"
                                  "  F2: {is: fuse, rating: 20 A}\n"
                                  "  F3: {is: fuse, rating: 15 A}\n"
                                  "  SP1: {is: splice}\n"
                                  "  ST1: {is: stud}\n"
                                  "  E1: {is: heater, draws: 10 A at 12 V}\n"
                                  "  E2: {is: heater, draws: 5 A at 12 V}\n",
                                  "G1 > F1 > SP1, G1 > F2 > SP1, SP1 > E1 > ST1 > GND1, "
                                  "G1 > F3 > E2 > ST1, G1.- > GND1",
                                  "1.6: {size: 2.5 mm2, length: 0.3 m}");
    CHECK(held_against(*car, "1.5") == "F1 F2 40"); // SP1 > E1
    CHECK(held_against(*car, "1.6") == "F1 F2 40"); // E1.- > ST1
    CHECK(held_against(*car, "1.7") == "F1 F2 40"); // ST1 > GND1
    CHECK(taken_home(*car, "1.7") == "F1 F2 F3 ");
    CHECK(taken_home(*car, "1.10") == "F3 ");        // E2.- > ST1
    CHECK(held_against(*car, "1.11") == "F1 F2 40"); // G1.- > GND1
    const Finding* finding = car->find(Rule::fuse_over_wire, "1.6");
    REQUIRE(finding != nullptr);
    CHECK(finding->message.starts_with("F1 and F2, 40 A together, do not protect 2.5 mm2"));
}

TEST_CASE("two fuses feed one load through a diode each: 30 A + 5 A, there and back") {
    const auto car =
        homeward_car("  F1: {is: fuse, rating: 30 A}\n"
                     "  F2: {is: fuse, rating: 5 A}\n"
                     "  V1: {is: diode}\n"
                     "  V2: {is: diode}\n"
                     "  SP1: {is: splice}\n"
                     "  E1: {is: heater, draws: 2 A at 12 V}\n",
                     "G1 > F1 > V1.a, V1.k > SP1, G1 > F2 > V2.a, V2.k > SP1, SP1 > E1 > GND1, "
                     "G1.- > GND1");
    CHECK(held_against(*car, "1.7") == "F1 F2 35"); // SP1 > E1
    CHECK(held_against(*car, "1.8") == "F1 F2 35"); // E1.- > GND1
}

TEST_CASE("a fuse in the way home lies in a row with those that feed the load together") {
    // 15 A + 15 A, and in the ground 20 A, which opens before them, or 40 A, which does not.
    const auto car = [](std::string_view home_fuse) {
        return homeward_car(fmt::format("  F1: {{is: fuse, rating: 15 A}}\n"
                                        "  F2: {{is: fuse, rating: 15 A}}\n"
                                        "  F3: {{is: fuse, rating: {}}}\n"
                                        "  SP1: {{is: splice}}\n"
                                        "  E1: {{is: heater, draws: 5 A at 12 V}}\n",
                                        home_fuse),
                            "G1 > F1 > SP1, G1 > F2 > SP1, SP1 > E1 > F3 > GND1, G1.- > GND1");
    };
    const auto small = car("20 A");
    const auto large = car("40 A");
    for (const char* number : {"1.6", "1.7"}) { // E1.- > F3.in, F3.out > GND1
        CAPTURE(std::string(number));
        CHECK(held_against(*small, number) == "F3 20");
        CHECK(held_against(*large, number) == "F1 F2 30");
    }
}

TEST_CASE("two batteries feed one load together: to each comes home what its own fuse passes") {
    // 20 A from G1 and 30 A from G2: 50 A come out of the load. By the ground of a battery the
    // largest device of the part of the car that it belongs to, 30 A.
    const auto car = homeward_car("  G2: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                                  "  F1: {is: fuse, rating: 20 A}\n"
                                  "  F2: {is: fuse, rating: 30 A}\n"
                                  "  ST1: {is: stud}\n"
                                  "  E1: {is: heater, draws: 5 A at 12 V}\n",
                                  "G1 > F1 > ST1, G2 > F2 > ST1, ST1 > E1 > GND1, G1.- > GND1, "
                                  "G2.- > GND1");
    CHECK(held_against(*car, "1.6") == "F1 F2 50"); // E1.- > GND1
    CHECK(way_of(*car, "1.7").rating_a == 30.0);    // G1.- > GND1
    CHECK(way_of(*car, "1.8").rating_a == 30.0);    // G2.- > GND1
}

TEST_CASE("ways home past a splice and past a plug: each is held against all that the load draws") {
    const auto car =
        homeward_car("  F1: {is: fuse, family: maxi-blade, rating: 40 A}\n"
                     "  F2: {is: fuse, rating: 10 A}\n"
                     "  SP2: {is: splice}\n"
                     "  X1: {is: connector, cavities: 2}\n"
                     "  M1: {is: motor, draws: 25 A at 12 V}\n"
                     "  M2: {is: motor, draws: 5 A at 12 V}\n",
                     "G1 > F1 > M1, M1.- > GND1, M1.- > SP2 > GND2, M1.- > X1.1 > GND2, "
                     "G1 > F2 > M2, M2.- > SP2, G1.- > GND1",
                     "1.4: {size: 0.75 mm2}, 1.5: {size: 0.75 mm2}, "
                     "1.6: {size: 0.75 mm2}, 1.7: {size: 0.75 mm2}");
    for (const char* number : {"1.3", "1.4", "1.5", "1.6", "1.7"}) {
        CAPTURE(std::string(number));
        CHECK(way_of(*car, number).is_return);
        CHECK(way_of(*car, number).rating_a == 40.0); // the larger of 40 A and 10 A
        // 0.75 mm2 carries less than 40 A in any air, 10 mm2 alone more.
        CHECK((car->find(Rule::fuse_over_wire, number) != nullptr) ==
              (std::string_view(number) != "1.3"));
    }
    // 1.10 M2.- > SP2 is a spur: what comes out of M1 has no way through it.
    CHECK(taken_home(*car, "1.10") == "F2 ");
}

TEST_CASE("two ways home with a fuse in each: each is held against its own, what they share not") {
    // Behind 30 A; 10 A in the one way, 15 A in the other. 1 mm2 alone in 50 C air carries more
    // than 10 A and less than 30 A.
    const auto car =
        homeward_car("  F1: {is: fuse, rating: 30 A}\n"
                     "  F2: {is: fuse, rating: 10 A}\n"
                     "  F3: {is: fuse, rating: 15 A}\n"
                     "  ST1: {is: stud}\n"
                     "  E1: {is: heater, draws: 5 A at 12 V}\n",
                     "G1 > F1 > E1 > ST1, ST1 > F2 > GND1, ST1 > F3 > GND2, G1.- > GND1",
                     "1.4: {size: 1 mm2, length: 0.3 m}");
    CHECK(held_against(*car, "1.3") == "F1 30"); // E1.- > ST1
    CHECK(held_against(*car, "1.4") == "F2 10"); // ST1 > F2.in
    CHECK(held_against(*car, "1.5") == "F2 10");
    CHECK(held_against(*car, "1.6") == "F3 15"); // ST1 > F3.in
    CHECK(held_against(*car, "1.7") == "F3 15");
    CHECK(car->find(Rule::fuse_over_wire, "1.4") == nullptr);
    // One way without: it takes 30 A, and the fuse of the other still keeps that to 10 A.
    const auto plain = homeward_car("  F1: {is: fuse, rating: 30 A}\n"
                                    "  F2: {is: fuse, rating: 10 A}\n"
                                    "  E1: {is: heater, draws: 5 A at 12 V}\n",
                                    "G1 > F1 > E1 > F2 > GND1, E1.- > GND2, G1.- > GND1");
    CHECK(held_against(*plain, "1.3") == "F2 10"); // E1.- > F2.in
    CHECK(held_against(*plain, "1.4") == "F2 10");
    CHECK(held_against(*plain, "1.5") == "F1 30"); // E1.- > GND2
}

TEST_CASE("ways home past diodes: all of them, and none against a diode") {
    // E1, behind 20 A, comes home past V1 by two ways and past V2 by one. E2, behind 5 A, joins
    // behind V1: it comes home by the two ways there, and not back through V1 to V2.
    const auto car =
        homeward_car("  F1: {is: fuse, rating: 20 A}\n"
                     "  F2: {is: fuse, rating: 5 A}\n"
                     "  V1: {is: diode}\n"
                     "  V2: {is: diode}\n"
                     "  ST1: {is: stud}\n"
                     "  SP1: {is: splice}\n"
                     "  E1: {is: heater, draws: 2 A at 12 V}\n"
                     "  E2: {is: heater, draws: 2 A at 12 V}\n",
                     "G1 > F1 > E1, E1.- > V1.a, V1.k > ST1 > GND1, ST1 > SP1 > GND2, "
                     "E1.- > V2.a, V2.k > GND2, G1 > F2 > E2, E2.- > ST1, G1.- > GND1");
    for (const char* number : {"1.3", "1.8", "1.9"}) { // E1.- > V1.a, E1.- > V2.a, V2.k > GND2
        CAPTURE(std::string(number));
        CHECK(taken_home(*car, number) == "F1 ");
    }
    for (const char* number : {"1.5", "1.6", "1.7"}) { // ST1 > GND1, ST1 > SP1, SP1 > GND2
        CAPTURE(std::string(number));
        CHECK(way_of(*car, number).is_return);
        CHECK(way_of(*car, number).devices.size() == 2);
        CHECK(way_of(*car, number).rating_a == 20.0);
    }
    CHECK(taken_home(*car, "1.4") == "F1 ");  // V1.k > ST1
    CHECK(taken_home(*car, "1.12") == "F2 "); // E2.- > ST1
}

TEST_CASE("a wire past a splice beside the case of a load: for the day its mounting lets go") {
    const auto car = homeward_car("  F1: {is: fuse, rating: 30 A}\n"
                                  "  SP1: {is: splice}\n"
                                  "  M1: {is: motor, draws: 15 A at 12 V, case: chassis}\n",
                                  "G1 > F1 > M1, M1.- > SP1 > GND2, G1.- > GND1");
    CHECK(held_against(*car, "1.3") == "F1 30"); // M1.- > SP1
    CHECK(held_against(*car, "1.4") == "F1 30"); // SP1 > GND2
}

TEST_CASE("loads that share a stud do not come home by one another's second ways") {
    // E1 behind 30 A lands on GND1 alone; E2 behind 5 A has a wire there and one to GND2.
    const auto car = homeward_car("  F1: {is: fuse, rating: 30 A}\n"
                                  "  F2: {is: fuse, rating: 5 A}\n"
                                  "  E1: {is: heater, draws: 5 A at 12 V}\n"
                                  "  E2: {is: heater, draws: 2 A at 12 V}\n",
                                  "G1 > F1 > E1 > GND1, G1 > F2 > E2 > GND1, E2.- > GND2, "
                                  "G1.- > GND1");
    CHECK(taken_home(*car, "1.3") == "F1 ");
    CHECK(taken_home(*car, "1.6") == "F2 "); // E2.- > GND1
    CHECK(taken_home(*car, "1.7") == "F2 "); // E2.- > GND2
}
