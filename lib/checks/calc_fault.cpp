// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A dead short at the end of a way: what flows, when the fuse has opened, how hot each conductor
// is.
//
//   I      = E / (R_battery + sum r(T) L + sum contacts + R_fuse)      alternator off
//   T_end  = (beta + T) exp(I^2 t / (K S)^2) - beta                    IEC 60949, up to 5 s
//            beyond 5 s with the heat that leaves: the whole-car check's run in time
//   holds when the fuse is sure to open, every T_end <= the insulation's short-time limit (the same
//   as k^2 S^2 >= I^2 t, IEC 60364-5-54), and the fuse can break the current.
//
// Conductors start at their class unless --start says otherwise: most resistance, the longest time,
// the hottest end. What the fuse must break is reckoned with cold conductors. The current is held:
// that it falls while the copper warms is left out, as is inductance.
#include "checks/calc_answers.hpp"
#include "checks/proof_figures.hpp"

#include "base/display.hpp"
#include "sizing/protect.hpp"
#include "study/values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

const Celsius cold{20.0};

constexpr double longest_followed_s = 86400.0;

struct FaultQuestion {
    double open_v = 0.0;
    double source_ohm = 0.0;
    std::string source_with; ///< how the source's resistance came about
    std::vector<WireStretch> way;
    std::vector<double> contacts;
    const FuseFamily* family = nullptr;
    std::optional<double> rating_a;
    double fuse_ohm = 0.0;
    const Insulation* insulation = nullptr;
    double start_c = 0.0;
    double air_c = 0.0;

    [[nodiscard]] double way_ohm(Celsius at) const {
        double sum = 0.0;
        for (const WireStretch& stretch : way) {
            sum += resistance_at(stretch.conductor->r20_ohm_per_m, at) * stretch.metres;
        }
        return sum;
    }
    [[nodiscard]] double contacts_ohm() const {
        double sum = 0.0;
        for (const double ohm : contacts) {
            sum += ohm;
        }
        return sum;
    }
    [[nodiscard]] double amps(Celsius at) const {
        return open_v / (source_ohm + way_ohm(at) + contacts_ohm() + fuse_ohm);
    }
};

void read_source(CalcReader& reader, const StudyDefaults& defaults, FaultQuestion& out) {
    Battery battery;
    const auto cranking = reader.quantity("cca", Dimension::current, ranges::current);
    const auto ohms = reader.quantity("ohms", Dimension::resistance, ranges::some_resistance);
    const auto volts = reader.quantity("volts", Dimension::voltage, ranges::voltage);
    const auto temperature =
        reader.quantity("battery-at", Dimension::temperature, ranges::temperature);
    if (reader.has("cca") == reader.has("ohms")) {
        reader.complain(reader.has("cca") ? "ohms" : "cca",
                        reader.has("cca") ? Rule::contradiction : Rule::missing_key,
                        "the source is known by its cranking current or by its resistance",
                        "give one of --cca CURRENT and --ohms RESISTANCE");
    }
    if (cranking) {
        battery.cranking_amps = Amps(*cranking);
    }
    if (ohms) {
        battery.resistance = Ohms(*ohms);
    }
    if (volts) {
        battery.open_voltage = Volts(*volts);
    }
    if (temperature) {
        battery.temperature = Celsius(*temperature);
    }
    const BatteryValues values =
        battery_values(battery, defaults, battery_charge(battery, nullptr),
                       battery_temperature_c(battery, defaults, Policy(), nullptr));
    out.open_v = values.open_v;
    out.source_ohm = values.ohm;
    if (cranking) {
        out.source_with = fmt::format(
            "({} - {}) / {} at {} C, x {} at {} C and warmer, on the line through both at {} C",
            figure(defaults.battery_cold_open_v()), figure(defaults.battery_cranking_v),
            figure(*cranking), figure(defaults.battery_cranking_c),
            figure(defaults.battery_warm_share), figure(defaults.battery_warm_c),
            figure(temperature.value_or(defaults.battery_c)));
    }
}

