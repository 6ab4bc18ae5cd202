// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "read/fields.hpp"
#include "read/read.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// One top-level key of the vehicle file or of a parts file.
struct Section {
    Node key;
    Node value;
};

/// The texts of a vehicle with all their sections, in the order of reading: a parts file stands
/// where its name does under `include`.
struct Sections {
    std::vector<std::unique_ptr<const Tree>> trees; ///< the nodes of the sections live in these
    std::vector<Section> all;
};

/// Reads the vehicle file and everything it includes into trees; checks the top-level keys.
[[nodiscard]] Sections read_sections(Reading& reading, const std::string& file_name,
                                     const std::string& text, const IncludeReader& include,
                                     SourceFiles& files, PieceShelf* shelf);
/// `name` as seen from the folder of the vehicle file, "." and ".." resolved; nothing when it
/// leaves that folder, is absolute, or no name at all.
[[nodiscard]] std::optional<std::string> include_path(std::string_view including,
                                                      std::string_view name);

// Each reads one kind of section, wherever in the files it stands.
void read_heading(Reading& reading, const Section& section);
void read_bodies(Reading& reading, const Section& section);
void read_zones(Reading& reading, const Node& section);
void read_points(Reading& reading, const Node& section);
void read_runs(Reading& reading, const Node& section);
void read_devices(Reading& reading, const Node& section);
/// What refers from device to device: connectors and their mates.
void finish_devices(Reading& reading);
void read_circuits(Reading& reading, const Node& section);
void read_states(Reading& reading, const Node& section);
/// Which state another begins from (`after`), known once all states are read.
void find_states_before(Reading& reading);
void read_drives(Reading& reading, const Node& section);
/// Opening times of fuses, known once all devices are read.
void read_curves(Reading& reading, const Node& section);
/// States that devices name (`needed-in`), known once all states are read.
void check_needed_in(Reading& reading);
void read_supplied(Reading& reading, const Node& section);
/// What is cut and fitted already, known once all wires are read: `auto` takes it.
void read_frozen(Reading& reading, const Node& section);
/// Policy keys stand once over all files; `seen` remembers where.
void read_policy(Reading& reading, const Node& section, NameTable& seen);
/// Leaves the colour of every new wire without one to the program, where the policy says so.
void leave_colours_open(Reading& reading);
void read_waivers(Reading& reading, const Node& section);
void read_stock(Reading& reading, const Node& section);

/// A size that the tables have: "1.5 mm2", "1/0 AWG". Complains of any other.
[[nodiscard]] std::optional<ConductorSize> read_conductor_size(Reading& reading, const Node& node,
                                                               std::string_view subject,
                                                               std::string_view what);
/// A size or `auto`, which is nothing.
[[nodiscard]] std::optional<Given<ConductorSize>> read_wire_size(const Fields& fields);
/// An insulation of the tables.
[[nodiscard]] std::optional<Given<std::string>> read_insulation(const Fields& fields);
/// IEC 60757 letters, base first: "BK", "BK/RD".
[[nodiscard]] std::optional<std::string> read_colour(const Fields& fields);
/// The colour of a wire, which may be left to the program.
struct ColourGiven {
    std::string colour;
    bool is_auto = false;
};
[[nodiscard]] std::optional<ColourGiven> read_wire_colour(const Fields& fields);
/// A class of circuits of the tables; complains of any other.
bool check_drop_class(Reading& reading, const Node& node, std::string_view subject);
/// What a wire or its circuit says of old wiring; nothing inside: said to be new.
struct RetainedGiven {
    std::optional<Given<Retained>> wiring;
};
/// `retained: {since: 1961, fuse: 8 A, load: 5 A}`, `retained: yes` or `no`; nothing: not said.
[[nodiscard]] std::optional<RetainedGiven> read_retained(const Fields& fields);
/// A length and what was measured instead; complains where the two are far apart.
struct LengthGiven {
    Given<Metres> length;
    bool is_measured = false;
};
[[nodiscard]] std::optional<LengthGiven> read_length(const Fields& fields);

/// Screens and their drains, known once all wires are read.
void read_shields(Reading& reading, const Node& section);
/// Terminals that plugs and connectors ask for, known once the stock is read.
void check_plug_fittings(Reading& reading);

/// The entries of a section, which must be a map of names.
[[nodiscard]] bool is_map_of_names(Reading& reading, const Node& section, std::string_view what);

} // namespace loomwright
