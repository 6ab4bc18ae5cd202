// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "progress.hpp"
#include "time_left.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace loomwright::cli;

namespace {

double left(const TimeLeft& time) {
    const auto seconds = time.seconds();
    REQUIRE(seconds.has_value());
    return *seconds;
}

} // namespace

TEST_CASE("nothing is said before it means something") {
    TimeLeft time;
    CHECK_FALSE(time.seconds().has_value());
    time.see(0.5, 1.0); // much is done, but hardly any time has passed
    CHECK_FALSE(time.seconds().has_value());
    TimeLeft slow;
    slow.see(0.01, 60.0); // long, but hardly anything is done
    CHECK_FALSE(slow.seconds().has_value());
    slow.see(0.03, 180.0);
    CHECK(slow.seconds().has_value());
}

TEST_CASE("even work: the rest takes as long as the share says") {
    // 1 % a second: after 30 s there are 70 s left, by the rule of three.
    TimeLeft time;
    for (int second = 1; second <= 30; ++second) {
        time.see(0.01 * second, second);
    }
    CHECK(left(time) == doctest::Approx(70.0));
}

TEST_CASE("work that changes its pace is followed smoothly") {
    TimeLeft time;
    double share = 0.0;
    double clock = 0.0;
    for (int i = 0; i < 20; ++i) {
        time.see(share += 0.01, clock += 1.0);
    }
    const double before = left(time);
    time.see(share += 0.01, clock += 10.0); // one part takes ten times as long
    // The pace is 1 %/s but for a tenth of the difference to 0.1 %/s: 0.91 %/s.
    CHECK(left(time) == doctest::Approx((1.0 - share) / 0.0091));
    CHECK(left(time) < 1.2 * before);
    for (int i = 0; i < 60; ++i) {
        time.see(share += 0.001, clock += 1.0);
    }
    // 60 sights later a share of 0.9^60 = 0.2 % of the old pace is left.
    CHECK(left(time) == doctest::Approx((1.0 - share) / 0.001).epsilon(0.03));
}

TEST_CASE("sights without news change nothing") {
    TimeLeft time;
    time.see(0.5, 50.0);
    const double before = left(time);
    time.see(0.5, 60.0);
    time.see(0.4, 70.0);
    time.see(std::nan(""), 71.0);
    time.see(0.6, 50.0);
    CHECK(left(time) == before);
    time.see(7.0, 100.0); // past its end: done
    CHECK(left(time) == 0.0);
}

TEST_CASE("times are told as finely as they are known") {
    CHECK(time_left_text(0.0) == "about 1 s left");
    CHECK(time_left_text(3.2) == "about 4 s left");
    CHECK(time_left_text(12.0) == "about 15 s left");
    CHECK(time_left_text(90.0) == "about 90 s left");
    CHECK(time_left_text(150.0) == "about 3 min left");
    CHECK(time_left_text(10000.0) == "about 3 h left");
}

TEST_CASE("the line of progress is narrower than the terminal") {
    CHECK(progress_line("faults", 500, 1000, std::nullopt, 80) ==
          "faults [###############...............]  50 %");
    CHECK(progress_line("faults", 1000, 1000, 2.0, 80) ==
          "faults [##############################] 100 %, about 2 s left");
    for (const int width : {40, 41, 60, 80, 160}) {
        CAPTURE(width);
        const std::string name = "samples of a state with quite a long name, as some have";
        CHECK(static_cast<int>(progress_line(name, 7, 10, 110.0, width).size()) < width);
        CHECK(progress_line(name, 7, 10, 110.0, width).find(" 70 %") != std::string::npos);
    }
}
