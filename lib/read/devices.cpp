// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/kinds.hpp"
#include "read/steps.hpp"

#include "base/spelling.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

// Every device may have those in the middle.
constexpr std::array<std::string_view, 6> common_keys{"case", "is", "at", "title", "note", "plug"};

/// Keys of a kind and of every device, to compare with.
Keys common_keys_of(const KindInfo& kind) {
    const std::size_t first = kind.may_have_case ? 0 : 1;
    const std::size_t last = common_keys.size() - (kind.may_have_plug ? 0 : 1);
    return Keys(common_keys).subspan(first, last - first);
}

/// A name that a path can hold: no `.` (it parts device from terminal), no `>`, no spaces.
bool check_device_name(Reading& reading, const Node& key) {
    const std::string_view name = key.text();
    const std::size_t bad = name.find_first_of(".> \t\r\n");
    if (bad == std::string_view::npos) {
        return true;
    }
    const bool is_space = name[bad] != '.' && name[bad] != '>';
    reading.complain(Rule::wrong_shape, name, key.where(),
                     fmt::format("the name of a device cannot hold {}",
                                 is_space ? "a space" : fmt::format("`{}`", name[bad])),
                     "a path could not tell where the name ends: use letters, digits, `-` and `_`");
    return false;
}

/// The terminal that `case:` bolts to the metal: `-` or 31; of a controller its only ground.
int case_terminal_of(const Device& device) {
    for (const std::string_view name : {"-", "31"}) {
        if (const int found = device.terminal(name); found >= 0) {
            return found;
        }
    }
    return -1;
}

void read_case(const Fields& fields, Device& device) {
    const Node node = fields.get("case");
    if (!node.is_valid()) {
        return;
    }
    const auto body = read_body(fields.reading(), node, fields.subject(), "case");
    if (!body) {
        return;
    }
    device.case_body = *body;
    device.case_terminal = case_terminal_of(device);
    if (device.case_terminal < 0 && device.as<Controller>() == nullptr) {
        fields.complain(Rule::contradiction, "case",
                        "`case` bolts the terminal `-` or `31` to metal, and there is neither",
                        "name the ground terminal `31`, or leave `case` out");
    }
}

void set_terminals(const KindInfo& kind, Device& device, DefaultPass& pass) {
    device.terminals.assign(kind.terminals.begin(), kind.terminals.end());
    pass.in = device.terminal(kind.in);
    pass.out = device.terminal(kind.out);
}

/// The kind that `is:` names; complains when there is none.
const KindInfo* read_kind(Reading& reading, const Node& map, std::string_view subject,
                          SourceRange owner) {
    if (!map.is_map()) {
        reading.complain(Rule::wrong_shape, subject, map.is_nothing() ? owner : map.where(),
                         fmt::format("a device is a map of keys, not {}", shape_name(map)),
                         "write `{is: lamp, ...}`");
        return nullptr;
    }
    const Node is = map.find("is");
    if (!is.is_valid()) {
        reading.complain(Rule::missing_key, subject, owner, "the key `is` is missing",
                         "say what the device is: `is: lamp`");
        return nullptr;
    }
    const auto word = need_text(reading, is, subject, "is");
    if (!word) {
        return nullptr;
    }
    const KindInfo* kind = find_kind(*word);
    if (kind == nullptr) {
        reading.complain(Rule::unknown_word, subject, is.where(),
                         fmt::format("{} is not a kind of device", quoted(*word)),
                         reading.suggest(*word, kind_words()));
    }
    return kind;
}

/// Adds a device under a name that is known to be free.
DeviceId add_device(Reading& reading, Device device, DefaultPass pass) {
    reading.vehicle.devices.push_back(std::move(device));
    reading.passes.push_back(pass);
    return DeviceId(reading.vehicle.devices.size() - 1);
}

/// Terminals of an inner device: the unit's, which `from` and `to` name.
void place_inner(const Fields& fields, const Device& unit, Device& inner) {
    Reading& reading = fields.reading();
    for (const std::string_view key : {"from", "to"}) {
        const Node node = fields.need(key);
        inner.housing_terminal.push_back(
            node.is_valid() ? read_terminal(reading, node, fields.subject(), key, unit) : -1);
    }
    if (inner.housing_terminal[0] >= 0 && inner.housing_terminal[0] == inner.housing_terminal[1]) {
        fields
            .complain(Rule::contradiction, "to",
                      "both ends of the inner device are the same terminal", "name two terminals")
            .related.push_back({fields.where("from"), "the other end"});
    }
}

