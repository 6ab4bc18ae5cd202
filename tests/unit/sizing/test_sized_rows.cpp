// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What is chosen and said of the wires of small cars, row by row (sized.lines, beside this file).
#include "base/display.hpp"
#include "checks/checked.hpp"
#include "checks/explanation_lists.hpp"
#include "checks/pocket_calculator.hpp"
#include "sizing/choose_colours.hpp"
#include "sizing/fittings.hpp"
#include "sizing/protect.hpp"
#include "sizing/stock.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

using namespace loomwright;

namespace {

std::string names_of(const Checked& car, const std::vector<DeviceId>& devices) {
    std::vector<std::string> out;
    for (const DeviceId device : devices) {
        out.push_back(car.vehicle.device(device).name);
    }
    return fmt::format("{}", fmt::join(out, " "));
}

std::string mm2(double area_m2) {
    return show_number(area_m2 * 1e6);
}

/// "wire 1.2 | 4 mm2 | fuse | why | F1 of 15 A | asked: ampacity 1, fuse 4, drop 0.5, least 0.5"
std::string wire_row(const Checked& car, const std::string& number) {
    const WireSizing& wire = car.wire(number);
    std::string out = fmt::format(
        "{} | {} | {} | {} | {} of {}", number, car.size(number), reason_name(wire.decided_by),
        wire.why, wire.fuse.is_valid() ? car.vehicle.device(wire.fuse).name : "none",
        show(Amps(wire.fuse_rating_a)));
    if (wire.was_auto) {
        out += fmt::format(" | asked: ampacity {}, fuse {}, drop {}, least {}",
                           mm2(wire.area_for_ampacity_m2), mm2(wire.area_for_fuse_m2),
                           mm2(wire.area_for_drop_m2), mm2(wire.area_for_least_m2));
    }
    return out;
}

/// "feed 1.2 | fed | F1 F2 | one end 1 | limited, alone and at each end | 15 A"
std::string feed_row(const Checked& car, const std::string& number) {
    const WireFeed& feed = car.sizing.feeds[car.vehicle.find_wire(number).index()];
    std::vector<std::string> words;
    for (const auto& [is_so, word] :
         {std::pair(feed.is_fed, "fed"), std::pair(feed.is_unprotected, "unprotected"),
          std::pair(feed.is_return, "return")}) {
        if (is_so) {
            words.emplace_back(word);
        }
    }
    const std::string devices = names_of(car, feed.devices);
    return fmt::format("{} | {} |{}{} | one end {} | {} {} {} | {}", number, fmt::join(words, " "),
                       devices.empty() ? "" : " ", devices, feed.at_one_end, feed.self_limited_a,
                       feed.limited_first_a, feed.limited_rest_a, show(Amps(feed.rating_a)));
}

std::string place_row(const Checked& car, const std::string& number) {
    return number + " | " + place_words(car.vehicle, car.wire(number).ampacity);
}

std::string run_row(const Checked& car, const std::string& name) {
    const auto run = std::ranges::find(car.vehicle.runs, name, &Run::name);
    REQUIRE(run != car.vehicle.runs.end());
    const RunLoading& load =
        car.sizing.runs[static_cast<std::size_t>(run - car.vehicle.runs.begin())];
    return fmt::format("{} | {} wires | {} | air {} C", name, load.wires, load.cover, load.air_c);
}

std::string judged_row(const Checked& car) {
    std::vector<std::string> out;
    for (std::size_t s = 0; s < car.sizing.states.size(); ++s) {
        out.push_back(fmt::format("{} {}", state_name(car.vehicle, car.sizing.states[s]),
                                  car.sizing.full_index[s]));
    }
    return fmt::format("{}", fmt::join(out, " | "));
}

/// "drop E1 in half | 4 A | F1, S1 | wires there / wires back"; the parts add up to the drop.
std::string drop_row(const Checked& car, const std::string& name) {
    for (const LoadDrop& drop : car.sizing.drops) {
        if (name != car.vehicle.device(drop.load).name + " in " +
                        std::string(state_name(car.vehicle, drop.state))) {
            continue;
        }
        std::vector<std::string> devices;
        std::vector<std::string> wires;
        double sum = 0.0;
        for (const auto* way : {&drop.feed, &drop.back}) {
            for (const PathPart& part : *way) {
                sum += part.volts;
                const Branch& branch = car.network.branches[static_cast<std::size_t>(part.branch)];
                if (branch.wire.is_valid()) {
                    wires.push_back(car.vehicle.wire(branch.wire).number);
                } else if (way == &drop.feed) {
                    devices.push_back(car.vehicle.device(branch.device).name);
                }
            }
            if (way == &drop.feed) {
                wires.emplace_back("/");
            }
        }
        CHECK(sum == doctest::Approx(drop.supply_v - drop.load_v).epsilon(1e-9));
        CHECK(sum == doctest::Approx(drop.drop_v).epsilon(1e-12));
        return fmt::format("{} | {} | {} | {}", name, show(Amps(drop.amps)),
                           fmt::join(devices, ", "), fmt::join(wires, " "));
    }
    return name + ": no such drop";
}

std::string end_row(const Checked& car, const std::string& number) {
    const EndFittings fittings(car.vehicle, car.catalogue, car.sizing.design);
    const WireId id = car.vehicle.find_wire(number);
    const Wire& wire = car.vehicle.wire(id);
    const auto kind = [&](bool at_from) {
        return fittings.fitting(fittings.crimp(id, at_from)).kind;
    };
    return fmt::format("{} {} {} | {} {}", number, car.vehicle.show(wire.from), kind(true),
                       car.vehicle.show(wire.to), kind(false));
}

/// "colour 1.2 | RD/BK | always live (terminal 30) | 1 taken | goes on"
std::string colour_row(const Checked& car, const std::string& number) {
    const std::vector<ColourChoice> choices = choose_colours(car.study(), car.sizing.design);
    const auto found =
        std::ranges::find(choices, car.vehicle.find_wire(number), &ColourChoice::wire);
    if (found == choices.end()) {
        return number + " | written";
    }
    return fmt::format("{} | {} | {} | {} taken{}{}{}", number, found->colour, found->why,
                       found->taken, found->goes_on ? " | goes on" : "",
                       found->from_stock ? " | from stock" : "",
                       found->clash.is_valid() ? " | like " + car.vehicle.wire(found->clash).number
                                               : std::string());
}

/// "stock blade 10 | name of the line that serves a fuse of that family and rating"
std::string stock_row(const Checked& car, const std::string& fuse) {
    const std::size_t blank = fuse.find(' ');
    const StockItem* item = find_stock_fuse(car.vehicle, car.catalogue, fuse.substr(0, blank),
                                            Amps(std::stod(fuse.substr(blank + 1))));
    return fuse + " | " + (item == nullptr ? "none" : item->name);
}

std::string row_of(const Checked& car, const std::string& what, const std::string& of) {
    if (what == "wire") {
        return wire_row(car, of);
    }
    if (what == "feed") {
        return feed_row(car, of);
    }
    if (what == "place") {
        return place_row(car, of);
    }
    if (what == "run") {
        return run_row(car, of);
    }
    if (what == "drop") {
        return drop_row(car, of);
    }
    if (what == "colour") {
        return colour_row(car, of);
    }
    if (what == "stock") {
        return stock_row(car, of);
    }
    return what == "end" ? end_row(car, of) : judged_row(car);
}

/// "carries 1.3 | 10 + 20": its ampacity is that or more.
void check_carries(const Checked& car, const std::string& row) {
    const std::size_t bar = row.find(" | ");
    const std::string number = row.substr(8, bar - 8);
    const Computed least = compute(row.substr(bar + 3), row);
    REQUIRE(least.is_arithmetic);
    CHECK(car.wire(number).ampacity.amps >= least.sides.front().middle());
}

void check_rows(const Listed& listed) {
    std::string text = "loomwright: 1\n";
    for (const std::string& line : listed.lines) {
        text += line.starts_with("|") ? line.substr(1) + "\n" : std::string();
    }
    const auto car = check_text(text, {}, false);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    for (const std::string& line : listed.lines) {
        if (!line.starts_with("> ")) {
            continue;
        }
        const std::string row = line.substr(2);
        const std::size_t blank = row.find(' ');
        const std::string what = row.substr(0, blank);
        if (what == "carries") {
            check_carries(*car, row);
            continue;
        }
        const std::size_t end =
            what == "end" ? row.find(' ', blank + 1) : row.find(" | ", blank + 1);
        const std::string told = row_of(*car, what, row.substr(blank + 1, end - blank - 1));
        CHECK_MESSAGE(is_like(told, row.substr(blank + 1)), row, "\n  told: ", told);
    }
}

} // namespace

