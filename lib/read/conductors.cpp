// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What a wire is made of: size, insulation, colour, length, whether it is old.

#include "read/steps.hpp"

#include "base/display.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace loomwright {
namespace {

// IEC 60757: letter codes of colours.
constexpr std::array<std::string_view, 15> colour_codes{
    "BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR", "GNYE"};
constexpr std::size_t most_colours = 3;
constexpr std::array<std::string_view, 3> retained_keys{"since", "fuse", "load"};
// A measured and a written length that differ by more than this are two different lengths.
constexpr double length_tolerance = 0.1;
constexpr std::size_t near_sizes = 4;

SizeStandard standard_of(std::string_view unit) {
    if (unit == "AWG") {
        return SizeStandard::awg;
    }
    return unit == "SAE" ? SizeStandard::sae : SizeStandard::iso;
}

/// Rank of a size among those of its standard: square millimetres, or the gauge number falling
/// (0 = 1/0, 00 = 2/0 and so on lie above 1).
double size_rank(SizeStandard standard, std::string_view name) {
    double value = 0.0;
    const std::size_t slash = name.find('/');
    const std::string_view digits = name.substr(0, slash);
    std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (standard == SizeStandard::iso) {
        return value;
    }
    return slash == std::string_view::npos ? -value : value - 1.0;
}

/// The sizes of the tables nearest to one that they do not have, by rising size.
std::string near_to(const Catalogue& catalogue, SizeStandard standard, std::string_view name) {
    std::vector<ConductorSize> known;
    for (const Conductor& row : catalogue.conductors(standard)) {
        known.push_back(row.size);
    }
    const double wanted = size_rank(standard, name);
    std::ranges::stable_sort(known, {}, [&](const ConductorSize& size) {
        return std::abs(size_rank(standard, size.name) - wanted);
    });
    known.resize(std::min(known.size(), near_sizes));
    std::ranges::sort(known, {},
                      [&](const ConductorSize& size) { return size_rank(standard, size.name); });
    std::vector<std::string> shown;
    shown.reserve(known.size());
    for (const ConductorSize& size : known) {
        shown.push_back(show(size));
    }
    return fmt::format("{}", fmt::join(shown, ", "));
}

} // namespace

std::optional<ConductorSize> read_conductor_size(Reading& reading, const Node& node,
                                                 std::string_view subject, std::string_view what) {
    const auto text = need_text(reading, node, subject, what);
    if (!text) {
        return std::nullopt;
    }
    if (const auto known = reading.known_sizes.find(*text); known != reading.known_sizes.end()) {
        return known->second;
    }
    TextFault fault;
    const auto size = read_size(*text, fault);
    if (!size) {
        complain_of_text(reading, node, subject, fault);
        return std::nullopt;
    }
    const SizeStandard standard = standard_of(size->unit);
    const std::string name = normal_size_name(standard, size->number);
    const Conductor* conductor = reading.catalogue.find_conductor({standard, name});
    if (conductor == nullptr) {
        reading.complain(Rule::out_of_range, subject, node.where(),
                         fmt::format("no conductor of {} is in the tables", quoted(*text)),
                         fmt::format("near sizes: {}", near_to(reading.catalogue, standard, name)));
        return std::nullopt;
    }
    reading.known_sizes.emplace(*text, conductor->size);
    return conductor->size;
}

std::optional<Given<ConductorSize>> read_wire_size(const Fields& fields) {
    const Node node = fields.get("size");
    if (!node.is_valid() || scalar_text(node) == "auto") {
        return std::nullopt;
    }
    const auto size = read_conductor_size(fields.reading(), node, fields.subject(), "size");
    return size ? std::optional(Given<ConductorSize>{*size, node.where()}) : std::nullopt;
}

