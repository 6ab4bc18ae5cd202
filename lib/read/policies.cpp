// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Policy and waivers: the limits of this car, and what was seen and accepted.

#include "read/steps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 13> policy_keys{
    "drop",          "fuse-loading",        "sizes",    "least-size",
    "insulation",    "battery-temperature", "take-out", "service-loop",
    "crank-voltage", "ground-offset",       "spare",    "route",
    "colour"};
constexpr std::array<std::string_view, 4> route_keys{"hot", "wet", "moving", "seen"};
constexpr std::array<std::string_view, 3> standard_words{"mm2", "SAE", "AWG"};
constexpr std::array<std::string_view, 1> colour_words{"auto"};
constexpr std::array<std::string_view, 4> waiver_keys{"rule", "on", "because", "by"};

void read_drops(const Fields& fields, Policy& policy) {
    Reading& reading = fields.reading();
    const Node drop = fields.get("drop");
    if (!drop.is_valid() || !is_map_of_names(reading, drop, "drop")) {
        return;
    }
    for (const Entry entry : drop.entries()) {
        const bool is_class = check_drop_class(reading, entry.key, "drop");
        const auto volts = quantity_of(reading, entry.value, "drop", entry.key.text(),
                                       Dimension::voltage, ranges::drop);
        if (!is_class || !volts) {
            continue;
        }
        const Given<Volts> given{Volts(*volts), entry.value.where()};
        const auto [known, is_new] = policy.drop.emplace(entry.key.text(), given);
        if (!is_new) {
            reading
                .complain(Rule::duplicate_key, "drop", entry.key.where(),
                          fmt::format("the drop of {} is given twice", quoted(entry.key.text())),
                          "keep one of the two")
                .related.push_back({known->second.where, "the first one is here"});
        }
    }
}

/// Of several files the first that gives a share counts, as for the other keys.
void read_route(const Fields& policy_fields, RoutePolicy& route) {
    const Node node = policy_fields.get("route");
    if (!node.is_valid()) {
        return;
    }
    const Fields fields(policy_fields.reading(), node, "policy", node.where(), route_keys);
    if (!fields.is_map()) {
        return;
    }
    const auto take = [&](std::string_view key, std::optional<Given<double>>& share) {
        const auto value = fields.share(key, ranges::extra_share);
        if (value && !share) {
            share = Given<double>{*value, fields.where(key)};
        }
    };
    take("hot", route.hot);
    take("wet", route.wet);
    take("moving", route.moving);
    take("seen", route.seen);
}

/// The names a waiver can be for. Findings are about things by name; a terminal counts by its
/// device.
bool is_name_of_something(const Reading& reading, std::string_view name) {
    for (const NameTable* table :
         {&reading.devices, &reading.wires, &reading.circuits, &reading.runs, &reading.points,
          &reading.zones, &reading.states, &reading.supplied}) {
        if (table->find(name)) {
            return true;
        }
    }
    const std::size_t dot = name.find('.');
    return dot != std::string_view::npos && reading.devices.find(name.substr(0, dot)).has_value();
}

std::vector<std::string_view> names_of_everything(const Reading& reading) {
    std::vector<std::string_view> out;
    for (const NameTable* table : {&reading.devices, &reading.wires, &reading.circuits,
                                   &reading.runs, &reading.points, &reading.states}) {
        out.insert(out.end(), table->names().begin(), table->names().end());
    }
    return out;
}

std::optional<std::string> need_reason(const Fields& fields, std::string_view key,
                                       std::string_view why) {
    const Node node = fields.need(key);
    if (!node.is_valid()) {
        return std::nullopt;
    }
    const auto text = fields.text(key);
    if (text && trimmed(*text).empty()) {
        fields.complain(Rule::wrong_shape, key, fmt::format("`{}` is empty", key),
                        std::string(why));
        return std::nullopt;
    }
    return text ? std::optional(std::string(*text)) : std::nullopt;
}

void read_waived_rule(const Fields& fields, Waiver& waiver) {
    Reading& reading = fields.reading();
    if (!fields.need("rule").is_valid()) {
        return;
    }
    const auto text = fields.text("rule");
    if (!text) {
        return;
    }
    const RuleInfo* rule = find_rule(*text);
    if (rule == nullptr || rule->is_input) {
        std::vector<std::string_view> known;
        for (const RuleInfo& row : rule_catalogue()) {
            if (!row.is_input) {
                known.push_back(row.id);
            }
        }
        fields.complain(
            Rule::unknown_word, "rule",
            rule == nullptr
                ? fmt::format("there is no rule {}", quoted(*text))
                : fmt::format("{} is a fault of the file, which cannot be waived", quoted(*text)),
            rule == nullptr ? reading.suggest(*text, known) : "correct the file");
        return;
    }
    waiver.rule = rule->id;
}

