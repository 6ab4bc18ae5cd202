// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/shelf.hpp"
#include "base/side_by_side.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <vector>

using namespace loomwright;

namespace {

using Key = std::vector<int>;

struct CountingMaker {
    std::atomic<int>& made;
    int value = 0;
    std::shared_ptr<const int> operator()() const {
        ++made;
        return std::make_shared<const int>(value);
    }
};

} // namespace

TEST_CASE("what stands on a shelf is not made again, and keys that differ in one number are two") {
    Shelf<Key, const int> shelf(10);
    std::atomic<int> made{0};
    const auto first = shelf.of({1, 2}, 1, CountingMaker{made, 12});
    CHECK(*first == 12);
    CHECK(shelf.of({1, 2}, 1, CountingMaker{made, 99}) == first);
    CHECK(made == 1);
    CHECK(*shelf.of({1, 3}, 1, CountingMaker{made, 13}) == 13);
    CHECK(*shelf.of({1}, 1, CountingMaker{made, 1}) == 1);
    CHECK(made == 3);
}

TEST_CASE("a full shelf gives what is new without keeping it, and still what it has") {
    Shelf<Key, const int> shelf(5);
    std::atomic<int> made{0};
    const auto kept = shelf.of({1}, 3, CountingMaker{made, 1});
    CHECK(*shelf.of({2}, 3, CountingMaker{made, 2}) == 2); // 3 + 3 is more than 5
    CHECK(*shelf.of({2}, 3, CountingMaker{made, 22}) == 22);
    CHECK(shelf.of({1}, 3, CountingMaker{made, 11}) == kept);
    CHECK(*shelf.of({3}, 2, CountingMaker{made, 3}) == 3); // just fits
    CHECK(*shelf.of({3}, 2, CountingMaker{made, 33}) == 3);
    CHECK(made == 4);
}

TEST_CASE("threads that ask at once get one and the same") {
    Shelf<Key, const int> shelf(1000);
    std::vector<std::vector<std::shared_ptr<const int>>> got(4);
    side_by_side(3, [&](std::size_t thread) {
        for (int k = 0; k < 200; ++k) {
            got[thread].push_back(shelf.of({k}, 1, [&] { return std::make_shared<const int>(k); }));
        }
    });
    for (const auto& of_thread : got) {
        CHECK(of_thread == got.front());
    }
    CHECK(*got.front()[7] == 7);
}
