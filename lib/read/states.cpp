// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/paths.hpp"
#include "read/steps.hpp"

#include "base/spelling.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 11> state_keys{
    "engine", "after", "set", "turning", "lasts", "expect", "air", "charge", "battery-temperature",
    "title",  "note"};
constexpr std::array<std::string_view, 2> expect_keys{"on", "off"};
constexpr std::array<std::string_view, 4> engine_words{"stopped", "cranking", "idle", "running"};

/// Reads what one state sets.
class SettingReader {
public:
    SettingReader(Reading& reading, std::string_view state) : reading_(reading), state_(state) {}

    std::optional<Setting> read(const Entry& entry) {
        Setting setting;
        setting.where = entry.key.where();
        if (!find_thing(entry.key, setting)) {
            return std::nullopt;
        }
        const Device& device = reading_.vehicle.device(setting.device);
        const auto text = need_text(reading_, entry.value, state_, entry.key.text());
        if (!text || reading_.passes[setting.device.index()].is_broken) {
            return std::nullopt;
        }
        if (const auto* contacts = device.as<Switch>()) {
            return set_position(entry, *contacts, setting);
        }
        const bool is_load = device.as<Load>() != nullptr;
        const bool is_output = device.as<Controller>() != nullptr;
        const bool is_plain = device.as<Charger>() != nullptr || device.as<Flasher>() != nullptr;
        if (is_load || is_output || is_plain) {
            return set_level(entry.value, !is_plain, setting);
        }
        complain_of_kind(entry.key, device);
        return std::nullopt;
    }

private:
    /// The device of a key, and the output of a controller after the dot.
    bool find_thing(const Node& key, Setting& setting) {
        const std::string_view text = key.text();
        const std::size_t dot = text.find('.');
        const std::string_view name = trimmed(text.substr(0, dot));
        const auto found = reading_.devices.find(name);
        if (!found && reading_.devices.is_unread()) {
            return false;
        }
        if (!found) {
            reading_.complain(Rule::unknown_reference, state_, key.where(),
                              fmt::format("there is no device {}", quoted(name)),
                              reading_.suggest(name, reading_.devices.names()));
            return false;
        }
        setting.device = DeviceId(*found);
        const Device& device = reading_.vehicle.device(setting.device);
        if (reading_.passes[*found].is_broken) {
            return false;
        }
        if (device.as<Controller>() != nullptr) {
            return find_output(key, device, dot, setting);
        }
        if (dot != std::string_view::npos) {
            reading_.complain(Rule::unknown_terminal, state_, key.where(),
                              fmt::format("{} is set as a whole, not by a terminal", device.name),
                              fmt::format("write `{}`", device.name));
            return false;
        }
        return true;
    }

    bool find_output(const Node& key, const Device& device, std::size_t dot, Setting& setting) {
        const auto& parts = device.as<Controller>()->parts;
        std::vector<std::string_view> outputs;
        for (std::size_t i = 0; i < parts.size(); ++i) {
            if (is_output(parts[i].part)) {
                outputs.emplace_back(device.terminals[i]);
            }
        }
        const std::string_view name = dot == std::string_view::npos
                                          ? std::string_view()
                                          : trimmed(key.text().substr(dot + 1));
        setting.terminal = device.terminal(name);
        if (setting.terminal < 0) {
            reading_.complain(
                Rule::unknown_terminal, state_, key.where(),
                name.empty() ? fmt::format("of {} a state sets outputs, not the whole", device.name)
                             : fmt::format("{} has no output {}", device.name, quoted(name)),
                reading_.suggest(name, outputs));
            return false;
        }
        if (!is_output(parts[static_cast<std::size_t>(setting.terminal)].part)) {
            reading_
                .complain(Rule::contradiction, state_, key.where(),
                          fmt::format("{} of {} is no output", quoted(name), device.name),
                          outputs.empty() ? "only a low-side or high-side part can be set"
                                          : reading_.suggest(name, outputs))
                .related.push_back({device.where, fmt::format("{} is defined here", device.name)});
            return false;
        }
        return true;
    }

    static bool is_output(TerminalPart part) {
        return part == TerminalPart::low_side || part == TerminalPart::high_side;
    }

    std::optional<Setting> set_position(const Entry& entry, const Switch& contacts,
                                        Setting setting) {
        const std::string_view word = entry.value.text();
        const auto found = std::ranges::find(contacts.positions, word, &SwitchPosition::name);
        if (found == contacts.positions.end()) {
            std::vector<std::string_view> known;
            for (const SwitchPosition& position : contacts.positions) {
                known.emplace_back(position.name);
            }
            reading_.complain(Rule::unknown_word, state_, entry.value.where(),
                              fmt::format("{} has no position {}", entry.key.text(), quoted(word)),
                              reading_.suggest(word, known));
            return std::nullopt;
        }
        setting.position = static_cast<int>(found - contacts.positions.begin());
        return setting;
    }

