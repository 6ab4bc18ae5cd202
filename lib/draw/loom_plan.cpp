// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/loom_plan.hpp"

#include "base/display.hpp"
#include "loom/places.hpp"
#include "sheets/bundle_schedule.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace loomwright::draw {
namespace {

/// A, B ... Z, AA, AB ...
std::string letters(std::size_t number) {
    std::string out;
    for (std::size_t left = number + 1; left > 0; left = (left - 1) / 26) {
        out.insert(out.begin(), static_cast<char>('A' + (left - 1) % 26));
    }
    return out;
}

class PlanMaker {
public:
    PlanMaker(const StudyInput& study, const std::vector<RunBundle>& bundles,
              const BoardSize& board)
        : study_(study), bundles_(bundles), index_(study.vehicle.points.size(), -1) {
        out_.board = board;
    }

    LoomPlan make() {
        add_runs();
        add_points();
        std::vector<BoardRun> runs;
        for (const PlannedRun& run : out_.runs) {
            const Run& it = study_.vehicle.run(run.run);
            runs.push_back(
                {index_[it.from.index()], index_[it.to.index()], run.length, run.diameter});
        }
        out_.layout = lay_on_board(out_.points.size(), runs, out_.board);
        for (std::size_t i = 0; i < out_.runs.size(); ++i) {
            out_.runs[i].line = out_.layout.lines[i];
        }
        for (std::size_t i = 0; i < out_.points.size(); ++i) {
            out_.points[i].at = out_.layout.spots[i];
            out_.points[i].runs = ends_at(out_.points[i].at);
        }
        name_cuts(runs);
        return std::move(out_);
    }

private:
    void add_runs() {
        const std::vector<RunId> laced = laced_runs(study_);
        out_.left_out = study_.vehicle.runs.size() - laced.size();
        for (const RunId id : laced) {
            const RunBundle& bundle = bundles_[id.index()];
            PlannedRun run;
            run.run = id;
            run.length = std::max(0.0, study_.routing.run_lengths[id.index()].value() * 1e3);
            run.diameter = std::max(bundle.outside, bundle.bare).value() * 1e3;
            run.cover = bundle.cover != nullptr ? bundle.cover->name : study_.vehicle.run(id).cover;
            run.wires = study_.routing.run_wires[id.index()].size();
            out_.runs.push_back(std::move(run));
        }
    }

    void add_points() {
        const Vehicle& vehicle = study_.vehicle;
        std::vector<bool> is_there(vehicle.points.size(), false);
        for (const PlannedRun& run : out_.runs) {
            is_there[vehicle.run(run.run).from.index()] = true;
            is_there[vehicle.run(run.run).to.index()] = true;
        }
        for (std::size_t i = 0; i < vehicle.points.size(); ++i) {
            if (is_there[i]) {
                index_[i] = static_cast<int>(out_.points.size());
                out_.points.push_back({PointId(i), {}, {}, {}, 0});
            }
        }
        for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
            const Device& device = vehicle.devices[i];
            const PointId at =
                device.housing.is_valid() ? PointId() : device_place(vehicle, DeviceId(i));
            if (at.is_valid() && index_[at.index()] >= 0) {
                point_of(at).things.push_back(device.name);
            }
        }
        for (const SuppliedHarness& harness : vehicle.supplied) {
            if (harness.from.is_valid() && index_[harness.from.index()] >= 0) {
                point_of(harness.from).things.push_back("leads of " + harness.name);
            }
        }
    }

    PlannedPoint& point_of(PointId id) {
        return out_.points[static_cast<std::size_t>(index_[id.index()])];
    }

    /// Lines of the board that end at a spot.
    [[nodiscard]] std::size_t ends_at(Spot at) const {
        std::size_t out = 0;
        for (const std::vector<Spot>& line : out_.layout.lines) {
            if (!line.empty()) {
                for (const Spot end : {line.front(), line.back()}) {
                    out += end.x == at.x && end.y == at.y ? 1 : 0;
                }
            }
        }
        return out;
    }

    void name_cuts(const std::vector<BoardRun>& runs) {
        for (std::size_t i = 0; i < out_.layout.cuts.size(); ++i) {
            const std::size_t run = out_.layout.cuts[i].run;
            out_.runs[run].twin = letters(i);
            out_.points[static_cast<std::size_t>(runs[run].to)].twins.push_back(letters(i));
        }
    }

    const StudyInput& study_;
    const std::vector<RunBundle>& bundles_; ///< by RunId
    std::vector<int> index_;                ///< by PointId: place in the plan's points
    LoomPlan out_;
};

} // namespace

std::vector<RunId> laced_runs(const StudyInput& study) {
    std::vector<RunId> out;
    for (std::size_t i = 0; i < study.vehicle.runs.size(); ++i) {
        const bool has_new = std::ranges::any_of(study.routing.run_wires[i], [&](WireId wire) {
            return !study.vehicle.wire(wire).retained.has_value();
        });
        if (has_new) {
            out.emplace_back(i);
        }
    }
    return out;
}

LoomPlan loom_plan(const StudyInput& study, const std::vector<RunBundle>& bundles,
                   const BoardSize& board) {
    return PlanMaker(study, bundles, board).make();
}

LoomPlan loom_plan(const StudyInput& study, const Sizing& sizing, const BoardSize& board) {
    return loom_plan(study, bundle_schedule(study, sizing), board);
}

std::vector<std::string> plan_notes(const StudyInput& study, const LoomPlan& plan) {
    const Vehicle& vehicle = study.vehicle;
    std::vector<std::string> out;
    out.push_back(fmt::format(
        "Flattened: every run is as long as in the car; angles and bends are those of the board. "
        "It "
        "takes {:.0f} x {:.0f} mm{}.",
        std::ceil(plan.layout.width), std::ceil(plan.layout.height),
        plan.layout.fits
            ? fmt::format(" of a board of {:.0f} x {:.0f} mm", plan.board.width, plan.board.height)
            : fmt::format(": more than the board of {:.0f} x {:.0f} mm asked for", plan.board.width,
                          plan.board.height)));
    if (plan.layout.pieces > 1) {
        out.push_back(fmt::format("{} pieces that no run joins.", plan.layout.pieces));
    }
    std::vector<std::string> cuts;
    std::vector<std::string> none;
    for (const PlannedRun& run : plan.runs) {
        const Run& it = vehicle.run(run.run);
        if (!run.twin.empty()) {
            cuts.push_back(fmt::format("{}: the end of {} joins {}", run.twin, it.name,
                                       vehicle.point(it.to).name));
        }
        if (run.line.empty()) {
            none.push_back(it.name);
        }
    }
    if (!cuts.empty()) {
        out.push_back(fmt::format("Loops are cut open to lie flat, ends that meet have the same "
                                  "letter. {}.",
                                  fmt::join(cuts, "; ")));
    }
    if (!none.empty()) {
        out.push_back(fmt::format("Without length, their ends drawn as one point: {}.",
                                  fmt::join(none, ", ")));
    }
    if (plan.left_out > 0) {
        out.push_back(fmt::format("Not drawn: {} {} of the car that no new wire lies in.",
                                  plan.left_out, plan.left_out == 1 ? "run" : "runs"));
    }
    return out;
}

} // namespace loomwright::draw
