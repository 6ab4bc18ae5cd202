// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <optional>
#include <string>

namespace loomwright::cli {

/// How long work will still take, from the share of it that is done and the time that has passed.
///
///   pace = d(share) / d(time) between two sights of it, smoothed over about ten of them;
///   left = (1 - share) / pace
///
/// It says nothing before a fiftieth is done and two seconds have passed: what is computed first is
/// seldom like the rest.
class TimeLeft {
public:
    /// At `seconds` after the start `share` (0 to 1) is done. Sights that bring nothing new are
    /// kept for the next one.
    void see(double share, double seconds);
    /// Nothing while it would mean nothing.
    [[nodiscard]] std::optional<double> seconds() const;

private:
    double share_ = 0.0;
    double seconds_ = 0.0;
    double pace_per_s_ = 0.0; ///< smoothed; 0: none seen
};

/// "about 12 s left", "about 3 min left": no finer than it is known.
[[nodiscard]] std::string time_left_text(double seconds);

} // namespace loomwright::cli
