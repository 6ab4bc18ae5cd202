// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/side_by_side.hpp"

#include <atomic>
#include <exception>
#include <thread>
#include <vector>

#ifdef __linux__
#include <pthread.h>
#include <sched.h>
#endif

namespace loomwright {
namespace {

/// A new thread may wait on its maker's processor for the scheduler's next look, 2 to 3 ms on some
/// machines, longer than what it is for takes: it is asked to begin on any of the others.
void send_elsewhere([[maybe_unused]] std::jthread& thread) {
#ifdef __linux__
    cpu_set_t allowed;
    const int here = sched_getcpu();
    if (here < 0 || sched_getaffinity(0, sizeof allowed, &allowed) != 0) {
        return;
    }
    CPU_CLR(static_cast<std::size_t>(here), &allowed);
    if (CPU_COUNT(&allowed) > 0) {
        // Where this is refused the thread runs as it would have.
        pthread_setaffinity_np(thread.native_handle(), sizeof allowed, &allowed);
    }
#endif
}

} // namespace

void side_by_side(std::size_t helpers, const std::function<void(std::size_t)>& work) {
    std::vector<std::exception_ptr> thrown(helpers + 1);
    const auto guarded = [&](std::size_t number) {
        try {
            work(number);
        } catch (...) {
            thrown[number] = std::current_exception();
        }
    };
    {
        std::vector<std::jthread> threads;
        threads.reserve(helpers);
        for (std::size_t number = 1; number <= helpers; ++number) {
            threads.emplace_back(guarded, number);
            send_elsewhere(threads.back());
        }
        guarded(0);
    }
    for (const std::exception_ptr& fault : thrown) {
        if (fault) {
            std::rethrow_exception(fault);
        }
    }
}

void each_side_by_side(std::size_t count, const std::function<void(std::size_t)>& work) {
    std::atomic<std::size_t> next = 0;
    side_by_side(1, [&](std::size_t /*number*/) {
        for (std::size_t i = next++; i < count; i = next++) {
            work(i);
        }
    });
}

} // namespace loomwright