FaultQuestion read_fault_question(CalcReader& reader) {
    FaultQuestion out;
    const Catalogue& catalogue = reader.catalogue();
    Vehicle car;
    car.nominal =
        Volts(reader.quantity("nominal", Dimension::voltage, ranges::voltage).value_or(12.0));
    const StudyDefaults defaults(catalogue, car);
    read_source(reader, defaults, out);
    out.way = reader.stretches("way");
    out.contacts = reader.quantities("contact", Dimension::resistance, ranges::resistance);
    out.insulation = &reader.insulation();
    out.start_c = reader.quantity("start", Dimension::temperature, ranges::temperature)
                      .value_or(out.insulation->limit.value());
    out.air_c = reader.quantity("air", Dimension::temperature, ranges::temperature)
                    .value_or(catalogue.default_value("air").value);
    out.rating_a = reader.quantity("rating", Dimension::current, ranges::current);
    const FuseFamily* family = reader.family();
    if (reader.has("family") && !reader.has("rating")) {
        reader.complain("rating", Rule::missing_key, "a fuse without a rating",
                        "give --rating CURRENT");
    }
    if (out.rating_a && family != nullptr) {
        out.family = family;
        Protection fuse;
        fuse.kind = family->kind;
        fuse.family = family->name;
        out.fuse_ohm = protection_ohm(fuse, Amps(*out.rating_a), catalogue, defaults);
    }
    return out;
}

void add_current(CalcAnswer& out, const FaultQuestion& question) {
    ProofSection section{"Current", {}};
    section.steps.push_back({"E, open-circuit voltage of the battery, alternator off", "",
                             show(Volts(question.open_v)),
                             "--volts, or tables defaults, battery-charge-100"});
    section.steps.push_back(
        {"R of the battery", question.source_with, show(Ohms(question.source_ohm)),
         question.source_with.empty() ? "--ohms"
                                      : "SAE J537 test point, tables defaults, battery-*"});
    for (const WireStretch& stretch : question.way) {
        const double ohm_per_m =
            resistance_at(stretch.conductor->r20_ohm_per_m, Celsius(question.start_c));
        section.steps.push_back(
            {fmt::format("r(T) L of {}, {}", show(stretch.conductor->size),
                         show(Metres(stretch.metres))),
             fmt::format("{} mohm/m x (1 + 0.00393 x ({} - 20)) x {} m",
                         figure(stretch.conductor->r20_ohm_per_m * 1e3), figure(question.start_c),
                         figure(stretch.metres)),
             show(Ohms(ohm_per_m * stretch.metres)),
             fmt::format("{} ({})", stretch.conductor->r20_origin.source,
                         provenance_name(stretch.conductor->r20_origin.provenance))});
    }
    if (!question.contacts.empty()) {
        section.steps.push_back(
            {"contacts and joints", "", show(Ohms(question.contacts_ohm())), "--contact"});
    }
    if (question.family != nullptr) {
        section.steps.push_back({"fuse and its holder, warm", question.family->title,
                                 show(Ohms(question.fuse_ohm)),
                                 "tables fuse-ratings and defaults, fuse-holder"});
    }
    const Celsius start(question.start_c);
    section.steps.push_back({"I = E / (sum of R)",
                             fmt::format("{} / {}", show(Volts(question.open_v)),
                                         show(Ohms(question.open_v / question.amps(start)))),
                             show(Amps(question.amps(start))), "Ohm's law"});
    section.steps.push_back({"the same with the conductors at 20 C", "",
                             show(Amps(question.amps(cold))), "what the fuse may have to break"});
    out.sections.push_back(std::move(section));
}

