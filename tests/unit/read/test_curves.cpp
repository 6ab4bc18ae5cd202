// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// Curves of the vehicle file: what is read, and how a fault in one is told.
#include "support.hpp"

using namespace loomwright;

namespace {

const char* const sheet = R"(loomwright: 1
devices:
  F1: {is: fuse, family: bolt-in, rating: 60 A}
  B1: {is: breaker, rating: 20 A, type: III}
  B2: {is: breaker, rating: 20 A}
curves:
  bolts:
    family: bolt-in
    ratings: [30 A, 140 A]
    air: 25 C
    derating: 0.3 %
    source: "data sheet, page 3"
    gates:
      - {at: 110 %, shortest: 4 h}
      - {at: 200 %, shortest: 1 s, longest: 15 s}
  breaker: {devices: B1, source: a sheet, gates: [{at: 135 %, longest: 0.5 h}]}
)";

} // namespace

TEST_CASE("curves are read with their owners, gates and source") {
    const ReadCar car(sheet);
    CHECK(car.text().empty());
    REQUIRE(car.car.curves.size() == 2);
    const FuseCurve& bolts = car.car.curves[0];
    CHECK(bolts.family == "bolt-in");
    CHECK(bolts.least == Amps(30.0));
    CHECK(bolts.most == Amps(140.0));
    CHECK(bolts.air.value() == Celsius(25.0));
    CHECK(bolts.derating_per_k.value() == doctest::Approx(0.003).scale(0.0));
    CHECK(bolts.source == "data sheet, page 3");
    REQUIRE(bolts.gates.size() == 2);
    CHECK(bolts.gates[0].multiple == doctest::Approx(1.1));
    CHECK(bolts.gates[0].shortest.value() == Seconds(14400.0));
    CHECK_FALSE(bolts.gates[0].longest.has_value());
    CHECK(bolts.gates[1].longest.value() == Seconds(15.0));
    const FuseCurve& breaker = car.car.curves[1];
    CHECK(breaker.family.empty());
    CHECK(breaker.devices == std::vector{car.car.find_device("B1")});
    CHECK(breaker.gates[0].longest.value() == Seconds(1800.0));
}

TEST_CASE("a breaker says its type, or does not") {
    const ReadCar car(sheet);
    const auto reset = [&](const char* name) {
        return car.car.device(car.car.find_device(name)).as<Protection>()->reset;
    };
    CHECK(reset("B1").value() == BreakerReset::by_hand);
    CHECK(breaker_type_name(*reset("B1")) == "III");
    CHECK_FALSE(reset("B2").has_value());
    CHECK(breaker_type_name(BreakerReset::by_itself) == "I");
    CHECK(breaker_type_name(BreakerReset::when_power_off) == "II");
}

TEST_CASE("a curve goes before the table, for its ratings or its device") {
    ReadCar car(sheet);
    car.catalogue.take_curves(car.car);
    const FuseFamily& bolts = *car.catalogue.find_fuse_family("bolt-in");
    REQUIRE(bolts.gates_of(Amps(60.0)).size() == 2);
    CHECK(bolts.gates_of(Amps(20.0)).empty());
    CHECK(bolts.gates_of(Amps(60.0)).front().air == Celsius(25.0));
    CHECK(bolts.derating_per_k == doctest::Approx(0.003).scale(0.0));
    CHECK(bolts.opening_per_k == doctest::Approx(0.003).scale(0.0));
    REQUIRE(bolts.sure_to_open().has_value());
    CHECK(bolts.sure_to_open()->multiple == doctest::Approx(2.0));
    // The breaker B1 alone; B2 and the family stay as tabled.
    const auto family = [&](const char* name) {
        return car.catalogue.find_fuse_family(car.car, car.car.find_device(name));
    };
    CHECK(family("B1")->gates_of(Amps(20.0)).size() == 1);
    CHECK(family("B2") == car.catalogue.find_fuse_family("breaker"));
    CHECK(family("B2")->gates_of(Amps(20.0)).size() == 3);
    CHECK(family("F1") == &bolts);
}

