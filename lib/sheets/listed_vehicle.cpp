// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/listed_vehicle.hpp"

#include "base/display.hpp"
#include "loom/places.hpp"
#include "yaml/written_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <vector>

namespace loomwright {
namespace {

// Assumed, common practice, no source: where nothing else is known of a car that is a list of
// loads.
constexpr double assumed_air_c = 50.0;
constexpr double assumed_main_m = 1.0;
constexpr double assumed_ground_m = 0.3;
constexpr double demand_v_at_12 = 13.5;
// Of a rating so much is used when a family is picked: what hot air and the permitted loading
// leave, and something for starts.
constexpr double used_share = 0.5;
constexpr std::array<std::string_view, 3> families{"blade", "maxi-blade", "strip"};
// A main feed carries so much at most, so that its wires still fit the fuses of the panel; a load
// of more than the second goes past the panel, to the battery by a fuse of its own.
constexpr double most_of_a_main_a = 25.0;
constexpr double most_by_panel_a = 20.0;
constexpr std::size_t no_main = static_cast<std::size_t>(-1);

/// Letters, digits and dashes: a name that no reader of the file can take for anything else.
std::string slug(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const bool is_upper = c >= 'A' && c <= 'Z';
        const bool is_plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || is_upper;
        if (is_plain) {
            out += is_upper ? static_cast<char>(c - 'A' + 'a') : c;
        } else if (!out.empty() && out.back() != '-') {
            out += '-';
        }
        if (out.size() >= 40) {
            break;
        }
    }
    while (out.ends_with('-')) {
        out.pop_back();
    }
    return out;
}

/// A text that can be a device's name as it is: a letter, then letters, digits and dashes.
bool is_device_name(std::string_view text) {
    const auto is_letter = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); };
    return !text.empty() && text.size() <= 20 && is_letter(text.front()) &&
           std::ranges::all_of(
               text, [&](char c) { return is_letter(c) || (c >= '0' && c <= '9') || c == '-'; });
}

/// Names of one kind of thing, no two alike.
class Names {
public:
    /// "F1", "F2", ...: the next that is free.
    std::string next(const std::string& letter) {
        std::string name;
        do {
            name = fmt::format("{}{}", letter, ++counts_[letter]);
        } while (!taken_.insert(name).second);
        return name;
    }
    /// The name itself, or with a number behind it.
    std::string like(const std::string& wanted) {
        std::string name = wanted;
        for (int i = 2; !taken_.insert(name).second; ++i) {
            name = fmt::format("{}-{}", wanted, i);
        }
        return name;
    }

private:
    std::set<std::string> taken_;
    std::map<std::string, int> counts_;
};

struct Place {
    std::string point; ///< "": nowhere
    std::string title;
    std::string ground;
    std::optional<Metres> run; ///< the longest way that the list gives; nothing: no run leads there
    bool is_fed_by_panel = false; ///< some of its loads are
};

struct Fuse {
    std::string name;
    std::string title;
    std::optional<Amps> rating;
    double amps = 0.0;          ///< of its loads
    std::size_t main = no_main; ///< the main feed it hangs on; none: at the battery
    bool is_fed = false;        ///< a path leads to it already
};

/// A main fuse at the battery and the stud at the fuse panel that it feeds.
struct Main {
    std::string fuse;
    std::string stud;
    double amps = 0.0;
};

/// A load with all that is written for it.
struct Item {
    const ListedLoad* load = nullptr;
    std::string name;
    std::string control; ///< its switch
    LoadKind kind = LoadKind::heater;
    std::string kind_note; ///< how the kind came about; "" where the list says it
    std::size_t place = 0;
    std::size_t fuse = 0;
    double amps = 0.0;
};

std::string_view drop_class(LoadKind kind) {
    switch (kind) {
    case LoadKind::lamp:
    case LoadKind::led_lamp:
        return "lighting";
    case LoadKind::motor:
        return "motor";
    case LoadKind::heater:
        return "heater";
    case LoadKind::electronics:
        return "electronics";
    case LoadKind::coil:
        return "other";
    }
    return "other";
}

/// Class letters of IEC 81346-2.
std::string class_letter(LoadKind kind) {
    switch (kind) {
    case LoadKind::lamp:
    case LoadKind::led_lamp:
    case LoadKind::heater:
        return "E";
    case LoadKind::motor:
    case LoadKind::coil:
        return "M";
    case LoadKind::electronics:
        return "A";
    }
    return "E";
}

std::string written_number(double value) {
    return show_number(value, 6);
}