/// When the fuse has opened; nothing when it is not sure to, or there is none.
std::optional<double> add_opening(CalcAnswer& out, const FaultQuestion& question, double amps) {
    if (question.family == nullptr) {
        out.figures.push_back(
            {"opened_after_s", "opened after", std::monostate{}, "never: no fuse in the way"});
        return std::nullopt;
    }
    const FuseFamily& family = *question.family;
    const auto shortest = shortest_opening_s(family, *question.rating_a, amps);
    const auto longest = longest_opening_s(family, *question.rating_a, amps);
    out.figures.push_back(
        seconds_figure("opens_after_s", "the fuse opens after", shortest, "not known to open"));
    out.figures.push_back(
        seconds_figure("opened_after_s", "and is sure to have after", longest, "never sure to"));
    ProofSection section{"Fuse", {}};
    section.steps.push_back({"I / rating",
                             fmt::format("{} / {}", figure(amps), figure(*question.rating_a)),
                             show_percent(amps / *question.rating_a), family.standard});
    section.steps.push_back(
        {"t on each side of the band: straight in log-log between gates, I^2 t constant beyond the "
         "last",
         "",
         fmt::format("{} to {}", shortest ? show(Seconds(*shortest)) : "no opening",
                     longest ? show(Seconds(*longest)) : "no opening"),
         "tables fuse-gates, docs/method/protection.md"});
    if (family.breaking_capacity) {
        const double most = question.amps(cold);
        const bool breaks = most <= family.breaking_capacity->value();
        section.steps.push_back(
            {"I at 20 C <= what it can break",
             fmt::format("{} <= {}", show(Amps(most)), show(*family.breaking_capacity)),
             breaks ? "holds" : "does not hold", family.breaking_origin.source});
        out.figures.push_back(yes_figure("breaks", "can break it", breaks, breaks ? "yes" : "no"));
        out.holds = out.holds && breaks;
    }
    out.sections.push_back(std::move(section));
    return longest;
}

/// Seconds until the conductor passes its short-time limit: with no heat leaving where that takes
/// up to 5 s, else by the run in time.
double seconds_to_limit(const FaultQuestion& question, const Catalogue& catalogue,
                        const Conductor& conductor, double amps) {
    const double limit_c = question.insulation->short_time.value();
    const double mm2 = conductor.copper_area.value() * 1e6;
    const double low = std::pow(adiabatic_k(question.start_c, limit_c) * mm2 / amps, 2);
    if (low <= adiabatic_limit_s) {
        return low;
    }
    const solve::Warming warming = conductor_warming(
        wire_body(catalogue, conductor, *question.insulation), mm2, question.air_c);
    return std::max(
        low, std::min(warming.seconds_until(amps, question.start_c, limit_c), longest_followed_s));
}

/// Without an opening: whether the conductor settles under its class, or how long it lasts. True
/// when it is not hurt.
bool prove_without_end(ProofSection& out, const FaultQuestion& question, const Catalogue& catalogue,
                       const WireStretch& stretch, double amps, std::vector<CalcFigure>& figures) {
    const Conductor& conductor = *stretch.conductor;
    const double settles_c = solve::conductor_temperature_c(
        wire_body(catalogue, conductor, *question.insulation), amps, question.air_c);
    const Celsius limit = question.insulation->limit;
    if (settles_c <= limit.value()) {
        out.steps.push_back({"T of " + show(conductor.size) + ", alone in still air, for good",
                             fmt::format("{} <= {}", show(Celsius(settles_c)), show(limit)),
                             "holds", "heat balance, docs/method/heat.md"});
        figures.push_back(celsius_figure("end_c", "settles at", settles_c));
        return true;
    }
    const double seconds = seconds_to_limit(question, catalogue, conductor, amps);
    const bool is_short = seconds <= adiabatic_limit_s;
    const double mm2 = conductor.copper_area.value() * 1e6;
    const double k = adiabatic_k(question.start_c, question.insulation->short_time.value());
    out.steps.push_back(
        {fmt::format("{}, until {} passes its short-time limit of {}",
                     is_short ? "t = k^2 S^2 / I^2" : "heat leaving by the balance",
                     show(conductor.size), show(question.insulation->short_time)),
         is_short ? fmt::format("{}^2 x {}^2 / {}^2", figure(k), figure(mm2), figure(amps))
                  : fmt::format("{} from {}, air {}", show(Amps(amps)),
                                show(Celsius(question.start_c)), show(Celsius(question.air_c))),
         seconds < longest_followed_s ? show(Seconds(seconds)) : "more than a day",
         is_short ? "IEC 60364-5-54, no heat leaving" : "docs/method/protection.md"});
    figures.push_back(
        number_figure("stands_s", "over its limit after", seconds, show(Seconds(seconds))));
    return false;
}

std::string shown_end(double end_c) {
    return celsius_figure("", "", end_c).shown;
}

