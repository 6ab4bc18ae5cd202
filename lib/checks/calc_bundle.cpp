// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Wires with their currents in one bundle: the whole-car check's own loading and ampacity of a run
// (docs/method/sizing.md, heat.md).
#include "checks/calc_answers.hpp"
#include "checks/calc_bench.hpp"
#include "checks/proofs.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <array>

namespace loomwright {
namespace {

std::vector<CalcFigure> figures_of(const WireGroup& group, const Ampacity& ampacity) {
    const bool carries = group.amps <= ampacity.amps;
    return {number_figure("count", "", group.count, fmt::format("{} x", group.count)),
            text_figure("size", "", show(group.conductor->size)),
            number_figure("amps_a", "at", group.amps, show(Amps(group.amps)) + ":"),
            amps_figure("free_air_a", "free air", ampacity.free_air_a),
            amps_figure("handbook_a", "handbook", ampacity.handbook_a),
            number_figure(
                "skin_a", "heat balance",
                ampacity.fullest.is_valid() ? ampacity.skin_a : ampacity.free_air_a,
                show(Amps(ampacity.fullest.is_valid() ? ampacity.skin_a : ampacity.free_air_a))),
            amps_figure("ampacity_a", "ampacity", ampacity.amps),
            yes_figure("carries", "", carries, carries ? "carries it" : "does not carry it")};
}

} // namespace

std::optional<CalcAnswer> answer_bundle(CalcReader& reader) {
    const std::array<std::string, 6> covers = {"none",    "tape",   "braid",
                                               "conduit", "sleeve", "heat-sleeve"};
    const std::vector<WireGroup> groups = reader.groups("wires");
    const Insulation& insulation = reader.insulation();
    const double air_c = reader.quantity("air", Dimension::temperature, ranges::temperature)
                             .value_or(reader.catalogue().default_value("air").value);
    const std::string cover = reader.word("cover", covers);
    if (!reader.is_clean() || groups.empty()) {
        return std::nullopt;
    }
    CalcBench bench(reader.catalogue());
    bench.set_wire_air(air_c);
    bench.set_cover(cover == covers.front() ? std::string() : cover);
    std::vector<WireId> firsts;
    for (const WireGroup& group : groups) {
        for (int i = 0; i < group.count; ++i) {
            const WireId id = bench.add_wire(*group.conductor, insulation, 1.0, group.amps);
            if (i == 0) {
                firsts.push_back(id);
            }
        }
    }
    bench.judge_bundle();
    const RunLoading& run = bench.sizing().runs.front();
    CalcAnswer out{.question = "bundle"};
    const auto wires = static_cast<double>(bench.sizing().wires.size());
    out.figures = {
        number_figure("wires", "wires", wires, show_number(wires)),
        number_figure("loaded_wires", "of them loaded", run.wires, show_number(run.wires)),
        number_figure("loading_share", "how loaded, together", run.loading,
                      show_percent(run.loading)),
        number_figure("factor", "handbook factor", run.factor, show_number(run.factor)),
        text_figure("cover", "cover", cover),
        celsius_figure("air_c", "air", air_c)};
    if (run.skin.diameter_m() > 0.0) {
        out.figures.push_back(
            number_figure("least_diameter_m", "least diameter of the bundle, without its cover",
                          run.skin.diameter_m(), show_number(run.skin.diameter_m() * 1e3) + " mm"));
    }
    const StudyInput study = bench.study();
    for (std::size_t i = 0; i < groups.size(); ++i) {
        const Ampacity& ampacity = bench.sizing().wires[firsts[i].index()].ampacity;
        out.wires.push_back(figures_of(groups[i], ampacity));
        out.holds = out.holds && groups[i].amps <= ampacity.amps;
        ProofSection section = prove_ampacity({study, bench.sizing()}, firsts[i]);
        section.title = fmt::format("Ampacity of {} in the bundle", groups[i].text);
        out.sections.push_back(std::move(section));
    }
    return out;
}

} // namespace loomwright
