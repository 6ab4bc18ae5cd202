// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What takes current: lamps, motors, heaters, coils, electronics, controllers, sensors.

#include "read/kinds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 5> part_words{"feed", "ground", "low-side", "high-side",
                                                     "signal"};
constexpr std::array parts{TerminalPart::feed, TerminalPart::ground, TerminalPart::low_side,
                           TerminalPart::high_side, TerminalPart::signal};
constexpr std::array<std::string_view, 2> terminal_keys{"part", "limit"};

LoadLaw law_of(std::string_view word) {
    if (word == "lamp") {
        return LoadLaw::lamp;
    }
    if (word == "heater" || word == "coil") {
        return LoadLaw::resistance;
    }
    return word == "electronics" ? LoadLaw::constant_power : LoadLaw::constant_current;
}

/// The demand of a coil that is given by its resistance: V / R at the default rated voltage.
std::optional<Demand> demand_of_coil(const Fields& fields) {
    Reading& reading = fields.reading();
    const auto resistance = fields.quantity<Ohms>("resistance", ranges::some_resistance);
    if (!resistance) {
        return std::nullopt;
    }
    const Volts at(reading.catalogue.default_value("rated-voltage").value * reading.per_12_volts());
    return Demand{at / *resistance, at};
}

void check_inrush(const Fields& fields, const Load& load) {
    if (load.inrush && load.inrush->current < load.draws.current) {
        fields
            .complain(Rule::contradiction, "inrush",
                      "the start pulse is smaller than what the load draws when it runs",
                      "correct one of the two currents")
            .related.push_back({fields.where("draws"), "it draws this"});
    }
}

std::optional<ControllerTerminal> read_part(const Fields& fields, const Entry& entry) {
    Reading& reading = fields.reading();
    ControllerTerminal out;
    Node word = entry.value;
    if (entry.value.is_map()) {
        const Fields inner(reading, entry.value, fields.subject(), entry.key.where(),
                           terminal_keys);
        word = inner.need("part");
        out.limit = inner.quantity<Amps>("limit", ranges::current);
    }
    if (!word.is_valid()) {
        return std::nullopt;
    }
    const auto text = need_text(reading, word, fields.subject(), entry.key.text());
    if (!text) {
        return std::nullopt;
    }
    const auto* const found = std::ranges::find(part_words, *text);
    if (found == part_words.end()) {
        reading.complain(Rule::unknown_word, fields.subject(), word.where(),
                         fmt::format("{} is not a part that a terminal can have", quoted(*text)),
                         reading.suggest(*text, part_words));
        return std::nullopt;
    }
    out.part = parts.at(static_cast<std::size_t>(found - part_words.begin()));
    return out;
}

bool read_controller_terminals(const Fields& fields, Device& device, Controller& controller) {
    const Node terminals = fields.need("terminals");
    if (!terminals.is_valid()) {
        return false;
    }
    if (!terminals.is_map() || terminals.size() == 0) {
        fields.complain(Rule::wrong_shape, "terminals",
                        "`terminals` wants a map of terminals and their parts",
                        "write `terminals: {15: feed, 31: ground, fan: low-side}`");
        return false;
    }
    for (const Entry entry : terminals.entries()) {
        const std::string_view name = entry.key.text();
        if (trimmed(name).empty() || name.find('>') != std::string_view::npos) {
            fields.reading().complain(
                Rule::wrong_shape, fields.subject(), entry.key.where(),
                fmt::format("{} cannot be the name of a terminal", quoted(name)),
                "a name has at least one character, and no `>`");
            continue;
        }
        device.terminals.emplace_back(name);
        controller.parts.push_back(read_part(fields, entry).value_or(ControllerTerminal()));
    }
    return true;
}

} // namespace

bool read_load(const Fields& fields, Device& device, DefaultPass&) {
    Load load;
    load.word = device.word;
    load.law = law_of(device.word);
    load.inrush = read_inrush(fields);
    load.least = fields.quantity<Volts>("least", ranges::voltage);
    load.suppression = read_suppression(fields);
    device.spec_where = fields.where("draws");
    std::optional<Demand> draws;
    if (fields.has("draws")) {
        draws = read_demand(fields, "draws");
        if (fields.has("resistance")) {
            fields
                .complain(Rule::contradiction, "resistance",
                          "a coil has either `draws` or `resistance`", "leave one of the two out")
                .related.push_back({fields.where("draws"), "`draws` is here"});
        }
    } else if (fields.has("resistance")) {
        draws = demand_of_coil(fields);
        device.spec_where = fields.where("resistance");
    } else {
        (void)fields.need("draws");
    }
    if (draws) {
        load.draws = *draws;
        check_inrush(fields, load);
    }
    device.spec = load;
    return draws.has_value();
}

bool read_controller(const Fields& fields, Device& device, DefaultPass&) {
    Controller controller;
    const bool is_good = read_controller_terminals(fields, device, controller);
    controller.draws = read_demand(fields, "draws");
    controller.sleeps = fields.quantity<Amps>("sleeps", {0.0, 100.0});
    controller.needs = fields.quantity<Volts>("needs", ranges::voltage);
    for (const Node& node : fields.words("needed-in")) {
        controller.needed_in.push_back({std::string(node.text()), node.where()});
    }
    device.spec_where = fields.where("draws");
    device.spec = std::move(controller);
    return is_good;
}

bool read_sensor(const Fields& fields, Device& device, DefaultPass&) {
    device.spec_where = fields.where("draws");
    device.spec = Sensor{read_demand(fields, "draws")};
    return true;
}

} // namespace loomwright
