// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure.hpp"
#include "study/spread_tables.hpp"
#include "study/study_bench.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright::testing {

/// What the feed below consists of, and by Ohm's law what is read of it.
struct FeedOhms {
    double source_v = 12.0;
    double battery = 0.1;
    double main = 0.1;     ///< F1
    double first = 0.2;    ///< F2
    double second = 0.6;   ///< F3
    double lamp = 2.0;     ///< E1
    double fan = 3.0;      ///< E2
    double contact = 0.01; ///< S1: row `switch-contact` of the table of defaults
    bool is_closed = true; ///< S1

    [[nodiscard]] double first_way() const { return first + lamp; }
    [[nodiscard]] double second_way() const { return contact + second + fan; }
    [[nodiscard]] double amps() const {
        const double siemens = 1.0 / first_way() + (is_closed ? 1.0 / second_way() : 0.0);
        return source_v / (battery + main + 1.0 / siemens);
    }
    [[nodiscard]] double plus_v() const { return source_v - amps() * battery; }
    [[nodiscard]] double node_v() const { return source_v - amps() * (battery + main); }
    [[nodiscard]] double lamp_v() const { return node_v() * lamp / first_way(); }
    [[nodiscard]] double fan_v() const { return is_closed ? node_v() * fan / second_way() : 0.0; }
    /// At a place against the battery's minus.
    [[nodiscard]] double at(std::string_view place) const {
        if (place == "G1.+") {
            return plus_v();
        }
        if (place == "F1.out") {
            return node_v();
        }
        return place == "E1.+" ? lamp_v() : fan_v();
    }
};

/// A battery, F1, and behind it F2 with E1 and S1 with F3 and E2. Fuses stand for joints, as their
/// resistance can be written; wires of next to no length join them (2 uohm each).
struct Feed : Car {
    Feed() {
        source("G1", 12.0, 0.1);
        joint("F1", 0.1);
        joint("F2", 0.2);
        joint("F3", 0.6);
        push("S1");
        heater("E1", 6.0, 12.0);
        heater("E2", 4.0, 12.0);
        splice("X1"); // nothing is joined to it
        short_wire("G1.+", "F1.in");
        short_wire("F1.out", "F2.in");
        short_wire("F2.out", "E1.+");
        short_wire("E1.-", "G1.-");
        short_wire("F1.out", "S1.1");
        short_wire("S1.2", "F3.in");
        short_wire("F3.out", "E2.+");
        short_wire("E2.-", "G1.-");
        one = state("one");
        both = state("both");
        set_position(both, "S1", 1);
    }
    DeviceId joint(std::string name, double ohm) {
        Protection made;
        made.family = "blade";
        made.rating = Amps(30.0);
        made.resistance = Ohms(ohm);
        return device(std::move(name), {"in", "out"}, made);
    }
    WireId short_wire(std::string_view from, std::string_view to) {
        return wire(from, to, "10", 0.001);
    }
    /// A reading by a meter of 0.5 % and 10 mV; against the battery's minus.
    [[nodiscard]] MeterReading reading(std::string_view place, StateId state, double volts) const {
        MeterReading out;
        out.at = {.terminal = ref(place), .name = std::string(place)};
        out.state = state;
        out.shown = Volts(volts);
        return out;
    }
    StateId one;  ///< S1 open
    StateId both; ///< S1 closed
};

/// The same with a relay K1 that feeds E9 of 2 ohm; F9 stands in its coil's way. The coil has 100
/// ohm and pulls in at 7 V, at 20 C.
struct RelayFeed : Feed {
    RelayFeed() {
        joint("F9", 0.5);
        const DeviceId id = relay("K1", 100.0);
        std::get<Relay>(at(id).spec).pulls_in = Volts(7.0);
        std::get<Relay>(at(id).spec).drops_out = Volts(2.0);
        heater("E9", 6.0, 12.0);
        short_wire("G1.+", "F9.in");
        short_wire("F9.out", "K1.86");
        short_wire("K1.85", "G1.-");
        short_wire("G1.+", "K1.30");
        short_wire("K1.87", "E9.+");
        short_wire("E9.-", "G1.-");
    }
};

/// Standard deviation of that meter: evenly within 0.5 % and 10 mV (JCGM 100:2008, 4.3.7).
inline double meter_v(double shown) {
    return (0.005 * std::abs(shown) + 0.010) / std::sqrt(3.0);
}

/// The branch of a device, or of that of a wire.
inline int branch_of(const Study& study, std::string_view device) {
    return study.network.device_branches[study.vehicle.find_device(device).index()].front();
}

/// A car whose readings are asked about, with an exact prediction.
struct Asked {
    explicit Asked(const Feed& car) : feed(car), study(car.vehicle) {}
    [[nodiscard]] MeasureAnswer ask(const std::vector<MeterReading>& readings) const {
        return measure(study.input(), study.design, spreads().without_spread(), readings);
    }
    [[nodiscard]] std::string name(const Suspect& suspect) const {
        if (suspect.kind == Suspect::Kind::reading) {
            return "reading " + std::to_string(suspect.index);
        }
        const Branch& branch = study.network.branches[static_cast<std::size_t>(suspect.index)];
        const std::string what = branch.device.is_valid()
                                     ? feed.vehicle.device(branch.device).name
                                     : feed.vehicle.wires[branch.wire.index()].number;
        return what + (suspect.kind == Suspect::Kind::source ? " volts" : "") +
               (suspect.kind == Suspect::Kind::load ? " load" : "");
    }
    [[nodiscard]] std::set<std::string> names(const Culprit& culprit) const {
        std::set<std::string> out;
        for (const SuspectFit& fit : culprit.one_of) {
            out.insert(name(fit.what));
        }
        CHECK(out.size() == culprit.one_of.size());
        return out;
    }
    [[nodiscard]] const SuspectFit& fit(const Culprit& culprit, std::string_view wanted) const {
        const auto found = std::ranges::find_if(
            culprit.one_of, [&](const SuspectFit& fit) { return name(fit.what) == wanted; });
        REQUIRE(found != culprit.one_of.end());
        return *found;
    }
    const Feed& feed;
    Study study;
};

inline FeedOhms open_switch() {
    FeedOhms out;
    out.is_closed = false;
    return out;
}

/// What is read round F2 with the switch open: at G1.+, F1.out, F2.in, F2.out, E1.+ and E1.-.
inline std::vector<MeterReading> round_f2(const Feed& feed, const FeedOhms& ohms) {
    return {feed.reading("G1.+", feed.one, ohms.plus_v()),
            feed.reading("F1.out", feed.one, ohms.node_v()),
            feed.reading("F2.in", feed.one, ohms.node_v()),
            feed.reading("F2.out", feed.one, ohms.lamp_v()),
            feed.reading("E1.+", feed.one, ohms.lamp_v()),
            feed.reading("E1.-", feed.one, 0.0)};
}

inline std::vector<ReadingVerdict> verdicts(const MeasureAnswer& answer) {
    std::vector<ReadingVerdict> out;
    for (const ReadingResult& result : answer.results) {
        out.push_back(result.verdict);
    }
    return out;
}

} // namespace loomwright::testing