void place_inner_switch(const Fields& fields, const Device& unit, Device& inner) {
    Switch contacts;
    std::vector<std::string> terminals = unit.terminals;
    (void)read_positions(fields, contacts, terminals, true);
    contacts.contact = fields.quantity<Amps>("contact", ranges::current);
    // Only the terminals that a position joins are the switch's own.
    std::vector<int> own(unit.terminals.size(), -1);
    for (SwitchPosition& position : contacts.positions) {
        for (ContactPair& pair : position.closed) {
            for (int* end : {&pair.from, &pair.to}) {
                int& mine = own[static_cast<std::size_t>(*end)];
                if (mine < 0) {
                    mine = static_cast<int>(inner.terminals.size());
                    inner.terminals.push_back(unit.terminals[static_cast<std::size_t>(*end)]);
                    inner.housing_terminal.push_back(*end);
                }
                *end = mine;
            }
        }
    }
    inner.spec_where = fields.where("contact");
    inner.spec = std::move(contacts);
}

constexpr std::array<std::string_view, 5> inner_keys{"is", "title", "note", "from", "to"};
constexpr std::array<std::string_view, 3> inner_switch_keys{"is", "title", "note"};

void read_inner(Reading& reading, DeviceId unit_id, const Entry& entry) {
    const Device unit = reading.vehicle.device(unit_id);
    const std::string_view name = reading.keep(fmt::format("{}/{}", unit.name, entry.key.text()));
    const std::size_t index = reading.vehicle.devices.size();
    if (!check_device_name(reading, entry.key)) {
        return;
    }
    if (!reading.devices.add(name, index, entry.key.where())) {
        reading
            .complain(Rule::duplicate_key, name, entry.key.where(),
                      "there is a device of this name already", "give one of the two another name")
            .related.push_back({reading.devices.where(name), "the first one is here"});
        return;
    }
    Device inner;
    inner.name = std::string(name);
    inner.where = entry.key.where();
    inner.at = unit.at;
    inner.housing = unit_id;
    DefaultPass pass{.is_broken = true};
    const KindInfo* kind = read_kind(reading, entry.value, name, entry.key.where());
    if (kind != nullptr && !kind->may_be_inside) {
        reading.complain(Rule::unknown_word, name, entry.value.find("is").where(),
                         fmt::format("a {} cannot be inside a unit", kind->word),
                         "only simple devices can: loads, switches, fuses, resistors, diodes");
        kind = nullptr;
    }
    if (kind != nullptr) {
        inner.word = kind->word;
        const bool is_switch = kind->word == "switch";
        const Fields fields(reading, entry.value, name, entry.key.where(), kind->keys,
                            is_switch ? Keys(inner_switch_keys) : Keys(inner_keys));
        inner.title = fields.text_or_empty("title");
        (void)fields.text("note");
        if (is_switch) {
            place_inner_switch(fields, unit, inner);
        } else {
            set_terminals(*kind, inner, pass);
            (void)kind->read(fields, inner, pass);
            place_inner(fields, unit, inner);
        }
        pass.is_broken = false;
    }
    add_device(reading, std::move(inner), pass);
}

void read_insides(Reading& reading, const Node& inside, DeviceId unit) {
    if (!inside.is_map()) {
        return; // complained of by read_unit
    }
    for (const Entry entry : inside.entries()) {
        read_inner(reading, unit, entry);
    }
}

void read_device(Reading& reading, const Entry& entry) {
    const std::string_view name = entry.key.text();
    (void)check_device_name(reading, entry.key);
    if (!reading.add_name(reading.devices, "device", entry.key, reading.vehicle.devices.size())) {
        return;
    }
    Device device;
    device.name = std::string(name);
    device.where = device.spec_where = entry.key.where();
    // Broken until its kind is known: a path through it is then not complained of as well.
    DefaultPass pass{.is_broken = true};
    const KindInfo* kind = read_kind(reading, entry.value, name, entry.key.where());
    if (kind == nullptr) {
        add_device(reading, std::move(device), pass);
        return;
    }
    device.word = kind->word;
    const Fields fields(reading, entry.value, name, entry.key.where(), kind->keys,
                        common_keys_of(*kind));
    if (const auto at = fields.reference("at", reading.points, "point")) {
        device.at = PointId(*at);
    }
    device.title = fields.text_or_empty("title");
    (void)fields.text("note");
    set_terminals(*kind, device, pass);
    (void)kind->read(fields, device, pass);
    pass.is_broken = device.terminals.empty();
    if (kind->may_have_case) {
        read_case(fields, device);
    }
    if (kind->may_have_plug) {
        read_plug(fields, device);
    }
    const bool is_unit = device.as<Unit>() != nullptr;
    const DeviceId id = add_device(reading, std::move(device), pass);
    if (is_unit) {
        read_insides(reading, fields.get("inside"), id);
    }
}

/// What to do about a mate that is not there: only another connector can have been meant.
std::string suggest_mate(Reading& reading, std::string_view own, std::string_view wanted) {
    std::vector<std::string_view> others;
    for (const Device& device : reading.vehicle.devices) {
        if (device.as<Connector>() != nullptr && device.name != own) {
            others.emplace_back(device.name);
        }
    }
    return others.empty() ? "add the other half, or leave `mate` out for a mated pair"
                          : reading.suggest(wanted, others);
}