TEST_CASE("a curve for some ratings leaves the table's others") {
    ReadCar car(R"(loomwright: 1
curves:
  slow-blades:
    {family: blade, ratings: [20 A, 30 A], source: a sheet, gates: [{at: 200 %, longest: 9 s}]}
)");
    CHECK(car.text().empty());
    car.catalogue.take_curves(car.car);
    const FuseFamily& blade = *car.catalogue.find_fuse_family("blade");
    CHECK(blade.gates_of(Amps(25.0)).size() == 1);
    CHECK(blade.gates_of(Amps(10.0)).size() == 5);
    // What holds for every rating is the slowest: 9 s of the curve, not 5 s of the table.
    double longest = 0.0;
    for (const FuseGate& gate : blade.gates) {
        if (gate.multiple == doctest::Approx(2.0)) {
            longest = gate.longest.value().value();
        }
    }
    CHECK(longest == doctest::Approx(9.0));
}

TEST_CASE("a curve for all ratings of a range stands in the place of the table's gates") {
    // The one range of mini-blades in the table, 2 to 30 A, has its longest times at 135 % (600 s),
    // 200 % (5 s), 350 % and 600 %, and shortest ones too: none of them is left.
    ReadCar car(R"(loomwright: 1
curves:
  sheet:
    {family: mini-blade, ratings: [2 A, 30 A], source: a sheet,
     gates: [{at: 120 %, longest: 30 min}, {at: 200 %, longest: 2 s}]}
)");
    CHECK(car.text().empty());
    const FuseFamily& mini = *car.catalogue.find_fuse_family("mini-blade");
    REQUIRE(mini.gates.size() > 2); // of the table
    car.catalogue.take_curves(car.car);
    REQUIRE(mini.gates.size() == 2);
    CHECK(mini.gates[0].multiple == doctest::Approx(1.2));
    CHECK(mini.gates[0].longest.value() == Seconds(1800.0));
    CHECK(mini.gates[1].multiple == doctest::Approx(2.0));
    CHECK(mini.gates[1].longest.value() == Seconds(2.0));
    for (const FuseGate& gate : mini.gates) {
        CHECK_FALSE(gate.shortest.has_value());
        CHECK(gate.origin.source == "a sheet (the vehicle file)");
    }
    REQUIRE(mini.sure_to_open().has_value());
    CHECK(mini.sure_to_open()->multiple == doctest::Approx(1.2));
    // A part of the range: of the others the table's times hold, and of the family the slower.
    ReadCar part(R"(loomwright: 1
curves:
  sheet:
    {family: mini-blade, ratings: [2 A, 25 A], source: a sheet,
     gates: [{at: 120 %, longest: 30 min}, {at: 200 %, longest: 2 s}]}
)");
    part.catalogue.take_curves(part.car);
    const FuseFamily& both = *part.catalogue.find_fuse_family("mini-blade");
    REQUIRE(both.sure_to_open().has_value());
    CHECK(both.sure_to_open()->multiple == doctest::Approx(1.35));
    CHECK(both.sure_to_open()->longest.value() == Seconds(1800.0)); // of 120 %, and not 600 s
}

TEST_CASE("faults of a curve name the gate, what it says, and a remedy") {
    const auto said = [](const std::string& curve) {
        return ReadCar("loomwright: 1\ncurves:\n  sheet:\n    {" + curve + "}\n").text();
    };
    const std::string head = "family: strip, ratings: 100 A, source: a sheet, gates: ";
    const auto holds = [](const std::string& text, const std::string& part) {
        CHECK_MESSAGE(text.find(part) != std::string::npos, text);
    };
    holds(said(head + "[{at: 200 %, longest: 5 s}, {at: 300 %, longest: 6 s}]"),
          "the longest time rises with the current: 6 s at 300 % after 5 s at 200 %");
    holds(said(head + "[{at: 200 %, shortest: 5 s, longest: 1 s}]"),
          "the shortest time is above the longest at 200 %: 5 s against 1 s");
    // Between gates, by hand: 100 s at 100 % to 0.01 s at 1000 % is 1 s at 316 %... at 300 %
    // 100 x 3^-4 = 1.235 s.
    holds(said(head + "[{at: 100 %, shortest: 100 s, longest: 200 s}, {at: 300 %, longest: 1 s}, "
                      "{at: 1000 %, shortest: 0.01 s, longest: 0.1 s}]"),
          "above the longest at 300 %: 1.235 s against 1 s");
    holds(
        said("family: stripp, ratings: 100 A, source: a sheet, gates: [{at: 200 %, longest: 5 s}]"),
        "did you mean `strip`?");
    holds(said("family: maxi-blade, ratings: 45 A, source: a sheet, gates: [{at: 200 %, longest: 5 "
               "s}]"),
          "the next ratings are 40 A and 50 A");
    // A flat side does not cross itself.
    CHECK(said(head + "[{at: 200 %, longest: 5 s}, {at: 300 %, longest: 5 s}]").empty());
}
