// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/ids.hpp"
#include "base/quantity.hpp"

#include <doctest/doctest.h>

#include <concepts>
#include <functional>

using namespace loomwright;

namespace {

// The quantities that must not meet. Checked here once for all, since what does not compile cannot
// be run.
template <typename A, typename B>
concept can_add = requires(A a, B b) {
    a + b;
};
template <typename A, typename B>
concept can_multiply = requires(A a, B b) {
    a* b;
};
template <typename A, typename B>
concept can_compare = requires(A a, B b) {
    a < b;
};

static_assert(can_add<Metres, Metres> && !can_add<Metres, SquareMetres>);
static_assert(!can_add<Volts, Amps> && !can_compare<Volts, Amps>);
static_assert(!can_add<Celsius, Celsius> && can_add<Celsius, Kelvins>);
static_assert(can_multiply<Ohms, Amps> && !can_multiply<Ohms, Volts>);
static_assert(!std::convertible_to<double, Metres> && !std::convertible_to<Metres, double>);
static_assert(!std::convertible_to<Metres, SquareMetres>);
static_assert(!std::convertible_to<WireId, DeviceId> && !std::convertible_to<std::size_t, WireId>);

} // namespace

TEST_CASE("the products are Ohm's law, the law of power and charge") {
    CHECK((Ohms(2.0) * Amps(3.0)).value() == 6.0);
    CHECK((Amps(3.0) * Ohms(2.0)).value() == 6.0);
    CHECK((Volts(12.0) * Amps(5.0)).value() == 60.0);
    CHECK((Watts(60.0) / Volts(12.0)).value() == 5.0);
    CHECK((Volts(12.0) / Ohms(4.0)).value() == 3.0);
    CHECK((Volts(12.0) / Amps(3.0)).value() == 4.0);
    CHECK((Amps(2.0) * Seconds(3600.0)).value() == 7200.0);
}

TEST_CASE("quantities of a kind add, scale and compare; their ratio is a number") {
    Metres length(1.5);
    length += Metres(0.5);
    CHECK(length == Metres(2.0));
    CHECK(length - Metres(0.5) == Metres(1.5));
    CHECK(2.0 * length == length * 2.0);
    CHECK(length / 4.0 == Metres(0.5));
    CHECK(length / Metres(4.0) == 0.5);
    CHECK(Metres(1.0) < Metres(2.0));
}

TEST_CASE("two temperatures differ by kelvins") {
    CHECK(Celsius(105.0) - Celsius(95.0) == Kelvins(10.0));
    CHECK(Celsius(95.0) + Kelvins(10.0) == Celsius(105.0));
    CHECK(Celsius(-40.0) < Celsius(0.0));
}

TEST_CASE("an id knows whether it refers to something, and ids keep their order") {
    CHECK_FALSE(WireId().is_valid());
    CHECK(WireId(0).is_valid());
    CHECK(WireId(7).index() == 7);
    CHECK(WireId(1) < WireId(2));
    CHECK(WireId(3) == WireId(3));
    CHECK(WireId() < WireId(0));
    CHECK(std::hash<WireId>{}(WireId(1)) != std::hash<WireId>{}(WireId(2)));
    CHECK(std::hash<WireId>{}(WireId()) != std::hash<WireId>{}(WireId(0)));
}
