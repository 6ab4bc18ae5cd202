// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Sources and what turns the engine: battery, alternator, charger, starter.

#include "base/display.hpp"
#include "read/kinds.hpp"

#include <fmt/format.h>

namespace loomwright {
namespace {

// A full lead battery rests at 1.06 of its nominal voltage and is charged at 1.2 (14.4 V of 12 V),
// on a cold day at up to 1.25 (common practice, no source). Beyond these something else is meant.
constexpr double least_of_nominal = 0.9;
constexpr double most_of_nominal = 1.35;

/// A source's voltage against the car's: an alternator of 24 V in a car of 12 V kills every lamp.
void check_nominal(const Fields& fields, std::string_view key, std::optional<Volts> given,
                   double least) {
    const Volts nominal = fields.reading().vehicle.nominal;
    if (!given || (*given >= nominal * least && *given <= nominal * most_of_nominal)) {
        return;
    }
    fields.complain(
        Rule::contradiction, key,
        fmt::format("{} does not suit a car of {}", show(*given), show(nominal)),
        fmt::format("correct it, or `nominal`, which is 12 V where the file does not say: "
                    "{}{} would suit",
                    least > 0.0 ? show(nominal * least) + " to " : "up to ",
                    show(nominal * most_of_nominal)));
}

} // namespace

bool read_battery(const Fields& fields, Device& device, DefaultPass&) {
    Battery battery;
    const auto capacity = fields.needed<Coulombs>("capacity", ranges::charge);
    battery.cranking_amps = fields.quantity<Amps>("cranking-amps", ranges::current);
    battery.resistance = fields.quantity<Ohms>("resistance", ranges::some_resistance);
    battery.open_voltage = fields.quantity<Volts>("voltage", ranges::voltage);
    // Batteries in a row share the nominal voltage: nothing can be too low.
    check_nominal(fields, "voltage", battery.open_voltage, 0.0);
    battery.charge = fields.share("charge", ranges::share).value_or(1.0);
    battery.temperature = fields.quantity<Celsius>("temperature", ranges::temperature);
    device.spec_where = fields.where("capacity");
    battery.capacity = capacity.value_or(Coulombs());
    device.spec = battery;
    return capacity.has_value();
}

bool read_alternator(const Fields& fields, Device& device, DefaultPass&) {
    Alternator alternator;
    const auto rated = fields.needed<Amps>("rated", ranges::current);
    const auto regulates = fields.needed<Volts>("regulates", ranges::voltage);
    check_nominal(fields, "regulates", regulates, least_of_nominal);
    alternator.at_idle = fields.quantity<Amps>("at-idle", ranges::current);
    alternator.when_hot = fields.quantity<Amps>("when-hot", ranges::current);
    alternator.resistance = fields.quantity<Ohms>("resistance", ranges::resistance);
    device.spec_where = fields.where("rated");
    if (rated && alternator.when_hot && *alternator.when_hot > *rated) {
        fields
            .complain(Rule::contradiction, "when-hot",
                      "the alternator gives more when hot than it is rated for",
                      "correct one of the two currents")
            .related.push_back({fields.where("rated"), "rated here"});
    }
    if (rated && alternator.at_idle && *alternator.at_idle > *rated) {
        fields
            .complain(Rule::contradiction, "at-idle",
                      "the alternator gives more at idle than it is rated for",
                      "correct one of the two currents")
            .related.push_back({fields.where("rated"), "rated here"});
    }
    alternator.rated = rated.value_or(Amps());
    alternator.regulates = regulates.value_or(Volts());
    device.spec = alternator;
    return rated && regulates;
}

bool read_charger(const Fields& fields, Device& device, DefaultPass&) {
    const auto limit = fields.needed<Amps>("limit", ranges::current);
    const auto regulates = fields.needed<Volts>("regulates", ranges::voltage);
    // One that charges a battery of half the car's voltage is a charger too.
    check_nominal(fields, "regulates", regulates, 0.5 * least_of_nominal);
    device.spec_where = fields.where("limit");
    device.spec = Charger{limit.value_or(Amps()), regulates.value_or(Volts())};
    return limit && regulates;
}

bool read_starter(const Fields& fields, Device& device, DefaultPass&) {
    Reading& reading = fields.reading();
    Starter starter;
    const auto draws =
        fields.need("draws").is_valid() ? read_demand(fields, "draws") : std::nullopt;
    starter.inrush = read_inrush(fields);
    starter.suppression = read_suppression(fields);
    const double scale = reading.per_12_volts() * reading.per_12_volts();
    starter.solenoid =
        fields.quantity<Ohms>("solenoid", ranges::some_resistance)
            .value_or(Ohms(reading.catalogue.default_value("starter-solenoid").value * scale));
    starter.draws = draws.value_or(Demand());
    device.spec_where = fields.where("draws");
    device.spec = starter;
    return draws.has_value();
}

} // namespace loomwright
