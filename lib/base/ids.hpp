// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <functional>

namespace loomwright {

/// Index of one thing in its list, in the order of the file. Ids of two kinds do not convert.
template <typename Tag> class Id {
public:
    constexpr Id() = default;
    constexpr explicit Id(std::size_t index) : index_(static_cast<std::int32_t>(index)) {}

    /// False for "refers to nothing".
    [[nodiscard]] constexpr bool is_valid() const { return index_ >= 0; }
    /// Position in the owning vector; only of a valid id.
    [[nodiscard]] constexpr std::size_t index() const { return static_cast<std::size_t>(index_); }
    friend constexpr auto operator<=>(Id, Id) = default;

private:
    std::int32_t index_ = -1;
};

using ZoneId = Id<struct ZoneTag>;
using PointId = Id<struct PointTag>;
using RunId = Id<struct RunTag>;
using DeviceId = Id<struct DeviceTag>;
using CircuitId = Id<struct CircuitTag>;
using WireId = Id<struct WireTag>;
using StateId = Id<struct StateTag>;
using FileId = Id<struct FileTag>;

} // namespace loomwright

template <typename Tag> struct std::hash<loomwright::Id<Tag>> {
    std::size_t operator()(loomwright::Id<Tag> id) const noexcept {
        return id.is_valid() ? id.index() : ~std::size_t{0};
    }
};
