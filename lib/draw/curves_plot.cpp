// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/curves_plot.hpp"

#include "base/display.hpp"
#include "sizing/device_curves.hpp"
#include "sizing/protect.hpp"
#include "study/prospective.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace loomwright {
namespace {

constexpr double shortest_shown_s = 1e-3;
constexpr double longest_shown_s = 1e4;
constexpr double for_ever_s = 1e12; // far above the plot
constexpr double beyond = 1.6;      // the last current of interest and a little more
constexpr double same_share = 0.01; // of a current: one line stands for both
constexpr double heavy_mm = 0.7;
constexpr double outline_mm = 0.45;
constexpr double thin_mm = 0.25;

draw::Fill mark_of(Provenance provenance) {
    switch (provenance) {
    case Provenance::read:
        return draw::Fill::black;
    case Provenance::memory:
        return draw::Fill::white;
    case Provenance::derived:
        return draw::Fill::pale;
    }
    return draw::Fill::white;
}

/// One side of a band up to a current: its points, and beyond them constant I^2 t.
PlotCurve side_curve(const std::vector<BandPoint>& side, double to_a, bool has_marks) {
    PlotCurve out;
    for (const BandPoint& point : side) {
        out.x.push_back(point.amps);
        out.y.push_back(point.seconds);
        if (has_marks) {
            out.marks.push_back({point.amps, point.seconds, mark_of(point.origin.provenance)});
        }
    }
    if (!side.empty() && to_a > side.back().amps) {
        out.x.push_back(to_a);
        out.y.push_back(side.back().seconds * std::pow(side.back().amps / to_a, 2));
    }
    return out;
}

/// The times up to the first point: on the fast side it never opens, on the slow side it may not.
void rise_from(PlotCurve& curve, double amps) {
    if (!curve.x.empty()) {
        curve.x.insert(curve.x.begin(), amps);
        curve.y.insert(curve.y.begin(), for_ever_s);
    }
}

PlotBand band_of_device(const TimeCurrentBand& band, const std::string& name, double to_a,
                        bool is_main) {
    PlotBand out{side_curve(band.shortest, to_a, is_main), side_curve(band.longest, to_a, is_main),
                 is_main ? BandFill::pale : BandFill::hatched};
    if (!out.lower.x.empty()) {
        rise_from(out.lower, band.shortest.front().amps);
        out.lower.name = fmt::format("{} opens no sooner", name);
    }
    if (!out.upper.x.empty()) {
        rise_from(out.upper, band.longest.front().amps);
        if (!band.shortest.empty() && band.shortest.front().amps < band.longest.front().amps) {
            rise_from(out.upper, band.shortest.front().amps);
        }
        out.upper.name = fmt::format("{} is sure to have opened", name);
    }
    for (PlotCurve* side : {&out.lower, &out.upper}) {
        side->width_mm = is_main ? outline_mm : thin_mm;
        side->dash = is_main ? draw::Dash::none : draw::Dash::dashed;
        side->name_at = is_main ? 0.35 : 0.25;
    }
    return out;
}

std::string range_of(double first, double second, const char* unit) {
    return first == second
               ? fmt::format("{} {}", show_number(first, 4), unit)
               : fmt::format("{} to {} {}", show_number(first, 4), show_number(second, 4), unit);
}

class Plotter {
public:
    Plotter(const StudyInput& study, const Sizing& sizing, DeviceId device,
            const ShortsToOpen& shorts)
        : least_short_(shorts.least), greatest_short_(shorts.greatest), study_(study),
          sizing_(sizing), device_(study.vehicle.device(device)), id_(device),
          air_(air_range(study, device)) {
        for (const FuseSizing& fuse : sizing.fuses) {
            fuse_ = fuse.device == device ? &fuse : fuse_;
        }
        rating_a_ = sizing.design.ratings[device.index()].value_or(Amps(0.0)).value();
        band_ = band_in_place(study, device, rating_a_, air_);
        upstream_ = upstream_bands(study, sizing, device);
        breaks_ = breaking_capacity_of(study, sizing.design, device).amps;
        starts_ = starts_through(study, sizing, device);
        if (starts_.size() > most_starts) {
            starts_.resize(most_starts);
        }
    }