    std::optional<Setting> set_level(const Node& value, bool may_be_share, Setting setting) {
        const std::string_view word = value.text();
        setting.is_level = true;
        if (const auto truth = read_truth(word)) {
            setting.level = *truth ? 1.0 : 0.0;
            return setting;
        }
        TextFault fault;
        if (may_be_share && !word.empty() &&
            std::string_view("+-.0123456789").find(word.front()) != std::string_view::npos) {
            const auto level =
                quantity_of(reading_, value, state_, "set", Dimension::share, ranges::share);
            setting.level = level.value_or(0.0);
            return level ? std::optional(setting) : std::nullopt;
        }
        reading_.complain(Rule::unknown_word, state_, value.where(),
                          fmt::format("{} is not something that can be set here", quoted(word)),
                          may_be_share ? "write `on`, `off` or a level: `70 %`"
                                       : "write `on` or `off`");
        return std::nullopt;
    }

    void complain_of_kind(const Node& key, const Device& device) {
        std::string remedy = "set switches, outputs of controllers, loads, chargers and flashers";
        if (device.as<Relay>() != nullptr) {
            remedy = "a relay follows from its coil: set what feeds the coil";
        } else if (device.as<Unit>() != nullptr) {
            remedy = fmt::format("name a device inside it: `{}/...`", device.name);
        }
        reading_
            .complain(Rule::contradiction, state_, key.where(),
                      fmt::format("{} is {}, which a state does not set", device.name,
                                  with_article(device.word)),
                      std::move(remedy))
            .related.push_back({device.where, "it is defined here"});
    }

    Reading& reading_;
    std::string_view state_;
};

/// Whether a device works or rests: what only joins or protects does neither, in any state.
bool has_on_and_off(const Device& device) {
    const DeviceSpec& spec = device.spec;
    return !std::holds_alternative<Protection>(spec) && !std::holds_alternative<Flasher>(spec) &&
           !std::holds_alternative<Ground>(spec) && !std::holds_alternative<Strap>(spec) &&
           !std::holds_alternative<Splice>(spec) && !std::holds_alternative<Stud>(spec) &&
           !std::holds_alternative<Connector>(spec) && !std::holds_alternative<Diode>(spec) &&
           !std::holds_alternative<Resistor>(spec);
}

std::vector<Given<DeviceId>> read_expected(const Fields& fields, std::string_view key) {
    Reading& reading = fields.reading();
    std::vector<Given<DeviceId>> out;
    for (const Node& node : fields.words(key)) {
        if (const auto found =
                find_reference(reading, node, fields.subject(), reading.devices, "device")) {
            const Device& device = reading.vehicle.device(DeviceId(*found));
            if (has_on_and_off(device)) {
                out.push_back({DeviceId(*found), node.where()});
                continue;
            }
            if (!reading.passes[*found].is_broken) {
                reading
                    .complain(Rule::contradiction, fields.subject(), node.where(),
                              fmt::format("{} is {}, which is told neither on nor off", device.name,
                                          with_article(device.word)),
                              "expect it of loads, relays, switches, controllers, units and "
                              "sources")
                    .related.push_back({device.where, "it is defined here"});
            }
        }
    }
    return out;
}

void read_expect(const Fields& fields, State& state) {
    Reading& reading = fields.reading();
    const Node node = fields.get("expect");
    if (!node.is_valid()) {
        return;
    }
    const Fields expect(reading, node, fields.subject(), node.where(), expect_keys);
    state.expect_on = read_expected(expect, "on");
    state.expect_off = read_expected(expect, "off");
    for (const Given<DeviceId>& off : state.expect_off) {
        const auto on = std::ranges::find(state.expect_on, off.value, &Given<DeviceId>::value);
        if (on != state.expect_on.end()) {
            reading
                .complain(Rule::contradiction, fields.subject(), off.where,
                          fmt::format("{} is expected to be on and off",
                                      reading.vehicle.device(off.value).name),
                          "delete it from one of the two lists")
                .related.push_back({on->where, "on is expected here"});
        }
    }
}

void read_set(const Fields& fields, State& state) {
    const Node set = fields.get("set");
    if (!set.is_valid() || !is_map_of_names(fields.reading(), set, "set")) {
        return;
    }
    SettingReader reader(fields.reading(), fields.subject());
    for (const Entry entry : set.entries()) {
        const auto setting = reader.read(entry);
        if (!setting) {
            continue;
        }
        const auto same = std::ranges::find_if(state.settings, [&](const Setting& other) {
            return other.device == setting->device && other.terminal == setting->terminal;
        });
        if (same != state.settings.end()) {
            fields.reading()
                .complain(Rule::contradiction, fields.subject(), setting->where,
                          fmt::format("{} is set twice", quoted(entry.key.text())),
                          "keep one of the two")
                .related.push_back({same->where, "it is set here already"});
            continue;
        }
        state.settings.push_back(*setting);
    }
}

