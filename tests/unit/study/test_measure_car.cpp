// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The car that was measured, what its tolerances do to the readings and what suspects do: all
// against Ohm's law of the feed in measured_feed.hpp.
#include "study/measure_car.hpp"

#include "study/measure_compare.hpp"
#include "study/measure_fit.hpp"
#include "study/measure_response.hpp"
#include "study/measured_feed.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <functional>
#include <string>
#include <vector>

namespace loomwright {
namespace {

using doctest::Approx;
using testing::branch_of;
using testing::Car;
using testing::Feed;
using testing::FeedOhms;
using testing::meter_v;
using testing::open_switch;
using testing::Study;
using Kind = Suspect::Kind;

constexpr double wires = 3e-5; ///< 8 wires of 2 uohm, in circuits of 2 ohm and more

/// The feed with readings of four places in both states.
struct Measured {
    Measured() : study(feed.vehicle), car(study.input(), study.design, readings()) {}
    [[nodiscard]] std::vector<MeterReading> readings() const {
        std::vector<MeterReading> out;
        for (const StateId state : {feed.both, feed.one}) {
            for (const char* const place : {"G1.+", "F1.out", "E1.+", "E2.+"}) {
                out.push_back(feed.reading(place, state, 10.0));
            }
        }
        return out;
    }
    [[nodiscard]] int branch(std::string_view device) const { return branch_of(study, device); }
    [[nodiscard]] int node(std::string_view place) const {
        return study.network.node(feed.ref(place));
    }
    Feed feed;
    Study study;
    MeasuredCar car;
};

/// Something otherwise, and the same by Ohm's law.
struct Otherwise {
    std::vector<Change> changes;
    std::function<void(FeedOhms&)> by_hand;
};

std::vector<Otherwise> linear_changes(const Measured& here) {
    const auto joint = [&](std::string_view device, double ohm) {
        return Change{{Kind::joint, here.branch(device)}, ohm};
    };
    const auto source = [&](double volts) {
        return Change{{Kind::source, here.branch("G1")}, volts};
    };
    return {
        {{}, [](FeedOhms&) {}},
        {{joint("F1", 0.5)}, [](FeedOhms& o) { o.main += 0.5; }},
        {{joint("F2", 3.0)}, [](FeedOhms& o) { o.first += 3.0; }},
        {{joint("F3", 0.02)}, [](FeedOhms& o) { o.second += 0.02; }},
        {{joint("S1", 1.5)}, [](FeedOhms& o) { o.contact += 1.5; }},
        {{joint("G1", 0.3)}, [](FeedOhms& o) { o.battery += 0.3; }},
        {{source(-1.5)}, [](FeedOhms& o) { o.source_v -= 1.5; }},
        {{source(2.0)}, [](FeedOhms& o) { o.source_v += 2.0; }},
        {{joint("F2", 1.0), joint("F3", 2.0), source(-0.5)},
         [](FeedOhms& o) {
             o.first += 1.0;
             o.second += 2.0;
             o.source_v -= 0.5;
         }},
        {{joint("F1", 1e9)}, [](FeedOhms& o) { o.main = 1e9; }},
    };
}

std::vector<Otherwise> load_changes(const Measured& here) {
    const auto load = [&](std::string_view device, double share) {
        return Change{{Kind::load, here.branch(device)}, share};
    };
    return {
        {{load("E1", 0.5)}, [](FeedOhms& o) { o.lamp /= 0.5; }},
        {{load("E2", 0.9)}, [](FeedOhms& o) { o.fan /= 0.1; }},
        {{load("E2", 1.0)}, [](FeedOhms& o) { o.fan = 1e12; }},
        {{load("E2", 1.3)}, [](FeedOhms& o) { o.fan = 1e12; }}, // no less than nothing
        {{Change{{Kind::reading, 3}, 4.0}}, [](FeedOhms&) {}},
    };
}

} // namespace

TEST_CASE("readings are placed in the network as they were taken") {
    Feed feed;
    feed.vehicle.bodies = {"chassis"};
    feed.ground("GND1");
    feed.short_wire("G1.-", "GND1");
    const Study study(feed.vehicle);
    std::vector<MeterReading> readings{feed.reading("E1.+", feed.both, 9.0),
                                       feed.reading("F1.out", feed.one, -3.0),
                                       feed.reading("E2.+", feed.both, 8.0)};
    readings[1].to = ProbePlace{.terminal = feed.ref("F2.out"), .name = "F2.out"};
    readings[2].at = ProbePlace{.body = 0, .name = "chassis"};
    readings[2].accuracy = {.share = 0.02, .fixed = Volts(0.5), .is_stated = true};
    const MeasuredCar car(study.input(), study.design, readings);
    CHECK(car.state_count() == 2);
    CHECK(car.settled(0).id == feed.both); // in the order of the readings
    CHECK(car.settled(1).id == feed.one);
    CHECK(car.black_lead() == study.network.node(feed.ref("G1.-")));
    const std::vector<ProbePair>& probes = car.probes();
    REQUIRE(probes.size() == 3);
    CHECK(probes[0].state == 0);
    CHECK(probes[1].state == 1);
    CHECK(probes[2].state == 0);
    CHECK(probes[0].node == study.network.node(feed.ref("E1.+")));
    CHECK(probes[0].against == car.black_lead());
    CHECK(probes[1].node == study.network.node(feed.ref("F1.out")));
    CHECK(probes[1].against == study.network.node(feed.ref("F2.out")));
    CHECK(probes[2].node == study.network.body_nodes[0]);
    CHECK(probes[0].volts == 9.0);
    CHECK(probes[1].volts == -3.0);
    CHECK(probes[0].meter_v == Approx(meter_v(9.0)));
    CHECK(probes[1].meter_v == Approx(meter_v(3.0)));
    CHECK(probes[2].meter_v == Approx((0.02 * 8.0 + 0.5) / std::sqrt(3.0)));
    // all of them are compared, whatever the numbers of their nodes
    const Comparison compared = compare_readings(car, predicted_states(car), {}, {});
    CHECK(compared.reading_of_row == std::vector<std::size_t>{0, 1, 2});
}

TEST_CASE("a probe on the far side of a connector's cavity is behind its joint") {
    Feed feed;
    const DeviceId shell = feed.device("XA", {"1", "2"}, Connector{});
    const DeviceId mate = feed.device("XB", {"1", "2"}, Connector{.mate = shell});
    std::get<Connector>(feed.at(shell).spec).mate = mate;
    feed.short_wire("G1.+", "XA.2");
    feed.short_wire("XB.2", "E2.+");
    const Study study(feed.vehicle);
    MeterReading near = feed.reading("XA.2", feed.one, 12.0);
    MeterReading far = near;
    far.at.is_far_side = true;
    MeterReading plain = feed.reading("F1.in", feed.one, 12.0); // a terminal has one side only
    plain.at.is_far_side = true;
    const std::array readings{near, far, plain};
    const MeasuredCar car(study.input(), study.design, readings);
    const auto& branches = study.network.branches;
    const auto joint = std::ranges::find_if(branches, [](const Branch& branch) {
        return branch.kind == BranchKind::joint && branch.part == 1;
    });
    REQUIRE(joint != branches.end());
    CHECK(car.probes()[0].node != car.probes()[1].node);
    CHECK(joint->other_end(car.probes()[0].node) == car.probes()[1].node);
    CHECK(car.probes()[2].node == study.network.node(feed.ref("F1.in")));
}

TEST_CASE("what is otherwise in a car moves its voltages by Ohm's law") {
    const Measured here;
    std::vector<Otherwise> all = linear_changes(here);
    for (Otherwise& one : load_changes(here)) {
        all.push_back(std::move(one));
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
        CAPTURE(i);
        for (std::size_t s = 0; s < 2; ++s) {
            CAPTURE(s);
            FeedOhms ohms = s == 0 ? FeedOhms() : open_switch();
            all[i].by_hand(ohms);
            const ChangedState state = here.car.solve(s, all[i].changes);
            REQUIRE(state.is_solved);
            for (const char* const place : {"G1.+", "F1.out", "E1.+", "E2.+"}) {
                CAPTURE(place);
                CHECK(std::abs(state.volts(here.node(place), here.node("G1.-")) - ohms.at(place)) <
                      wires * 12.0);
            }
            const int place = state.place[static_cast<std::size_t>(here.branch("F1"))];
            REQUIRE(place >= 0);
            CHECK(state.point.amps[static_cast<std::size_t>(place)] ==
                  Approx(ohms.amps()).epsilon(1e-4));
            CHECK((state.place[static_cast<std::size_t>(here.branch("S1"))] >= 0) == (s == 0));
            CHECK(state.floats(here.node("X1")));
            CHECK_FALSE(state.floats(here.node("E1.+")));
        }
    }
    // a joint of any size beyond 1 Gohm is open, and still has an answer
    const std::array open{Change{{Kind::joint, here.branch("F1")}, 1e15}};
    const ChangedState state = here.car.solve(0, open);
    REQUIRE(state.is_solved);
    CHECK(state.volts(here.node("G1.+"), here.node("G1.-")) == Approx(12.0));
    CHECK(std::abs(state.volts(here.node("E1.+"), here.node("G1.-"))) < 1e-7);
}

TEST_CASE("a bad joint in a coil's way keeps its relay out when it is robbed of its pull-in") {
    // A coil of 100 ohm that pulls in at 7 V, both at 20 C. In the prediction the posts have
    // 12 / (1 + 0.1 (1 / 2.3 + 1 / 2)) = 10.97 V with both loads on, the coil 10.93 V of them; at
    // 40 K/W (the table's coil-rise) R = 100 (1 + 0.00393 x 40 x 10.93^2 / R) = 116.2 ohm, and its
    // pull-in voltage goes with it, 8.13 V. From rest, with 11.49 V at the posts, it comes in
    // behind no more than 116.2 (11.49 / 8.13 - 1) - 0.5 = 47.5 ohm.
    const testing::RelayFeed feed;
    const Study study(feed.vehicle);
    const std::array readings{feed.reading("K1.86", feed.one, 12.0)};
    const MeasuredCar car(study.input(), study.design, readings);
    struct Case {
        double ohm;
        bool is_in;
    };
    const int load = study.network.node(feed.ref("E9.+"));
    const int coil = study.network.node(feed.ref("K1.86"));
    for (const Case& one : {Case{0.0, true}, Case{30.0, true}, Case{39.0, true}, Case{46.5, true},
                            Case{48.5, false}, Case{200.0, false}}) {
        CAPTURE(one.ohm);
        const std::array changes{Change{{Kind::joint, branch_of(study, "F9")}, one.ohm}};
        const ChangedState state = car.solve(0, changes);
        REQUIRE(state.is_solved);
        const double volts = state.volts(load, car.black_lead());
        CHECK(volts == Approx(one.is_in ? 11.0 : 0.0).epsilon(0.05));
        const auto trigger =
            std::ranges::find(car.plan().triggers, Trigger::Kind::coil, &Trigger::kind);
        const auto index = static_cast<std::size_t>(trigger - car.plan().triggers.begin());
        CHECK((state.stand[index] != 0) == one.is_in);
        if (!one.is_in) {
            CHECK(state.volts(coil, car.black_lead()) ==
                  Approx(11.5 * 116.2 / (116.2 + 0.5 + one.ohm)).epsilon(0.002));
        }
    }
}

TEST_CASE("predictions and their tolerances are those of the circuit, worked by hand") {
    const Measured here;
    const std::vector<ChangedState> states = predicted_states(here.car);
    REQUIRE(states.size() == 2);
    // Tolerances of 3 % of F1, of 4 % of F3, of 2 % of E1's demand, of 0.2 V of the battery, and
    // one of 5 % of F2 that comes with -1 % of S1's contact.
    using Part = Tolerance::Part;
    const std::vector<Tolerance> tolerances{
        {{Part{here.branch("F1"), 0.03, false}}},
        {{Part{here.branch("F3"), 0.04, false}}},
        {{Part{here.branch("E1"), 0.02, false}}},
        {{Part{here.branch("G1"), 0.2, true}}},
        {{Part{here.branch("F2"), 0.05, false}, Part{here.branch("S1"), -0.01, false}}}};
    const std::vector<std::function<void(FeedOhms&, double)>> by_hand{
        [](FeedOhms& o, double x) { o.main *= 1.0 + 0.03 * x; },
        [](FeedOhms& o, double x) { o.second *= 1.0 + 0.04 * x; },
        [](FeedOhms& o, double x) { o.lamp /= 1.0 + 0.02 * x; },
        [](FeedOhms& o, double x) { o.source_v += 0.2 * x; },
        [](FeedOhms& o, double x) {
            o.first *= 1.0 + 0.05 * x;
            o.contact *= 1.0 - 0.01 * x;
        }};
    std::vector<std::uint8_t> leave_out(8, 0);
    leave_out[1] = 1;
    const Comparison compared = compare_readings(here.car, states, tolerances, leave_out);
    // E2 is fed by nothing in the second state, but its minus holds it: it is compared
    CHECK(compared.reading_of_row == std::vector<std::size_t>{0, 2, 3, 4, 5, 6, 7});
    CHECK(compared.row_of_reading == std::vector<int>{0, -1, 1, 2, 3, 4, 5, 6});
    const std::array places{"G1.+", "F1.out", "E1.+", "E2.+"};
    std::vector<std::vector<double>> moved(8); // volts for one deviation of each tolerance
    for (std::size_t i = 0; i < 8; ++i) {
        CAPTURE(i);
        const FeedOhms nominal = i < 4 ? FeedOhms() : open_switch();
        CHECK(std::abs(compared.predicted_v[i] - nominal.at(places[i % 4])) < wires * 12.0);
        double square = 0.0;
        for (const auto& change : by_hand) {
            FeedOhms more = nominal;
            FeedOhms less = nominal;
            change(more, 1e-4);
            change(less, -1e-4);
            moved[i].push_back((more.at(places[i % 4]) - less.at(places[i % 4])) / 2e-4);
            square += moved[i].back() * moved[i].back();
        }
        if (i != 1) {
            CHECK(compared.prediction_v[i] == Approx(std::sqrt(square)).epsilon(1e-3));
        }
    }
    // whitened from both sides, the covariance by hand is the unit matrix
    const std::size_t rows = compared.reading_of_row.size();
    std::vector<std::vector<double>> white(rows, std::vector<double>(rows));
    for (std::size_t m = 0; m < rows; ++m) {
        CHECK(compared.residual[m] ==
              Approx(10.0 - compared.predicted_v[compared.reading_of_row[m]]));
        for (std::size_t l = 0; l < rows; ++l) {
            white[m][l] = m == l ? meter_v(10.0) * meter_v(10.0) : 0.0;
            for (std::size_t q = 0; q < by_hand.size(); ++q) {
                white[m][l] +=
                    moved[compared.reading_of_row[m]][q] * moved[compared.reading_of_row[l]][q];
            }
        }
    }
    for (std::size_t m = 0; m < rows; ++m) {
        CHECK(compared.whitening.deviations()[m] == Approx(std::sqrt(white[m][m])).epsilon(1e-3));
    }
    for (const bool is_second : {false, true}) {
        for (std::size_t m = 0; m < rows; ++m) {
            compared.whitening.apply(white[m]);
        }
        for (std::size_t m = 0; m < rows && !is_second; ++m) {
            for (std::size_t l = 0; l < m; ++l) {
                std::swap(white[m][l], white[l][m]);
            }
        }
    }
    for (std::size_t m = 0; m < rows; ++m) {
        for (std::size_t l = 0; l < rows; ++l) {
            CHECK(std::abs(white[m][l] - (m == l ? 1.0 : 0.0)) < 2e-3);
        }
    }
}

TEST_CASE("a place that nothing holds has no prediction, whichever probe is on it") {
    const Feed feed;
    const Study study(feed.vehicle);
    MeterReading floating = feed.reading("X1", feed.one, 1.0);
    MeterReading against = feed.reading("E1.+", feed.one, 1.0);
    against.to = floating.at;
    const std::array readings{floating, against, feed.reading("E1.+", feed.one, 9.0)};
    const MeasuredCar car(study.input(), study.design, readings);
    const Comparison compared = compare_readings(car, predicted_states(car), {}, {});
    CHECK(compared.reading_of_row == std::vector<std::size_t>{2});
    CHECK(compared.row_of_reading == std::vector<int>{-1, -1, 0});
    CHECK(compared.predicted_v[0] == 0.0);
    CHECK(compared.predicted_v[1] == 0.0);
    CHECK(compared.whitening.size() == 1);
    CHECK(compared.whitening.deviations()[0] == Approx(meter_v(9.0)));
}

TEST_CASE("the response foretells what suspects do to the readings, by Ohm's law") {
    const Measured here;
    const std::vector<ChangedState> states = predicted_states(here.car);
    const Comparison compared = compare_readings(here.car, states, {}, {});
    std::vector<Suspect> suspects;
    for (const char* const name : {"F1", "F2", "F3", "S1", "G1"}) {
        suspects.push_back({Kind::joint, here.branch(name)});
    }
    suspects.push_back({Kind::source, here.branch("G1")});
    suspects.push_back({Kind::load, here.branch("E1")});
    suspects.push_back({Kind::load, here.branch("E2")});
    suspects.push_back({Kind::reading, 6});
    const Response response = respond(here.car, states, compared, suspects);
    CHECK(response.rows == 8);
    CHECK(response.suspects == suspects);
    const FeedOhms both;
    const FeedOhms one = open_switch();
    const double first_a = both.node_v() / both.first_way();
    const double second_a = both.node_v() / both.second_way();
    const double one_a = one.amps();
    const std::vector<double> most{both.amps(), one_a, second_a, second_a, both.amps(),
                                   both.amps(), one_a, second_a, 0.0};
    const std::vector<double> now{both.amps(), first_a, second_a, second_a, both.amps(),
                                  both.amps(), first_a, second_a, 0.0};
    for (std::size_t k = 0; k < suspects.size(); ++k) {
        CAPTURE(k);
        CHECK(response.most_amps[k] == Approx(most[k]).epsilon(1e-4));
        CHECK(std::abs(response.states[0].amps[k]) == Approx(now[k]).epsilon(1e-4));
    }
    CHECK(response.states[1].amps[2] == 0.0);
    const SetFitter fitter(response, compared.residual, 12.0);
    const auto check = [&](const Otherwise& change, double close) {
        std::vector<std::size_t> set;
        std::vector<double> values;
        for (const Change& part : change.changes) {
            const auto found = std::ranges::find(suspects, part.what);
            set.push_back(static_cast<std::size_t>(found - suspects.begin()));
            values.push_back(part.value);
        }
        std::vector<double> out(8);
        fitter.moved(set, values, out);
        for (std::size_t m = 0; m < 8; ++m) {
            CAPTURE(m);
            FeedOhms ohms = m < 4 ? both : one;
            const char* const place = std::array{"G1.+", "F1.out", "E1.+", "E2.+"}.at(m % 4);
            const double nominal = ohms.at(place);
            change.by_hand(ohms);
            const double expected = (ohms.at(place) - nominal) / meter_v(10.0);
            CHECK(std::abs(out[m] - expected) < close);
        }
    };
    const std::vector<Otherwise> changes = linear_changes(here);
    for (std::size_t i = 0; i < changes.size(); ++i) {
        CAPTURE(i);
        check(changes[i], 0.05); // of deviations, of up to 300
    }
    // a load is followed in its tangent: a ten-thousandth of it less
    check({{Change{{Kind::load, here.branch("E1")}, 1e-4}}, [](FeedOhms& o) { o.lamp *= 1.0001; }},
          1e-4);
    check({{Change{{Kind::load, here.branch("E2")}, 1e-4}}, [](FeedOhms& o) { o.fan *= 1.0001; }},
          1e-4);
    std::vector<double> out(8);
    fitter.moved(std::array<std::size_t, 1>{8}, std::array{2.0}, out);
    for (std::size_t m = 0; m < 8; ++m) {
        CHECK(out[m] == Approx(m == 6 ? 2.0 / meter_v(10.0) : 0.0));
    }
}

TEST_CASE("suspects are what carries current and can be seen in the readings") {
    // A sensor of 1 mA beside the lamp: even taken away it moves the lamp by 0.4 mV of 34 mV.
    Feed feed;
    feed.heater("B1", 0.001, 12.0);
    feed.short_wire("G1.+", "B1.+");
    feed.short_wire("B1.-", "G1.-");
    const Study study(feed.vehicle);
    const auto named = [&](const Suspect& suspect) {
        if (suspect.kind == Kind::reading) {
            return "reading " + std::to_string(suspect.index);
        }
        const Branch& branch = study.network.branches[static_cast<std::size_t>(suspect.index)];
        const std::string what = branch.device.is_valid()
                                     ? feed.vehicle.device(branch.device).name
                                     : feed.vehicle.wires[branch.wire.index()].number;
        return what + (suspect.kind == Kind::source ? " volts" : "");
    };
    const auto found = [&](std::vector<MeterReading> readings) {
        const MeasuredCar car(study.input(), study.design, readings);
        const std::vector<ChangedState> states = predicted_states(car);
        const Comparison compared = compare_readings(car, states, {}, {});
        std::vector<std::string> out;
        const FoundSuspects all = find_suspects(car, states, compared);
        for (const Suspect& suspect : all.all) {
            out.push_back(named(suspect));
        }
        CHECK(all.is_whole);
        CHECK(all.turns == std::vector<std::vector<int>>(all.all.size())); // there is no relay
        return out;
    };
    // The switch is open: nothing of the second way. Wires first, then devices in their order; the
    // battery for its volts and for its joint.
    CHECK(found({feed.reading("E1.+", feed.one, 10.0)}) ==
          std::vector<std::string>{"1.1", "1.2", "1.3", "1.4", "G1 volts", "G1", "F1", "F2", "E1",
                                   "reading 0"});
    // With it closed the second way is in it; so is what the battery's own volts can tell.
    CHECK(found({feed.reading("E1.+", feed.one, 10.0), feed.reading("E1.+", feed.both, 10.0)}) ==
          std::vector<std::string>{"1.1", "1.2", "1.3", "1.4", "1.5", "1.6", "1.7", "1.8",
                                   "G1 volts", "G1", "F1", "F2", "F3", "S1", "E1", "E2",
                                   "reading 0", "reading 1"});
    // At the battery's posts: an open lamp lifts them by 0.1 ohm x 5 A, 0.5 V
    CHECK(found({feed.reading("G1.+", feed.one, 11.5)}) ==
          std::vector<std::string>{"1.1", "1.2", "1.3", "1.4", "G1 volts", "G1", "F1", "F2", "E1",
                                   "reading 0"});
}

TEST_CASE("a joint that may turn a relay is suspected though no reading moves until it does") {
    // The lamp's reading is 9.1 V to 32 mV: the coil's 0.09 A at the battery's 0.1 ohm are 8 mV. An
    // open joint of its way takes all of the coil's voltage; one of the main way takes the lamp's
    // and the other load's, and by them less than a fifth of the coil's, if not its own.
    const testing::RelayFeed feed;
    const Study study(feed.vehicle);
    const std::array readings{feed.reading("E1.+", feed.one, 9.1)};
    const MeasuredCar car(study.input(), study.design, readings);
    const std::vector<ChangedState> states = predicted_states(car);
    const FoundSuspects found = find_suspects(car, states, compare_readings(car, states, {}, {}));
    const auto& triggers = car.plan().triggers;
    const auto coil = std::ranges::find(triggers, Trigger::Kind::coil, &Trigger::kind);
    REQUIRE(coil != triggers.end());
    const std::vector<int> turned{static_cast<int>(coil - triggers.begin())};
    struct Case {
        const char* name;
        Kind kind;
        bool may_turn;
    };
    for (const Case& one : {Case{"F9", Kind::joint, true}, Case{"G1", Kind::joint, true},
                            Case{"F1", Kind::joint, false}, Case{"F2", Kind::joint, false},
                            Case{"K1", Kind::joint, false}, Case{"G1", Kind::source, false},
                            Case{"E1", Kind::load, false}}) {
        CAPTURE(one.name);
        const auto place =
            std::ranges::find(found.all, Suspect{one.kind, branch_of(study, one.name)});
        REQUIRE(place != found.all.end());
        CHECK(found.turns[static_cast<std::size_t>(place - found.all.begin())] ==
              (one.may_turn ? turned : std::vector<int>()));
    }
}

} // namespace loomwright
