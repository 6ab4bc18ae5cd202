// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The drop of one length of wire, with two handbook formulas beside it.
//
//   V  = I r(T) L,  r(T) = r20 (1 + 0.00393 (T - 20 C))                  IEC 60028
//   E  = K I L / CM                                                      ABYC E-11 11.14.2.6
//        K = 10.75 ohm cmil/ft (copper at about 29 C), L in ft there and back, CM in circular mils:
//        read in a quotation of the standard
//   L2 = 254.5 L1 / (234.5 + T)                                          FAA AC 43.13-1B 11-66
//        L1 the longest run at 20 C, L2 at T, copper: read
// Valid for steady direct current.
#include "checks/calc_answers.hpp"
#include "checks/calc_bench.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"

#include "base/display.hpp"
#include "sizing/ampacity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double small_craft_k = 10.75;
constexpr double metres_a_foot = 0.3048;
constexpr double m2_a_circular_mil = 5.0670747909749775e-10; // pi/4 (25.4e-6)^2
constexpr std::string_view small_craft_source =
    "ABYC E-11 11.14.2.6, K of copper at about 29 C (read: a quotation of the standard)";
constexpr std::string_view faa_source = "FAA AC 43.13-1B 11-66 (read)";

struct RunQuestion {
    std::optional<Conductor> conductor;
    const Insulation* insulation = nullptr;
    double metres = 0.0;
    double amps = 0.0;
    std::optional<double> conductor_c; ///< --at; else from the heat balance
    double air_c = 0.0;
    bool is_return = false;
    DropQuestion drop;

    [[nodiscard]] double ways() const { return is_return ? 2.0 : 1.0; }
};

RunQuestion read_question(CalcReader& reader) {
    RunQuestion out;
    out.insulation = &reader.insulation();
    out.conductor = reader.conductor("size");
    if (reader.is_choose("size")) {
        reader.complain("size", Rule::unknown_word, "a drop is that of a size that is known",
                        "ask `calc wire --size choose` for a size that keeps a drop");
    }
    out.metres = reader.quantity("length", Dimension::length, asked_length).value_or(0.0);
    out.amps = reader.quantity("amps", Dimension::current, ranges::current).value_or(0.0);
    out.conductor_c = reader.quantity("at", Dimension::temperature, ranges::temperature);
    out.air_c = reader.quantity("air", Dimension::temperature, ranges::temperature)
                    .value_or(reader.catalogue().default_value("air").value);
    if (reader.has("at") && reader.has("air")) {
        reader.complain("air", Rule::contradiction,
                        "the conductor's temperature is given: the air has no part in it",
                        "leave --air out, or --at");
    }
    out.is_return = reader.flag("return");
    out.drop = read_drop_question(reader);
    return out;
}

/// The small-craft formula with the copper of the conductor, and the copper that the limit asks.
void add_small_craft(CalcAnswer& out, const RunQuestion& question, const Catalogue& catalogue) {
    const double feet = question.metres * question.ways() / metres_a_foot;
    const double mils = question.conductor->area.value() / m2_a_circular_mil;
    const double volts = small_craft_k * question.amps * feet / mils;
    ProofSection section{"Beside it: the small-craft formula", {}};
    section.steps.push_back({question.is_return ? "E = K I L / CM, L there and back"
                                                : "E = K I L / CM, with L one way as asked",
                             fmt::format("{} x {} x {} ft / {} cmil", figure(small_craft_k),
                                         figure(question.amps), figure(feet), figure(mils)),
                             show(Volts(volts)), std::string(small_craft_source)});
    out.figures.push_back(
        volts_figure("small_craft_drop_v", "drop by the small-craft formula", volts));
    if (question.drop.limit_v) {
        const double needed = small_craft_k * question.amps * feet / *question.drop.limit_v;
        const auto sizes = catalogue.conductors(question.conductor->size.standard);
        const auto found = std::ranges::find_if(sizes, [&](const Conductor& c) {
            return c.is_standard_size && c.area.value() >= needed * m2_a_circular_mil;
        });
        section.steps.push_back(
            {"CM = K I L / E, and the smallest size that holds it",
             fmt::format("{} x {} x {} ft / {}", figure(small_craft_k), figure(question.amps),
                         figure(feet), figure(*question.drop.limit_v)),
             fmt::format("{} cmil, {}", figure(needed),
                         found == sizes.end() ? "more than its largest size" : show(found->size)),
             std::string(small_craft_source)});
        out.figures.push_back(number_figure("small_craft_area_m2", "copper by that formula",
                                            needed * m2_a_circular_mil,
                                            show(SquareMetres(needed * m2_a_circular_mil))));
    }
    out.sections.push_back(std::move(section));
}

/// How long a run may be at the conductor's temperature.
void add_longest_run(CalcAnswer& out, const RunQuestion& question, double conductor_c) {
    ProofSection section{"Beside it: length of the run", {}};
    double cold_m = question.metres;
    if (question.drop.limit_v) {
        const double volts_a_metre =
            question.amps * question.conductor->r20_ohm_per_m * question.ways();
        cold_m = *question.drop.limit_v / volts_a_metre;
        section.steps.push_back(
            {question.is_return ? "L1 = limit / (2 I r20), longest run at 20 C"
                                : "L1 = limit / (I r20), longest run at 20 C",
             fmt::format("{} / {} V/m", figure(*question.drop.limit_v), figure(volts_a_metre)),
             show(Metres(cold_m)), "Ohm's law"});
    } else {
        section.steps.push_back({"L1, taken as the longest run that keeps its limit at 20 C", "",
                                 show(Metres(cold_m)), "the length asked"});
    }
    const double hot_m = 254.5 * cold_m / (234.5 + conductor_c);
    section.steps.push_back(
        {"L2 = 254.5 L1 / (234.5 + T), the same limit at T",
         fmt::format("254.5 x {} / (234.5 + {})", figure(cold_m), figure(conductor_c)),
         show(Metres(hot_m)), std::string(faa_source)});
    out.figures.push_back(number_figure(
        "faa_run_m",
        question.drop.limit_v ? "longest run at that temperature by the FAA formula"
                              : "run that drops as this one does at 20 C, by the FAA formula",
        hot_m, show(Metres(hot_m))));
    out.sections.push_back(std::move(section));
}

} // namespace