/// A motor and its share of speed, of one entry of `turning`.
std::optional<Turning> read_turning_entry(const Fields& fields, const Entry& entry) {
    Reading& reading = fields.reading();
    const auto found =
        find_reference(reading, entry.key, fields.subject(), reading.devices, "device");
    if (!found || reading.passes[*found].is_broken) {
        return std::nullopt;
    }
    const Device& device = reading.vehicle.device(DeviceId(*found));
    const auto* load = device.as<Load>();
    if (load == nullptr || load->word != "motor") {
        reading
            .complain(Rule::contradiction, fields.subject(), entry.key.where(),
                      fmt::format("{} is {}; only a motor is turned and gives a voltage",
                                  device.name, with_article(device.word)),
                      "name a motor with permanent magnets")
            .related.push_back({device.where, "it is defined here"});
        return std::nullopt;
    }
    const auto speed = quantity_of(reading, entry.value, fields.subject(), "turning",
                                   Dimension::share, ranges::speed);
    return speed ? std::optional(Turning{DeviceId(*found), *speed, entry.key.where()})
                 : std::nullopt;
}

void read_turning(const Fields& fields, State& state) {
    const Node turning = fields.get("turning");
    if (!turning.is_valid() || !is_map_of_names(fields.reading(), turning, "turning")) {
        return;
    }
    for (const Entry entry : turning.entries()) {
        const auto read = read_turning_entry(fields, entry);
        if (!read) {
            continue;
        }
        const auto same = std::ranges::find(state.turning, read->device, &Turning::device);
        if (same != state.turning.end()) {
            fields.reading()
                .complain(Rule::contradiction, fields.subject(), read->where,
                          fmt::format("{} is turned twice", quoted(entry.key.text())),
                          "keep one of the two")
                .related.push_back({same->where, "it is turned here already"});
            continue;
        }
        const auto set = std::ranges::find(state.settings, read->device, &Setting::device);
        if (set != state.settings.end()) {
            fields.reading()
                .complain(Rule::contradiction, fields.subject(), read->where,
                          fmt::format("{} is set and turned", quoted(entry.key.text())),
                          "delete it from `set`: what it takes or gives follows from its speed")
                .related.push_back({set->where, "it is set here"});
            continue;
        }
        state.turning.push_back(*read);
    }
}

void read_state(Reading& reading, const Entry& entry) {
    if (!reading.add_name(reading.states, "state", entry.key, reading.vehicle.states.size())) {
        return;
    }
    const Fields fields(reading, entry.value, entry.key.text(), entry.key.where(), state_keys);
    State state;
    state.name = entry.key.text();
    state.where = entry.key.where();
    state.title = fields.text_or_empty("title");
    (void)fields.text("note");
    if (const auto engine = fields.word("engine", engine_words)) {
        constexpr std::array conditions{EngineCondition::stopped, EngineCondition::cranking,
                                        EngineCondition::idle, EngineCondition::running};
        state.engine = conditions.at(*engine);
    }
    state.lasts = fields.quantity<Seconds>("lasts", ranges::duration);
    if (!state.lasts && (fields.has("lasts") || fields.is_misspelt("lasts"))) {
        reading.unread_durations.insert(reading.vehicle.states.size());
    }
    state.air = fields.quantity<Celsius>("air", ranges::temperature);
    state.battery_temperature =
        fields.quantity<Celsius>("battery-temperature", ranges::temperature);
    state.charge = fields.share("charge", ranges::share);
    if (fields.has("after")) {
        reading.states_before.emplace_back(reading.vehicle.states.size(), fields.get("after"));
    }
    read_set(fields, state);
    read_turning(fields, state);
    read_expect(fields, state);
    reading.vehicle.states.push_back(std::move(state));
}

} // namespace

void read_states(Reading& reading, const Node& section) {
    if (!is_map_of_names(reading, section, "states")) {
        return;
    }
    for (const Entry entry : section.entries()) {
        read_state(reading, entry);
    }
}

void check_needed_in(Reading& reading) {
    for (const Device& device : reading.vehicle.devices) {
        const auto* controller = device.as<Controller>();
        if (controller == nullptr) {
            continue;
        }
        for (const Given<std::string>& state : controller->needed_in) {
            if (!reading.states.find(state.value) && !reading.states.is_unread()) {
                reading.complain(Rule::unknown_reference, device.name, state.where,
                                 fmt::format("there is no state {}", quoted(state.value)),
                                 reading.suggest(state.value, reading.states.names()));
            }
        }
    }
}

} // namespace loomwright
