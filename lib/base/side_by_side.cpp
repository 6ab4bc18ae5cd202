// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/side_by_side.hpp"

#include <atomic>
#include <exception>
#include <semaphore>
#include <system_error>
#include <thread>
#include <utility>
#include <vector>

#ifdef __linux__
#include <pthread.h>
#include <sched.h>
#endif

namespace loomwright {
namespace {

#ifdef __linux__
/// A new thread may wait on its maker's processor for the scheduler's next look, 2 to 3 ms on some
/// machines, longer than what it is for takes: it is asked to begin on any of the others. Once it
/// runs it may go wherever its maker may, and so may the threads that it makes in its turn.
class Departure {
public:
    Departure() : is_known_(sched_getaffinity(0, sizeof allowed_, &allowed_) == 0) {}

    /// By the maker.
    void send(std::jthread& thread) {
        cpu_set_t others = allowed_;
        const int here = sched_getcpu();
        if (is_known_ && here >= 0) {
            CPU_CLR(static_cast<std::size_t>(here), &others);
            if (CPU_COUNT(&others) > 0) {
                // Where this is refused the thread runs as it would have.
                pthread_setaffinity_np(thread.native_handle(), sizeof others, &others);
            }
        }
        is_sent_.release();
    }
    /// By the thread, before anything else.
    void arrive() {
        is_sent_.acquire();
        if (is_known_) {
            sched_setaffinity(0, sizeof allowed_, &allowed_);
        }
    }

private:
    cpu_set_t allowed_{};
    bool is_known_;
    std::binary_semaphore is_sent_{0};
};
#else
class Departure {
public:
    void send(std::jthread& /*thread*/) {}
    void arrive() {}
};
#endif

thread_local bool is_one_after_another = false;

} // namespace

OneAfterAnother::OneAfterAnother() : before_(std::exchange(is_one_after_another, true)) {}
OneAfterAnother::~OneAfterAnother() {
    is_one_after_another = before_;
}

void side_by_side(std::size_t helpers, const std::function<void(std::size_t)>& work) {
    if (is_one_after_another) {
        for (std::size_t number = 0; number <= helpers; ++number) {
            work(number);
        }
        return;
    }
    std::vector<std::exception_ptr> thrown(helpers + 1);
    const auto guarded = [&](std::size_t number) {
        try {
            work(number);
        } catch (...) {
            thrown[number] = std::current_exception();
        }
    };
    {
        std::vector<Departure> departures(helpers);
        std::vector<std::jthread> threads;
        threads.reserve(helpers);
        try {
            while (threads.size() < helpers) {
                Departure& departure = departures[threads.size()];
                threads.emplace_back([&guarded, &departure, number = threads.size() + 1] {
                    departure.arrive();
                    guarded(number);
                });
                departure.send(threads.back());
            }
        } catch (const std::system_error&) {
            // The system gives no thread more: the rest goes here, one after another.
        }
        guarded(0);
        for (std::size_t number = threads.size() + 1; number <= helpers; ++number) {
            guarded(number);
        }
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
