// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Options that hold a conductor with something else: "7 x 14 AWG at 10 A", "14 AWG 3 m".
#include "checks/calc_options.hpp"

#include "checks/calc_conductors.hpp"

#include <fmt/format.h>

namespace loomwright {
namespace {

constexpr int most_wires = 1000;

/// Place of the last blank-parted word that begins with a digit: where the length of "14 AWG 3 m"
/// stands; npos when there is only one such word.
std::size_t second_number(std::string_view text) {
    bool in_word = false;
    int numbers = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool is_blank = text[i] == ' ' || text[i] == ',';
        if (!is_blank && !in_word && text[i] >= '0' && text[i] <= '9' && ++numbers == 2) {
            return i;
        }
        in_word = !is_blank;
    }
    return std::string_view::npos;
}

} // namespace

const Conductor* CalcReader::size_at(const Known& known, std::string_view text,
                                     std::size_t offset) {
    TextFault found;
    const auto size = read_conductor_size(text, found);
    const Conductor* conductor = size ? catalogue_.find_conductor(*size) : nullptr;
    if (conductor == nullptr) {
        if (size) {
            found = no_such_size(*size, usual_table(size->standard),
                                 catalogue_.conductors(size->standard));
        }
        found.length = text.size();
        fault(known, found, offset);
    }
    return conductor;
}

std::vector<WireGroup> CalcReader::groups(std::string_view name) {
    std::vector<WireGroup> out;
    for (const Known& known : known_) {
        if (known.typed->name != name) {
            continue;
        }
        const std::string& text = *known.typed->text;
        WireGroup group;
        group.text = text;
        const std::size_t times = text.find(" x ");
        const std::size_t size_from = times == std::string::npos ? 0 : times + 3;
        const std::size_t at = text.find(" at ", size_from);
        if (at == std::string::npos) {
            findings_.add(Rule::missing_key, "", place(known, 0, std::string_view::npos),
                          "the current is missing: `at` and a current in " +
                              accepted_units(Dimension::current),
                          fmt::format("write `{} at 5 A`", trimmed(text)));
            continue;
        }
        TextFault found;
        if (times != std::string::npos) {
            const auto count = read_count(std::string_view(text).substr(0, times), found);
            if (!count) {
                found.length = times;
                fault(known, found);
            } else if (*count < 1 || *count > most_wires) {
                findings_.add(Rule::out_of_range, "", place(known, 0, times),
                              fmt::format("a bundle has 1 to {} wires of a kind", most_wires),
                              "write how many there are: `7 x 14 AWG at 10 A`");
            }
            group.count = count.value_or(1);
        }
        group.conductor =
            size_at(known, std::string_view(text).substr(size_from, at - size_from), size_from);
        const auto amps =
            read_quantity(std::string_view(text).substr(at + 4), Dimension::current, found);
        if (!amps) {
            found.length = std::string_view::npos;
            fault(known, found, at + 4);
        }
        group.amps = amps.value_or(0.0);
        if (amps && is_in(known, *amps, {0.0, ranges::current.most}, Dimension::current, at + 4) &&
            group.conductor != nullptr && group.count >= 1 && group.count <= most_wires) {
            out.push_back(std::move(group));
        }
    }
    return out;
}

std::vector<WireStretch> CalcReader::stretches(std::string_view name) {
    std::vector<WireStretch> out;
    for (const Known& known : known_) {
        if (known.typed->name != name) {
            continue;
        }
        const std::string& text = *known.typed->text;
        const std::size_t at = second_number(text);
        if (at == std::string::npos) {
            findings_.add(Rule::missing_key, "", place(known, 0, std::string_view::npos),
                          "a stretch of wire is a size and a length", "write it as `14 AWG 3 m`");
            continue;
        }
        std::string_view size = std::string_view(text).substr(0, at);
        while (size.ends_with(' ') || size.ends_with(',')) {
            size.remove_suffix(1);
        }
        WireStretch stretch;
        stretch.conductor = size_at(known, size, 0);
        TextFault found;
        const auto metres =
            read_quantity(std::string_view(text).substr(at), Dimension::length, found);
        if (!metres) {
            found.length = std::string_view::npos;
            fault(known, found, at);
        } else if (is_in(known, *metres, asked_length, Dimension::length, at) &&
                   stretch.conductor != nullptr) {
            stretch.metres = *metres;
            out.push_back(stretch);
        }
    }
    return out;
}

} // namespace loomwright
