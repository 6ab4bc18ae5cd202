// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The example of the language's description reads as it stands, into the model it says.

#include "support.hpp"

#include <fstream>
#include <sstream>

using namespace loomwright;

namespace {

std::string data_file(const std::string& name) {
    std::ifstream stream(std::string(LOOMWRIGHT_TEST_DIR) + "/data/" + name, std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    REQUIRE_FALSE(text.str().empty());
    return text.str();
}

} // namespace

TEST_CASE("the example of the language reads whole") {
    const ReadCar read(data_file("notebook.yaml"),
                       {{"parts/company-stock.yaml", data_file("parts/company-stock.yaml")}});
    CHECK(read.text() == "");
    const Vehicle& car = read.car;
    CHECK(car.title == "Marlow estate, straight-six re-power");
    CHECK(car.revision == "mock-up 2");
    CHECK(car.nominal == Volts(12.0));
    CHECK(car.bodies == std::vector<std::string>{"chassis", "engine"});

    REQUIRE(car.zones.size() == 2);
    CHECK(car.zones[1].name == "engine-bay");
    CHECK(car.zones[1].air == Celsius(95.0));
    CHECK(car.zones[1].wet);
    REQUIRE(car.points.size() == 8);
    REQUIRE(car.points[0].at);
    CHECK((*car.points[0].at)[1].value() == doctest::Approx(-0.45));
    CHECK(car.points[1].opening->value() == doctest::Approx(0.038).scale(0.0));
    REQUIRE(car.runs.size() == 1);
    CHECK(car.runs[0].length == Metres(1.15));
    CHECK(car.runs[0].hidden);
    CHECK(car.runs[0].cover == "braid");
    CHECK(car.runs[0].clear_of == std::vector<std::string>{"exhaust"});
    CHECK(car.point(car.runs[0].to).name == "bulkhead-left");

    CHECK(read.wires() == "12.1 G1.+ > F10.in\n"
                          "12.2 F10.out > K3.30\n"
                          "12.3 K3.87 > M1.+\n"
                          "12.4 M1.- > GND2\n"
                          "12.5 F11.out > K3.86\n"
                          "12.6 K3.85 > A1.fan\n");
    REQUIRE(car.circuits.size() == 1);
    CHECK(car.circuits[0].paths.size() == 3);
    CHECK(car.circuits[0].paths[0].size() == 4);
    CHECK(car.circuits[0].drop_class.value == "motor");
    const Wire& second = car.wires[1];
    REQUIRE(second.size);
    CHECK(show(second.size->value) == "10 AWG");
    CHECK(second.size->where.line == 54);
    CHECK(second.colour == "BK/RD");
    REQUIRE(second.via.size() == 1);
    CHECK(second.via[0].value == "wing-left");
    CHECK(second.insulation.value == "thin-wall xlpe");
    CHECK_FALSE(car.wires[0].size);

    REQUIRE(car.states.size() == 3);
    CHECK(car.states[0].lasts->value() == doctest::Approx(21.0 * 86400.0));
    CHECK(car.states[0].settings[0].position == 0);
    CHECK(car.states[1].engine == EngineCondition::cranking);
    const State& night = car.states[2];
    REQUIRE(night.settings.size() == 4);
    CHECK(night.settings[2].is_level);
    CHECK(night.settings[2].level == doctest::Approx(0.7));
    CHECK(night.settings[3].terminal == 2);
    CHECK(night.expect_on.size() == 3);
    CHECK(night.expect_off.size() == 1);

    REQUIRE(car.supplied.size() == 1);
    CHECK(car.supplied[0].leads[0].terminal == 0);
    CHECK(car.policy.drop.find("lighting")->second.value == Volts(0.5));
    CHECK(car.policy.fuse_loading->value == doctest::Approx(0.75));
    REQUIRE(car.waivers.size() == 1);
    CHECK(car.waivers[0].on[0].value == "E7");
    REQUIRE(car.stock.size() == 1);
    CHECK(car.stock[0].price == Money(1.05));
}

TEST_CASE("what the example leaves out comes from the tables, or stays open") {
    const ReadCar read(data_file("notebook.yaml"),
                       {{"parts/company-stock.yaml", data_file("parts/company-stock.yaml")}});
    const auto* relay = read.device("K3").as<Relay>();
    REQUIRE(relay);
    CHECK(relay->coil == Ohms(85.0));
    CHECK_FALSE(relay->pulls_in);
    CHECK_FALSE(relay->drops_out);
    CHECK_FALSE(relay->has_break_contact);
    CHECK(relay->suppression == Suppression::resistor);
    const auto* motor = read.device("M1").as<Load>();
    REQUIRE(motor);
    CHECK(motor->law == LoadLaw::constant_current);
    CHECK(motor->draws.current == Amps(22.0));
    CHECK(motor->draws.at == Volts(13.0));
    CHECK(motor->inrush->duration == Seconds(0.4));
    // 10 W without a voltage: at the rated voltage of the defaults, 13.5 V.
    const auto* lamp = read.device("E7").as<Load>();
    CHECK(lamp->draws.at == Volts(13.5));
    CHECK(lamp->draws.current.value() == doctest::Approx(10.0 / 13.5));
    const auto* fuse = read.device("F10").as<Protection>();
    CHECK_FALSE(fuse->rating);
    CHECK(fuse->family == "blade");
    CHECK(read.device("F11").as<Protection>()->rating == Amps(5.0));
}
