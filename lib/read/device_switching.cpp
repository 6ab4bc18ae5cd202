// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What protects and what switches: fuse, breaker, fusible link, relay, flasher, switch.

#include "read/kinds.hpp"
#include "read/steps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 3> breaker_words{"I", "II", "III"};

ProtectionKind protection_kind(std::string_view word) {
    if (word == "breaker") {
        return ProtectionKind::breaker;
    }
    return word == "fusible-link" ? ProtectionKind::fusible_link : ProtectionKind::fuse;
}

std::string_view default_family(ProtectionKind kind) {
    switch (kind) {
    case ProtectionKind::fuse:
        return "blade";
    case ProtectionKind::breaker:
        return "breaker";
    case ProtectionKind::fusible_link:
        return "fusible-link";
    }
    return "blade";
}

/// The family's name; complains of one that the tables do not have for this kind.
std::string read_family(const Fields& fields, ProtectionKind kind) {
    Reading& reading = fields.reading();
    const auto text = fields.text("family");
    if (!text) {
        return std::string(default_family(kind));
    }
    const FuseFamily* family = reading.catalogue.find_fuse_family(*text);
    if (family == nullptr || family->kind != kind) {
        std::vector<std::string_view> known;
        for (const FuseFamily& row : reading.catalogue.fuse_families()) {
            if (row.kind == kind) {
                known.emplace_back(row.name);
            }
        }
        fields.complain(Rule::unknown_word, "family",
                        family == nullptr
                            ? fmt::format("there is no family {}", quoted(*text))
                            : fmt::format("the family {} is of another kind", quoted(*text)),
                        reading.suggest(*text, known));
    }
    return std::string(*text);
}

bool read_rating(const Fields& fields, Device& device, Protection& protection, bool is_needed) {
    device.spec_where = fields.where("rating");
    const Node node = is_needed ? fields.need("rating") : fields.get("rating");
    if (!node.is_valid()) {
        return !is_needed;
    }
    if (scalar_text(node) == "auto") {
        return true;
    }
    protection.rating = fields.quantity<Amps>("rating", ranges::current);
    return protection.rating.has_value();
}

/// One pair of a position, "30-15". Where names hold `-` themselves, the cut that fits known names
/// is taken.
std::optional<std::pair<std::string_view, std::string_view>>
split_pair(std::string_view text, const std::vector<std::string>& known) {
    std::vector<std::pair<std::string_view, std::string_view>> cuts;
    for (std::size_t at = text.find('-'); at != std::string_view::npos;
         at = text.find('-', at + 1)) {
        cuts.emplace_back(trimmed(text.substr(0, at)), trimmed(text.substr(at + 1)));
    }
    std::erase_if(cuts, [](const auto& cut) { return cut.first.empty() || cut.second.empty(); });
    if (cuts.size() > 1) {
        std::vector<std::pair<std::string_view, std::string_view>> fitting;
        for (const auto& cut : cuts) {
            if (std::ranges::find(known, cut.first) != known.end() &&
                std::ranges::find(known, cut.second) != known.end()) {
                fitting.push_back(cut);
            }
        }
        cuts = fitting;
    }
    return cuts.size() == 1 ? std::optional(cuts.front()) : std::nullopt;
}

/// Index of the name among the terminals; adds it unless they are fixed. -1 when it is not there.
int place_terminal(std::string_view name, std::vector<std::string>& terminals, bool fixed) {
    const auto found = std::ranges::find(terminals, name);
    if (found != terminals.end()) {
        return static_cast<int>(found - terminals.begin());
    }
    if (fixed) {
        return -1;
    }
    terminals.emplace_back(name);
    return static_cast<int>(terminals.size() - 1);
}

std::optional<ContactPair> read_contact(const Fields& fields, const Node& node,
                                        std::vector<std::string>& terminals, bool fixed) {
    Reading& reading = fields.reading();
    const std::string_view text = node.text();
    const auto cut = split_pair(text, terminals);
    if (!cut || text.find('>') != std::string_view::npos) {
        reading.complain(Rule::wrong_shape, fields.subject(), node.where(),
                         fmt::format("{} is not a pair of terminals", quoted(text)),
                         "write the two terminals that this position joins: `30-15`");
        return std::nullopt;
    }
    if (cut->first == cut->second) {
        reading.complain(Rule::contradiction, fields.subject(), node.where(),
                         fmt::format("{} joins a terminal to itself", quoted(text)),
                         "name two terminals");
        return std::nullopt;
    }
    ContactPair pair;
    for (const auto& [name, index] :
         {std::pair(cut->first, &pair.from), std::pair(cut->second, &pair.to)}) {
        *index = place_terminal(name, terminals, fixed);
        if (*index < 0) {
            const std::vector<std::string_view> known(terminals.begin(), terminals.end());
            const auto offset = static_cast<std::size_t>(name.data() - text.data());
            reading.complain(
                Rule::unknown_terminal, fields.subject(), node.where(offset, name.size()),
                fmt::format("there is no terminal {}", quoted(name)), reading.suggest(name, known));
            return std::nullopt;
        }
    }
    return pair;
}

void check_relay_voltages(const Fields& fields, const Relay& relay) {
    if (!relay.pulls_in || !relay.drops_out || *relay.pulls_in > *relay.drops_out) {
        return;
    }
    fields
        .complain(
            Rule::contradiction, "pulls-in",
            "the relay pulls in at no more than the voltage at which it drops out",
            "a relay pulls in at a higher voltage than it drops out at: correct one of the two")
        .related.push_back({fields.where("drops-out"), "it drops out here"});
}

} // namespace

