// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Rounds of choose and solve until nothing moves (docs/method/sizing.md). The first round starts
// from a generous guess, so that its currents are those of a car that loses little on the way; from
// the second on a size or rating only grows, and there are finitely many: it ends.
#include "sizing/choose_fuses.hpp"
#include "sizing/choose_wires.hpp"
#include "sizing/describe_sizing.hpp"
#include "sizing/feeds.hpp"
#include "sizing/grow_for_drop.hpp"
#include "sizing/limits.hpp"
#include "sizing/protect.hpp"

#include <algorithm>

namespace loomwright {
namespace {

constexpr double guess_area_m2 = 4e-6;
constexpr double guess_main_area_m2 = 35e-6;
constexpr int free_rounds = 1;
constexpr int bundle_passes = 4;
// Each later round makes at least one wire or fuse larger; this many have never been needed.
constexpr int most_rounds = 60;

/// Sources, starters and the studs that mains are shared out from.
bool is_at_mains(const StudyInput& input, TerminalRef end) {
    const Device& device = input.vehicle.device(end.device);
    return device.as<Battery>() != nullptr || device.as<Alternator>() != nullptr ||
           device.as<Charger>() != nullptr || device.as<Starter>() != nullptr ||
           device.as<Stud>() != nullptr;
}

const Conductor* guess_conductor(const StudyInput& input, const Wire& wire,
                                 const WireChoice& choice) {
    const bool is_main = is_at_mains(input, wire.from) || is_at_mains(input, wire.to);
    const double area = is_main ? guess_main_area_m2 : guess_area_m2;
    for (const Conductor* conductor : choice.options) {
        if (conductor->area.value() >= area * (1.0 - 1e-9)) {
            return conductor;
        }
    }
    return choice.options.back();
}

/// Generous conductors, and the largest rating of each family.
Design first_guess(const StudyInput& input, const std::vector<WireChoice>& choices) {
    Design out;
    for (std::size_t i = 0; i < input.vehicle.wires.size(); ++i) {
        const Wire& wire = input.vehicle.wires[i];
        WireDesign made;
        made.insulation = insulation_of(input, wire);
        made.conductor = wire.size ? input.catalogue.find_conductor(wire.size->value)
                                   : guess_conductor(input, wire, choices[i]);
        made.length = input.routing.wires[i].length;
        out.wires.push_back(made);
    }
    for (std::size_t i = 0; i < input.vehicle.devices.size(); ++i) {
        const auto* protection = input.vehicle.devices[i].as<Protection>();
        std::optional<Amps> rating;
        if (protection != nullptr) {
            rating = protection->rating;
            const FuseFamily* family = family_of(input, DeviceId(i));
            if (!rating && protection->kind != ProtectionKind::fusible_link && family != nullptr &&
                !family->ratings.empty()) {
                rating = family->ratings.back().rating;
            }
        }
        out.ratings.push_back(rating);
    }
    return out;
}

/// What is found out once and asked in every round.
struct RoundTools {
    WirePlaces places;
    FeedTracer tracer;
    FeedDemands demands;
};

bool is_same(const Design& a, const Design& b) {
    return a.ratings == b.ratings &&
           std::ranges::equal(a.wires, b.wires, {}, &WireDesign::conductor, &WireDesign::conductor);
}

void put_into(const std::vector<WireChoice>& choices, Design& design) {
    for (std::size_t i = 0; i < choices.size(); ++i) {
        if (choices[i].is_auto()) {
            design.wires[i].conductor = choices[i].options[choices[i].picked];
        }
    }
}

/// Of sizes that do not come to rest the larger: a wire that grows may no longer count as loaded,
/// and what lies beside it then may be thin enough for it to count again. With the larger of the
/// two both hold.
void keep_larger(const std::vector<WireChoice>& before, std::vector<WireChoice>& choices) {
    for (std::size_t i = 0; i < choices.size(); ++i) {
        if (choices[i].is_auto() && before[i].picked > choices[i].picked) {
            choices[i].floor_reason = reason_of_floor(before[i]);
            if (choices[i].is_share) { // what it was before was found, or is the larger share
                choices[i].take_picks(before[i]);
            }
            choices[i].picked = before[i].picked;
        }
    }
}

/// One round: ratings, then wires, from the states as solved. False when the design stays as it
/// was.
bool choose_round(const StudyInput& input, RoundTools& tools, std::vector<double>& least_ratings,
                  std::vector<WireChoice>& choices, Sizing& sizing) {
    const Design solved = sizing.design;
    const auto states = judged_states(sizing);
    sizing.drops = load_drops(input, sizing);
    choose_fuses(input, least_ratings, sizing);
    sizing.feeds = tools.tracer.trace(sizing.design, states);
    const WireLoads loads = wire_loads(input, states);
    std::vector<FeedDemand> demands;
    for (std::size_t i = 0; i < choices.size(); ++i) {
        // Nothing is asked of a wire whose size is given.
        demands.push_back(choices[i].is_auto() ? tools.demands.of(sizing.design, sizing.feeds[i])
                                               : FeedDemand());
    }
    const RoundInput round{input, solved, sizing, loads, demands, tools.places};
    // A bundle's loading hangs on the sizes in it: chosen again with the same currents until it
    // rests.
    ChosenBefore chosen_before;
    for (int pass = 0; pass < bundle_passes; ++pass) {
        const Design before = sizing.design;
        const std::vector<WireChoice> chosen = choices;
        sizing.runs = run_loadings(input, tools.places, sizing.design, states);
        if (choose_wires(round, chosen_before, choices)) {
            for (std::size_t i = 0; i < choices.size(); ++i) {
                choices[i].picked = chosen[i].picked;
                choices[i].by_drop = chosen[i].by_drop;
            }
            break;
        }
        grow_for_drop(round, choices);
        if (pass + 1 == bundle_passes) {
            keep_larger(chosen, choices);
        }
        put_into(choices, sizing.design);
        if (is_same(before, sizing.design)) {
            break;
        }
    }
    return !is_same(solved, sizing.design);
}

void raise_floors(const StudyInput& input, const Sizing& sizing, std::vector<double>& least_ratings,
                  std::vector<WireChoice>& choices) {
    for (WireChoice& choice : choices) {
        if (choice.is_auto()) {
            choice.floor_reason = reason_of_floor(choice);
            choice.floor = choice.picked;
        }
    }
    for (std::size_t i = 0; i < least_ratings.size(); ++i) {
        if (input.vehicle.devices[i].as<Protection>() != nullptr) {
            least_ratings[i] = sizing.design.ratings[i].value_or(Amps(0.0)).value();
        }
    }
}

} // namespace

std::optional<Design> design_as_written(const StudyInput& input) {
    for (const Wire& wire : input.vehicle.wires) {
        if (!wire.size) {
            return std::nullopt;
        }
    }
    for (const Device& device : input.vehicle.devices) {
        const auto* protection = device.as<Protection>();
        if (protection != nullptr && !protection->rating &&
            protection->kind != ProtectionKind::fusible_link) {
            return std::nullopt;
        }
    }
    return first_guess(input, std::vector<WireChoice>(input.vehicle.wires.size()));
}

Sizing size_vehicle(const StudyInput& input, Findings& findings) {
    Sizing sizing;
    std::vector<WireChoice> choices = wire_options(input);
    std::vector<double> least_ratings(input.vehicle.devices.size(), 0.0);
    RoundTools tools{WirePlaces(input), FeedTracer(input), FeedDemands(input)};
    StateSolver solver(input);
    sizing.design = first_guess(input, choices);
    bool moved = true;
    while (moved && sizing.rounds < most_rounds) {
        ++sizing.rounds;
        solver.solve(sizing);
        moved = choose_round(input, tools, least_ratings, choices, sizing);
        if (sizing.rounds >= free_rounds) {
            raise_floors(input, sizing, least_ratings, choices);
        }
    }
    describe_sizing(input, tools.places, choices, sizing);
    report_fuses_not_found(input, sizing, findings);
    report_wires_not_found(input, choices, sizing, findings);
    return sizing;
}

std::string_view reason_name(Reason reason) {
    switch (reason) {
    case Reason::given:
        return "given";
    case Reason::frozen:
        return "frozen";
    case Reason::ampacity:
        return "ampacity";
    case Reason::drop:
        return "drop";
    case Reason::fuse:
        return "fuse";
    case Reason::least_size:
        return "least-size";
    case Reason::not_found:
        return "not-found";
    case Reason::load:
        return "load";
    case Reason::inrush:
        return "inrush";
    }
    return "given";
}

} // namespace loomwright