std::optional<Given<std::string>> read_insulation(const Fields& fields) {
    const auto text = fields.text("insulation");
    if (!text) {
        return std::nullopt;
    }
    Reading& reading = fields.reading();
    if (reading.catalogue.find_insulation(*text) == nullptr) {
        std::vector<std::string_view> known;
        for (const Insulation& row : reading.catalogue.insulations()) {
            known.emplace_back(row.name);
        }
        fields.complain(Rule::unknown_word, "insulation",
                        fmt::format("there is no insulation {}", quoted(*text)),
                        reading.suggest(*text, known));
        return std::nullopt;
    }
    return Given<std::string>{std::string(*text), fields.where("insulation")};
}

std::optional<ColourGiven> read_wire_colour(const Fields& fields) {
    if (scalar_text(fields.get("colour")) == "auto") {
        return ColourGiven{"", true};
    }
    const auto colour = read_colour(fields);
    return colour ? std::optional(ColourGiven{*colour, false}) : std::nullopt;
}

std::optional<std::string> read_colour(const Fields& fields) {
    const auto text = fields.text("colour");
    if (!text) {
        return std::nullopt;
    }
    Reading& reading = fields.reading();
    std::string_view rest = *text;
    std::size_t count = 0;
    for (bool is_last = false; !is_last; ++count) {
        const std::size_t slash = rest.find('/');
        const std::string_view code = rest.substr(0, slash);
        is_last = slash == std::string_view::npos;
        if (std::ranges::find(colour_codes, code) == colour_codes.end() || count == most_colours) {
            const auto offset = static_cast<std::size_t>(code.data() - text->data());
            reading.complain(Rule::unknown_word, fields.subject(),
                             fields.get("colour").where(offset, code.size()),
                             fmt::format("{} is not a colour of IEC 60757", quoted(code)),
                             reading.suggest(code, colour_codes));
            return std::nullopt;
        }
        rest = is_last ? rest : rest.substr(slash + 1);
    }
    return std::string(*text);
}

bool check_drop_class(Reading& reading, const Node& node, std::string_view subject) {
    const auto text = need_text(reading, node, subject, "class");
    if (!text) {
        return false;
    }
    if (reading.catalogue.find_drop_limit(*text) != nullptr) {
        return true;
    }
    std::vector<std::string_view> known;
    for (const DropLimit& row : reading.catalogue.drop_limits()) {
        known.emplace_back(row.name);
    }
    reading.complain(Rule::unknown_word, subject, node.where(),
                     fmt::format("there is no class of circuits {}", quoted(*text)),
                     reading.suggest(*text, known));
    return false;
}

std::optional<RetainedGiven> read_retained(const Fields& fields) {
    const Node node = fields.get("retained");
    if (!node.is_valid()) {
        return std::nullopt;
    }
    RetainedGiven out;
    if (node.is_map()) {
        const Fields inner(fields.reading(), node, fields.subject(), node.where(), retained_keys);
        Retained wiring;
        wiring.since = inner.count("since", 1880, 2200);
        wiring.fuse = inner.quantity<Amps>("fuse", ranges::current);
        wiring.load = inner.quantity<Amps>("load", ranges::current);
        out.wiring = Given<Retained>{wiring, node.where()};
    } else if (fields.truth("retained").value_or(false)) {
        out.wiring = Given<Retained>{{}, node.where()};
    }
    return out;
}

std::optional<LengthGiven> read_length(const Fields& fields) {
    const auto length = fields.given<Metres>("length", ranges::stretch);
    const auto measured = fields.given<Metres>("measured", ranges::stretch);
    if (length && measured) {
        const double written_m = length->value.value();
        const double measured_m = measured->value.value();
        if (std::abs(written_m - measured_m) > length_tolerance * std::max(written_m, measured_m)) {
            fields
                .complain(Rule::contradiction, "measured",
                          fmt::format("{} was measured, but {} is written", show(measured->value),
                                      show(length->value)),
                          "leave one of the two out, or correct it")
                .related.push_back({length->where, "`length` is here"});
        }
    }
    if (measured) {
        return LengthGiven{*measured, true};
    }
    return length ? std::optional(LengthGiven{*length, false}) : std::nullopt;
}

} // namespace loomwright
