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
