// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// One wire: resistance, ampacity alone in still air, temperature at a current; or the smallest size
// that meets ampacity, drop and the least size (docs/method/heat.md, sizing.md).
#include "checks/calc_answers.hpp"
#include "checks/calc_bench.hpp"
#include "checks/calc_conductors.hpp"
#include "checks/proofs.hpp"

#include "base/display.hpp"
#include "sizing/ampacity.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

struct WireQuestion {
    std::optional<Conductor> conductor;
    std::vector<Conductor> choices; ///< of "choose"
    const Insulation* insulation = nullptr;
    std::optional<double> metres;
    std::optional<double> amps;
    double air_c = 0.0;
    bool is_return = false;
    DropQuestion drop;

    [[nodiscard]] double way_m() const { return metres.value_or(1.0) * (is_return ? 2.0 : 1.0); }
};

WireQuestion read_wire_question(CalcReader& reader) {
    WireQuestion out;
    out.insulation = &reader.insulation();
    out.conductor = reader.conductor("size");
    out.metres = reader.quantity("length", Dimension::length, asked_length);
    out.amps = reader.quantity("amps", Dimension::current, ranges::current);
    out.air_c = reader.quantity("air", Dimension::temperature, ranges::temperature)
                    .value_or(reader.catalogue().default_value("air").value);
    out.is_return = reader.flag("return");
    out.drop = read_drop_question(reader);
    const auto need = [&](bool is_asked, std::string_view name, std::string_view for_what) {
        if (is_asked && !reader.has(name)) {
            reader.complain(name, Rule::missing_key,
                            fmt::format("{} cannot be answered without it", for_what),
                            fmt::format("give --{}", name));
        }
    };
    need(reader.has("limit"), "length", "whether the limit is kept");
    need(reader.has("limit"), "amps", "whether the limit is kept");
    if (reader.is_choose("size")) {
        out.choices = reader.choices(*out.insulation);
        need(!reader.has("limit"), "amps", "which size will do");
    }
    return out;
}

double hot_drop_v(const WireQuestion& question, const Catalogue& catalogue,
                  const Conductor& conductor) {
    const double conductor_c = solve::conductor_temperature_c(
        wire_body(catalogue, conductor, *question.insulation), *question.amps, question.air_c);
    return *question.amps * resistance_at(conductor.r20_ohm_per_m, Celsius(conductor_c)) *
           question.way_m();
}

/// The first of the choices that a demand is content with.
template <typename Demand>
const Conductor* smallest(const std::vector<Conductor>& choices, Demand is_met) {
    const auto found = std::ranges::find_if(choices, is_met);
    return found == choices.end() ? nullptr : &*found;
}

/// Chooses the conductor; nullptr when none of the table will do.
const Conductor* choose(const WireQuestion& question, const Catalogue& catalogue,
                        const CalcBench& bench, ProofSection& out) {
    bool is_found = true;
    const Conductor* chosen = nullptr;
    const auto ask = [&](std::string_view demand, const Conductor* size, std::string with,
                         std::string source) {
        out.steps.push_back({fmt::format("smallest size that {} asks", demand), std::move(with),
                             size == nullptr ? "none of the table" : show(size->size),
                             std::move(source)});
        is_found = is_found && size != nullptr;
        if (size != nullptr && (chosen == nullptr || size->area > chosen->area)) {
            chosen = size;
        }
    };
    const auto ampacity = [&](const Conductor& c) {
        return ampacity_alone(catalogue, c, *question.insulation, question.air_c).amps;
    };
    const Conductor* by_heat = smallest(
        question.choices, [&](const Conductor& c) { return ampacity(c) >= *question.amps; });
    std::string with = by_heat == nullptr
                           ? std::string()
                           : fmt::format("{} <= {} of {}", show(Amps(*question.amps)),
                                         show(Amps(ampacity(*by_heat))), show(by_heat->size));
    if (by_heat != nullptr && by_heat != question.choices.data()) {
        const Conductor& thinner = *(by_heat - 1);
        with += fmt::format("; {} has {}", show(thinner.size), show(Amps(ampacity(thinner))));
    }
    ask("ampacity", by_heat, with, "heat balance alone in still air, docs/method/heat.md");
    if (question.drop.limit_v) {
        const Conductor* by_drop = smallest(question.choices, [&](const Conductor& c) {
            return hot_drop_v(question, catalogue, c) <= *question.drop.limit_v;
        });
        ask("voltage drop", by_drop,
            by_drop == nullptr
                ? std::string()
                : fmt::format("{} <= {}", show(Volts(hot_drop_v(question, catalogue, *by_drop))),
                              question.drop.limit_shown),
            "V = I R(T), below");
    }
    const Limit least = least_area(bench.study());
    ask("strength",
        smallest(question.choices,
                 [&](const Conductor& c) { return c.area.value() >= least.value * (1.0 - 1e-9); }),
        show(SquareMetres(least.value)), least.source);
    return is_found ? chosen : nullptr;
}

