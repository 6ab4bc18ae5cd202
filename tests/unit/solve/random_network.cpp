// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "random_network.hpp"

#include "base/at.hpp"
#include "dice.hpp"

#include <algorithm>
#include <array>
#include <vector>

namespace loomwright::solve::testing {
namespace {

/// Builds one network. All draws come from the one seed, in the order of the calls.
class Maker {
public:
    Maker(std::uint64_t seed, int wires) : dice_(seed), wires_(wires) {
        constexpr std::array<double, 8> systems = {12, 12, 12, 12, 12, 24, 6, 48};
        volts_ = systems[at(dice_.below(8))];
        ampere_ = 12.0 / volts_; // the same watts on every system
    }

    Circuit make() {
        make_bodies();
        make_batteries();
        make_alternators();
        make_feeds();
        make_loads();
        if (dice_.chance(0.25)) {
            make_trailer();
        }
        if (dice_.chance(0.25)) { // a wire that hangs on nothing
            conductor(node(), node());
        }
        choose_reference();
        return std::move(circuit_);
    }

private:
    struct Feed {
        Index node;
        int depth;
        Index before; ///< which feed it hangs on; -1: a source
    };

    static constexpr std::size_t most_shared_grounds = 30; ///< other loads have one of their own

    Index node() { return circuit_.node_count++; }

    void conductor(Index a, Index b, double least_ohm = 0.5e-3, double most_ohm = 50e-3) {
        circuit_.add(Law::conductance, a, b, 1.0 / dice_.log_between(least_ohm, most_ohm));
        ++made_;
    }
    void cable(Index a, Index b) { conductor(a, b, 0.1e-3, 3e-3); }
    /// A diode that drops 0.36 to 1.4 V at its current, and leaks 1e-6 to 1e-11 of it.
    void diode(Index from, Index to, double amps) {
        const double slope = dice_.between(0.0255, 0.055);
        circuit_.add(Law::diode, from, to, amps / std::expm1(dice_.between(14.0, 26.0)), slope);
    }

    void make_bodies() {
        bodies_ = {node()}; // the chassis
        const Index more = wires_ < 8 ? 0 : dice_.below(4);
        for (Index k = 0; k < more; ++k) {
            const Index body = node();
            const Index other = bodies_[at(dice_.below(static_cast<Index>(bodies_.size())))];
            const double how = dice_.share();
            if (how < 0.75) {
                cable(body, other);
            }
            if (how < 0.2) {
                cable(body, bodies_[0]);
            }
            if (how > 0.75 && how < 0.92) { // the strap is missing: a throttle cable does its work
                conductor(body, other, 0.02, 0.5);
            }
            bodies_.push_back(body);
        }
    }

    Index body() { return bodies_[at(dice_.below(static_cast<Index>(bodies_.size())))]; }

    /// A battery on its own cables; returns its plus.
    Index battery(Index ground) {
        const Index plus = node();
        const Index minus = node();
        circuit_.add(Law::source, plus, minus, volts_ * dice_.between(0.96, 1.08),
                     1.0 / (dice_.log_between(3e-3, 25e-3) * volts_ / 12.0));
        cable(minus, ground);
        if (dice_.chance(0.2)) {
            cable(minus, body());
        }
        minus_ = minus;
        return plus;
    }

    void make_batteries() {
        plusses_ = {battery(bodies_[0])};
        const double how_many = dice_.share();
        const Index more = wires_ < 12 || how_many < 0.4 ? 0 : how_many < 0.85 ? 1 : dice_.below(4);
        for (Index k = 0; k < more; ++k) {
            const Index first = plusses_[at(dice_.below(static_cast<Index>(plusses_.size())))];
            const double how = dice_.share();
            if (how < 0.15) { // in series: the first becomes a tap
                const Index plus = node();
                circuit_.add(Law::source, plus, first, volts_ * dice_.between(0.96, 1.08),
                             1.0 / (dice_.log_between(3e-3, 25e-3) * volts_ / 12.0));
                plusses_.push_back(plus);
                continue;
            }
            const Index plus = battery(body());
            if (how < 0.45) { // an isolating relay, closed
                const Index contact = node();
                cable(plus, contact);
                conductor(contact, first, 0.2e-3, 2e-3);
            } else if (how < 0.65) {
                diode(first, plus, 50.0);
            } else if (how < 0.8) {
                cable(plus, first);
            } // else the relay is open
            plusses_.push_back(plus);
        }
    }

