// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/cutting_plan.hpp"

#include "base/display.hpp"
#include "sheets/buying_list.hpp"
#include "sheets/cutting_stock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>
#include <map>

namespace loomwright {
namespace {

int steps_of(Metres length) {
    return static_cast<int>(std::lround(length.value() / cut_step_m));
}

/// The wires of each length still to be given to a spool, in the order of the cut list.
using Waiting = std::map<int, std::deque<const CutLine*>, std::greater<>>;

SpoolCut take(Waiting& waiting, const std::vector<CutSize>& sizes, const SpoolPattern& pattern,
              Metres spool_length) {
    SpoolCut out;
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        std::deque<const CutLine*>& lines = waiting[sizes[i].length];
        for (int k = 0; k < pattern.pieces[i]; ++k) {
            out.lines.push_back(lines.front());
            out.used += lines.front()->length;
            lines.pop_front();
        }
    }
    out.rest = spool_length - out.used;
    return out;
}

std::string wires_text(const SpoolCut& cut) {
    std::string out;
    for (const CutLine* line : cut.lines) {
        out += fmt::format("{}{} ({:.0f})", out.empty() ? "" : ", ", line->number,
                           line->length.value() * 1e3);
    }
    return out;
}

void add_rows(Sheet& sheet, const BuyWire& wire) {
    const WireCutting& cutting = *wire.cutting;
    for (std::size_t i = 0; i < cutting.spools.size(); ++i) {
        const SpoolCut& cut = cutting.spools[i];
        sheet.rows.push_back({std::string(), wire.spool->title(), static_cast<double>(i + 1),
                              cutting.spool_length.value(), static_cast<double>(cut.lines.size()),
                              wires_text(cut), cut.used.value(), cut.rest.value()});
    }
}

/// "1.5 mm2 BK: no plan needs fewer than 3 spools, this one has 4".
void add_notes(Sheet& sheet, const BuyWire& wire) {
    const WireCutting& cutting = *wire.cutting;
    if (!cutting.is_least()) {
        sheet.notes.push_back(fmt::format("{}: {} spools; it is proved that {} or more are needed.",
                                          wire.spool->title(), cutting.spools.size(),
                                          cutting.at_least));
    }
    for (const CutLine* line : cutting.too_long) {
        sheet.notes.push_back(fmt::format(
            "{}: wire {} of {:.0f} mm is longer than a spool of {}: order it by the metre.",
            wire.spool->title(), line->number, line->length.value() * 1e3,
            show(cutting.spool_length)));
    }
}

} // namespace

WireCutting cut_from_spools(const CutSpool& spool, Metres spool_length) {
    WireCutting out;
    out.spool_length = spool_length;
    // A spool is as many whole steps as it holds for sure.
    const int steps = static_cast<int>(std::floor(spool_length.value() / cut_step_m + 1e-6));
    Waiting waiting;
    for (const CutLine& line : spool.lines) {
        if (steps_of(line.length) > steps) {
            out.too_long.push_back(&line);
        } else if (line.length.value() > 0.0) {
            waiting[steps_of(line.length)].push_back(&line);
        }
    }
    std::vector<CutSize> sizes;
    for (const auto& [length, lines] : waiting) {
        sizes.push_back({length, static_cast<int>(lines.size())});
    }
    const auto plan = plan_cutting(sizes, steps);
    if (!plan) {
        return out;
    }
    out.at_least = plan->at_least;
    for (const SpoolPattern& pattern : plan->patterns) {
        for (int k = 0; k < pattern.spools; ++k) {
            out.spools.push_back(take(waiting, sizes, pattern, spool_length));
        }
    }
    return out;
}

Sheet cutting_plan_sheet(const BuyingList& list) {
    Sheet sheet;
    sheet.name = "cutting-plan";
    sheet.title = "Cutting plan";
    sheet.columns = {text_column("done", "done"),
                     text_column("wire", "wire", true),
                     number_column("spool", "spool", "", 0),
                     number_column("spool_m", "its length", "m", 3),
                     number_column("pieces", "pieces", "", 0),
                     text_column("cut", "cut in this order: wire (mm)", true),
                     number_column("used_m", "used", "m", 3),
                     number_column("rest_m", "left", "m", 3)};
    Metres used;
    Metres bought;
    std::size_t spools = 0;
    for (const BuyWire& wire : list.wires) {
        if (!wire.cutting) {
            continue;
        }
        add_rows(sheet, wire);
        for (const SpoolCut& cut : wire.cutting->spools) {
            used += cut.used;
            bought += wire.cutting->spool_length;
            ++spools;
        }
    }
    if (spools > 0) {
        sheet.notes.push_back(fmt::format("{} of {} on {} spools are used, {} are left over ({}): "
                                          "rests are the spare and go back "
                                          "on the shelf.",
                                          show(used), show(bought), spools, show(bought - used),
                                          show_percent(1.0 - used / bought)));
    }
    for (const BuyWire& wire : list.wires) {
        if (wire.cutting) {
            add_notes(sheet, wire);
        }
    }
    sheet.notes.emplace_back("Wires whose stock line gives no spool length are bought by the metre "
                             "and are not in this plan.");
    return sheet;
}

} // namespace loomwright
