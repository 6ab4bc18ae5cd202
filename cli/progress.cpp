// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "progress.hpp"

#include "fold.hpp"
#include "terminal.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright::cli {
namespace {

constexpr std::chrono::milliseconds before_first{500};
constexpr std::chrono::milliseconds between{100};
constexpr int widest_bar = 30;
constexpr int narrowest_bar = 8;

} // namespace

std::string progress_line(std::string_view what, std::uint64_t done, std::uint64_t all,
                          std::optional<double> seconds_left, int width) {
    std::string tail = fmt::format("{:3} %", done * 100 / all);
    if (seconds_left) {
        tail += ", " + time_left_text(*seconds_left);
    }
    // One column stays free: a full line makes some terminals begin another. What does not fit
    // beside the shortest bar is left out.
    const int room = width - 1 - static_cast<int>(tail.size()) - 4;
    const bool has_name = room - line_width(what) >= narrowest_bar;
    const int bar = std::clamp(room - (has_name ? line_width(what) : -1), 0, widest_bar);
    const int part = static_cast<int>(done * static_cast<std::uint64_t>(bar) / all);
    return fmt::format("{}{}[{:#<{}}{:.<{}}] {}", has_name ? what : "", has_name ? " " : "", "",
                       part, "", bar - part, tail);
}

Progress::Progress(std::string_view what, std::uint64_t all)
    : what_(printable(what)), all_(std::max<std::uint64_t>(all, 1)), is_wanted_(wants_bar()),
      start_(Clock::now()), next_(start_ + before_first) {}

Progress::~Progress() {
    if (is_drawn_) {
        print_error("\r\x1b[K");
    }
}

void Progress::show(std::uint64_t done) {
    const auto now = Clock::now();
    if (!is_wanted_ || now < next_) {
        return;
    }
    next_ = now + between;
    is_drawn_ = true;
    const std::uint64_t known = std::min(done, all_);
    left_.see(static_cast<double>(known) / static_cast<double>(all_),
              std::chrono::duration<double>(now - start_).count());
    print_error(fmt::format(
        "\r{}\x1b[K", progress_line(what_, known, all_, left_.seconds(), error_width().columns)));
}

} // namespace loomwright::cli