/// Reads `mate:` of a connector; -1 without one, or with a faulty one.
std::optional<std::size_t> read_mate(Reading& reading, std::string_view name, const Node& node) {
    const auto text = need_text(reading, node, name, "mate");
    if (!text) {
        return std::nullopt;
    }
    const auto mate = reading.devices.find(*text);
    if (!mate && reading.devices.is_unread()) {
        return std::nullopt;
    }
    if (!mate) {
        reading.complain(Rule::unknown_reference, name, node.where(),
                         fmt::format("there is no connector {}", quoted(*text)),
                         suggest_mate(reading, name, *text));
        return std::nullopt;
    }
    const Device& other = reading.vehicle.devices[*mate];
    if (other.name == name) {
        reading.complain(Rule::contradiction, name, node.where(), "a connector is not its own mate",
                         "name the other half, or leave `mate` out for a mated pair");
        return std::nullopt;
    }
    if (other.as<Connector>() == nullptr) {
        if (!reading.passes[*mate].is_broken) {
            reading
                .complain(
                    Rule::contradiction, name, node.where(),
                    fmt::format("{} is {}, not a connector", other.name, with_article(other.word)),
                    "name the other half of this connector")
                .related.push_back({other.where, "it is defined here"});
        }
        return std::nullopt;
    }
    return mate;
}

void join_mates(Reading& reading, std::size_t index, std::size_t mate, const Node& node) {
    Device& own = reading.vehicle.devices[index];
    Device& other = reading.vehicle.devices[mate];
    auto& own_spec = std::get<Connector>(own.spec);
    auto& other_spec = std::get<Connector>(other.spec);
    if (own_spec.mate.is_valid() && own_spec.mate != DeviceId(mate)) {
        const Device& first = reading.vehicle.device(own_spec.mate);
        reading
            .complain(Rule::contradiction, own.name, node.where(),
                      fmt::format("{} has {} for its mate, and names {} here", own.name, first.name,
                                  other.name),
                      "a connector half has one mate: correct one of the two")
            .related.push_back({first.where, fmt::format("{} is defined here", first.name)});
        return;
    }
    if (other_spec.mate.is_valid() && other_spec.mate != DeviceId(index)) {
        reading
            .complain(Rule::contradiction, own.name, node.where(),
                      fmt::format("{} has another mate: {}", other.name,
                                  reading.vehicle.device(other_spec.mate).name),
                      "a connector half has one mate: correct one of the two")
            .related.push_back({other.where, fmt::format("{} is defined here", other.name)});
        return;
    }
    for (const std::string& cavity : own.terminals) {
        if (other.terminal(cavity) < 0 || other.terminals.size() != own.terminals.size()) {
            reading
                .complain(Rule::contradiction, own.name, node.where(),
                          fmt::format("{} and its mate {} do not have the same cavities", own.name,
                                      other.name),
                          "give both halves the same `cavities`")
                .related.push_back({other.where, fmt::format("{} is defined here", other.name)});
            break;
        }
    }
    own_spec.mate = DeviceId(mate);
    other_spec.mate = DeviceId(index);
}

} // namespace

bool read_unit(const Fields& fields, Device& device, DefaultPass& pass) {
    device.spec = Unit();
    if (fields.need("terminals").is_valid()) {
        device.terminals = read_terminal_names(fields, "terminals");
    }
    if (device.terminals.size() == 2) {
        pass.in = 0;
        pass.out = 1;
    }
    const Node inside = fields.need("inside");
    if (inside.is_valid() && (!inside.is_map() || inside.size() == 0)) {
        fields.complain(Rule::wrong_shape, "inside",
                        "`inside` wants a map of the devices in this housing",
                        "write `inside: {tail: {is: lamp, from: 58, to: 31, draws: 5 W}}`");
    }
    return !device.terminals.empty();
}

void read_devices(Reading& reading, const Node& section) {
    if (!is_map_of_names(reading, section, "devices")) {
        return;
    }
    reading.devices.reserve(section.size());
    reading.vehicle.devices.reserve(reading.vehicle.devices.size() + section.size());
    for (const Entry entry : section.entries()) {
        if (const Node mate = entry.value.find("mate"); mate.is_valid()) {
            reading.mates.emplace_back(entry.key.text(), mate);
        }
        read_device(reading, entry);
    }
}

void finish_devices(Reading& reading) {
    for (const auto& [name, node] : reading.mates) {
        const auto own = reading.devices.find(name);
        if (!own || reading.vehicle.devices[*own].as<Connector>() == nullptr) {
            continue;
        }
        if (const auto mate = read_mate(reading, name, node)) {
            join_mates(reading, *own, *mate, node);
        }
    }
}

} // namespace loomwright