    void make_alternators() {
        const Index engine = bodies_[at(bodies_.size() > 1 ? 1 : 0)];
        const double how_many = dice_.share();
        const int count = how_many < 0.4 ? 0 : how_many < 0.85 ? 1 : 2;
        for (int k = 0; k < count; ++k) {
            const Index plus = node();
            circuit_.add(Law::limited_source, plus, engine, volts_ * dice_.between(1.0, 1.22),
                         dice_.between(20.0, 300.0) * ampere_,
                         dice_.log_between(2.0, 200.0) * ampere_);
            // Its rectifier leaks a little. Without that an alternator that no current leaves would
            // say nothing of the voltage of a housing that has lost its strap.
            circuit_.add(Law::conductance, plus, engine, dice_.log_between(1e-7, 1e-5));
            if (plusses_.size() > 1 && dice_.chance(0.4)) { // a pair of diodes, one a battery
                diode(plus, plusses_[0], 60.0 * ampere_);
                diode(plus, plusses_[1], 60.0 * ampere_);
            } else {
                cable(plus, plusses_[at(dice_.below(static_cast<Index>(plusses_.size())))]);
            }
            plusses_.push_back(plus);
        }
        if (dice_.chance(0.25)) {
            const Index plus = node();
            const Index ground = body();
            circuit_.add(Law::limited_source, plus, ground, volts_ * dice_.between(1.1, 1.22),
                         dice_.between(5.0, 50.0) * ampere_,
                         dice_.log_between(0.5, 40.0) * ampere_);
            circuit_.add(Law::conductance, plus, ground, dice_.log_between(1e-7, 1e-5));
            conductor(plus, plusses_[at(dice_.below(static_cast<Index>(plusses_.size())))]);
        }
    }

    /// A feed to go on from: mostly one of the last, so that there are long runs.
    Index some_feed() {
        const auto count = static_cast<Index>(feeds_.size());
        const Index recent = std::max<Index>(0, count - 12);
        for (;;) {
            const Index pick =
                dice_.chance(0.5) ? recent + dice_.below(count - recent) : dice_.below(count);
            if (feeds_[at(pick)].depth < 24 || dice_.chance(0.05)) {
                return pick;
            }
        }
    }

    /// Another feed: any, but in a large car one on the way to the source. Thousands of wires
    /// criss-cross are no car, and take a general simulator minutes.
    Index other_feed(Index feed) {
        if (wires_ < 1000) {
            return some_feed();
        }
        for (Index up = 2 + dice_.below(5); up > 0 && feeds_[at(feed)].before >= 0; --up) {
            feed = feeds_[at(feed)].before;
        }
        return feed;
    }

    void make_feeds() {
        for (const Index plus : plusses_) {
            const Index box = node();
            cable(plus, box);
            feeds_.push_back({box, 0, -1});
        }
        constexpr std::array<double, 5> meshes = {0.0, 0.03, 0.1, 0.2, 0.5};
        const double mesh = meshes[at(dice_.below(5))];
        const int until = static_cast<int>(dice_.between(0.35, 0.55) * wires_);
        while (made_ < until) {
            const Index before = some_feed();
            const Index fresh = add_feed(before);
            if (dice_.chance(0.08)) { // several wires side by side
                conductor(feeds_[at(before)].node, feeds_[at(fresh)].node);
            }
            if (dice_.chance(mesh)) { // a second way
                conductor(feeds_[at(other_feed(fresh))].node, feeds_[at(fresh)].node);
            }
            if (made_ + 8 < until && dice_.chance(0.02)) {
                make_ring(before);
            }
        }
    }

    Index add_feed(Index before) {
        const Index fresh = node();
        conductor(feeds_[at(before)].node, fresh);
        feeds_.push_back({fresh, feeds_[at(before)].depth + 1, before});
        return static_cast<Index>(feeds_.size()) - 1;
    }

    /// A feed that comes back to where it began.
    void make_ring(Index begin) {
        Index last = begin;
        for (int k = 0; k < 6; ++k) {
            last = add_feed(last);
        }
        conductor(feeds_[at(last)].node, feeds_[at(begin)].node);
    }

    /// Where a load's current goes: a body, a ground wire of its own, or a ground point shared.
    Index some_return() {
        if (made_ >= wires_ || dice_.chance(0.45)) {
            return body();
        }
        if (!grounds_.empty() && dice_.chance(0.6)) {
            const Index shared = grounds_[at(dice_.below(static_cast<Index>(grounds_.size())))];
            if (dice_.chance(0.1)) {
                const Index back = std::min<Index>(8, static_cast<Index>(grounds_.size()));
                conductor(shared, grounds_[grounds_.size() - 1 - at(dice_.below(back))]);
            }
            return shared;
        }
        const Index ground = node();
        conductor(ground, body());
        if (dice_.chance(0.1)) {
            conductor(ground, body());
        }
        if (grounds_.size() < most_shared_grounds) {
            grounds_.push_back(ground);
        }
        return ground;
    }