class VehicleWriter {
public:
    VehicleWriter(const LoadList& list, std::string_view list_name, const Catalogue& catalogue)
        : list_(list), list_name_(comment_text(list_name)), catalogue_(catalogue) {
        for (const std::string_view own : {"battery", "fuse-panel"}) {
            (void)points_.like(std::string(own));
        }
        (void)things_.next("G");
        (void)things_.next("GND");
        name_shared_fuses();
        for (const ListedLoad& load : list.loads) {
            items_.push_back(item(load));
        }
        share_mains();
    }

    std::string write() {
        head();
        places();
        devices();
        circuits();
        states();
        return std::move(out_);
    }

private:
    template <typename... Parts> void line(fmt::format_string<Parts...> form, Parts&&... parts) {
        out_ += fmt::format(form, std::forward<Parts>(parts)...);
        out_ += '\n';
    }

    // --- naming ---------------------------------------------------------------------------

    /// Fuses that the list names keep their names where these can be names of devices.
    void name_shared_fuses() {
        for (const ListedLoad& load : list_.loads) {
            if (load.fuse.empty() || by_fuse_name_.contains(load.fuse)) {
                continue;
            }
            const std::string name =
                is_device_name(load.fuse) ? things_.like(load.fuse) : things_.next("F");
            by_fuse_name_.emplace(load.fuse, fuses_.size());
            fuses_.push_back({name, name == load.fuse ? "" : load.fuse, {}});
        }
    }

    std::size_t fuse_of(const ListedLoad& load) {
        if (!load.fuse.empty()) {
            Fuse& shared = fuses_[by_fuse_name_.at(load.fuse)];
            shared.rating = shared.rating ? shared.rating : load.rating;
            return by_fuse_name_.at(load.fuse);
        }
        fuses_.push_back({things_.next("F"), load.device, load.rating});
        return fuses_.size() - 1;
    }

    std::size_t place_of(const ListedLoad& load) {
        const std::string_view named = load.place.empty() ? load.device : load.place;
        // Without a length nothing can lead there: a place of its own, or none.
        const auto key = std::string(load.place.empty() ? "\n" + load.device : load.place);
        const auto [found, is_new] = by_place_.emplace(key, places_.size());
        if (is_new) {
            Place place;
            std::string wanted = slug(named);
            const bool is_own = wanted == "battery" || wanted == "fuse-panel";
            place.point = is_own && !load.place.empty()
                              ? wanted
                              : points_.like(wanted.empty() ? "place" : wanted);
            place.title = place.point == named ? "" : std::string(named);
            place.ground = things_.next("GND");
            places_.push_back(std::move(place));
        }
        Place& place = places_[found->second];
        if (load.length && (!place.run || *load.length > *place.run)) {
            place.run = load.length;
        }
        return found->second;
    }

    Item item(const ListedLoad& load) {
        Item out;
        out.load = &load;
        if (load.kind) {
            out.kind = *load.kind;
        } else if (const auto guess = guess_load_kind(load.device)) {
            out.kind = guess->kind;
            out.kind_note =
                fmt::format("{}, by the word `{}`", load_kind_name(guess->kind), guess->word);
        } else {
            out.kind_note =
                "kind not known: taken as a heater, a resistance, which takes more the higher "
                "the voltage";
        }
        out.name = things_.next(class_letter(out.kind));
        out.control = things_.next("S");
        out.place = place_of(load);
        out.fuse = fuse_of(load);
        const double volts =
            load.at ? load.at->value() : demand_v_at_12 * list_.nominal.value() / 12.0;
        out.amps = load.power ? load.power->value() / volts : load.current->value();
        fuses_[out.fuse].amps += out.amps;
        return out;
    }

    /// Fuses hang on one main feed after another as long as it carries them.
    void share_mains() {
        for (Fuse& fuse : fuses_) {
            if (fuse.amps > most_by_panel_a) {
                continue;
            }
            if (mains_.empty() || mains_.back().amps + fuse.amps > most_of_a_main_a) {
                mains_.push_back({things_.next("F"), things_.next("ST"), 0.0});
            }
            mains_.back().amps += fuse.amps;
            fuse.main = mains_.size() - 1;
        }
        for (const Item& one : items_) {
            places_[one.place].is_fed_by_panel |= !is_direct(one);
        }
    }

    [[nodiscard]] bool is_panel_used() const {
        return !mains_.empty() ||
               std::ranges::find(places_, "fuse-panel", &Place::point) != places_.end();
    }
    /// Past the fuse panel: from the battery by a run of its own.
    [[nodiscard]] bool is_direct(const Item& one) const { return fuses_[one.fuse].main == no_main; }
    [[nodiscard]] bool has_own_run(const Item& one) const {
        return is_direct(one) && one.load->length && is_point(places_[one.place]);
    }