void read_waiver(Reading& reading, const Node& node) {
    const Fields fields(reading, node, "waivers", node.where(), waiver_keys);
    if (!fields.is_map()) {
        return;
    }
    Waiver waiver;
    waiver.where = fields.where("rule");
    read_waived_rule(fields, waiver);
    waiver.because =
        need_reason(fields, "because", "say why this is accepted: it stands on every paper")
            .value_or("");
    waiver.by = need_reason(fields, "by", "say who accepts it").value_or("");
    for (const Node& name : fields.words("on")) {
        if (!is_name_of_something(reading, name.text())) {
            if (reading.has_unread_section) {
                continue; // it may stand there
            }
            reading.complain(Rule::unknown_reference, "waivers", name.where(),
                             fmt::format("nothing here is called {}", quoted(name.text())),
                             reading.suggest(name.text(), names_of_everything(reading)));
            continue;
        }
        waiver.on.push_back({std::string(name.text()), name.where()});
    }
    reading.vehicle.waivers.push_back(std::move(waiver));
}

} // namespace

void read_policy(Reading& reading, const Node& section, NameTable& seen) {
    if (!is_map_of_names(reading, section, "policy")) {
        return;
    }
    for (const Entry entry : section.entries()) {
        // `drop` is a map whose own keys are compared.
        if (entry.key.text() != "drop") {
            (void)reading.add_name(seen, "policy", entry.key, 0);
        }
    }
    const Fields fields(reading, section, "policy", section.where(), policy_keys);
    Policy& policy = reading.vehicle.policy;
    const auto keep_first = [](auto& known, auto value) {
        if (value && !known) {
            known = std::move(value);
        }
    };
    const auto share = [&](std::string_view key, Range range) -> std::optional<Given<double>> {
        const auto value = fields.share(key, range);
        return value ? std::optional(Given<double>{*value, fields.where(key)}) : std::nullopt;
    };
    read_drops(fields, policy);
    keep_first(policy.fuse_loading, share("fuse-loading", ranges::some_share));
    if (const auto word = fields.word("sizes", standard_words)) {
        constexpr std::array standards{SizeStandard::iso, SizeStandard::sae, SizeStandard::awg};
        keep_first(policy.sizes,
                   std::optional(Given<SizeStandard>{standards.at(*word), fields.where("sizes")}));
    }
    if (const Node node = fields.get("least-size"); node.is_valid()) {
        if (const auto size = read_conductor_size(reading, node, "policy", "least-size")) {
            keep_first(policy.least_size, std::optional(Given<ConductorSize>{*size, node.where()}));
        }
    }
    keep_first(policy.insulation, read_insulation(fields));
    keep_first(policy.battery_temperature,
               fields.given<Celsius>("battery-temperature", ranges::temperature));
    keep_first(policy.take_out, fields.given<Metres>("take-out", ranges::allowance));
    keep_first(policy.service_loop, fields.given<Metres>("service-loop", ranges::allowance));
    keep_first(policy.crank_voltage, fields.given<Volts>("crank-voltage", ranges::voltage));
    keep_first(policy.ground_offset, fields.given<Volts>("ground-offset", ranges::drop));
    keep_first(policy.spare, share("spare", ranges::extra_share));
    read_route(fields, policy.route);
    if (fields.word("colour", colour_words)) {
        reading.colours_are_auto = true;
    }
}

void leave_colours_open(Reading& reading) {
    if (!reading.colours_are_auto) {
        return;
    }
    for (Wire& wire : reading.vehicle.wires) {
        wire.colour_is_auto |= wire.colour.empty() && !wire.retained;
    }
}

void read_waivers(Reading& reading, const Node& section) {
    if (section.is_nothing()) {
        return;
    }
    if (!section.is_list()) {
        reading.complain(Rule::wrong_shape, "waivers", section.where(),
                         fmt::format("`waivers` wants a list, not {}", shape_name(section)),
                         "write each one as `- {rule: ..., because: ..., by: ...}`");
        return;
    }
    for (const Node item : section.items()) {
        read_waiver(reading, item);
    }
}

} // namespace loomwright