DropQuestion read_drop_question(CalcReader& reader) {
    DropQuestion out;
    out.nominal_v = reader.quantity("volts", Dimension::voltage, ranges::voltage).value_or(12.0);
    const auto limit = reader.either("limit", Dimension::voltage, ranges::drop, Dimension::share,
                                     ranges::some_share);
    if (limit) {
        const bool is_share = limit->dimension == Dimension::share;
        out.limit_v = is_share ? limit->value * out.nominal_v : limit->value;
        out.limit_shown = show(Volts(*out.limit_v));
        if (is_share) {
            out.limit_shown +=
                fmt::format(" ({} of {})", show_percent(limit->value), show(Volts(out.nominal_v)));
        }
    }
    return out;
}

ProofSection prove_run_drop(const Conductor& conductor, double metres, bool is_return, double amps,
                            double conductor_c, const DropQuestion& drop) {
    ProofSection out{"Voltage drop", {}};
    const double way_m = metres * (is_return ? 2.0 : 1.0);
    out.steps.push_back({is_return ? "L, there and back: the return has the same size and length"
                                   : "L, one way: the way back is not in it (--return adds it)",
                         is_return ? fmt::format("2 x {}", show(Metres(metres))) : std::string(),
                         show(Metres(way_m)), "the length asked"});
    const double ohm_per_m = resistance_at(conductor.r20_ohm_per_m, Celsius(conductor_c));
    out.steps.push_back({"r(T) = r20 (1 + 0.00393 (T - 20))",
                         fmt::format("{} mohm/m x (1 + 0.00393 x ({} - 20))",
                                     figure(conductor.r20_ohm_per_m * 1e3), figure(conductor_c)),
                         figure(ohm_per_m * 1e3) + " mohm/m", "IEC 60028"});
    out.steps.push_back(
        {"R = r(T) L", fmt::format("{} mohm/m x {}", figure(ohm_per_m * 1e3), show(Metres(way_m))),
         show(Ohms(ohm_per_m * way_m)), "IEC 60028"});
    const double volts = amps * ohm_per_m * way_m;
    out.steps.push_back(
        {"V = I R", fmt::format("{} x {}", show(Amps(amps)), show(Ohms(ohm_per_m * way_m))),
         fmt::format("{}, {} of {}", show(Volts(volts)), show_percent(volts / drop.nominal_v),
                     show(Volts(drop.nominal_v))),
         "Ohm's law"});
    if (drop.limit_v) {
        out.steps.push_back({"drop <= limit",
                             fmt::format("{} <= {}", show(Volts(volts)), drop.limit_shown),
                             volts <= *drop.limit_v ? "holds" : "does not hold", "--limit"});
    }
    return out;
}

std::optional<CalcAnswer> answer_drop(CalcReader& reader) {
    const RunQuestion question = read_question(reader);
    if (!reader.is_clean() || !question.conductor) {
        return std::nullopt;
    }
    const Catalogue& catalogue = reader.catalogue();
    const Conductor& conductor = *question.conductor;
    const double conductor_c = question.conductor_c.value_or(solve::conductor_temperature_c(
        wire_body(catalogue, conductor, *question.insulation), question.amps, question.air_c));
    CalcBench bench(catalogue);
    bench.set_wire_air(question.air_c);
    bench.add_wire(conductor, *question.insulation, question.metres * question.ways(),
                   question.amps);
    bench.judge_alone();
    const StudyInput study = bench.study();
    CalcAnswer out{.question = "drop"};
    out.sections.push_back(prove_conductor({study, bench.sizing()}, WireId(0)));
    // The class of an insulation has no part in a drop at a given temperature.
    out.sections.back().steps.pop_back();
    if (!question.conductor_c) {
        out.sections.push_back(prove_temperature({study, bench.sizing()}, WireId(0)));
    }
    if (!std::isfinite(conductor_c)) {
        out.figures.push_back(
            {"drop_v", "drop", std::monostate{}, "none: the heat cannot leave, the wire burns"});
        out.holds = false;
        return out;
    }
    const double volts = question.amps *
                         resistance_at(conductor.r20_ohm_per_m, Celsius(conductor_c)) *
                         question.metres * question.ways();
    out.figures.push_back(volts_figure(
        "drop_v", question.is_return ? "drop, there and back" : "drop, one way", volts));
    out.figures.push_back(number_figure(
        "drop_share", "share of " + show(Volts(question.drop.nominal_v)),
        volts / question.drop.nominal_v, show_percent(volts / question.drop.nominal_v)));
    out.figures.push_back(celsius_figure("conductor_c", "conductor", conductor_c));
    if (question.drop.limit_v) {
        out.holds = volts <= *question.drop.limit_v;
        out.figures.push_back(yes_figure("holds", "within " + question.drop.limit_shown, out.holds,
                                         out.holds ? "yes" : "no"));
    }
    out.sections.push_back(prove_run_drop(conductor, question.metres, question.is_return,
                                          question.amps, conductor_c, question.drop));
    add_small_craft(out, question, catalogue);
    add_longest_run(out, question, conductor_c);
    return out;
}

} // namespace loomwright
