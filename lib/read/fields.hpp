// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "read/ranges.hpp"
#include "read/reading.hpp"
#include "yaml/quantity_text.hpp"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

using Keys = std::span<const std::string_view>;
/// True when the key is one of them.
[[nodiscard]] bool contains(Keys keys, std::string_view key);

template <typename Q> struct DimensionOf;
template <> struct DimensionOf<Volts> { static constexpr Dimension value = Dimension::voltage; };
template <> struct DimensionOf<Amps> { static constexpr Dimension value = Dimension::current; };
template <> struct DimensionOf<Ohms> { static constexpr Dimension value = Dimension::resistance; };
template <> struct DimensionOf<Metres> { static constexpr Dimension value = Dimension::length; };
template <> struct DimensionOf<Seconds> { static constexpr Dimension value = Dimension::time; };
template <> struct DimensionOf<Coulombs> { static constexpr Dimension value = Dimension::charge; };
template <> struct DimensionOf<Celsius> {
    static constexpr Dimension value = Dimension::temperature;
};

/// The entries of one map, read by key. Every fault becomes a finding with the place of the value,
/// and the reading goes on: what could not be read comes back as nothing.
class Fields {
public:
    /// `subject` names the thing in findings, `owner` is where it is named. Keys that are in
    /// neither list are complained of.
    Fields(Reading& reading, const Node& map, std::string_view subject, SourceRange owner,
           Keys keys, Keys more_keys = {});

    /// False when there is no map here at all.
    [[nodiscard]] bool is_map() const { return map_.is_map(); }
    [[nodiscard]] Reading& reading() const { return reading_; }
    [[nodiscard]] std::string_view subject() const { return subject_; }
    [[nodiscard]] SourceRange owner() const { return owner_; }

    /// The value of a key; an invalid node when the key is not there.
    [[nodiscard]] Node get(std::string_view key) const { return map_.find(key); }
    [[nodiscard]] bool has(std::string_view key) const { return get(key).is_valid(); }
    /// A key that is not there was meant by one that is not known: complained of once, there.
    [[nodiscard]] bool is_misspelt(std::string_view key) const;
    /// As `get`; complains of a missing key.
    [[nodiscard]] Node need(std::string_view key) const;
    [[nodiscard]] SourceRange where(std::string_view key) const;

    [[nodiscard]] std::optional<std::string_view> text(std::string_view key) const;
    /// The text of a key, empty when it is not there.
    [[nodiscard]] std::string text_or_empty(std::string_view key) const;
    [[nodiscard]] std::optional<bool> truth(std::string_view key) const;
    /// Percent as a share of one.
    [[nodiscard]] std::optional<double> share(std::string_view key, Range range) const;
    [[nodiscard]] std::optional<int> count(std::string_view key, int least, int most) const;
    /// One of some words, as its index.
    [[nodiscard]] std::optional<std::size_t> word(std::string_view key, Keys words) const;
    /// A quantity in its range.
    template <typename Q>
    [[nodiscard]] std::optional<Q> quantity(std::string_view key, Range range) const {
        const auto value = number_with_unit(key, DimensionOf<Q>::value, range);
        return value ? std::optional<Q>(Q(*value)) : std::nullopt;
    }
    /// A quantity that must be there.
    template <typename Q>
    [[nodiscard]] std::optional<Q> needed(std::string_view key, Range range) const {
        return need(key).is_valid() ? quantity<Q>(key, range) : std::nullopt;
    }
    template <typename Q>
    [[nodiscard]] std::optional<Given<Q>> given(std::string_view key, Range range) const {
        const auto value = quantity<Q>(key, range);
        return value ? std::optional(Given<Q>{*value, where(key)}) : std::nullopt;
    }
    /// Words given as one or as a list.
    [[nodiscard]] std::vector<Node> words(std::string_view key) const;
    /// The thing of a table that a key names; complains when there is none.
    [[nodiscard]] std::optional<std::size_t> reference(std::string_view key, const NameTable& table,
                                                       std::string_view what) const;

    /// Complains of the value of a key.
    Finding& complain(Rule rule, std::string_view key, std::string message,
                      std::string remedy = {}) const;

private:
    void check_keys(Keys keys, Keys more_keys);
    [[nodiscard]] std::optional<double> number_with_unit(std::string_view key, Dimension dimension,
                                                         Range range) const;

    Reading& reading_;
    Node map_;
    std::string_view subject_;
    SourceRange owner_;
    std::vector<std::string> meant_; ///< the keys that unknown ones are near to
};

/// The scalar's text; complains of another shape.
[[nodiscard]] std::optional<std::string_view>
need_text(Reading& reading, const Node& node, std::string_view subject, std::string_view what);
/// Words given as one or as a list; complains of anything else in it.
[[nodiscard]] std::vector<Node> list_of_words(Reading& reading, const Node& node,
                                              std::string_view subject, std::string_view what);
/// A quantity from a scalar, in its range; complains of anything else.
[[nodiscard]] std::optional<double> quantity_of(Reading& reading, const Node& node,
                                                std::string_view subject, std::string_view what,
                                                Dimension dimension, Range range);
/// True when the value is in its range; else complains.
bool check_range(Reading& reading, const Node& node, std::string_view subject, SourceRange where,
                 QuantityValue value, Range range);
/// Adds a fault of a text as a finding at its part of the scalar.
Finding& complain_of_text(Reading& reading, const Node& node, std::string_view subject,
                          const TextFault& fault);
/// Index in a table of the name in a scalar; complains when there is none.
[[nodiscard]] std::optional<std::size_t> find_reference(Reading& reading, const Node& node,
                                                        std::string_view subject,
                                                        const NameTable& table,
                                                        std::string_view what);

} // namespace loomwright
