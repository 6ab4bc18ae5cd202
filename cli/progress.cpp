// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "progress.hpp"

#include "terminal.hpp"

#include <fmt/format.h>

#include <algorithm>

#include <unistd.h>

namespace loomwright::cli {
namespace {

constexpr std::chrono::milliseconds before_first{500};
constexpr std::chrono::milliseconds between{100};
constexpr std::uint64_t width = 30;

} // namespace

Progress::Progress(std::string_view what, std::uint64_t all)
    : what_(printable(what)), all_(std::max<std::uint64_t>(all, 1)),
      is_wanted_(::isatty(STDERR_FILENO) != 0), next_(Clock::now() + before_first) {}

Progress::~Progress() {
    if (is_drawn_) {
        print_error("\r\x1b[K");
    }
}

void Progress::show(std::uint64_t done) {
    if (!is_wanted_ || Clock::now() < next_) {
        return;
    }
    next_ = Clock::now() + between;
    is_drawn_ = true;
    const std::uint64_t part = std::min(done, all_) * width / all_;
    print_error(fmt::format("\r{} [{:#<{}}{:.<{}}] {:3} %", what_, "", part, "", width - part,
                            std::min(done, all_) * 100 / all_));
}

} // namespace loomwright::cli
