// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/reading.hpp"

#include "base/spelling.hpp"
#include "yaml/quantity_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace loomwright {
namespace {

constexpr std::size_t most_names_listed = 12;
constexpr std::size_t longest_shown = 60;

bool is_other_case(std::string_view a, std::string_view b) {
    return std::ranges::equal(a, b, [](char x, char y) { return (x | 0x20) == (y | 0x20); });
}

} // namespace

bool NameTable::add(std::string_view name, std::size_t index, SourceRange where) {
    const auto [found, is_new] = known_.try_emplace(name, Known{index, where});
    if (is_new) {
        names_.push_back(name);
    }
    return is_new;
}

std::optional<std::size_t> NameTable::find(std::string_view name) const {
    const auto found = known_.find(name);
    return found == known_.end() ? std::nullopt : std::optional(found->second.index);
}

SourceRange NameTable::where(std::string_view name) const {
    const auto found = known_.find(name);
    return found == known_.end() ? SourceRange{} : found->second.where;
}

void NameTable::reserve(std::size_t count) {
    known_.reserve(count);
    names_.reserve(count);
}

Finding& Reading::complain(Rule rule, std::string_view subject, SourceRange where,
                           std::string message, std::string remedy) {
    return findings.add(rule, std::string(subject), where, std::move(message), std::move(remedy));
}

void Reading::leave_unread(std::string_view section) {
    has_unread_section = true;
    bodies_are_unread = bodies_are_unread || section == "bodies";
    for (const auto& [key, table] : {std::pair("zones", &zones), std::pair("points", &points),
                                     std::pair("runs", &runs), std::pair("devices", &devices),
                                     std::pair("circuits", &wires), std::pair("states", &states)}) {
        if (section == key) {
            table->set_unread();
        }
    }
}

bool Reading::add_name(NameTable& table, std::string_view what, const Node& key,
                       std::size_t index) {
    const std::string_view name = key.text();
    if (trimmed(name).empty()) {
        complain(Rule::wrong_shape, "", key.where(), fmt::format("a {} without a name", what),
                 "give it a name");
        return false;
    }
    if (table.add(name, index, key.where())) {
        return true;
    }
    complain(Rule::duplicate_key, name, key.where(),
             fmt::format("there is a {} of this name already", what),
             "give one of the two another name")
        .related.push_back({table.where(name), "the first one is here"});
    return false;
}

std::optional<std::string> Reading::near_name(std::string_view word,
                                              std::span<const std::string_view> known) {
    if (known.size() > comparisons_left_) {
        return std::nullopt;
    }
    comparisons_left_ -= known.size();
    auto near = nearest_word(word, known);
    // Any letter is one slip away from any other: only its case can be meant.
    return near && (word.size() > 1 || is_other_case(word, *near)) ? near : std::nullopt;
}

std::string Reading::suggest(std::string_view word, std::span<const std::string_view> known) {
    // Of the comparisons that near_name may make: a large file with many wrong names takes no
    // minutes.
    const std::span<const std::string_view> compared =
        known.size() > comparisons_left_ ? known.first(0) : known;
    const auto same = std::ranges::find_if(
        compared, [word](std::string_view name) { return looks_alike(word, name); });
    if (same != compared.end()) {
        return fmt::format("did you mean {}? it looks the same, but has a letter of another "
                           "alphabet in one of the two places: type it anew in both",
                           quoted(*same));
    }
    return suggestion(near_name(word, known), known);
}

std::string suggestion(const std::optional<std::string>& near,
                       std::span<const std::string_view> known) {
    if (known.empty()) {
        return "the file has none";
    }
    if (near) {
        return fmt::format("did you mean {}?", quoted(*near));
    }
    std::vector<std::string> shown;
    for (const std::string_view name : known.first(std::min(known.size(), most_names_listed))) {
        shown.push_back(quoted(name));
    }
    return known.size() > most_names_listed
               ? fmt::format("known here: {} and {} more", fmt::join(shown, ", "),
                             known.size() - most_names_listed)
               : fmt::format("known here: {}", fmt::join(shown, ", "));
}

std::string_view Reading::keep(std::string text) {
    return kept_.emplace_back(std::move(text));
}

std::optional<std::string_view> scalar_text(const Node& node) {
    if (node.is_scalar() || (node.is_nothing() && !node.text().empty())) {
        return node.text();
    }
    return std::nullopt;
}

std::string_view shape_name(const Node& node) {
    switch (node.kind()) {
    case NodeKind::list:
        return "a list";
    case NodeKind::map:
        return "a map";
    case NodeKind::scalar:
        return "a single value";
    case NodeKind::nothing:
        return "nothing";
    }
    return "nothing";
}

std::string quoted(std::string_view text) {
    if (text.size() <= longest_shown) {
        return fmt::format("`{}`", text);
    }
    std::size_t cut = longest_shown;
    while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) {
        --cut;
    }
    return fmt::format("`{}...`", text.substr(0, cut));
}

} // namespace loomwright
