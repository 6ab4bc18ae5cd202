// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/chart_phases.hpp"

#include "draw/chart_labels.hpp"
#include "draw/chart_paper.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

namespace loomwright::draw {
namespace {

constexpr int number_rows = 4;
constexpr double same_edge = 0.05;

/// A phase with the stretch of paper that it takes.
struct Stretch {
    const ChartPhase* phase = nullptr;
    double from = 0.0;
    double to = 0.0;
    [[nodiscard]] double middle() const { return (from + to) / 2.0; }
};

/// The phases that stand on the axis, in the order given.
std::vector<Stretch> stretches_of(const std::vector<ChartPhase>& phases, const Scale& x,
                                  double left, double width) {
    std::vector<Stretch> out;
    for (const ChartPhase& phase : phases) {
        if (!x.can_show(phase.from) || !x.can_show(phase.to) || phase.to < phase.from) {
            continue;
        }
        const double from = x.share(phase.from);
        const double to = x.share(phase.to);
        if (to >= 0.0 && from <= 1.0) {
            out.push_back(
                {&phase, left + std::max(from, 0.0) * width, left + std::min(to, 1.0) * width});
        }
    }
    return out;
}

bool is_whole(const std::string& name, const std::vector<std::string>& lines) {
    std::string joined;
    for (const std::string& line : lines) {
        joined += (joined.empty() ? "" : " ") + line;
    }
    const auto all = fit_text(name, 1e6, chart_text_size, 1);
    return joined == (all.empty() ? "" : all.front());
}

/// Every name over its own phase; nothing where one has no room.
std::optional<PhaseLabels> with_names(const std::vector<Stretch>& stretches) {
    PhaseLabels out;
    double taken_to = 0.0;
    for (const Stretch& stretch : stretches) {
        const std::string& name = stretch.phase->name;
        const auto lines =
            fit_text(name, stretch.to - stretch.from - chart_gap, chart_text_size, 3);
        if (!is_whole(name, lines) || stretch.from < taken_to - 1e-6) {
            return std::nullopt;
        }
        taken_to = stretch.to;
        out.row_height =
            std::max(out.row_height, static_cast<double>(lines.size()) * chart_line_height);
        out.items.push_back({stretch.middle(), 0, lines});
    }
    out.rows = out.row_height > 0.0 ? 1 : 0;
    return out;
}

PhaseLabels with_numbers(const std::vector<Stretch>& stretches) {
    PhaseLabels out;
    std::vector<std::string> names;
    std::vector<std::string> numbers;
    std::vector<std::pair<double, double>> taken;
    for (const Stretch& stretch : stretches) {
        auto found = std::ranges::find(names, stretch.phase->name);
        if (found == names.end()) {
            found = names.insert(found, stretch.phase->name);
            out.key.push_back(fmt::format("{} {}", names.size(), stretch.phase->name));
        }
        numbers.push_back(fmt::format("{}", found - names.begin() + 1));
        const double half = text_width(numbers.back(), chart_text_size) / 2.0 + 0.3;
        taken.emplace_back(stretch.middle() - half, stretch.middle() + half);
    }
    const std::vector<int> rows = place_in_rows(taken, number_rows);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i] < 0) {
            out.is_missing_some = true;
            continue;
        }
        out.items.push_back({stretches[i].middle(), rows[i], {numbers[i]}});
        out.rows = std::max(out.rows, rows[i] + 1);
    }
    out.row_height = chart_line_height;
    return out;
}

} // namespace

PhaseLabels label_phases(const std::vector<ChartPhase>& phases, const Scale& x, double left,
                         double width) {
    std::vector<Stretch> stretches = stretches_of(phases, x, left, width);
    std::ranges::stable_sort(stretches, {}, &Stretch::from);
    auto named = with_names(stretches);
    return named ? std::move(*named) : with_numbers(stretches);
}

void draw_phases(Drawing& out, const std::vector<ChartPhase>& phases, const Scale& x,
                 std::span<const Field> panels, const PhaseLabels& labels) {
    if (panels.empty()) {
        return;
    }
    std::vector<double> edges;
    bool is_pale = false;
    for (const Stretch& stretch :
         stretches_of(phases, x, panels.front().left, panels.front().width)) {
        for (const Field& field : panels) {
            if (is_pale) {
                out.box({stretch.from, field.top}, stretch.to - stretch.from, field.height, 0.0,
                        Fill::pale);
            }
        }
        edges.insert(edges.end(), {stretch.from, stretch.to});
        is_pale = !is_pale;
    }
    std::ranges::sort(edges);
    edges.erase(std::unique(edges.begin(), edges.end(),
                            [](double a, double b) { return b - a < same_edge; }),
                edges.end());
    for (const double edge : edges) {
        for (const Field& field : panels) {
            out.line({edge, field.top}, {edge, field.bottom()}, chart_thin);
        }
    }
    for (const PhaseLabels::Item& item : labels.items) {
        double y = panels.front().top - 0.9 - item.row * labels.row_height;
        for (std::size_t i = item.lines.size(); i-- > 0; y -= chart_line_height) {
            out.text({item.middle, y}, item.lines[i], chart_text_size, Anchor::middle);
        }
    }
}

} // namespace loomwright::draw