    /// The smallest of the common families that has the rating, or that will have one for the load.
    std::string_view family_for(std::optional<Amps> rating, double amps,
                                std::size_t smallest = 0) const {
        for (std::size_t i = smallest; i < families.size(); ++i) {
            const FuseFamily* family = catalogue_.find_fuse_family(families.at(i));
            const double largest = family->ratings.back().rating.value();
            if (rating ? rating->value() <= largest : amps <= used_share * largest) {
                return families.at(i);
            }
        }
        return families.back();
    }

    // --- writing --------------------------------------------------------------------------

    void head() {
        line("# Made by `loomwright import` from {}: {} load{}. Go on from here.", list_name_,
             items_.size(), items_.size() == 1 ? "" : "s");
        line("# A list of loads does not say everything. What was assumed is marked `assumed`: put "
             "in what your car has,");
        line("# then `loomwright check`. Each load stands under its line of the list.");
        line("loomwright: 1");
        line("title: {}", written_text("From " + list_name_));
        line("nominal: {} V\n", written_number(list_.nominal.value()));
    }

    void places() {
        line("zones:                 # air that the wires lie in");
        line("  car: {{air: {} C}}      # assumed everywhere; an engine bay is at 95 C and more",
             written_number(assumed_air_c));
        line("\npoints:                # places on the body");
        line("  battery: {{zone: car}}");
        if (is_panel_used()) {
            line("  fuse-panel: {{zone: car}}");
        }
        for (const Place& place : places_) {
            if (is_point(place)) {
                line("  {}: {{zone: car{}}}", written_text(place.point), title(place.title));
            }
        }
        line("\nruns:                  # stretches of loom; the list's length is the way, ends are "
             "added");
        if (is_panel_used()) {
            line("  main: {{from: battery, to: fuse-panel, length: {} m}}   # assumed",
                 written_number(assumed_main_m));
        }
        for (const Place& place : places_) {
            if (is_point(place) && place.is_fed_by_panel) {
                line("  {}: {{from: fuse-panel, to: {}, length: {} m}}",
                     written_text("to-" + place.point), written_text(place.point),
                     written_number(place.run->value()));
            }
        }
        for (const Item& one : items_) {
            if (has_own_run(one)) {
                line(
                    "  direct-{}: {{from: battery, to: {}, length: {} m}}   # past the panel: much "
                    "current",
                    one.name, written_text(places_[one.place].point),
                    written_number(one.load->length->value() + assumed_main_m));
            }
        }
    }

    /// A place of its own, with a way there. The other ones are the file's own two, or unknown.
    static bool is_point(const Place& place) {
        return place.run && place.point != "battery" && place.point != "fuse-panel";
    }
    static bool is_known(const Place& place) {
        return place.run || place.point == "battery" || place.point == "fuse-panel";
    }
    static std::string at(const Place& place) {
        return is_known(place) ? fmt::format(", at: {}", written_text(place.point)) : "";
    }
    static std::string title(const std::string& text) {
        return text.empty() ? "" : fmt::format(", title: {}", written_text(text));
    }

    void devices() {
        line("\ndevices:");
        line("  G1: {{is: battery, at: battery, capacity: 60 Ah, cranking-amps: 500 A}}   # "
             "assumed");
        line("  GND1: {{is: ground, at: battery, body: chassis}}");
        for (const Main& main : mains_) {
            line(
                "  {}: {{is: fuse, at: battery, family: {}, rating: auto, title: Main fuse of {}}}",
                main.fuse, family_for(std::nullopt, main.amps, 1), main.stud);
            line("  {}: {{is: stud, at: fuse-panel}}", main.stud);
        }
        for (const Fuse& fuse : fuses_) {
            line("  {}: {{is: fuse, at: {}, family: {}, rating: {}{}}}", written_text(fuse.name),
                 fuse.main == no_main ? "battery" : "fuse-panel",
                 family_for(fuse.rating, fuse.amps),
                 fuse.rating ? written_number(fuse.rating->value()) + " A" : "auto",
                 title(fuse.title));
        }
        for (const Place& place : places_) {
            line("  {}: {{is: ground{}, body: chassis}}", place.ground, at(place));
        }
        line("  # A switch for each load, assumed: write its `contact:` from its data sheet, and "
             "let "
             "it work a relay");
        line("  # where the current is more than that.");
        for (const Item& one : items_) {
            load_lines(one);
        }
    }