    LogPlot make() {
        plot_.title = fmt::format("Time and current of {}: {}", device_.name, what_it_is(id_));
        plot_.x = {.title = "current", .unit = "A", .scale = ChartScale::logarithmic};
        plot_.y = {.title = "time", .unit = "s", .scale = ChartScale::logarithmic};
        plot_.y.low = shortest_shown_s;
        plot_.y.high = longest_shown_s;
        set_ends();
        for (const UpstreamBand& above : upstream_) {
            plot_.bands.push_back(band_of_device(
                above.band, study_.vehicle.device(above.device).name, *plot_.x.high, false));
        }
        plot_.bands.push_back(band_of_device(band_, device_.name, *plot_.x.high, true));
        add_wire();
        add_load();
        add_faults();
        add_notes();
        return std::move(plot_);
    }

private:
    /// "M1", "E1, E2 and 3 more".
    [[nodiscard]] std::string loads_of(const StartPulse& start) const {
        constexpr std::size_t most_named = 3;
        std::string out;
        for (std::size_t i = 0; i < std::min(start.loads.size(), most_named); ++i) {
            out += (i > 0 ? ", " : "") + study_.vehicle.device(start.loads[i]).name;
        }
        return start.loads.size() > most_named
                   ? fmt::format("{} and {} more", out, start.loads.size() - most_named)
                   : out;
    }

    /// "blade, type C (regular), 20 A", "fusible link of 18 AWG".
    [[nodiscard]] std::string what_it_is(DeviceId id) const {
        const FuseFamily* family = family_of(study_, id);
        const Conductor* link = link_conductor(study_, id);
        const auto rating = sizing_.design.ratings[id.index()];
        std::string out = family == nullptr ? study_.vehicle.device(id).word : family->title;
        if (const auto& reset = study_.vehicle.device(id).as<Protection>()->reset) {
            out += fmt::format(", type {}", breaker_type_name(*reset));
        }
        if (rating) {
            out += ", " + show(*rating);
        }
        return link == nullptr ? out : fmt::format("{}, {}", out, show(link->size));
    }

    void set_ends() {
        std::vector<double> interest{rating_a_, fuse_->load_a};
        for (const StartPulse& start : starts_) {
            interest.push_back(start.first.front().amps);
        }
        const auto add = [&](const std::vector<BandPoint>& side) {
            for (const BandPoint& point : side) {
                interest.push_back(point.amps);
            }
        };
        add(band_.shortest);
        add(band_.longest);
        if (least_short_) {
            interest.push_back(least_short_->amps);
        }
        interest.push_back(greatest_short_.amps);
        interest.push_back(breaks_.value_or(Amps(0.0)).value());
        std::erase_if(interest, [](double amps) { return !(amps > 0.0); });
        if (interest.empty()) {
            interest = {1.0, 100.0};
        }
        const auto [low, high] = std::ranges::minmax_element(interest);
        plot_.x.low = *low / beyond;
        plot_.x.high = *high * beyond;
    }

    void add_wire() {
        if (!fuse_->thinnest.is_valid()) {
            return;
        }
        const auto wire = withstand_curve(study_, sizing_, fuse_->thinnest, *plot_.x.high);
        if (!wire) {
            return;
        }
        const WireDesign& made = sizing_.design.wires[wire->wire.index()];
        const Wire& named = study_.vehicle.wire(wire->wire);
        const WireSizing& sized = sizing_.wires[wire->wire.index()];
        PlotCurve curve;
        curve.name = fmt::format("wire {}, {}: as hot as its insulation stands", named.number,
                                 show(made.conductor->size));
        curve.x = wire->amps;
        curve.y = wire->seconds;
        rise_from(curve, wire->amps.empty() ? 0.0 : wire->amps.front());
        curve.width_mm = heavy_mm;
        curve.name_at = 0.75;
        plot_.curves.push_back(std::move(curve));
        plot_.uprights.push_back(
            {fmt::format("wire {} carries {}", named.number, show(Amps(wire->ampacity_a))),
             wire->ampacity_a, thin_mm, draw::Dash::dash_dot});
        wire_note_ = fmt::format(
            "Wire {}: {}, {}, {}; the least ampacity of those held against {}. Heavy line: from {} "
            "to {}, heat leaving by the balance; k²S² = {} A²s at short times, "
            "never under {} (docs/method/curves.md).",
            named.number, show(made.conductor->size), made.insulation->name,
            place_words(study_.vehicle, sized.ampacity), device_.name, show(made.insulation->limit),
            show(made.insulation->short_time), show_number(wire->withstand_a2s, 4),
            show(Amps(wire->least_a)));
    }

