// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/calc.hpp"
#include "read/ranges.hpp"
#include "yaml/quantity_text.hpp"

namespace loomwright {

/// "70 A for 0.4 s", "55 W at 13.2 V", in SI.
struct TwoValues {
    double first = 0.0;
    Dimension first_dimension = Dimension::current;
    double second = 0.0;
};

/// "7 x 14 AWG at 10 A".
struct WireGroup {
    int count = 1;
    const Conductor* conductor = nullptr;
    double amps = 0.0;
    std::string text;
};

/// "14 AWG 3 m": a stretch of wire.
struct WireStretch {
    const Conductor* conductor = nullptr;
    double metres = 0.0;
};

/// A length of wire that a question may ask about, m: a handbook's tables speak of 1000 ft.
constexpr Range asked_length{0.0, 10'000.0, true};

/// Reads the options of one question; what is wrong becomes a finding, and the value is left out.
class CalcReader {
public:
    CalcReader(const CalcQuestion& question, std::span<const TypedOption> options,
               const Catalogue& catalogue, SourceFiles& files, Findings& findings);

    [[nodiscard]] bool has(std::string_view name) const { return find(name) != nullptr; }
    [[nodiscard]] bool flag(std::string_view name) const { return has(name); }
    /// Nothing when it was not given or cannot be read. An option that is named after its unit
    /// (`amps`) may be a bare number.
    [[nodiscard]] std::optional<double> quantity(std::string_view name, Dimension dimension,
                                                 Range range);
    /// A quantity of one of two dimensions.
    [[nodiscard]] std::optional<QuantityValue> either(std::string_view name, Dimension wanted,
                                                      Range range, Dimension other,
                                                      Range other_range);
    [[nodiscard]] std::optional<TwoValues> pair(std::string_view name, std::string_view word,
                                                Dimension first, Range first_range,
                                                Dimension first_other, Range other_range,
                                                Dimension second, Range second_range);
    /// One of these words; the first when the option is left out.
    [[nodiscard]] std::string word(std::string_view name, std::span<const std::string> words);
    /// The insulation named, or the tables' first.
    [[nodiscard]] const Insulation& insulation();
    /// The family of protective devices named, or the usual blade.
    [[nodiscard]] const FuseFamily* family();
    /// The conductor of `size` in the table of `table`; nothing for "choose" too.
    [[nodiscard]] std::optional<Conductor> conductor(std::string_view name);
    [[nodiscard]] bool is_choose(std::string_view name) const;
    /// The conductors that "choose" picks from, by rising area.
    [[nodiscard]] std::vector<Conductor> choices(const Insulation& insulation);
    [[nodiscard]] std::vector<WireGroup> groups(std::string_view name);
    [[nodiscard]] std::vector<WireStretch> stretches(std::string_view name);
    [[nodiscard]] std::vector<double> quantities(std::string_view name, Dimension dimension,
                                                 Range range);

    /// Complains that one of two options must be given, or both may not.
    void complain(std::string_view name, Rule rule, std::string message, std::string remedy);
    [[nodiscard]] bool is_clean() const { return !findings_.has_input_fault(); }
    [[nodiscard]] const Catalogue& catalogue() const { return catalogue_; }

private:
    struct Known {
        const TypedOption* typed = nullptr;
        FileId file;
    };
    [[nodiscard]] const Known* find(std::string_view name) const;
    [[nodiscard]] SourceRange place(const Known& known, std::size_t offset,
                                    std::size_t length) const;
    void fault(const Known& known, const TextFault& fault, std::size_t shift = 0);
    void check_names(std::span<const TypedOption> options);
    void check_missing();
    [[nodiscard]] bool is_in(const Known& known, double value, Range range, Dimension dimension,
                             std::size_t offset = 0);
    [[nodiscard]] std::optional<double> read(const Known& known, Dimension dimension, Range range);
    /// A size at an offset of an option's text, from the catalogue's own tables.
    [[nodiscard]] const Conductor* size_at(const Known& known, std::string_view text,
                                           std::size_t offset);
    [[nodiscard]] std::string table_name();

    const CalcQuestion& question_;
    const Catalogue& catalogue_;
    SourceFiles& files_;
    Findings& findings_;
    std::vector<Known> known_;
};

} // namespace loomwright
