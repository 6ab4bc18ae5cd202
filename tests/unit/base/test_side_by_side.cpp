// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/side_by_side.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <set>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#ifdef __GLIBC__
#include <pthread.h>
#endif

using namespace loomwright;

TEST_CASE("every number is called once, and all are done when the call returns") {
    for (const std::size_t helpers : {0U, 1U, 3U, 7U}) {
        std::vector<std::atomic<int>> calls(helpers + 1);
        std::vector<std::thread::id> by(helpers + 1);
        side_by_side(helpers, [&](std::size_t number) {
            ++calls.at(number);
            by[number] = std::this_thread::get_id();
        });
        for (const std::atomic<int>& count : calls) {
            CHECK(count == 1);
        }
        CHECK(by[0] == std::this_thread::get_id());
        CHECK(std::set(by.begin(), by.end()).size() == helpers + 1);
    }
}

TEST_CASE("an exception comes out once all are done, the lowest number's first") {
    std::atomic<int> done{0};
    const auto call = [&] {
        side_by_side(3, [&](std::size_t number) {
            ++done;
            if (number >= 1) {
                throw std::runtime_error(std::to_string(number));
            }
        });
    };
    CHECK_THROWS_WITH_AS(call(), "1", std::runtime_error);
    CHECK(done == 4);
}

#ifdef __GLIBC__
namespace {

/// While one lives a new thread asks for a stack of 128 TiB, more than there are addresses.
class NoThreads {
public:
    NoThreads() {
        pthread_getattr_default_np(&before_);
        pthread_attr_t huge;
        pthread_getattr_default_np(&huge);
        pthread_attr_setstacksize(&huge, std::size_t{1} << 47U);
        is_set_ = pthread_setattr_default_np(&huge) == 0;
        pthread_attr_destroy(&huge);
    }
    ~NoThreads() {
        pthread_setattr_default_np(&before_);
        pthread_attr_destroy(&before_);
    }
    NoThreads(const NoThreads&) = delete;
    NoThreads& operator=(const NoThreads&) = delete;
    NoThreads(NoThreads&&) = delete;
    NoThreads& operator=(NoThreads&&) = delete;
    [[nodiscard]] bool is_set() const { return is_set_; }

private:
    pthread_attr_t before_{};
    bool is_set_ = false;
};

} // namespace

TEST_CASE("where the system gives no thread the caller does all of the work") {
    const NoThreads none;
    REQUIRE(none.is_set());
    std::vector<int> calls(4);
    std::set<std::thread::id> by;
    side_by_side(3, [&](std::size_t number) {
        ++calls.at(number);
        by.insert(std::this_thread::get_id());
    });
    CHECK(calls == std::vector<int>{1, 1, 1, 1});
    CHECK(by == std::set{std::this_thread::get_id()});
    CHECK_THROWS_WITH_AS(
        side_by_side(2,
                     [](std::size_t number) { throw std::runtime_error(std::to_string(number)); }),
        "0", std::runtime_error);
}
#endif