    /// The load for good, and each start as a step down to it.
    void add_load() {
        if (fuse_->load_a > 0.0) {
            plot_.uprights.push_back({fmt::format("load {} in {}", show(Amps(fuse_->load_a)),
                                                  state_name(study_.vehicle, fuse_->worst_state)),
                                      fuse_->load_a, outline_mm, draw::Dash::dotted});
        }
        for (const StartPulse& start : starts_) {
            const PulseStage& peak = start.first.front();
            PlotCurve curve;
            curve.name = fmt::format("start of {}: {} for {}", loads_of(start),
                                     show(Amps(peak.amps)), show(Seconds(peak.seconds)));
            curve.x = {peak.amps};
            curve.y = {shortest_shown_s};
            double until_s = 0.0;
            for (const PulseStage& stage : start.first) {
                curve.x.insert(curve.x.end(), {stage.amps, stage.amps});
                curve.y.insert(curve.y.end(),
                               {std::max(until_s, shortest_shown_s), until_s + stage.seconds});
                until_s += stage.seconds;
            }
            const auto state =
                std::ranges::find(sizing_.states, start.state, &StateSolution::state);
            const StateSolution& judged =
                sizing_.judged(static_cast<std::size_t>(state - sizing_.states.begin()));
            const double after = std::abs(judged.devices[id_.index()].amps);
            if (after > 0.0) {
                curve.x.push_back(after);
                curve.y.push_back(until_s);
            }
            if (after > 0.0 && std::abs(after - fuse_->load_a) > same_share * fuse_->load_a) {
                curve.x.push_back(after);
                curve.y.push_back(longest_shown_s);
            }
            curve.width_mm = outline_mm;
            curve.dash = draw::Dash::long_dash;
            curve.name_at = 0.3;
            plot_.curves.push_back(std::move(curve));
        }
    }

    void add_faults() {
        if (least_short_) {
            plot_.uprights.push_back(
                {fmt::format("least short {}, wire {}", show(Amps(least_short_->amps)),
                             study_.vehicle.wire(least_short_->wire).number),
                 least_short_->amps, outline_mm, draw::Dash::dash_dot_dot});
        }
        if (greatest_short_.amps > 0.0) {
            plot_.uprights.push_back({"greatest short " + show(Amps(greatest_short_.amps)),
                                      greatest_short_.amps, outline_mm, draw::Dash::dash_dot_dot});
        }
        if (breaks_) {
            plot_.uprights.push_back(
                {"can break " + show(*breaks_), breaks_->value(), thin_mm, draw::Dash::none});
        }
    }

    void add_notes() {
        add_band_note(id_, band_, true);
        for (const UpstreamBand& above : upstream_) {
            add_band_note(above.device, above.band, false);
        }
        if (!wire_note_.empty()) {
            plot_.notes.push_back(wire_note_);
        }
        if (least_short_) {
            plot_.notes.push_back(fmt::format("Least short: a dead one to {} at an end of wire {} "
                                              "in {}, the first moment, contacts "
                                              "and heat as the state has them.",
                                              study_.vehicle.bodies.front(),
                                              study_.vehicle.wire(least_short_->wire).number,
                                              state_name(study_.vehicle, least_short_->state)));
        }
        if (greatest_short_.amps > 0.0) {
            plot_.notes.push_back(
                fmt::format("Greatest short: {} in {}, a dead one just beyond {}, as breaking "
                            "capacity asks "
                            "(docs/method/protection.md).",
                            greatest_short_.open_v > 0.0
                                ? fmt::format("{} / {}", show(Volts(greatest_short_.open_v)),
                                              show(Ohms(greatest_short_.ohm())))
                                : "the most that its sources give",
                            state_name(study_.vehicle, greatest_short_.state), device_.name));
        }
    }

