// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Sources and what turns the engine: battery, alternator, charger, starter.

#include "read/kinds.hpp"

#include <fmt/format.h>

namespace loomwright {

bool read_battery(const Fields& fields, Device& device, DefaultPass&) {
    Battery battery;
    const auto capacity = fields.needed<Coulombs>("capacity", ranges::charge);
    battery.cranking_amps = fields.quantity<Amps>("cranking-amps", ranges::current);
    battery.resistance = fields.quantity<Ohms>("resistance", ranges::some_resistance);
    battery.open_voltage = fields.quantity<Volts>("voltage", ranges::voltage);
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
    alternator.at_idle = fields.quantity<Amps>("at-idle", ranges::current);
    alternator.resistance = fields.quantity<Ohms>("resistance", ranges::resistance);
    device.spec_where = fields.where("rated");
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
