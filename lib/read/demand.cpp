// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/kinds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

/// Current of a demand that is given as a power: I = P / V.
Amps current_of(const QuantityValue& value, Volts at) {
    return value.dimension == Dimension::power ? Watts(value.value) / at : Amps(value.value);
}

} // namespace

std::optional<Demand> read_demand(const Fields& fields, std::string_view key) {
    Reading& reading = fields.reading();
    const Node node = fields.get(key);
    if (!node.is_valid()) {
        return std::nullopt;
    }
    const auto text = need_text(reading, node, fields.subject(), key);
    if (!text) {
        return std::nullopt;
    }
    TextFault fault;
    const auto pair =
        read_pair(*text, "at", Dimension::current, Dimension::power, Dimension::voltage, fault);
    if (!pair) {
        complain_of_text(reading, node, fields.subject(), fault);
        return std::nullopt;
    }
    const Range range = pair->first.dimension == Dimension::power ? ranges::power : ranges::current;
    bool is_good = check_range(reading, node, fields.subject(), node.where(), pair->first, range);
    Volts at(reading.catalogue.default_value("rated-voltage").value * reading.per_12_volts());
    if (pair->second) {
        is_good &= check_range(reading, node, fields.subject(),
                               node.where(pair->second_offset, text->size() - pair->second_offset),
                               *pair->second, ranges::voltage);
        at = Volts(pair->second->value);
    }
    if (!is_good) {
        return std::nullopt;
    }
    return Demand{current_of(pair->first, at), at};
}

std::optional<Inrush> read_inrush(const Fields& fields) {
    Reading& reading = fields.reading();
    const Node node = fields.get("inrush");
    if (!node.is_valid()) {
        return std::nullopt;
    }
    const auto text = need_text(reading, node, fields.subject(), "inrush");
    if (!text) {
        return std::nullopt;
    }
    TextFault fault;
    const auto pair =
        read_pair(*text, "for", Dimension::current, Dimension::current, Dimension::time, fault);
    if (!pair) {
        complain_of_text(reading, node, fields.subject(), fault);
        return std::nullopt;
    }
    if (!pair->second) {
        fields.complain(Rule::wrong_shape, "inrush", "a start pulse needs its time as well",
                        fmt::format("write `inrush: {} for 0.4 s`", *text));
        return std::nullopt;
    }
    const SourceRange second = node.where(pair->second_offset, text->size() - pair->second_offset);
    if (!check_range(reading, node, fields.subject(), node.where(), pair->first, ranges::current) ||
        !check_range(reading, node, fields.subject(), second, *pair->second, ranges::duration)) {
        return std::nullopt;
    }
    return Inrush{Amps(pair->first.value), Seconds(pair->second->value)};
}

Suppression read_suppression(const Fields& fields) {
    constexpr std::array<std::string_view, 3> words{"none", "resistor", "diode"};
    constexpr std::array kinds{Suppression::none, Suppression::resistor, Suppression::diode};
    const auto word = fields.word("suppression", words);
    return word ? kinds.at(*word) : Suppression::unstated;
}

std::optional<int> read_body(Reading& reading, const Node& node, std::string_view subject,
                             std::string_view key) {
    const auto text = need_text(reading, node, subject, key);
    if (!text) {
        return std::nullopt;
    }
    const auto& bodies = reading.vehicle.bodies;
    const auto found = std::ranges::find(bodies, *text);
    if (found == bodies.end() && reading.bodies_are_unread) {
        return std::nullopt;
    }
    if (found == bodies.end()) {
        const std::vector<std::string_view> known(bodies.begin(), bodies.end());
        reading.complain(Rule::unknown_reference, subject, node.where(),
                         fmt::format("there is no body of metal {}", quoted(*text)),
                         reading.suggest(*text, known));
        return std::nullopt;
    }
    return static_cast<int>(found - bodies.begin());
}

std::vector<std::string> read_terminal_names(const Fields& fields, std::string_view key) {
    Reading& reading = fields.reading();
    std::vector<std::string> out;
    for (const Node& node : fields.words(key)) {
        const std::string_view name = node.text();
        if (trimmed(name).empty() || name.find('>') != std::string_view::npos) {
            reading.complain(Rule::wrong_shape, fields.subject(), node.where(),
                             fmt::format("{} cannot be the name of a terminal", quoted(name)),
                             "a name has at least one character, and no `>`");
        } else if (std::ranges::find(out, name) != out.end()) {
            reading.complain(Rule::duplicate_key, fields.subject(), node.where(),
                             fmt::format("the terminal {} stands twice in the list", quoted(name)),
                             "name each terminal once");
        } else {
            out.emplace_back(name);
        }
    }
    return out;
}

int read_terminal(Reading& reading, const Node& node, std::string_view subject,
                  std::string_view key, const Device& device) {
    const auto text = need_text(reading, node, subject, key);
    if (!text) {
        return -1;
    }
    const int terminal = device.terminal(*text);
    if (terminal < 0) {
        const std::vector<std::string_view> known(device.terminals.begin(), device.terminals.end());
        reading.complain(Rule::unknown_terminal, subject, node.where(),
                         fmt::format("{} has no terminal {}", device.name, quoted(*text)),
                         reading.suggest(*text, known));
    }
    return terminal;
}

} // namespace loomwright