    void add_band_note(DeviceId id, const TimeCurrentBand& band, bool is_main) {
        const std::string& name = study_.vehicle.device(id).name;
        if (band.shortest.empty() && band.longest.empty()) {
            plot_.notes.push_back(fmt::format("{}: no opening times are known of {}. Give those of "
                                              "its data sheet under `curves`.",
                                              name, what_it_is(id)));
            return;
        }
        std::string out =
            is_main ? std::string() : fmt::format("{}, hatched: {}. ", name, what_it_is(id));
        if (is_main) {
            out = fmt::format(
                "{}: filled marks are read, open ones from memory, pale ones derived. ", name);
        }
        out += say_air(id, band) + " Times from: " + say_sources(band) + ".";
        plot_.notes.push_back(std::move(out));
    }

    [[nodiscard]] std::string say_air(DeviceId id, const TimeCurrentBand& band) const {
        const AirRange air = id == id_ ? air_ : air_range(study_, id);
        const FuseFamily* family = family_of(study_, id);
        std::string out = fmt::format("In air of {}", range_of(air.coldest_c, air.hottest_c, "C"));
        if (family == nullptr || family->opening_per_k <= 0.0 || band.rating_a <= 0.0) {
            return out + ".";
        }
        const TimeCurrentBand tabled = time_current_band(*family, band.rating_a);
        const auto add = [&](const char* side, const std::vector<BandPoint>& from,
                             const std::vector<BandPoint>& to) {
            if (!from.empty() && from.front().amps != to.front().amps) {
                out += fmt::format(
                    "; the {} times, of {}, stand at {} of their currents", side,
                    show(Celsius(from.front().air_c)),
                    show_percent(std::round(1e3 * to.front().amps / from.front().amps) / 1e3));
            }
        };
        add("shortest", tabled.shortest, band.shortest);
        add("longest", tabled.longest, band.longest);
        return out + ".";
    }

    /// Every source once, with its mark, in the order of the points.
    [[nodiscard]] static std::string say_sources(const TimeCurrentBand& band) {
        std::string out;
        std::set<std::string> said;
        const auto add = [&](const std::vector<BandPoint>& side) {
            for (const BandPoint& point : side) {
                const std::string text = fmt::format("{} ({})", point.origin.source,
                                                     provenance_name(point.origin.provenance));
                if (said.insert(text).second) {
                    out += (out.empty() ? "" : "; ") + text;
                }
            }
        };
        add(band.shortest);
        add(band.longest);
        return out;
    }

    static constexpr std::size_t most_starts = 3;

    std::optional<LeastShort> least_short_;
    Prospect greatest_short_;
    const StudyInput& study_;
    const Sizing& sizing_;
    const Device& device_;
    DeviceId id_;
    AirRange air_;
    const FuseSizing* fuse_ = nullptr;
    double rating_a_ = 0.0;
    TimeCurrentBand band_;
    std::vector<UpstreamBand> upstream_;
    std::optional<Amps> breaks_;
    std::vector<StartPulse> starts_;
    std::string wire_note_;
    LogPlot plot_;
};

} // namespace

std::vector<ShortsToOpen> shorts_to_open(const StudyInput& study, const Sizing& sizing) {
    const auto prospects = prospective_currents(study, sizing.design, sizing.states);
    std::vector<ShortsToOpen> out;
    out.reserve(sizing.fuses.size());
    const auto least = least_shorts(study, sizing, sizing.fuses);
    for (std::size_t i = 0; i < sizing.fuses.size(); ++i) {
        out.push_back({least[i], prospects[sizing.fuses[i].device.index()].greater()});
    }
    return out;
}

LogPlot curves_plot(const StudyInput& study, const Sizing& sizing, DeviceId device,
                    const ShortsToOpen& shorts) {
    return Plotter(study, sizing, device, shorts).make();
}

LogPlot curves_plot(const StudyInput& study, const Sizing& sizing, DeviceId device) {
    ShortsToOpen shorts;
    for (const FuseSizing& fuse : sizing.fuses) {
        if (fuse.device == device) {
            shorts.least = least_shorts(study, sizing, std::span(&fuse, 1)).front();
        }
    }
    shorts.greatest =
        prospective_currents(study, sizing.design, sizing.states)[device.index()].greater();
    return curves_plot(study, sizing, device, shorts);
}

} // namespace loomwright