    void load_lines(const Item& one) {
        const ListedLoad& load = *one.load;
        const Place& place = places_[one.place];
        line("\n  # {}:{}: {}", list_name_, load.line, comment_text(load.original));
        if (!one.kind_note.empty()) {
            line("  # {}", one.kind_note);
        }
        if (!is_known(place)) {
            line("  # no length: give it one with `length:` on its wire, or a point with a run");
        }
        const std::string volts =
            load.at ? fmt::format(" at {} V", written_number(load.at->value())) : std::string();
        const std::string demand = load.power ? written_number(load.power->value()) + " W"
                                              : written_number(load.current->value()) + " A";
        const std::string note =
            load.note.empty() ? "" : fmt::format(", note: {}", written_text(load.note));
        line("  {}: {{is: switch, at: {}, positions: {{off: [], on: [1-2]}}}}", one.control,
             is_direct(one) ? "battery" : "fuse-panel");
        line("  {}: {{is: {}{}, draws: {}{}, title: {}{}}}", one.name, load_kind_name(one.kind),
             at(place), demand, volts, written_text(load.device), note);
    }

    void circuits() {
        line("\ncircuits:");
        line("  supply:");
        line("    number: 1");
        line("    class: feed");
        line("    paths:");
        line("      - G1.- > GND1");
        for (const Main& main : mains_) {
            line("      - G1 > {} > {}", main.fuse, main.stud);
        }
        Names names;
        (void)names.like("supply");
        int count = 1;
        for (const Item& one : items_) {
            circuit_lines(one, ++count, names);
        }
    }

    void circuit_lines(const Item& one, int count, Names& names) {
        const ListedLoad& load = *one.load;
        Fuse& fuse = fuses_[one.fuse];
        const Place& place = places_[one.place];
        const std::string wanted = slug(load.device);
        line("  {}:", written_text(names.like(wanted.empty() ? "load" : wanted)));
        line("    number: {}", count);
        line("    class: {}", drop_class(one.kind));
        const std::string feed = fuse.main == no_main ? "G1" : mains_[fuse.main].stud;
        const std::string begin = fuse.is_fed ? fuse.name + ".out" : feed + " > " + fuse.name;
        line("    paths:");
        line("      - {}", written_text(fmt::format("{} > {} > {} > {}", begin, one.control,
                                                    one.name, place.ground)));
        const int to_load = fuse.is_fed ? 2 : 3;
        fuse.is_fed = true;
        std::string wires;
        if (has_own_run(one)) {
            wires += fmt::format("{}.{}: {{via: direct-{}}}", count, to_load, one.name);
        } else if (load.length && (!is_point(place) || *load.length != *place.run)) {
            // A wire's `length` is what is cut: the list's way, and what its ends take.
            const Metres ends = wire_allowances(Vehicle(), catalogue_).both_ends;
            wires += fmt::format("{}.{}: {{length: {} m}}", count, to_load,
                                 written_number((*load.length + ends).value()));
        }
        if (load.length && !is_known(place)) {
            wires += fmt::format("{}{}.{}: {{length: {} m}}", wires.empty() ? "" : ", ", count,
                                 to_load + 1, written_number(assumed_ground_m));
        }
        if (!wires.empty()) {
            line("    wires: {{{}}}", wires);
        }
    }

    void states() {
        std::vector<std::string> loads;
        for (const Item& one : items_) {
            loads.push_back(one.name);
        }
        line("\nstates:                # write what your car really does, and what you expect of "
             "it");
        line("  parked:");
        line("    expect: {{off: [{}]}}", fmt::join(loads, ", "));
        line("  all-on:              # assumed: everything at once, from the battery alone");
        line("    set:");
        for (const Item& one : items_) {
            line("      {}: \"on\"", one.control);
        }
        line("    expect: {{on: [{}]}}", fmt::join(loads, ", "));
    }

    const LoadList& list_;
    std::string list_name_;
    const Catalogue& catalogue_;
    Names things_;
    Names points_;
    std::vector<Main> mains_;
    std::vector<Fuse> fuses_;
    std::vector<Place> places_;
    std::vector<Item> items_;
    std::map<std::string, std::size_t> by_fuse_name_;
    std::map<std::string, std::size_t> by_place_;
    std::string out_;
};

} // namespace

std::string listed_vehicle(const LoadList& list, std::string_view list_name,
                           const Catalogue& catalogue) {
    return VehicleWriter(list, list_name, catalogue).write();
}

} // namespace loomwright
