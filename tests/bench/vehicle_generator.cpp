// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "vehicle_generator.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <random>
#include <string_view>
#include <vector>

namespace loomwright::bench {

namespace {

constexpr int wires_of_a_section = 220;
constexpr int spare_of_a_section = 30; ///< a section ends when the next circuit may not fit

struct Rating {
    double amps;
    const char* size;
};
// Conductors that their fuse protects in warm air, with room to spare.
constexpr std::array<Rating, 7> ratings = {{{3, "0.75 mm2"},
                                            {5, "1 mm2"},
                                            {7.5, "1.5 mm2"},
                                            {10, "2.5 mm2"},
                                            {15, "4 mm2"},
                                            {20, "6 mm2"},
                                            {30, "10 mm2"}}};

const Rating& rating_for(double amps) {
    for (const Rating& rating : ratings) {
        if (rating.amps * 0.64 >= amps) {
            return rating;
        }
    }
    return ratings.back();
}

struct Connector {
    std::string name;
    int used = 0; ///< cavities
};

class Generator {
public:
    Generator(int wires, std::uint64_t seed) : engine_(seed), wires_left_(wires) {}

    std::string generate(Sections sections);

private:
    using Consumer = void (Generator::*)();

    // What the text is made of.
    template <typename... Words> void device(fmt::format_string<Words...> text, Words&&... words) {
        fmt::format_to(std::back_inserter(devices_), "  ");
        fmt::format_to(std::back_inserter(devices_), text, std::forward<Words>(words)...);
        devices_ += '\n';
    }
    void circuit(std::string_view name, std::string_view group, std::string_view size,
                 const std::vector<std::string>& paths);
    void set(std::string& states, const std::string& what, std::string_view value);

    // Names and choices.
    std::string next(std::string_view letters) { return fmt::format("{}{}", letters, ++number_); }
    std::string place(std::string_view name) const { return fmt::format("{}-{}", name, section_); }
    std::string any_place();
    std::string ground() { return grounds_[below(grounds_.size())]; }
    std::string cavity(Connector& plug, std::string_view where);
    std::string through();
    std::string way_home();
    std::string fuse(double amps);
    std::string on_off_switch(double amps);
    std::size_t below(std::size_t count) {
        return static_cast<std::size_t>(static_cast<double>(engine_() >> 11U) * 0x1p-53 *
                                        static_cast<double>(count));
    }
    double amps_between(double low, double high) {
        const double share = static_cast<double>(engine_() >> 11U) * 0x1p-53;
        return std::round((low + (high - low) * share) * 10.0) / 10.0;
    }

    // Parts of a section.
    void begin_section();
    void supply();
    void ignition_and_lights();
    void starter();
    void coupling();
    // Circuits of loads.
    void relay_motor();
    void lamp_pair();
    void small_lamps();
    void electronics();
    void heater();
    void valves();
    void controller();
    void horns();
    void interior_lamps();
    void fill(int wires);

