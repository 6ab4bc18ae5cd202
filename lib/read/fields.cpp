// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/fields.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

/// A limit in the unit that people use first: "100 m", "10 000 Ah".
std::string show_limit(double value, Dimension dimension) {
    const UnitSpelling& unit = leading_unit(dimension);
    return fmt::format("{} {}", show_number((value - unit.offset) / unit.factor, 6), unit.spelling);
}

/// "a length must be more than 0 m and at most 100 m".
std::string show_range(Dimension dimension, Range range) {
    return fmt::format("{} here must be {} {} and at most {}", dimension_name(dimension),
                       range.above ? "more than" : "at least", show_limit(range.least, dimension),
                       show_limit(range.most, dimension));
}

} // namespace

bool contains(Keys keys, std::string_view key) {
    return std::ranges::find(keys, key) != keys.end();
}

Fields::Fields(Reading& reading, const Node& map, std::string_view subject, SourceRange owner,
               Keys keys, Keys more_keys)
    : reading_(reading), map_(map), subject_(subject), owner_(owner) {
    if (!map.is_map()) {
        const SourceRange where = map.is_nothing() ? owner : map.where();
        reading.complain(Rule::wrong_shape, subject, where,
                         fmt::format("a map of keys is wanted here, not {}", shape_name(map)),
                         "write `{key: value, ...}`");
        return;
    }
    check_keys(keys, more_keys);
}

void Fields::check_keys(Keys keys, Keys more_keys) {
    for (const Entry entry : map_.entries()) {
        const std::string_view key = entry.key.text();
        if (contains(keys, key) || contains(more_keys, key)) {
            continue;
        }
        std::vector<std::string_view> known(keys.begin(), keys.end());
        known.insert(known.end(), more_keys.begin(), more_keys.end());
        // A comma in a text inside { } ends the text: what follows it looks like a key.
        const bool is_rest_of_text = entry.value.is_nothing() && entry.value.text().empty();
        const auto near = reading_.near_name(key, known);
        std::string remedy = suggestion(near, known);
        if (near) {
            meant_.push_back(*near);
        }
        if (is_rest_of_text) {
            remedy += "; a text with a comma inside { } needs quotes";
        }
        reading_.complain(Rule::unknown_key, subject_, entry.key.where(),
                          fmt::format("the key {} is not known here", quoted(key)),
                          std::move(remedy));
    }
}

bool Fields::is_misspelt(std::string_view key) const {
    return std::ranges::find(meant_, key) != meant_.end() && !has(key);
}

Node Fields::need(std::string_view key) const {
    const Node node = get(key);
    if (!node.is_valid() && map_.is_map() && !is_misspelt(key)) {
        reading_.complain(Rule::missing_key, subject_, owner_,
                          fmt::format("the key `{}` is missing", key),
                          fmt::format("add `{}: ...`", key));
    }
    return node;
}

SourceRange Fields::where(std::string_view key) const {
    const Node node = get(key);
    return node.is_valid() ? node.where() : owner_;
}

Finding& Fields::complain(Rule rule, std::string_view key, std::string message,
                          std::string remedy) const {
    return reading_.complain(rule, subject_, where(key), std::move(message), std::move(remedy));
}

std::optional<std::string_view> Fields::text(std::string_view key) const {
    const Node node = get(key);
    return node.is_valid() ? need_text(reading_, node, subject_, key) : std::nullopt;
}

std::string Fields::text_or_empty(std::string_view key) const {
    return std::string(text(key).value_or(std::string_view()));
}

std::optional<bool> Fields::truth(std::string_view key) const {
    const auto word = text(key);
    if (!word) {
        return std::nullopt;
    }
    const auto value = read_truth(*word);
    if (!value) {
        complain(Rule::unknown_word, key,
                 fmt::format("`{}` is {}; it can be yes or no", key, quoted(*word)),
                 "write `yes` or `no`");
    }
    return value;
}

std::optional<double> Fields::share(std::string_view key, Range range) const {
    return number_with_unit(key, Dimension::share, range);
}

std::optional<int> Fields::count(std::string_view key, int least, int most) const {
    const auto word = text(key);
    if (!word) {
        return std::nullopt;
    }
    TextFault fault;
    const auto value = read_count(*word, fault);
    if (!value) {
        complain_of_text(reading_, get(key), subject_, fault);
        return std::nullopt;
    }
    if (*value < least || *value > most) {
        complain(Rule::out_of_range, key,
                 fmt::format("{} is not possible: `{}` can be {} to {}", *value, key, least, most),
                 "correct the number");
        return std::nullopt;
    }
    return value;
}

