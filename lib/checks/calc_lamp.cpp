// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A tungsten lamp away from its rated point: the law of the whole-car check (solve/laws.hpp), its
// cold filament, and its light. Exponents and ratio are rows of the table of defaults.
#include "checks/calc_answers.hpp"
#include "checks/proof_figures.hpp"

#include "base/display.hpp"
#include "solve/laws.hpp"
#include "study/values.hpp"

#include <fmt/format.h>

#include <cmath>

namespace loomwright {
namespace {

/// "tables defaults, lamp-exponent: " with its source and, in brackets, its provenance.
std::string source_and_provenance_of(const DefaultValue& row) {
    return fmt::format("tables defaults, {}: {} ({})", row.name, row.origin.source,
                       provenance_name(row.origin.provenance));
}

} // namespace

std::optional<CalcAnswer> answer_lamp(CalcReader& reader) {
    const auto rated =
        reader.pair("rated", "at", Dimension::power, ranges::power, Dimension::current,
                    ranges::current, Dimension::voltage, ranges::voltage);
    const auto volts = reader.quantity("volts", Dimension::voltage, ranges::voltage);
    if (!reader.is_clean() || !rated || !volts) {
        return std::nullopt;
    }
    const Catalogue& catalogue = reader.catalogue();
    const bool is_power = rated->first_dimension == Dimension::power;
    const double rated_a = is_power ? rated->first / rated->second : rated->first;
    const Vehicle car; // the lamp's law takes nothing from it but a rated voltage, which is given
    const StudyDefaults defaults(catalogue, car);
    Load load;
    load.law = LoadLaw::lamp;
    load.draws = {Amps(rated_a), Volts(rated->second)};
    const Element element = load_element(load, defaults);
    const double amps =
        solve::law_current(element.law, element.a, element.b, element.c, *volts, 0.0).amps;
    const double cold_a = element.a * element.c * *volts / element.b;
    const DefaultValue& light = catalogue.default_value("lamp-light-exponent");
    const double share = std::pow(*volts / rated->second, light.value);

    CalcAnswer out{.question = "lamp"};
    out.figures = {amps_figure("amps_a", "current at " + show(Volts(*volts)), amps),
                   number_figure("power_w", "power", amps * *volts, show(Watts(amps * *volts))),
                   ohms_figure("resistance_ohm", "resistance, hot", *volts / amps),
                   amps_figure("inrush_a", "inrush, cold", cold_a),
                   number_figure("light_share", "light, of that at the rated point", share,
                                 show_percent(share))};
    ProofSection section{"Lamp", {}};
    if (is_power) {
        section.steps.push_back(
            {"I0 = P0 / V0", fmt::format("{} / {}", figure(rated->first), figure(rated->second)),
             show(Amps(rated_a)), "the rated point"});
    }
    const bool is_filament_cold = amps >= cold_a;
    section.steps.push_back(
        {is_filament_cold ? "I = c I0 V / V0: so little heats no filament" : "I = I0 (V / V0)^0.55",
         fmt::format("{} x ({} / {}){}", figure(rated_a), figure(*volts), figure(rated->second),
                     is_filament_cold ? " x c" : "^0.55"),
         show(Amps(amps)), source_and_provenance_of(catalogue.default_value("lamp-exponent"))});
    section.steps.push_back({"P = V I", fmt::format("{} x {}", figure(*volts), figure(amps)),
                             show(Watts(amps * *volts)), "Joule"});
    section.steps.push_back({"I_cold = c I0 V / V0",
                             fmt::format("{} x {} x {} / {}", figure(element.c), figure(rated_a),
                                         figure(*volts), figure(rated->second)),
                             show(Amps(cold_a)),
                             source_and_provenance_of(catalogue.default_value("lamp-cold-ratio"))});
    section.steps.push_back(
        {"light = (V / V0)^" + figure(light.value),
         fmt::format("({} / {})^{}", figure(*volts), figure(rated->second), figure(light.value)),
         show_percent(share), source_and_provenance_of(light)});
    out.sections.push_back(std::move(section));
    return out;
}

} // namespace loomwright
