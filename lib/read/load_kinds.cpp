// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What a load is, by a word in its name (docs/guide/5-from-a-spreadsheet.md has the same table).
// The first word of the table that the name holds decides: a heater's blower is a motor, and
// the relay of a pump a coil.
#include "read/load_list.hpp"

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

struct KindWord {
    std::string_view word;
    LoadKind kind;
};
constexpr std::array load_name_words{KindWord{"led", LoadKind::led_lamp},
                                     KindWord{"horn", LoadKind::coil},
                                     KindWord{"solenoid", LoadKind::coil},
                                     KindWord{"valve", LoadKind::coil},
                                     KindWord{"clutch", LoadKind::coil},
                                     KindWord{"injector", LoadKind::coil},
                                     KindWord{"relay", LoadKind::coil},
                                     KindWord{"fan", LoadKind::motor},
                                     KindWord{"blower", LoadKind::motor},
                                     KindWord{"pump", LoadKind::motor},
                                     KindWord{"wiper", LoadKind::motor},
                                     KindWord{"washer", LoadKind::motor},
                                     KindWord{"motor", LoadKind::motor},
                                     KindWord{"winch", LoadKind::motor},
                                     KindWord{"compressor", LoadKind::motor},
                                     KindWord{"heater", LoadKind::heater},
                                     KindWord{"heated", LoadKind::heater},
                                     KindWord{"demister", LoadKind::heater},
                                     KindWord{"lighter", LoadKind::heater},
                                     KindWord{"kettle", LoadKind::heater},
                                     KindWord{"lamp", LoadKind::lamp},
                                     KindWord{"light", LoadKind::lamp},
                                     KindWord{"bulb", LoadKind::lamp},
                                     KindWord{"beam", LoadKind::lamp},
                                     KindWord{"indicator", LoadKind::lamp},
                                     KindWord{"beacon", LoadKind::lamp},
                                     KindWord{"radio", LoadKind::electronics},
                                     KindWord{"amplifier", LoadKind::electronics},
                                     KindWord{"controller", LoadKind::electronics},
                                     KindWord{"computer", LoadKind::electronics},
                                     KindWord{"gauge", LoadKind::electronics},
                                     KindWord{"clock", LoadKind::electronics},
                                     KindWord{"display", LoadKind::electronics},
                                     KindWord{"charger", LoadKind::electronics},
                                     KindWord{"camera", LoadKind::electronics}};

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// The words of a name in small letters, without the `s` of many.
std::vector<std::string> words_of(std::string_view name) {
    std::vector<std::string> out(1);
    for (const char c : name) {
        if (is_letter(c)) {
            out.back() += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        } else if (!out.back().empty()) {
            out.emplace_back();
        }
    }
    for (std::string& word : out) {
        if (word.size() > 2 && word.back() == 's') {
            word.pop_back();
        }
    }
    return out;
}

} // namespace

std::string_view load_kind_name(LoadKind kind) {
    constexpr std::array<std::string_view, 6> names{"lamp",   "led-lamp", "motor",
                                                    "heater", "coil",     "electronics"};
    return names.at(static_cast<std::size_t>(kind));
}

std::optional<GuessedKind> guess_load_kind(std::string_view name) {
    const std::vector<std::string> words = words_of(name);
    for (const KindWord& known : load_name_words) {
        // A short word inside another means nothing; "headlamp" and "headlight" do.
        const auto is_it = [&](const std::string& word) {
            return word == known.word || (known.word.size() > 3 && word.ends_with(known.word));
        };
        if (std::ranges::any_of(words, is_it)) {
            return GuessedKind{known.kind, known.word};
        }
    }
    return std::nullopt;
}

} // namespace loomwright