    void make_loads() {
        if (dice_.chance(0.12) && volts_ < 48.0) { // cranking
            const Index starter = node();
            cable(plusses_[0], starter);
            circuit_.add(Law::constant_current, starter, bodies_[at(bodies_.size() > 1 ? 1 : 0)],
                         dice_.between(80.0, 350.0) * ampere_, dice_.between(0.2, 0.4) * volts_);
        }
        const double total = dice_.log_between(3.0, 90.0) * ampere_;
        const double loads = std::max(3.0, 0.45 * wires_);
        int made_loads = 0;
        while (made_ < wires_ || made_loads < 3) {
            const Index feed = some_feed();
            Index from = feeds_[at(feed)].node;
            if (dice_.chance(0.6)) {
                const Index end = node();
                conductor(from, end, 2e-3, 200e-3);
                from = end;
            }
            const double amps = total / loads * dice_.log_between(0.1, 4.0);
            add_some_load(from, some_return(), amps, feed);
            ++made_loads;
        }
    }

    void add_some_load(Index from, Index to, double amps, Index feed) {
        const double kind = dice_.share();
        if (kind < 0.70) {
            simple_load(from, to, amps);
        } else if (kind < 0.75) { // the wrong way round
            simple_load(to, from, amps);
        } else if (kind < 0.80) { // a coil with its suppression diode
            circuit_.add(Law::conductance, from, to, amps / volts_);
            diode(to, from, 1.0);
        } else if (kind < 0.86) { // behind a diode, which may block
            const Index middle = node();
            const bool conducts = dice_.chance(0.6);
            diode(conducts ? from : middle, conducts ? middle : from, 3.0 * amps);
            simple_load(middle, to, amps);
        } else if (kind < 0.90) { // from two feeds through two diodes
            const Index middle = node();
            diode(from, middle, 3.0 * amps);
            diode(feeds_[at(other_feed(feed))].node, middle, 3.0 * amps);
            simple_load(middle, to, amps);
        } else if (kind < 0.94) { // two in series
            const Index middle = node();
            passive_load(from, middle, amps);
            passive_load(middle, to, 1.3 * amps);
        } else if (kind < 0.98) { // from feed to feed, as a charge lamp
            simple_load(from, feeds_[at(other_feed(feed))].node, amps);
        } else {
            simple_load(from, to, 0.0);
        }
    }

    void simple_load(Index from, Index to, double amps) {
        if (dice_.chance(0.22)) {
            circuit_.add(Law::constant_power, from, to, volts_ * amps,
                         dice_.between(0.15, 0.75) * volts_);
        } else {
            passive_load(from, to, amps);
        }
    }

    void passive_load(Index from, Index to, double amps) {
        const double kind = dice_.share();
        if (kind < 0.33 && amps > 0.0) {
            circuit_.add(Law::conductance, from, to, amps / volts_);
        } else if (kind < 0.66) {
            circuit_.add(Law::constant_current, from, to, amps, dice_.between(0.1, 0.5) * volts_);
        } else {
            circuit_.add(Law::lamp, from, to, amps, 1.125 * volts_, dice_.between(5.0, 15.0));
        }
    }

    /// A car of its own: no metal joins it to the first.
    void make_trailer() {
        const Index plus = node();
        const Index minus = node();
        circuit_.add(Law::source, plus, minus, volts_ * dice_.between(0.9, 1.1),
                     dice_.between(10.0, 100.0));
        const Index box = node();
        conductor(plus, box);
        for (Index k = 2 + dice_.below(4); k > 0; --k) {
            simple_load(box, minus, dice_.between(0.1, 3.0) * ampere_);
        }
    }

    void choose_reference() {
        const double kind = dice_.share();
        circuit_.reference = kind < 0.8 ? 0 : kind < 0.9 ? minus_ : -1;
    }

    Dice dice_;
    int wires_;
    int made_ = 0;
    double volts_ = 12.0;
    double ampere_ = 1.0; ///< what is 1 A on a 12 V system
    Circuit circuit_;
    std::vector<Index> bodies_;
    std::vector<Index> plusses_;
    std::vector<Feed> feeds_;
    std::vector<Index> grounds_; ///< shared ground points
    Index minus_ = 0;
};

} // namespace

int wires_of(std::uint64_t seed) {
    constexpr double golden = 0.6180339887498949; // of all shares the one that spreads most evenly
    const double share = golden * static_cast<double>(seed);
    return static_cast<int>(std::lround(5.0 * std::pow(1000.0, share - std::floor(share))));
}

Circuit random_network(std::uint64_t seed, int wires) {
    return Maker(seed, wires).make();
}

} // namespace loomwright::solve::testing