/// The conductor when the fuse has opened; true when it stays under its limit.
bool prove_end(ProofSection& out, const FaultQuestion& question, const Catalogue& catalogue,
               const WireStretch& stretch, double amps, double seconds,
               std::vector<CalcFigure>& figures) {
    const Conductor& conductor = *stretch.conductor;
    const double limit_c = question.insulation->short_time.value();
    const double mm2 = conductor.copper_area.value() * 1e6;
    const bool is_short = seconds <= adiabatic_limit_s;
    const double end_c =
        is_short ? adiabatic_end_c(catalogue, question.start_c, amps * amps * seconds, mm2)
                 : temperature_after(wire_body(catalogue, conductor, *question.insulation), mm2,
                                     1.0, amps, seconds, question.start_c, question.air_c);
    if (is_short) {
        const double k = adiabatic_k(question.start_c, limit_c);
        out.steps.push_back({fmt::format("k = 226 sqrt(ln((234.5 + T_short) / (234.5 + T))) of {}",
                                         show(conductor.size)),
                             fmt::format("226 sqrt(ln((234.5 + {}) / (234.5 + {})))",
                                         figure(limit_c), figure(question.start_c)),
                             figure(k, 4) + " A s^0.5/mm2", "IEC 60949, IEC 60364-5-54"});
        out.steps.push_back({"k^2 S^2 >= I^2 t",
                             fmt::format("{} >= {} A2s", figure(std::pow(k * mm2, 2)),
                                         figure(amps * amps * seconds)),
                             k * k * mm2 * mm2 >= amps * amps * seconds ? "holds" : "does not hold",
                             "IEC 60364-4-43 434.5, IEC 60364-5-54"});
        out.steps.push_back(
            {"T_end = (234.5 + T) exp(I^2 t / (226 S)^2) - 234.5",
             fmt::format("({} + 234.5) x exp({} / (226 x {})^2) - 234.5", figure(question.start_c),
                         figure(amps * amps * seconds), figure(mm2)),
             shown_end(end_c), "IEC 60949"});
    } else {
        out.steps.push_back(
            {fmt::format("{} after {}, heat leaving by the balance", show(conductor.size),
                         show(Seconds(seconds))),
             fmt::format("{} from {}, air {}", show(Amps(amps)), show(Celsius(question.start_c)),
                         show(Celsius(question.air_c))),
             shown_end(end_c), "docs/method/protection.md"});
    }
    figures.push_back(celsius_figure("end_c", "ends at", end_c));
    figures.push_back(yes_figure(
        "stands", "", end_c <= limit_c,
        fmt::format("{} {}", end_c <= limit_c ? "under its" : "over its", show(Celsius(limit_c)))));
    return end_c <= limit_c;
}

} // namespace

std::optional<CalcAnswer> answer_fault(CalcReader& reader) {
    const FaultQuestion question = read_fault_question(reader);
    if (!reader.is_clean() || question.way.empty()) {
        return std::nullopt;
    }
    CalcAnswer out{.question = "fault"};
    const double amps = question.amps(Celsius(question.start_c));
    out.figures.push_back(amps_figure("fault_a", "current into the short", amps));
    out.figures.push_back(
        amps_figure("fault_cold_a", "with the conductors at 20 C", question.amps(cold)));
    add_current(out, question);
    const auto seconds = add_opening(out, question, amps);
    ProofSection section{"Conductors", {}};
    bool is_unhurt = true;
    for (const WireStretch& stretch : question.way) {
        std::vector<CalcFigure> figures{
            text_figure("size", "", show(stretch.conductor->size)),
            number_figure("length_m", "", stretch.metres, show(Metres(stretch.metres)) + ":")};
        const bool stands =
            seconds
                ? prove_end(section, question, reader.catalogue(), stretch, amps, *seconds, figures)
                : prove_without_end(section, question, reader.catalogue(), stretch, amps, figures);
        is_unhurt = is_unhurt && stands;
        out.wires.push_back(std::move(figures));
    }
    out.holds = out.holds && is_unhurt;
    out.figures.push_back(
        yes_figure("cleared", "cleared", seconds.has_value(), seconds ? "yes" : "no: it goes on"));
    out.figures.push_back(yes_figure("unhurt", "every conductor within its limit", is_unhurt,
                                     is_unhurt ? "yes" : "no"));
    out.sections.push_back(std::move(section));
    return out;
}

} // namespace loomwright