TEST_CASE("small cars: the rows of what is chosen for their wires and why") {
    for (const Listed& listed :
         read_list(std::string(LOOMWRIGHT_SOURCE_DIR) + "/tests/unit/sizing/sized.lines")) {
        CAPTURE(listed.name);
        check_rows(listed);
    }
}

TEST_CASE("a breaker in the cold opens later: its wire is chosen for the current that is sure to") {
    // Tables fuse-gates: a breaker is sure to have opened at 135 % of its rating in air of 23 C; at
    // -40 C at 1 + 0.0043 x 63 = 1.2709 of that. I2 <= 1.45 Iz (IEC 60364-4-43 433.1).
    for (const int rating : {5, 6, 8, 10, 15, 20, 25, 30}) {
        for (const char* insulation : {"thin-wall pvc", "thin-wall xlpe", "rubber and braid"}) {
            const auto car = check_text(fmt::format(R"(loomwright: 1
zones: {{cold: {{air: -40 C}}}}
points: {{here: {{zone: cold}}}}
devices:
  G1: {{is: battery, at: here, capacity: 60 Ah, cranking-amps: 500 A}}
  F1: {{is: breaker, at: here, rating: {} A}}
  E1: {{is: led-lamp, at: here, draws: 0.5 A at 12 V}}
  GND1: {{is: ground, at: here, body: chassis}}
circuits:
  one: {{number: 1, insulation: {}, paths: [G1 > F1 > E1 > GND1, G1.- > GND1]}}
)",
                                                    rating, insulation),
                                        {}, false);
            REQUIRE_MESSAGE(car->is_sized, car->text());
            CAPTURE(rating);
            const double sure_a = 1.35 * (1.0 + 0.0043 * 63.0) * rating;
            CHECK(1.45 * car->wire("1.2").ampacity.amps >= sure_a * (1.0 - 1e-9));
        }
    }
}
