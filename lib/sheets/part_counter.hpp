// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/buying_list.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <tuple>
#include <vector>

namespace loomwright {

/// Up to a whole number; one that is off by the last bits of a product is not rounded up to the
/// next.
inline double whole_up(double number) {
    return std::ceil(number - 1e-9 * std::max(1.0, number));
}

/// Counts like parts; the first time that a part is met fixes nothing but its key's order.
class PartCounter {
public:
    using Key = std::tuple<int, double, std::string>; ///< group, a number to sort by, name

    void add(const Key& key, const BuyPart& part, const std::string& used_at) {
        auto [found, is_new] = parts_.try_emplace(key, part);
        ++found->second.count;
        if (!used_at.empty()) {
            found->second.used_at += (is_new ? "" : ", ") + used_at;
        }
    }

    [[nodiscard]] std::vector<BuyPart> take(double spare) const {
        std::vector<BuyPart> out;
        for (const auto& [key, part] : parts_) {
            BuyPart line = part;
            line.with_spare = static_cast<int>(whole_up(line.count * (1.0 + spare)));
            if (line.stock != nullptr && line.stock->price) {
                line.cost = *line.stock->price * line.with_spare;
            }
            out.push_back(std::move(line));
        }
        return out;
    }

private:
    std::map<Key, BuyPart> parts_;
};

} // namespace loomwright
