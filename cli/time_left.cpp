// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "time_left.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright::cli {
namespace {

constexpr double least_share = 0.02;
constexpr double least_seconds = 2.0;
constexpr double between_sights_s = 0.2;
constexpr double weight_of_new = 0.1;

} // namespace

void TimeLeft::see(double share, double seconds) {
    const double done = std::clamp(share, 0.0, 1.0);
    if (!(done > share_) || !(seconds >= seconds_ + between_sights_s)) {
        return;
    }
    const double pace = (done - share_) / (seconds - seconds_);
    pace_per_s_ =
        pace_per_s_ > 0.0 ? pace_per_s_ + weight_of_new * (pace - pace_per_s_) : done / seconds;
    share_ = done;
    seconds_ = seconds;
}

std::optional<double> TimeLeft::seconds() const {
    if (share_ < least_share || seconds_ < least_seconds || pace_per_s_ <= 0.0) {
        return std::nullopt;
    }
    return (1.0 - share_) / pace_per_s_;
}

std::string time_left_text(double seconds) {
    constexpr double minute = 60.0;
    constexpr double hour = 3600.0;
    if (seconds < 10.0) {
        return fmt::format("about {:.0f} s left", std::max(1.0, std::ceil(seconds)));
    }
    if (seconds < 2.0 * minute) {
        return fmt::format("about {:.0f} s left", 5.0 * std::ceil(seconds / 5.0));
    }
    if (seconds < 2.0 * hour) {
        return fmt::format("about {:.0f} min left", std::ceil(seconds / minute));
    }
    return fmt::format("about {:.0f} h left", std::ceil(seconds / hour));
}

} // namespace loomwright::cli