std::optional<std::size_t> Fields::word(std::string_view key, Keys words) const {
    const auto word = text(key);
    if (!word) {
        return std::nullopt;
    }
    const auto found = std::ranges::find(words, *word);
    if (found == words.end()) {
        complain(Rule::unknown_word, key,
                 fmt::format("{} is not a word for `{}`", quoted(*word), key),
                 reading_.suggest(*word, words));
        return std::nullopt;
    }
    return static_cast<std::size_t>(found - words.begin());
}

std::optional<double> Fields::number_with_unit(std::string_view key, Dimension dimension,
                                               Range range) const {
    const Node node = get(key);
    return node.is_valid() ? quantity_of(reading_, node, subject_, key, dimension, range)
                           : std::nullopt;
}

std::vector<Node> Fields::words(std::string_view key) const {
    const Node node = get(key);
    return node.is_valid() ? list_of_words(reading_, node, subject_, key) : std::vector<Node>();
}

std::optional<std::size_t> Fields::reference(std::string_view key, const NameTable& table,
                                             std::string_view what) const {
    const Node node = get(key);
    return node.is_valid() && need_text(reading_, node, subject_, key)
               ? find_reference(reading_, node, subject_, table, what)
               : std::nullopt;
}

std::optional<std::string_view> need_text(Reading& reading, const Node& node,
                                          std::string_view subject, std::string_view what) {
    const auto text = scalar_text(node);
    if (text) {
        return text;
    }
    if (node.is_nothing()) {
        reading.complain(Rule::wrong_shape, subject, node.where(),
                         fmt::format("`{}` has no value", what),
                         "write the value, or leave the key out");
    } else {
        reading.complain(Rule::wrong_shape, subject, node.where(),
                         fmt::format("`{}` wants a single value, not {}", what, shape_name(node)),
                         "write one value");
    }
    return std::nullopt;
}

std::vector<Node> list_of_words(Reading& reading, const Node& node, std::string_view subject,
                                std::string_view what) {
    std::vector<Node> out;
    if (scalar_text(node)) {
        return {node};
    }
    if (!node.is_list()) {
        reading.complain(Rule::wrong_shape, subject, node.where(),
                         fmt::format("`{}` wants a list of names, not {}", what, shape_name(node)),
                         "write `[a, b]`");
        return out;
    }
    for (const Node item : node.items()) {
        if (scalar_text(item)) {
            out.push_back(item);
        } else {
            reading.complain(
                Rule::wrong_shape, subject, item.where(),
                fmt::format("an item of `{}` must be one name, not {}", what, shape_name(item)),
                "write `[a, b]`");
        }
    }
    return out;
}

Finding& complain_of_text(Reading& reading, const Node& node, std::string_view subject,
                          const TextFault& fault) {
    const bool is_part = fault.length != std::string_view::npos;
    return reading.complain(fault.rule, subject,
                            is_part ? node.where(fault.offset, fault.length) : node.where(),
                            fault.message, fault.remedy);
}

bool check_range(Reading& reading, const Node& node, std::string_view subject, SourceRange where,
                 QuantityValue value, Range range) {
    const bool is_enough = range.above ? value.value > range.least : value.value >= range.least;
    if (is_enough && value.value <= range.most) {
        return true;
    }
    reading.complain(Rule::out_of_range, subject, where,
                     fmt::format("{} is not possible: {}", quoted(node.text()),
                                 show_range(value.dimension, range)),
                     "correct the number or its unit");
    return false;
}

std::optional<double> quantity_of(Reading& reading, const Node& node, std::string_view subject,
                                  std::string_view what, Dimension dimension, Range range) {
    const auto text = need_text(reading, node, subject, what);
    if (!text) {
        return std::nullopt;
    }
    TextFault fault;
    const auto value = read_quantity(*text, dimension, fault);
    if (!value) {
        complain_of_text(reading, node, subject, fault);
        return std::nullopt;
    }
    if (!check_range(reading, node, subject, node.where(), {*value, dimension}, range)) {
        return std::nullopt;
    }
    return value;
}

std::optional<std::size_t> find_reference(Reading& reading, const Node& node,
                                          std::string_view subject, const NameTable& table,
                                          std::string_view what) {
    const auto text = need_text(reading, node, subject, what);
    if (!text) {
        return std::nullopt;
    }
    const auto found = table.find(*text);
    if (!found && !table.is_unread()) {
        reading.complain(Rule::unknown_reference, subject, node.where(),
                         fmt::format("there is no {} {}", what, quoted(*text)),
                         reading.suggest(*text, table.names()));
    }
    return found;
}

} // namespace loomwright