    std::mt19937_64 engine_;
    int wires_left_ = 0;
    int section_ = 0;
    int circuit_number_ = 0;
    int number_ = 0;
    Connector panel_plug_;  ///< where the loom of a section leaves the fuse panel
    Connector branch_plug_; ///< where a branch leaves the loom
    std::string frame_;
    std::vector<std::string> grounds_;
    std::string main_stud_;   ///< at the battery
    std::string last_stud_;   ///< of the section before
    std::string box_stud_;    ///< live, under the bonnet
    std::string panel_stud_;  ///< live, at the fuse panel
    std::string key_stud_;    ///< with the ignition on
    std::string key_splice_;  ///< coils and senses with the ignition on
    std::string start_;       ///< terminal of the ignition switch that starts
    std::string side_splice_; ///< side lights
    std::string head_splice_; ///< head lights
    std::string points_;
    std::string runs_;
    std::string devices_;
    std::string circuits_;
    std::string running_;
    std::string night_;
    std::string cranking_;
    std::string bodies_ = "chassis, engine";
};

std::string Generator::any_place() {
    constexpr std::array<std::string_view, 8> names = {"box",  "panel",     "dash",       "column",
                                                       "sill", "rear-left", "rear-right", "roof"};
    return place(names[below(names.size())]);
}

std::string Generator::cavity(Connector& plug, std::string_view where) {
    constexpr int cavities = 24;
    if (plug.name.empty() || plug.used == cavities) {
        plug = {next("X"), 0};
        device("{}: {{is: connector, at: {}, cavities: {}, contact: 35 A}}", plug.name, where,
               cavities);
    }
    return fmt::format("{}.{}", plug.name, ++plug.used);
}

/// As in a large body: a lead passes the plug at the panel and that of its branch.
std::string Generator::through() {
    return fmt::format("{} > {}", cavity(panel_plug_, place("panel")),
                       cavity(branch_plug_, any_place()));
}

/// The lead to ground passes the plug of the branch too.
std::string Generator::way_home() {
    return fmt::format("{} > {}", cavity(branch_plug_, any_place()), ground());
}

std::string Generator::fuse(double amps) {
    const std::string name = next("F");
    device("{}: {{is: fuse, at: {}, family: blade, rating: {} A}}", name, place("panel"),
           rating_for(amps).amps);
    return name;
}

std::string Generator::on_off_switch(double amps) {
    const std::string name = next("S");
    device("{}: {{is: switch, at: {}, contact: {} A, positions: {{rest: [], work: [1-2]}}}}", name,
           place("dash"), amps < 3 ? 6 : 20);
    if (below(2) == 0) {
        set(running_, name, "work");
    }
    if (below(3) != 0) {
        set(night_, name, "work");
    }
    return name;
}

void Generator::set(std::string& states, const std::string& what, std::string_view value) {
    const std::size_t line = states.rfind('\n');
    const std::size_t width = states.size() - (line == std::string::npos ? 0 : line);
    states += states.empty() ? "" : width > 90 ? ",\n          " : ", ";
    fmt::format_to(std::back_inserter(states), "{}: {}", what, value);
}

void Generator::circuit(std::string_view name, std::string_view group, std::string_view size,
                        const std::vector<std::string>& paths) {
    constexpr std::array<std::string_view, 10> colours = {"BK", "BN", "RD",    "OG",    "YE",
                                                          "GN", "BU", "VT/WH", "GY/RD", "WH/BK"};
    auto out = std::back_inserter(circuits_);
    ++circuit_number_;
    // Its number is its place in the file.
    fmt::format_to(out, "  {}-{}:\n    class: {}\n    size: {}\n    colour: {}\n", name,
                   circuit_number_, group, size, colours[below(colours.size())]);
    fmt::format_to(out, "    paths:\n");
    std::string own; // what one wire has of its own
    int wire = 1;
    for (const std::string& path : paths) {
        fmt::format_to(out, "      - {}\n", path);
        if (path.find("> F") == path.find('>')) { // from a stud or splice to the next fuse
            const bool is_stud = path.starts_with("ST");
            const bool is_main = group == "feed" || group == "charging";
            fmt::format_to(std::back_inserter(own), "      {}.{}: {}\n", circuit_number_, wire,
                           is_main   ? "{length: 150 mm}"
                           : is_stud ? "{size: 16 mm2}"
                                     : "{size: 6 mm2}");
        }
        wire += static_cast<int>(std::count(path.begin(), path.end(), '>'));
    }
    wires_left_ -= wire - 1;
    if (!own.empty()) {
        circuits_ += "    wires:\n" + own;
    }
}

void Generator::begin_section() {
    ++section_;
    // Sections stand in rows of 16, there and back, so that all lie within the 100 m of a vehicle.
    constexpr int row_length = 16;
    const int row = (section_ - 1) / row_length;
    const int column = (section_ - 1) % row_length;
    const bool is_forward = row % 2 == 0;
    const int left = 5000 * (is_forward ? column : row_length - 1 - column);
    auto out = std::back_inserter(points_);
    const auto point = [&](std::string_view name, std::string_view zone, int x, int y, int z) {
        fmt::format_to(out, "  {}: {{zone: {}, at: [{} mm, {} mm, {} mm]}}\n", place(name), zone,
                       x + left, y + 2500 * row, z);
    };
    point("tray", "front", 520, -480, 640);
    point("bay", "engine-bay", 900, 180, 560);
    point("box", "engine-bay", 880, -560, 760);
    point("panel", "cabin", 1430, -520, 620);
    point("dash", "cabin", 1540, 200, 900);
    point("column", "cabin", 1700, 370, 860);
    point("sill", "cabin", 1900, -640, 340);
    point("rear-left", "boot", 3850, -600, 700);
    point("rear-right", "boot", 3850, 600, 700);
    point("roof", "roof", 2050, 0, 1420);
    auto run = std::back_inserter(runs_);
    const auto stretch = [&](std::string_view name, std::string_view from, std::string_view to,
                             double metres) {
        fmt::format_to(run, "  {}: {{from: {}, to: {}, length: {} m, cover: tape}}\n", place(name),
                       place(from), place(to), metres);
    };
    stretch("tray-box", "tray", "box", 0.55);
    stretch("box-bay", "box", "bay", 0.9);
    stretch("box-panel", "box", "panel", 0.8);
    stretch("panel-dash", "panel", "dash", 0.75);
    stretch("dash-column", "dash", "column", 0.3);
    stretch("panel-sill", "panel", "sill", 0.6);
    stretch("sill-rear", "sill", "rear-left", 2.1);
    stretch("tail", "rear-left", "rear-right", 1.25);
    stretch("pillar", "panel", "roof", 1.45);
    frame_ = section_ == 1 ? "chassis" : place("frame");
    if (section_ > 1) {
        bodies_ += ", " + frame_;
        const double metres = column == 0 ? 4.8 : is_forward ? 1.8 : 9.0;
        fmt::format_to(run, "  {}: {{from: rear-left-{}, to: tray-{}, length: {} m}}\n",
                       place("coupling"), section_ - 1, section_, metres);
    }
    grounds_.clear();
    for (const std::string_view where : {"box", "panel", "dash", "sill", "rear-left", "roof"}) {
        grounds_.push_back(next("GND"));
        device("{}: {{is: ground, at: {}, body: {}}}", grounds_.back(), place(where), frame_);
    }
    panel_plug_ = {};
    branch_plug_ = {};
}

void Generator::supply() {
    const std::string battery = next("G");
    const std::string alternator = next("G");
    main_stud_ = next("ST");
    box_stud_ = next("ST");
    panel_stud_ = next("ST");
    const std::string key_feed = next("ST");
    device("{}: {{is: battery, at: {}, capacity: 70 Ah, cranking-amps: 680 A}}", battery,
           place("tray"));
    device("{}: {{is: alternator, at: {}, rated: 120 A, at-idle: 70 A, regulates: 14.3 V, "
           "case: {}}}",
           alternator, place("bay"), section_ == 1 ? "engine" : frame_);
    if (section_ == 1) {
        device("{}: {{is: strap, between: [engine, chassis], resistance: 0.4 mohm}}", next("W"));
    }
    device("{}: {{is: stud, at: {}}}", main_stud_, place("tray"));
    device("{}: {{is: stud, at: {}}}", box_stud_, place("box"));
    device("{}: {{is: stud, at: {}}}", panel_stud_, place("panel"));
    device("{}: {{is: stud, at: {}}}", key_feed, place("panel"));
    circuit("battery", "feed", "50 mm2",
            {battery + " > " + main_stud_, battery + ".- > " + grounds_.front()});
    const std::string main_fuse = next("F");
    device("{}: {{is: fuse, at: {}, family: strip, rating: 150 A}}", main_fuse, place("tray"));
    circuit("charging", "charging", "35 mm2",
            {fmt::format("{} > {} > {}.B+", main_stud_, main_fuse, alternator)});
    std::vector<std::string> feeds;
    for (const std::string& stud : {box_stud_, panel_stud_, key_feed}) {
        const std::string feed = next("F");
        device("{}: {{is: fuse, at: {}, family: maxi-blade, rating: 60 A}}", feed, place("tray"));
        feeds.push_back(fmt::format("{} > {} > {}", main_stud_, feed, stud));
    }
    circuit("feeds", "feed", "16 mm2", feeds);
    key_stud_ = key_feed; // until the ignition relay is wired
}

void Generator::ignition_and_lights() {
    const std::string key = next("S");
    device("{}: {{is: switch, at: {}, contact: 30 A, positions: {{off: [], accessory: [30-75], "
           "run: [30-15, 30-75], start: [30-15, 30-50]}}}}",
           key, place("column"));
    set(running_, key, "run");
    set(night_, key, "run");
    set(cranking_, key, section_ == 1 ? "start" : "\"off\"");
    start_ = key + ".50";
    key_splice_ = next("SP");
    device("{}: {{is: splice, at: {}}}", key_splice_, place("panel"));
    circuit("ignition", "signal", "6 mm2",
            {fmt::format("{} > {} > {}.30", key_stud_, fuse(12), key),
             fmt::format("{}.15 > {} > {}", key, fuse(3), key_splice_)});
    const std::string relay = next("K");
    const std::string stud = next("ST");
    device("{}: {{is: relay, at: {}, contact: 70 A, coil: 85 ohm, suppression: diode}}", relay,
           place("panel"));
    device("{}: {{is: stud, at: {}}}", stud, place("panel"));
    circuit("ignition-relay", "feed", "16 mm2", {key_stud_ + " > " + relay + " > " + stud});
    circuit("ignition-relay-coil", "signal", "0.75 mm2",
            {key_splice_ + " > " + relay + ".86", relay + ".85 > " + ground()});
    key_stud_ = stud;
    const std::string lights = next("S");
    device("{}: {{is: switch, at: {}, contact: 20 A, positions: {{off: [], side: [30-58], "
           "head: [30-58, 30-56]}}}}",
           lights, place("dash"));
    set(night_, lights, "head");
    side_splice_ = next("SP");
    head_splice_ = next("SP");
    device("{}: {{is: splice, at: {}}}", side_splice_, place("panel"));
    device("{}: {{is: splice, at: {}}}", head_splice_, place("panel"));
    circuit("lights", "lighting", "6 mm2",
            {fmt::format("{} > {} > {}.30", panel_stud_, fuse(20), lights),
             lights + ".58 > " + side_splice_, lights + ".56 > " + head_splice_});
}

void Generator::starter() {
    const std::string motor = next("M");
    const std::string relay = next("K");
    device("{}: {{is: starter, at: {}, case: engine, draws: 160 A at 10.5 V, solenoid: 1.1 ohm}}",
           motor, place("bay"));
    device("{}: {{is: relay, at: {}, contact: 40 A, coil: 85 ohm, suppression: resistor}}", relay,
           place("box"));
    circuit("starter", "starter", "50 mm2", {main_stud_ + " > " + motor});
    circuit("starter-control", "starter-control", "6 mm2",
            {fmt::format("{} > {} > {} > {}.50", box_stud_, fuse(20), relay, motor)});
    circuit("starter-relay", "signal", "0.75 mm2",
            {start_ + " > " + relay + ".86", relay + ".85 > " + ground()});
}

void Generator::coupling() {
    const std::string link = next("F");
    const std::string far_link = next("F"); // a fuse at each end: there is a battery at each
    device("{}: {{is: fuse, at: {}, family: maxi-blade, rating: 40 A}}", link, place("tray"));
    device("{}: {{is: fuse, at: tray-{}, family: maxi-blade, rating: 40 A}}", far_link,
           section_ - 1);
    device("{}: {{is: strap, between: [{}, {}], resistance: 0.4 mohm}}", next("W"),
           section_ == 2 ? "chassis" : fmt::format("frame-{}", section_ - 1), frame_);
    circuit("coupling", "feed", "35 mm2",
            {fmt::format("{} > {} > {} > {}", last_stud_, far_link, link, main_stud_)});
}

void Generator::relay_motor() {
    const double amps = amps_between(3, 12);
    const std::string motor = next("M");
    const std::string relay = next("K");
    device("{}: {{is: motor, at: {}, draws: {} A at 13 V, inrush: {} A for 0.3 s}}", motor,
           any_place(), amps, 2 * amps);
    device("{}: {{is: relay, at: {}, contact: 40 A, coil: 85 ohm, suppression: diode}}", relay,
           place("box"));
    circuit("motor", "motor", rating_for(amps).size,
            {fmt::format("{} > {} > {} > {} > {} > {}", box_stud_, fuse(amps), relay, through(),
                         motor, way_home())});
    circuit("motor-relay", "signal", "0.75 mm2",
            {key_splice_ + " > " + relay + ".86",
             fmt::format("{}.85 > {} > {}", relay, on_off_switch(0.2), ground())});
}

void Generator::lamp_pair() {
    const int watts = static_cast<int>(amps_between(21, 55));
    const std::string splice = next("SP");
    device("{}: {{is: splice, at: {}}}", splice, any_place());
    const double amps = 2.0 * watts / 13.2;
    std::vector<std::string> paths = {
        fmt::format("{} > {} > {}", head_splice_, fuse(amps), splice)};
    for (int side = 0; side < 2; ++side) {
        const std::string lamp = next("E");
        device("{}: {{is: lamp, at: {}, draws: {} W at 13.2 V}}", lamp, any_place(), watts);
        paths.push_back(fmt::format("{} > {} > {} > {}", splice, through(), lamp, way_home()));
    }
    circuit("lamps", "lighting", rating_for(amps).size, paths);
}

void Generator::small_lamps() {
    const std::string splice = next("SP");
    device("{}: {{is: splice, at: {}}}", splice, any_place());
    std::vector<std::string> paths = {fmt::format("{} > {} > {}", side_splice_, fuse(2), splice)};
    for (int lamp = 0; lamp < 4; ++lamp) {
        const std::string name = next("E");
        device("{}: {{is: led-lamp, at: {}, draws: {} A at 13.5 V}}", name, any_place(),
               amps_between(0.1, 0.5));
        paths.push_back(fmt::format("{} > {} > {} > {}", splice, through(), name, way_home()));
    }
    circuit("small-lamps", "lighting", rating_for(2).size, paths);
}

void Generator::electronics() {
    const double amps = amps_between(0.2, 3);
    const std::string name = next("P");
    device("{}: {{is: electronics, at: {}, draws: {} A at 13.5 V, least: 6 V}}", name, any_place(),
           amps);
    circuit("electronics", "other", rating_for(amps).size,
            {fmt::format("{} > {} > {} > {} > {}", key_stud_, fuse(amps), through(), name,
                         way_home())});
}

void Generator::heater() {
    const double amps = amps_between(2, 8);
    const std::string name = next("E");
    device("{}: {{is: heater, at: {}, draws: {} A at 13.5 V}}", name, any_place(), amps);
    circuit("heater", "other", rating_for(amps).size,
            {fmt::format("{} > {} > {} > {} > {} > {}", key_stud_, fuse(amps), on_off_switch(amps),
                         through(), name, way_home())});
}

void Generator::valves() {
    const std::string splice = next("SP");
    device("{}: {{is: splice, at: {}}}", splice, any_place());
    std::vector<std::string> paths = {fmt::format("{} > {} > {}", key_stud_, fuse(2), splice)};
    for (int k = 0; k < 2; ++k) {
        const std::string name = next("Y");
        device("{}: {{is: coil, at: {}, draws: {} A at 13.5 V}}", name, any_place(),
               amps_between(0.3, 1));
        paths.push_back(fmt::format("{} > {} > {} > {}", splice, through(), name, way_home()));
    }
    circuit("valves", "other", rating_for(2).size, paths);
}

void Generator::controller() {
    const std::string name = next("A");
    device("{}: {{is: controller, at: {}, draws: 2 A at 13.5 V, sleeps: 5 mA, terminals: "
           "{{battery: feed, key: signal, ground: ground, valve-1: {{part: low-side, limit: 2 A}}, "
           "valve-2: {{part: low-side, limit: 2 A}}}}}}",
           name, any_place());
    const std::string splice = next("SP");
    device("{}: {{is: splice, at: {}}}", splice, any_place());
    std::vector<std::string> paths = {
        fmt::format("{} > {} > {}.battery", panel_stud_, fuse(3), name),
        fmt::format("{} > {}.key", key_splice_, name),
        fmt::format("{}.ground > {}", name, ground()),
        fmt::format("{} > {} > {}", key_stud_, fuse(3), splice)};
    for (int k = 1; k <= 2; ++k) {
        const std::string valve = next("Y");
        device("{}: {{is: coil, at: {}, draws: 0.8 A at 13.5 V}}", valve, any_place());
        paths.push_back(fmt::format("{} > {} > {} > {} > {}.valve-{}", splice, through(), valve,
                                    through(), name, k));
        if (below(2) == 0) {
            set(running_, fmt::format("{}.valve-{}", name, k), "on");
        }
    }
    circuit("controller", "other", rating_for(3).size, paths);
}

void Generator::horns() {
    const std::string relay = next("K");
    const std::string splice = next("SP");
    const std::string feed = fuse(8);
    device("{}: {{is: relay, at: {}, contact: 40 A, coil: 85 ohm, suppression: resistor}}", relay,
           place("box"));
    device("{}: {{is: splice, at: {}}}", splice, place("box"));
    std::vector<std::string> paths = {
        fmt::format("{} > {} > {} > {}", box_stud_, feed, relay, splice)};
    for (int k = 0; k < 2; ++k) {
        const std::string horn = next("P");
        device("{}: {{is: coil, at: {}, draws: 4 A at 13 V}}", horn, place("box"));
        paths.push_back(fmt::format("{} > {} > {}", splice, horn, ground()));
    }
    paths.push_back(fmt::format("{}.out > {}.86", feed, relay));
    paths.push_back(fmt::format("{}.85 > {} > {}", relay, on_off_switch(0.2), ground()));
    circuit("horns", "other", rating_for(8).size, paths);
}

void Generator::interior_lamps() {
    const std::string splice = next("SP");
    device("{}: {{is: splice, at: {}}}", splice, place("roof"));
    std::vector<std::string> paths = {fmt::format("{} > {} > {}", panel_stud_, fuse(2), splice)};
    for (int k = 0; k < 3; ++k) {
        const std::string lamp = next("E");
        device("{}: {{is: lamp, at: {}, draws: 5 W at 13.5 V}}", lamp, any_place());
        paths.push_back(fmt::format("{} > {} > {} > {} > {}", splice, through(), lamp,
                                    on_off_switch(0.5), ground()));
    }
    circuit("interior-lamps", "lighting", rating_for(2).size, paths);
}

/// The last few wires, so that the number comes out: leads to splices with a small lamp now and
/// then.
void Generator::fill(int wires) {
    while (wires >= 6) {
        electronics();
        wires -= 6;
    }
    std::vector<std::string> paths;
    const std::string lead = fuse(1);
    for (; wires > 0; --wires) {
        const std::string splice = next("SP");
        device("{}: {{is: splice, at: {}, note: spare lead}}", splice, place("panel"));
        paths.push_back(fmt::format("{}.{} > {}", lead, paths.empty() ? "in" : "out",
                                    paths.empty() ? panel_stud_ : splice));
    }
    if (!paths.empty()) {
        circuit("spare", "other", rating_for(1).size, paths);
    }
}

std::string Generator::generate(Sections sections) {
    constexpr std::array<Consumer, 9> consumers = {
        &Generator::relay_motor, &Generator::lamp_pair, &Generator::small_lamps,
        &Generator::electronics, &Generator::heater,    &Generator::valves,
        &Generator::controller,  &Generator::horns,     &Generator::interior_lamps};
    while (wires_left_ >= (section_ == 0 ? 0 : least_wires)) {
        const int end = std::max(wires_left_ - wires_of_a_section, 0);
        last_stud_ = main_stud_;
        begin_section();
        supply();
        ignition_and_lights();
        if (section_ == 1) {
            starter();
        } else if (sections == Sections::coupled) {
            coupling();
        }
        std::size_t next_one = below(consumers.size());
        while (wires_left_ > end + spare_of_a_section) {
            (this->*consumers[next_one])();
            next_one = (next_one + 1 + below(2)) % consumers.size();
        }
    }
    fill(wires_left_);
    std::string text;
    auto out = std::back_inserter(text);
    fmt::format_to(out, "# Made by tests/bench/generate_vehicle; everything here is invented.\n"
                        "loomwright: 1\ntitle: Test vehicle of many wires\nnominal: 12 V\n");
    fmt::format_to(out, "bodies: [{}]\n\n", bodies_);
    fmt::format_to(out, "zones:\n  front: {{air: 60 C, wet: yes}}\n  engine-bay: {{air: 95 C}}\n"
                        "  cabin: {{air: 50 C}}\n  roof: {{air: 65 C}}\n  boot: {{air: 50 C}}\n\n");
    fmt::format_to(out, "points:\n{}\nruns:\n{}\n", points_, runs_);
    fmt::format_to(
        out,
        "policy:\n  insulation: thin-wall xlpe\n  drop: {{motor: 1.2 V, lighting: 1.2 V, other: "
        "1.2 V, signal: 1.5 V}}\n\n");
    fmt::format_to(out, "devices:\n{}\ncircuits:\n{}\n", devices_, circuits_);
    fmt::format_to(out, "states:\n  parked: {{engine: stopped, lasts: 21 d}}\n");
    fmt::format_to(out, "  running:\n    engine: running\n    set: {{{}}}\n", running_);
    fmt::format_to(out, "  night:\n    engine: running\n    air: 15 C\n    set: {{{}}}\n", night_);
    fmt::format_to(out, "  standing:\n    engine: stopped\n    air: 15 C\n    set: {{{}}}\n",
                   night_);
    fmt::format_to(out, "  cranking:\n    engine: cranking\n    set: {{{}}}\n", cranking_);
    return text;
}

} // namespace

std::string generate_vehicle(int wires, std::uint64_t seed, Sections sections) {
    return Generator(std::max(wires, least_wires), seed).generate(sections);
}

} // namespace loomwright::bench
