// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/catalogue.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// The shape of a distribution. normal: mean and standard deviation; uniform: middle and half
/// width; log_normal: median and geometric standard deviation.
enum class SpreadKind : std::uint8_t { normal, uniform, log_normal };
[[nodiscard]] std::string_view spread_kind_name(SpreadKind kind);

/// How one kind of thing is spread round its nominal figure.
struct Spread {
    std::string name; ///< "connector-contact"
    SpreadKind kind = SpreadKind::uniform;
    double middle = 1.0;
    double width = 0.0;
    bool is_factor = true; ///< multiplies the nominal figure; else it is added to it
    std::string unit;      ///< "times", or that of what is added
    std::string drawn;     ///< "each", "size" (one for all wires of a size), "car" (one for all)
    std::string what;
    Origin origin;
};

/// Every spread of the built-in table, by name.
class SpreadTable {
public:
    SpreadTable() = default;
    explicit SpreadTable(std::vector<Spread> rows);
    /// The spread of this name; an unknown one is a broken invariant.
    [[nodiscard]] const Spread& row(std::string_view name) const;
    [[nodiscard]] const std::vector<Spread>& rows() const { return rows_; }
    /// The same with every width as narrow as nothing and every middle where the nominal figure is.
    [[nodiscard]] SpreadTable without_spread() const;

private:
    std::vector<Spread> rows_;
};

/// Reads the table `spreads`. It is not part of the catalogue: only spread samples ask for it.
[[nodiscard]] SpreadTable load_spreads(SourceFiles& files, Findings& findings);

} // namespace loomwright
