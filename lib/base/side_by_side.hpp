// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <functional>

namespace loomwright {

/// So many rows of light work (wires to balance, to route, to write) are worth the start of a
/// thread.
constexpr std::size_t rows_worth_a_thread = 2000;

/// Calls `work` once on the calling thread and once on each of `helpers` further ones, with the
/// number of the call (0: the caller's), and returns when all have returned. Where the system gives
/// no more threads the calling thread does the work of those that are missing. An exception of one
/// is thrown on from here, of several that with the lowest number.
void side_by_side(std::size_t helpers, const std::function<void(std::size_t)>& work);

/// While one lives, its thread makes no further threads: what would go side by side goes one after
/// another. For a thread that is one of many already.
class OneAfterAnother {
public:
    OneAfterAnother();
    ~OneAfterAnother();
    OneAfterAnother(const OneAfterAnother&) = delete;
    OneAfterAnother& operator=(const OneAfterAnother&) = delete;
    OneAfterAnother(OneAfterAnother&&) = delete;
    OneAfterAnother& operator=(OneAfterAnother&&) = delete;

private:
    bool before_;
};

/// Calls `work` for each number below `count`, on two threads: each takes the next that is left.
void each_side_by_side(std::size_t count, const std::function<void(std::size_t)>& work);

} // namespace loomwright
