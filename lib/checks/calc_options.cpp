// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/calc_options.hpp"

#include "base/display.hpp"
#include "base/spelling.hpp"
#include "checks/calc_conductors.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::string_view choose_word = "choose";

/// Options whose name says the unit: their bare number is in it.
bool is_named_after_unit(std::string_view name) {
    constexpr std::array names = {std::string_view("amps"), std::string_view("volts"),
                                  std::string_view("ohms"), std::string_view("cca")};
    return std::ranges::find(names, name) != names.end();
}

/// Characters, not bytes, before an offset.
int characters(std::string_view text, std::size_t offset) {
    const std::string_view before = text.substr(0, offset);
    return static_cast<int>(std::ranges::count_if(
        before, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string did_you_mean(std::string_view word, const std::vector<std::string>& words) {
    const auto near = nearest_word(word, words);
    return near ? fmt::format("did you mean `{}`? ", *near) : std::string();
}

} // namespace

CalcReader::CalcReader(const CalcQuestion& question, std::span<const TypedOption> options,
                       const Catalogue& catalogue, SourceFiles& files, Findings& findings)
    : question_(question), catalogue_(catalogue), files_(files), findings_(findings) {
    check_names(options);
    check_missing();
}

void CalcReader::check_names(std::span<const TypedOption> options) {
    for (const TypedOption& option : options) {
        Known known{&option, files_.add("--" + option.name, option.text.value_or(""))};
        const auto info = std::ranges::find(question_.options, option.name, &CalcOption::name);
        if (info == question_.options.end()) {
            std::vector<std::string> names;
            for (const CalcOption& has : question_.options) {
                names.emplace_back(has.name);
            }
            findings_.add(Rule::unknown_key, "--" + option.name, {},
                          fmt::format("`calc {}` has no such option", question_.name),
                          fmt::format("{}its options are: --{}", did_you_mean(option.name, names),
                                      fmt::join(names, ", --")));
        } else if (info->takes.empty() && option.text) {
            findings_.add(Rule::wrong_shape, "", place(known, 0, std::string_view::npos),
                          "this option takes no value", "leave the value out");
        } else if (!info->takes.empty() && !option.text) {
            findings_.add(Rule::missing_key, "--" + option.name, {},
                          fmt::format("this option has no value: it takes {}", info->takes),
                          std::string(info->what));
        } else if (!info->repeats && find(option.name) != nullptr) {
            findings_.add(Rule::duplicate_key, "", place(known, 0, std::string_view::npos),
                          "this option was given before", "give it once");
        } else {
            known_.push_back(known);
        }
    }
}

void CalcReader::check_missing() {
    for (const CalcOption& option : question_.options) {
        // One that was typed without its value, or with a slip of the pen, has its own finding.
        const std::string dashed = fmt::format("--{}", option.name);
        const std::array<std::string, 1> itself = {dashed};
        const bool was_typed = std::ranges::any_of(findings_.all(), [&](const Finding& finding) {
            return !finding.subject.empty() && nearest_word(finding.subject, itself).has_value();
        });
        if (option.is_required && find(option.name) == nullptr && !was_typed) {
            findings_.add(Rule::missing_key, fmt::format("--{}", option.name), {},
                          fmt::format("`calc {}` cannot be answered without it", question_.name),
                          fmt::format("give --{} {}: {}", option.name, option.takes, option.what));
        }
    }
}

const CalcReader::Known* CalcReader::find(std::string_view name) const {
    const auto found = std::ranges::find_if(
        known_, [name](const Known& known) { return known.typed->name == name; });
    return found == known_.end() ? nullptr : &*found;
}

SourceRange CalcReader::place(const Known& known, std::size_t offset, std::size_t length) const {
    const std::string text = known.typed->text.value_or("");
    const int from = characters(text, offset);
    const std::size_t end = length == std::string_view::npos ? text.size() : offset + length;
    return {known.file, 1, from + 1, characters(text, std::min(end, text.size())) + 1};
}

void CalcReader::fault(const Known& known, const TextFault& fault, std::size_t shift) {
    findings_.add(fault.rule, "", place(known, shift + fault.offset, fault.length), fault.message,
                  fault.remedy);
}

void CalcReader::complain(std::string_view name, Rule rule, std::string message,
                          std::string remedy) {
    const Known* known = find(name);
    findings_.add(rule, known == nullptr ? fmt::format("--{}", name) : std::string(),
                  known == nullptr ? SourceRange{} : place(*known, 0, std::string_view::npos),
                  std::move(message), std::move(remedy));
}

bool CalcReader::is_in(const Known& known, double value, Range range, Dimension dimension,
                       std::size_t offset) {
    if (value >= range.least && value <= range.most && !(range.above && value == range.least)) {
        return true;
    }
    const UnitSpelling& unit = leading_unit(dimension);
    findings_.add(Rule::out_of_range, "", place(known, offset, std::string_view::npos),
                  fmt::format("this is not possible: {} is {} {} {} and at most {} {} here",
                              dimension_name(dimension), range.above ? "above" : "at least",
                              show_number(range.least / unit.factor), unit.spelling,
                              show_number(range.most / unit.factor), unit.spelling),
                  "look for a sign, a lost point or the wrong unit");
    return false;
}

std::optional<double> CalcReader::read(const Known& known, Dimension dimension, Range range) {
    const std::string& text = *known.typed->text;
    TextFault fault_of_number;
    std::optional<double> value;
    if (is_named_after_unit(known.typed->name)) {
        value = read_number(text, fault_of_number);
    }
    if (!value) {
        TextFault found;
        value = read_quantity(text, dimension, found);
        if (!value) {
            fault(known, found);
            return std::nullopt;
        }
    }
    return is_in(known, *value, range, dimension) ? value : std::nullopt;
}

std::optional<double> CalcReader::quantity(std::string_view name, Dimension dimension,
                                           Range range) {
    const Known* known = find(name);
    return known == nullptr ? std::nullopt : read(*known, dimension, range);
}

std::vector<double> CalcReader::quantities(std::string_view name, Dimension dimension,
                                           Range range) {
    std::vector<double> out;
    for (const Known& known : known_) {
        if (known.typed->name == name) {
            if (const auto value = read(known, dimension, range)) {
                out.push_back(*value);
            }
        }
    }
    return out;
}

std::optional<QuantityValue> CalcReader::either(std::string_view name, Dimension wanted,
                                                Range range, Dimension other, Range other_range) {
    const Known* known = find(name);
    if (known == nullptr) {
        return std::nullopt;
    }
    TextFault found;
    const auto value = read_either(*known->typed->text, wanted, other, found);
    if (!value) {
        fault(*known, found);
        return std::nullopt;
    }
    return is_in(*known, value->value, value->dimension == wanted ? range : other_range,
                 value->dimension)
               ? value
               : std::nullopt;
}

std::optional<TwoValues> CalcReader::pair(std::string_view name, std::string_view word,
                                          Dimension first, Range first_range, Dimension first_other,
                                          Range other_range, Dimension second, Range second_range) {
    const Known* known = find(name);
    if (known == nullptr) {
        return std::nullopt;
    }
    TextFault found;
    const auto both = read_pair(*known->typed->text, word, first, first_other, second, found);
    if (!both) {
        fault(*known, found);
        return std::nullopt;
    }
    if (!both->second) {
        findings_.add(Rule::missing_key, "", place(*known, 0, std::string_view::npos),
                      fmt::format("the second half is missing: `{}` and {} in {}", word,
                                  dimension_name(second), accepted_units(second)),
                      fmt::format("write `{} {} 1 {}`", trimmed(*known->typed->text), word,
                                  leading_unit(second).spelling));
        return std::nullopt;
    }
    const bool first_is_in =
        is_in(*known, both->first.value, both->first.dimension == first ? first_range : other_range,
              both->first.dimension);
    const bool second_is_in =
        is_in(*known, both->second->value, second_range, second, both->second_offset);
    return first_is_in && second_is_in
               ? std::optional(
                     TwoValues{both->first.value, both->first.dimension, both->second->value})
               : std::nullopt;
}

std::string CalcReader::word(std::string_view name, std::span<const std::string> words) {
    const Known* known = find(name);
    if (known == nullptr) {
        return words.front();
    }
    std::string text(trimmed(*known->typed->text));
    if (std::ranges::find(words, text) != words.end()) {
        return text;
    }
    const std::vector<std::string> list(words.begin(), words.end());
    findings_.add(
        Rule::unknown_word, "", place(*known, 0, std::string_view::npos),
        fmt::format("`{}` is not known", text),
        fmt::format("{}write one of: {}", did_you_mean(text, list), fmt::join(list, ", ")));
    return words.front();
}

const Insulation& CalcReader::insulation() {
    std::vector<std::string> names{catalogue_.default_insulation().name};
    for (const Insulation& row : catalogue_.insulations()) {
        if (row.name != names.front()) {
            names.push_back(row.name);
        }
    }
    return *catalogue_.find_insulation(word("insulation", names));
}

const FuseFamily* CalcReader::family() {
    std::vector<std::string> names{"blade"};
    for (const FuseFamily& row : catalogue_.fuse_families()) {
        if (row.name != "blade" && !row.ratings.empty()) {
            names.push_back(row.name);
        }
    }
    return catalogue_.find_fuse_family(word("family", names));
}

std::string CalcReader::table_name() {
    return has("table") ? word("table", conductor_table_names()) : std::string();
}

bool CalcReader::is_choose(std::string_view name) const {
    const Known* known = find(name);
    return known != nullptr && trimmed(*known->typed->text) == choose_word;
}

std::optional<Conductor> CalcReader::conductor(std::string_view name) {
    const std::string table = table_name();
    const Known* known = find(name);
    if (known == nullptr || is_choose(name)) {
        return std::nullopt;
    }
    TextFault found;
    const auto size = read_conductor_size(*known->typed->text, found);
    if (!size) {
        fault(*known, found);
        return std::nullopt;
    }
    if (!table.empty() && standard_of_table(table) != size->standard) {
        findings_.add(Rule::contradiction, "", place(*known, 0, std::string_view::npos),
                      fmt::format("{} is no size of the table of {}", show(*size),
                                  conductor_table_title(table)),
                      "give a size of that table, or another --table");
        return std::nullopt;
    }
    const std::string_view from = table.empty() ? usual_table(size->standard) : table;
    const std::vector<Conductor> conductors = conductors_of_table(catalogue_, from);
    const auto row = std::ranges::find(conductors, *size, &Conductor::size);
    if (row == conductors.end()) {
        fault(*known, no_such_size(*size, from, conductors));
        return std::nullopt;
    }
    return *row;
}

std::vector<Conductor> CalcReader::choices(const Insulation& insulation) {
    std::string table = table_name();
    if (table.empty()) {
        const bool is_metric = insulation.standards.empty() ||
                               std::ranges::find(insulation.standards, SizeStandard::iso) !=
                                   insulation.standards.end();
        table = usual_table(is_metric ? SizeStandard::iso : insulation.standards.front());
    }
    std::vector<Conductor> out = conductors_of_table(catalogue_, table);
    std::erase_if(out, [](const Conductor& c) { return !c.is_standard_size; });
    return out;
}

} // namespace loomwright
