// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/cutting_stock.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <vector>

using namespace loomwright;

namespace {

/// Every piece is cut exactly once and no spool is overfull.
void check_plan(const std::vector<CutSize>& sizes, int spool, const CuttingPlan& plan) {
    std::vector<int> cut(sizes.size(), 0);
    int spools = 0;
    for (const SpoolPattern& pattern : plan.patterns) {
        REQUIRE(pattern.pieces.size() == sizes.size());
        CHECK(pattern.used(sizes) <= spool);
        CHECK(pattern.used(sizes) > 0);
        for (std::size_t i = 0; i < sizes.size(); ++i) {
            cut[i] += pattern.pieces[i] * pattern.spools;
        }
        spools += pattern.spools;
    }
    CHECK(spools == plan.spools);
    CHECK(plan.at_least <= plan.spools);
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        CHECK(cut[i] == sizes[i].count);
    }
}

CuttingPlan planned(const std::vector<CutSize>& sizes, int spool) {
    const auto plan = plan_cutting(sizes, spool);
    REQUIRE(plan.has_value());
    check_plan(sizes, spool, *plan);
    return *plan;
}

/// The least number of spools by trying every place of every piece: for a dozen pieces.
class EveryWay {
public:
    EveryWay(const std::vector<CutSize>& sizes, int spool) : spool_(spool) {
        for (const CutSize& size : sizes) {
            pieces_.insert(pieces_.end(), static_cast<std::size_t>(size.count), size.length);
        }
        std::ranges::sort(pieces_, std::greater());
        best_ = static_cast<int>(pieces_.size());
        place(0);
    }
    [[nodiscard]] int best() const { return best_; }

private:
    void place(std::size_t piece) {
        if (static_cast<int>(rooms_.size()) >= best_) {
            return;
        }
        if (piece == pieces_.size()) {
            best_ = static_cast<int>(rooms_.size());
            return;
        }
        for (std::size_t i = 0; i < rooms_.size(); ++i) {
            if (rooms_[i] >= pieces_[piece]) {
                rooms_[i] -= pieces_[piece];
                place(piece + 1);
                rooms_[i] += pieces_[piece];
            }
        }
        rooms_.push_back(spool_ - pieces_[piece]);
        place(piece + 1);
        rooms_.pop_back();
    }

    int spool_;
    std::vector<int> pieces_;
    std::vector<int> rooms_;
    int best_ = 0;
};

} // namespace

TEST_CASE("cutting stock: the paper machine of 5600 mm takes 73 rolls") {
    // Published instance and optimum: encyclopedia article "Cutting stock problem" (read): 13
    // widths, 219 pieces of 407,160 mm in all, 73 rolls at the least, 0.401 % waste.
    const std::vector<CutSize> sizes = {{1380, 22}, {1520, 25}, {1560, 12}, {1710, 14}, {1820, 18},
                                        {1880, 18}, {1930, 20}, {2000, 10}, {2050, 12}, {2100, 14},
                                        {2140, 16}, {2150, 18}, {2200, 20}};
    const CuttingPlan plan = planned(sizes, 5600);
    CHECK(plan.spools == 73);
    CHECK(plan.is_least());
    CHECK(1.0 - 407160.0 / (73 * 5600.0) == doctest::Approx(0.00401).epsilon(0.01).scale(0.0));
}

TEST_CASE("cutting stock: widths 14, 31, 36, 45 from rolls of 100 take 453") {
    // Published instance of a modelling system's library (widths and demands read; that 453 rolls
    // are the least is memory, and the linear programme's bound proves it here).
    const CuttingPlan plan = planned({{14, 211}, {31, 395}, {36, 610}, {45, 97}}, 100);
    CHECK(plan.spools == 453);
    CHECK(plan.is_least());
}

TEST_CASE("cutting stock: triples that fill a spool are put together again") {
    // Made so that the optimum is known: each spool cut into three random pieces between a quarter
    // and a half of it, as in the triplet class of Falkenauer (1996, memory). Nothing is left over,
    // so no plan has fewer spools.
    std::mt19937 random(7);
    int least = 0;
    constexpr int cases = 4;
    for (int k = 0; k < cases; ++k) {
        constexpr int spool = 1000;
        std::vector<CutSize> sizes;
        for (int i = 0; i < 20; ++i) {
            const int a = 380 + static_cast<int>(random() % 110);
            const int b = 251 + static_cast<int>(random() % 120);
            for (const int length : {a, b, spool - a - b}) {
                const auto same = std::ranges::find(sizes, length, &CutSize::length);
                if (same == sizes.end()) {
                    sizes.push_back({length, 1});
                } else {
                    ++same->count;
                }
            }
        }
        const CuttingPlan plan = planned(sizes, spool);
        CHECK(plan.at_least <= 20);
        CHECK(plan.spools <= 21);
        least += plan.spools == 20 ? 1 : 0;
    }
    // The hardest class there is: one spool more is allowed in a few of them, and is then said.
    CHECK(least >= cases / 2);
}

TEST_CASE("cutting stock: as few as by trying every way") {
    std::mt19937 random(11);
    for (int k = 0; k < 300; ++k) {
        const int spool = 20 + static_cast<int>(random() % 60);
        std::vector<CutSize> sizes;
        const int kinds = 1 + static_cast<int>(random() % 5);
        for (int i = 0; i < kinds; ++i) {
            const int length = 1 + static_cast<int>(random() % static_cast<unsigned>(spool));
            if (std::ranges::find(sizes, length, &CutSize::length) == sizes.end()) {
                sizes.push_back({length, 1 + static_cast<int>(random() % 3)});
            }
        }
        const CuttingPlan plan = planned(sizes, spool);
        const int least = EveryWay(sizes, spool).best();
        CAPTURE(k);
        CHECK(plan.at_least <= least);
        CHECK(plan.spools == least);
    }
}

TEST_CASE("cutting stock: nothing to cut, one piece, a piece as long as the spool, one longer") {
    CHECK(planned({}, 100).spools == 0);
    CHECK(planned({}, 0).spools == 0); // a spool of less than one step
    CHECK(planned({{1, 1}}, 100).spools == 1);
    CHECK(planned({{100, 3}}, 100).spools == 3);
    CHECK_FALSE(plan_cutting(std::vector<CutSize>{{101, 1}}, 100).has_value());
}

TEST_CASE("cutting stock: the longest rest is on the last spool") {
    const std::vector<CutSize> sizes = {{60, 3}, {30, 2}};
    const CuttingPlan plan = planned(sizes, 100);
    CHECK(plan.spools == 3);
    CHECK(plan.patterns.back().used(sizes) == 60);
}