void add_load(CalcAnswer& out, const WireQuestion& question, const Catalogue& catalogue,
              const Conductor& conductor, const CalcBench& bench) {
    const double amps = *question.amps;
    const double conductor_c = solve::conductor_temperature_c(
        wire_body(catalogue, conductor, *question.insulation), amps, question.air_c);
    out.figures.push_back(
        celsius_figure("conductor_c", "conductor at " + show(Amps(amps)), conductor_c));
    const double ampacity = bench.sizing().wires[0].ampacity.amps;
    const bool carries = amps <= ampacity;
    out.figures.push_back(yes_figure("carries", "carries it", carries,
                                     carries ? "yes" : "no: it gets hotter than its class"));
    out.holds = out.holds && carries;
    const StudyInput study = bench.study();
    out.sections.push_back(prove_temperature({study, bench.sizing()}, WireId(0)));
    if (!question.metres || !std::isfinite(conductor_c)) {
        return;
    }
    const double drop = hot_drop_v(question, catalogue, conductor);
    out.figures.push_back(volts_figure("drop_v", "drop", drop));
    out.figures.push_back(number_figure("drop_share", "drop, share of the nominal voltage",
                                        drop / question.drop.nominal_v,
                                        show_percent(drop / question.drop.nominal_v)));
    if (question.drop.limit_v) {
        out.holds = out.holds && drop <= *question.drop.limit_v;
    }
    out.sections.push_back(prove_run_drop(conductor, *question.metres, question.is_return, amps,
                                          conductor_c, question.drop));
}

} // namespace

std::optional<CalcAnswer> answer_wire(CalcReader& reader) {
    const WireQuestion question = read_wire_question(reader);
    if (!reader.is_clean()) {
        return std::nullopt;
    }
    const Catalogue& catalogue = reader.catalogue();
    CalcBench bench(catalogue);
    bench.set_wire_air(question.air_c);
    CalcAnswer out{.question = "wire"};
    const Conductor* conductor = question.conductor ? &*question.conductor : nullptr;
    if (conductor == nullptr) {
        ProofSection size{"Size", {}};
        conductor = choose(question, catalogue, bench, size);
        out.sections.push_back(std::move(size));
    }
    if (conductor == nullptr) {
        out.figures.push_back({"size", "size", std::monostate{}, "none of the table will do"});
        out.holds = false;
        return out;
    }
    bench.add_wire(*conductor, *question.insulation, question.way_m(), question.amps.value_or(0.0));
    bench.judge_alone();
    const double ampacity = bench.sizing().wires[0].ampacity.amps;
    out.figures.push_back(text_figure("size", "size", show(conductor->size)));
    out.figures.push_back(
        number_figure("area_m2", "copper", conductor->area.value(), show(conductor->area)));
    out.figures.push_back(number_figure("r20_ohm_per_m", "resistance at 20 C, each metre",
                                        conductor->r20_ohm_per_m,
                                        show_number(conductor->r20_ohm_per_m * 1e3) + " mohm/m"));
    if (question.metres) {
        out.figures.push_back(ohms_figure("r20_ohm", "resistance at 20 C of its length",
                                          conductor->r20_ohm_per_m * question.way_m()));
    }
    out.figures.push_back(text_figure("insulation", "insulation", question.insulation->name));
    out.figures.push_back(
        celsius_figure("limit_c", "its class", question.insulation->limit.value()));
    out.figures.push_back(celsius_figure("air_c", "air", question.air_c));
    out.figures.push_back(amps_figure("ampacity_a", "ampacity alone in that air", ampacity));
    const StudyInput study = bench.study();
    out.sections.push_back(prove_conductor({study, bench.sizing()}, WireId(0)));
    out.sections.push_back(prove_ampacity({study, bench.sizing()}, WireId(0)));
    if (question.amps) {
        add_load(out, question, catalogue, *conductor, bench);
    }
    return out;
}

} // namespace loomwright