bool read_protection(const Fields& fields, Device& device, DefaultPass&) {
    Protection protection;
    protection.kind = protection_kind(device.word);
    protection.family = read_family(fields, protection.kind);
    const bool is_good = read_rating(fields, device, protection, true);
    protection.resistance = fields.quantity<Ohms>("resistance", ranges::resistance);
    if (const auto word = fields.word("type", breaker_words)) {
        constexpr std::array kinds{BreakerReset::by_itself, BreakerReset::when_power_off,
                                   BreakerReset::by_hand};
        protection.reset = kinds.at(*word);
    }
    protection.breaking = fields.quantity<Amps>("breaking", ranges::breaking);
    device.spec = protection;
    return is_good;
}

bool read_fusible_link(const Fields& fields, Device& device, DefaultPass&) {
    Protection protection;
    protection.kind = ProtectionKind::fusible_link;
    protection.family = read_family(fields, protection.kind);
    if (fields.has("size")) {
        protection.link =
            read_conductor_size(fields.reading(), fields.get("size"), fields.subject(), "size");
    }
    const bool is_good = read_rating(fields, device, protection, false);
    if (!fields.has("size") && !fields.has("rating")) {
        fields.reading().complain(Rule::missing_key, fields.subject(), fields.owner(),
                                  "a fusible link needs its conductor `size` or its `rating`",
                                  "add `size: 0.75 mm2`, or what it is sold by");
    } else if (is_good && !fields.has("size") && !protection.rating) {
        fields.complain(Rule::missing_key, "rating",
                        "the `rating` of a fusible link is never chosen: it goes by the `size` of "
                        "its conductor, which is missing",
                        "add `size: 0.75 mm2`, or write the rating that it is sold by: `rating: "
                        "40 A`");
    }
    protection.resistance = fields.quantity<Ohms>("resistance", ranges::resistance);
    device.spec = protection;
    return is_good;
}

bool read_relay(const Fields& fields, Device& device, DefaultPass&) {
    Reading& reading = fields.reading();
    Relay relay;
    relay.contact = fields.needed<Amps>("contact", ranges::current);
    relay.contact_break = fields.quantity<Amps>("contact-break", ranges::current);
    const double scale = reading.per_12_volts() * reading.per_12_volts();
    relay.coil = fields.quantity<Ohms>("coil", ranges::some_resistance)
                     .value_or(Ohms(reading.catalogue.default_value("relay-coil").value * scale));
    relay.pulls_in = fields.quantity<Volts>("pulls-in", ranges::voltage);
    relay.drops_out = fields.quantity<Volts>("drops-out", ranges::voltage);
    relay.suppression = read_suppression(fields);
    const auto has_break = fields.truth("break-contact");
    relay.has_break_contact = has_break.value_or(relay.contact_break.has_value());
    if (has_break == false) {
        reading.no_break_contact.emplace(reading.vehicle.devices.size(),
                                         fields.where("break-contact"));
    }
    if (has_break == false && relay.contact_break) {
        fields
            .complain(Rule::contradiction, "contact-break",
                      "a rating for a break contact that the relay is said not to have",
                      "leave one of the two out")
            .related.push_back({fields.where("break-contact"), "it is said here"});
    }
    check_relay_voltages(fields, relay);
    device.spec_where = fields.where("contact");
    device.spec = relay;
    return relay.contact.has_value();
}

bool read_flasher(const Fields& fields, Device& device, DefaultPass&) {
    device.spec_where = fields.where("contact");
    device.spec = Flasher{fields.quantity<Amps>("contact", ranges::current)};
    return true;
}

bool read_positions(const Fields& fields, Switch& contacts, std::vector<std::string>& terminals,
                    bool fixed) {
    Reading& reading = fields.reading();
    const Node positions = fields.need("positions");
    if (!positions.is_valid()) {
        return false;
    }
    if (!positions.is_map() || positions.size() == 0) {
        fields.complain(Rule::wrong_shape, "positions",
                        "`positions` wants a map of positions and the pairs they join",
                        "write `positions: {off: [], on: [1-2]}`");
        return false;
    }
    for (const Entry entry : positions.entries()) {
        SwitchPosition& position = contacts.positions.emplace_back();
        position.name = entry.key.text();
        position.where = entry.key.where();
        for (const Node& node :
             list_of_words(reading, entry.value, fields.subject(), position.name)) {
            if (const auto pair = read_contact(fields, node, terminals, fixed)) {
                position.closed.push_back(*pair);
            }
        }
    }
    return true;
}

bool read_switch(const Fields& fields, Device& device, DefaultPass& pass) {
    Switch contacts;
    const bool is_good = read_positions(fields, contacts, device.terminals, false);
    contacts.contact = fields.quantity<Amps>("contact", ranges::current);
    bool is_empty = true; // a pair that was complained of counts as one
    for (const Entry entry : fields.get("positions").entries()) {
        is_empty = is_empty && entry.value.is_list() && entry.value.size() == 0;
    }
    if (is_good && is_empty) {
        fields.complain(Rule::wrong_shape, "positions", "no position of this switch joins anything",
                        "name the terminals that a position joins: `on: [1-2]`");
    }
    if (device.terminals.size() == 2) {
        pass.in = 0;
        pass.out = 1;
    }
    device.spec_where = fields.where("contact");
    device.spec = std::move(contacts);
    return is_good;
}

} // namespace loomwright
