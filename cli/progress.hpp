// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "time_left.hpp"

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace loomwright::cli {

/// What a bar is divided into.
inline constexpr std::uint64_t bar_parts = 1000;

/// "faults [######....] 60 %, about 12 s left", narrower than `width` columns. `all` is at least 1.
[[nodiscard]] std::string progress_line(std::string_view what, std::uint64_t done,
                                        std::uint64_t all, std::optional<double> seconds_left,
                                        int width);

/// A bar on standard error for work that takes more than half a second, with the time that it will
/// still take once that can be told. Silent where standard error is no terminal. Gone when the work
/// is done.
class Progress {
public:
    /// `what` stands before the bar.
    Progress(std::string_view what, std::uint64_t all);
    ~Progress();
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;
    Progress(Progress&&) = delete;
    Progress& operator=(Progress&&) = delete;

    /// So much of it is done. Cheap to call often.
    void show(std::uint64_t done);

private:
    using Clock = std::chrono::steady_clock;

    std::string what_;
    std::uint64_t all_;
    bool is_wanted_;
    bool is_drawn_ = false;
    Clock::time_point start_;
    Clock::time_point next_; ///< not drawn before
    TimeLeft left_;
};

} // namespace loomwright::cli
