// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What takes current: lamps, motors, heaters, coils, electronics, controllers, sensors.

#include "read/kinds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <unordered_map>
#include <utility>
#include <vector>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 5> part_words{"feed", "ground", "low-side", "high-side",
                                                     "signal"};
constexpr std::array parts{TerminalPart::feed, TerminalPart::ground, TerminalPart::low_side,
                           TerminalPart::high_side, TerminalPart::signal};
constexpr std::array<std::string_view, 3> terminal_keys{"part", "limit", "feed"};

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

/// Which feed each high-side output is joined to inside: its wire is held against the device before
/// that feed, and its current flows there.
class OutputFeeds {
public:
    OutputFeeds(const Fields& fields, const Device& device, Controller& controller)
        : fields_(fields), reading_(fields.reading()), device_(device), controller_(controller) {
        for (std::size_t t = 0; t < controller.parts.size(); ++t) {
            terminals_.emplace(device.terminals[t], t);
            if (controller.parts[t].part == TerminalPart::feed) {
                feeds_.emplace_back(device.terminals[t]);
            }
        }
    }

    void read(const Entry& entry, std::size_t terminal) {
        ControllerTerminal& output = controller_.parts[terminal];
        const Node feed = entry.value.is_map() ? entry.value.find("feed") : Node();
        if (!feed.is_valid()) {
            return; // where it has a choice, rule output-feed says what was taken
        }
        if (output.part != TerminalPart::high_side) {
            reading_.complain(Rule::contradiction, fields_.subject(), feed.where(),
                              fmt::format("{} is not joined to a feed: only a high-side output is",
                                          quoted(entry.key.text())),
                              "leave `feed` out, or correct the part");
        } else if (const auto name = need_text(reading_, feed, fields_.subject(), "feed")) {
            output.feed = find(*name, feed);
        }
    }

private:
    /// The terminal of a feed; -1, with a complaint, where none has that name.
    int find(std::string_view name, const Node& node) {
        const auto found = terminals_.find(name);
        if (found == terminals_.end()) {
            reading_.complain(Rule::unknown_terminal, fields_.subject(), node.where(),
                              fmt::format("{} has no terminal {}", device_.name, quoted(name)),
                              reading_.suggest(name, feeds_));
            return -1;
        }
        if (controller_.parts[found->second].part != TerminalPart::feed) {
            reading_.complain(Rule::contradiction, fields_.subject(), node.where(),
                              fmt::format("{} of {} is no feed", quoted(name), device_.name),
                              reading_.suggest(name, feeds_));
            return -1;
        }
        return static_cast<int>(found->second);
    }

    const Fields& fields_;
    Reading& reading_;
    const Device& device_;
    Controller& controller_;
    std::unordered_map<std::string_view, std::size_t> terminals_; ///< by name
    std::vector<std::string_view> feeds_;
};

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
    std::vector<std::pair<Entry, std::size_t>> read; // with the terminal of each
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
        const std::optional<ControllerTerminal> part = read_part(fields, entry);
        if (part) {
            read.emplace_back(entry, controller.parts.size());
        }
        controller.parts.push_back(part.value_or(ControllerTerminal()));
    }
    OutputFeeds feeds(fields, device, controller);
    for (const auto& [entry, terminal] : read) {
        feeds.read(entry, terminal);
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
