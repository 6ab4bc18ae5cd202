// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "read/fields.hpp"

namespace loomwright {

/// Fills in what a kind says of a device: its law, and its terminals and default way through where
/// the kind does not fix them. False when something needed is missing.
using KindReader = bool (*)(const Fields& fields, Device& device, DefaultPass& pass);

/// One word of `is:` with what it must and may say (docs/format/devices.md).
struct KindInfo {
    std::string_view word;
    Keys keys;      ///< beside those of every device
    Keys terminals; ///< empty: named by the file
    std::string_view in;
    std::string_view out;
    bool may_have_case = false;
    bool may_be_inside = false; ///< of a unit
    KindReader read = nullptr;
    bool may_have_plug = true; ///< wires reach it through a plug of its own
};

/// Every kind, in the order of the docs.
[[nodiscard]] std::span<const KindInfo> kind_table();
[[nodiscard]] const KindInfo* find_kind(std::string_view word);
/// The words of `is:`.
[[nodiscard]] std::span<const std::string_view> kind_words();

// The readers, by family of kinds.
bool read_battery(const Fields& fields, Device& device, DefaultPass& pass);
bool read_alternator(const Fields& fields, Device& device, DefaultPass& pass);
bool read_charger(const Fields& fields, Device& device, DefaultPass& pass);
bool read_starter(const Fields& fields, Device& device, DefaultPass& pass);
bool read_protection(const Fields& fields, Device& device, DefaultPass& pass);
bool read_fusible_link(const Fields& fields, Device& device, DefaultPass& pass);
bool read_relay(const Fields& fields, Device& device, DefaultPass& pass);
bool read_flasher(const Fields& fields, Device& device, DefaultPass& pass);
bool read_switch(const Fields& fields, Device& device, DefaultPass& pass);
bool read_load(const Fields& fields, Device& device, DefaultPass& pass);
bool read_controller(const Fields& fields, Device& device, DefaultPass& pass);
bool read_sensor(const Fields& fields, Device& device, DefaultPass& pass);
bool read_ground(const Fields& fields, Device& device, DefaultPass& pass);
bool read_strap(const Fields& fields, Device& device, DefaultPass& pass);
bool read_splice(const Fields& fields, Device& device, DefaultPass& pass);
bool read_stud(const Fields& fields, Device& device, DefaultPass& pass);
bool read_connector(const Fields& fields, Device& device, DefaultPass& pass);
bool read_diode(const Fields& fields, Device& device, DefaultPass& pass);
bool read_resistor(const Fields& fields, Device& device, DefaultPass& pass);
bool read_unit(const Fields& fields, Device& device, DefaultPass& pass);

/// `draws: 22 A at 13 V` or `55 W at 13.2 V`; without `at`, at the default for the system's
/// voltage.
[[nodiscard]] std::optional<Demand> read_demand(const Fields& fields, std::string_view key);
/// `inrush: 70 A for 0.4 s`.
[[nodiscard]] std::optional<Inrush> read_inrush(const Fields& fields);
/// `suppression: diode`.
[[nodiscard]] Suppression read_suppression(const Fields& fields);
/// `rows`, `sealed`, `terminal` and `part` of a connector, or of the map `plug` of another device,
/// with so many cavities.
[[nodiscard]] PlugFace read_plug_face(const Fields& fields, std::size_t cavities);
/// `plug: {rows: 2, sealed: yes}`; nothing where it is not said.
void read_plug(const Fields& fields, Device& device);
/// Index of a body of metal; complains when the car has none of this name.
[[nodiscard]] std::optional<int> read_body(Reading& reading, const Node& node,
                                           std::string_view subject, std::string_view key);
/// The names of terminals or cavities in a list; complains of one that stands twice.
[[nodiscard]] std::vector<std::string> read_terminal_names(const Fields& fields,
                                                           std::string_view key);
/// Terminal of a device by its name in the file; complains with those there are.
[[nodiscard]] int read_terminal(Reading& reading, const Node& node, std::string_view subject,
                                std::string_view key, const Device& device);
/// Reads `positions:`; `terminals` gets the names they join, in order of writing. With `fixed`,
/// names must be among them already.
[[nodiscard]] bool read_positions(const Fields& fields, Switch& contacts,
                                  std::vector<std::string>& terminals, bool fixed);

} // namespace loomwright
