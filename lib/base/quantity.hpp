// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <compare>

namespace loomwright {

/// A physical quantity in its one stored unit (SI; temperature in degrees Celsius).
/// Construction is explicit, so that two quantities never swap places unseen.
template <typename Tag> class Quantity {
public:
    constexpr Quantity() = default;
    constexpr explicit Quantity(double value) : value_(value) {}

    /// The number in the stored unit.
    [[nodiscard]] constexpr double value() const { return value_; }

    constexpr Quantity& operator+=(Quantity other) {
        value_ += other.value_;
        return *this;
    }
    friend constexpr Quantity operator+(Quantity a, Quantity b) {
        return Quantity(a.value_ + b.value_);
    }
    friend constexpr Quantity operator-(Quantity a, Quantity b) {
        return Quantity(a.value_ - b.value_);
    }
    friend constexpr Quantity operator*(Quantity a, double factor) {
        return Quantity(a.value_ * factor);
    }
    friend constexpr Quantity operator*(double factor, Quantity a) { return a * factor; }
    friend constexpr Quantity operator/(Quantity a, double divisor) {
        return Quantity(a.value_ / divisor);
    }
    friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }
    friend constexpr auto operator<=>(Quantity, Quantity) = default;

private:
    double value_ = 0.0;
};

using Volts = Quantity<struct VoltsTag>;
using Amps = Quantity<struct AmpsTag>;
using Ohms = Quantity<struct OhmsTag>;
using Watts = Quantity<struct WattsTag>;
using Metres = Quantity<struct MetresTag>;
using SquareMetres = Quantity<struct SquareMetresTag>;
using Seconds = Quantity<struct SecondsTag>;
using Kilograms = Quantity<struct KilogramsTag>;
/// Electric charge in coulomb (ampere second); written `65 Ah` by people.
using Coulombs = Quantity<struct CoulombsTag>;
/// A temperature difference.
using Kelvins = Quantity<struct KelvinsTag>;
/// A money amount in the user's own currency.
using Money = Quantity<struct MoneyTag>;

/// An absolute temperature in degrees Celsius: the difference of two is in Kelvins.
class Celsius {
public:
    constexpr Celsius() = default;
    constexpr explicit Celsius(double value) : value_(value) {}
    [[nodiscard]] constexpr double value() const { return value_; }
    friend constexpr Kelvins operator-(Celsius a, Celsius b) {
        return Kelvins(a.value_ - b.value_);
    }
    friend constexpr Celsius operator+(Celsius a, Kelvins b) {
        return Celsius(a.value_ + b.value());
    }
    friend constexpr auto operator<=>(Celsius, Celsius) = default;

private:
    double value_ = 0.0;
};

// The closed list of products.
constexpr Volts operator*(Ohms r, Amps i) {
    return Volts(r.value() * i.value());
}
constexpr Volts operator*(Amps i, Ohms r) {
    return r * i;
}
constexpr Watts operator*(Volts v, Amps i) {
    return Watts(v.value() * i.value());
}
constexpr Watts operator*(Amps i, Volts v) {
    return v * i;
}
constexpr Amps operator/(Watts p, Volts v) {
    return Amps(p.value() / v.value());
}
constexpr Amps operator/(Volts v, Ohms r) {
    return Amps(v.value() / r.value());
}
constexpr Ohms operator/(Volts v, Amps i) {
    return Ohms(v.value() / i.value());
}
constexpr Coulombs operator*(Amps i, Seconds t) {
    return Coulombs(i.value() * t.value());
}

} // namespace loomwright
