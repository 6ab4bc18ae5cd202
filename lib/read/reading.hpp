// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"
#include "yaml/tree.hpp"

#include <deque>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <utility>
#include <vector>

namespace loomwright {

/// The names of one kind of thing, in the order of the file, each with its index in the model.
class NameTable {
public:
    /// False when the name is taken. `name` must outlive the table.
    bool add(std::string_view name, std::size_t index, SourceRange where);
    [[nodiscard]] std::optional<std::size_t> find(std::string_view name) const;
    [[nodiscard]] SourceRange where(std::string_view name) const;
    [[nodiscard]] std::span<const std::string_view> names() const { return names_; }
    void reserve(std::size_t count);
    /// A section that names such things could not be read: what is not here may stand there.
    void set_unread() { is_unread_ = true; }
    [[nodiscard]] bool is_unread() const { return is_unread_; }

private:
    struct Known {
        std::size_t index = 0;
        SourceRange where;
    };
    std::unordered_map<std::string_view, Known> known_;
    std::vector<std::string_view> names_;
    bool is_unread_ = false;
};

/// By which terminals a path that names none enters and leaves a device; -1: it must name them.
struct DefaultPass {
    int in = -1;
    int out = -1;
    bool is_broken = false; ///< the device could not be read: complained of once, not at every path
};

/// Where a circuit's number stands; without one of its own, where its name does.
struct CircuitNumber {
    SourceRange where;
};

/// What one reading of a vehicle has so far: the model, the names, the findings.
struct Reading {
    Reading(const Catalogue& tables, Findings& collected)
        : catalogue(tables), findings(collected) {}

    const Catalogue& catalogue;
    Findings& findings;
    Vehicle vehicle;

    NameTable zones;
    NameTable points;
    NameTable runs;
    NameTable devices; ///< inner devices too: "E7/tail"
    NameTable circuits;
    NameTable states;
    NameTable drives;
    NameTable curves;
    NameTable supplied;
    NameTable shields;
    NameTable wires;                            ///< by number, with the index of the circuit
    std::vector<CircuitNumber> circuit_numbers; ///< by CircuitId
    std::vector<DefaultPass> passes;            ///< by DeviceId
    /// Relays that say they have no break contact, by index, with the place.
    std::unordered_map<std::size_t, SourceRange> no_break_contact;
    std::vector<std::pair<std::string_view, Node>> mates;    ///< connectors and what they name
    std::vector<std::pair<std::size_t, Node>> states_before; ///< states, and which they follow
    /// States whose `lasts` could not be read: complained of once, not at every leg of a drive.
    std::unordered_set<std::size_t> unread_durations;
    bool bodies_are_unread = false; ///< as `NameTable::is_unread`
    bool has_unread_section = false;
    bool colours_are_auto = false; ///< the policy's: of wires that say none

    Finding& complain(Rule rule, std::string_view subject, SourceRange where, std::string message,
                      std::string remedy = {});
    /// A section of the vehicle was complained of as a whole: not also for each name that it holds.
    void leave_unread(std::string_view section);
    /// Registers a name; a name that is taken becomes duplicate-key with both places.
    bool add_name(NameTable& table, std::string_view what, const Node& key, std::size_t index);
    /// The name that the word is a slip of the pen away from, where there is one.
    [[nodiscard]] std::optional<std::string> near_name(std::string_view word,
                                                       std::span<const std::string_view> known);
    /// "did you mean `x`?" or, without a near name, the names there are (cut where they are many).
    [[nodiscard]] std::string suggest(std::string_view word,
                                      std::span<const std::string_view> known);
    /// A text that lives as long as the reading.
    [[nodiscard]] std::string_view keep(std::string text);
    /// What scales with the system's voltage: nominal / 12 V.
    [[nodiscard]] double per_12_volts() const { return vehicle.nominal.value() / 12.0; }

    std::unordered_map<std::string_view, ConductorSize> known_sizes; ///< by the text in the file

private:
    std::deque<std::string> kept_;
    std::size_t comparisons_left_ = 3'000'000; ///< so that a thousand slips cost no minutes
};

/// The text of a scalar, or of a word that YAML takes for nothing (`null`, `~`).
[[nodiscard]] std::optional<std::string_view> scalar_text(const Node& node);
/// What `Reading::suggest` says, with the near name known.
[[nodiscard]] std::string suggestion(const std::optional<std::string>& near,
                                     std::span<const std::string_view> known);
/// "a list", "a map", "a single value", "nothing".
[[nodiscard]] std::string_view shape_name(const Node& node);
/// The text in the quotes of a message, cut where it is long.
[[nodiscard]] std::string quoted(std::string_view text);

} // namespace loomwright
