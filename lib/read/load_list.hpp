// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "tables/catalogue.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// What a load of the list is.
enum class LoadKind : std::uint8_t { lamp, led_lamp, motor, heater, coil, electronics };
/// As the vehicle file names it: "led-lamp".
[[nodiscard]] std::string_view load_kind_name(LoadKind kind);

/// The kind of a load by a word in its name, and the word: "led tail lamp" is a led-lamp by "led".
/// Nothing when no word is known.
struct GuessedKind {
    LoadKind kind = LoadKind::heater;
    std::string_view word;
};
[[nodiscard]] std::optional<GuessedKind> guess_load_kind(std::string_view name);

/// One load of the list.
struct ListedLoad {
    int line = 0;         ///< of the file
    std::string original; ///< the line as it stands there
    std::string device;   ///< as it is called there
    std::string place;    ///< "": none given
    std::optional<LoadKind> kind;
    std::optional<Watts> power; ///< what it takes: one of the two
    std::optional<Amps> current;
    std::optional<Volts> at;      ///< that it takes it at
    std::string fuse;             ///< name of a fuse that several may share; "": one of its own
    std::optional<Amps> rating;   ///< of the fuse; nothing: to be chosen
    std::optional<Metres> length; ///< of the way from the fuse panel
    std::string note;             ///< with what stood in columns that have no meaning here
};

struct LoadList {
    Volts nominal{12.0};
    std::vector<ListedLoad> loads;
};

/// Reads a spreadsheet's list of loads: a head line that names the columns (docs/guide), then a
/// line a load. Faults are findings with line and column; the list comes back when there is none.
[[nodiscard]] std::optional<LoadList>
read_load_list(FileId file, std::string_view text, const Catalogue& catalogue, Findings& findings);

} // namespace loomwright
