// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/loom_drawing.hpp"

#include "base/display.hpp"
#include "draw/loom_figure.hpp"
#include "draw/loom_plan.hpp"
#include "draw/paper_sheet.hpp"
#include "draw/section_table.hpp"
#include "draw/sheet_letters.hpp"
#include "draw/write_sheets.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace draw {
namespace {

// All in millimetres of paper.
constexpr double beside_figure = 45.0; ///< room for the texts of its outer points
constexpr Spot most_figure{560.0, 380.0};
constexpr Spot large_figure{1100.0, 1000.0}; ///< of a loom with more runs than that
constexpr std::size_t large_loom_runs = 60;
constexpr double longest_bar = 100.0;
constexpr double least_width = 280.0;
constexpr double between_tables = 8.0;
constexpr std::size_t least_rows = 20;
constexpr std::size_t most_thing_lines = 50;

class LoomSheetMaker {
public:
    LoomSheetMaker(const StudyInput& study, const LoomPlan& plan) : study_(study), plan_(plan) {}

    Drawing make() {
        const BoardLayout& layout = plan_.layout;
        const double scale =
            fitting_scale({layout.width, layout.height},
                          plan_.runs.size() > large_loom_runs ? large_figure : most_figure);
        sheet_.width =
            std::max(least_width, layout.width * scale + 2.0 * (beside_figure + page_margin));
        const std::string title = study_.vehicle.title.empty() ? "Loom" : study_.vehicle.title;
        add_lines(title, title_size, true);
        add_lines(fmt::format("{}{}Loom flattened, scale {}", study_.vehicle.revision,
                              study_.vehicle.revision.empty() ? "" : ". ", scale_name(scale)),
                  text_size, true);
        for (const std::string& note : plan_notes(study_, plan_)) {
            add_lines(note, text_size, false);
        }
        draw_bar(scale);
        const double left = 0.5 * (sheet_.width - layout.width * scale);
        const BoardView view{
            {0.0, 0.0, layout.width, layout.height}, {left, y_ + beside_figure}, scale};
        draw_loom_figure(sheet_, study_, plan_, view,
                         {.size = text_size, .most_lines = 2, .room = beside_figure - 1.0});
        y_ += layout.height * scale + 2.0 * beside_figure;
        add_table(run_table());
        add_table(point_table());
        sheet_.height = y_ + page_margin;
        return std::move(sheet_);
    }

private:
    void add_lines(const std::string& text, double size, bool is_bold) {
        constexpr std::size_t most = 6;
        for (const std::string& line :
             fit_text(text, sheet_.width - 2.0 * page_margin, size, most, is_bold)) {
            y_ += std::max(line_height, 1.4 * size);
            sheet_.text({page_margin, y_}, line, size, Anchor::start, is_bold);
        }
    }

    void draw_bar(double scale) {
        constexpr std::array lengths = {10000.0, 5000.0, 2000.0, 1000.0, 500.0, 200.0, 100.0};
        const auto* const found = std::ranges::find_if(
            lengths, [&](double length) { return length * scale <= longest_bar; });
        const double length = found != lengths.end() ? *found : lengths.back();
        y_ += line_height + 1.0;
        const double bar = length * scale;
        sheet_.line({page_margin, y_}, {page_margin + bar, y_}, 0.5);
        for (const double x : {page_margin, page_margin + bar}) {
            sheet_.line({x, y_ - 1.2}, {x, y_ + 1.2}, 0.35);
        }
        sheet_.text({page_margin + bar + 2.0, y_ + 0.35 * text_size},
                    fmt::format("{} mm of loom, where the sheet is printed at its full size",
                                show_number(length)),
                    text_size);
    }

    void add_table(TextTable table) {
        // As many blocks side by side as there is room for.
        table.most_rows = std::max<std::size_t>(1, table.rows.size());
        Drawing tried;
        const double block = draw_table(tried, table, {0.0, 0.0}).width + between_tables;
        const auto blocks = static_cast<std::size_t>(
            std::max(1.0, (sheet_.width - 2.0 * page_margin + between_tables) / block));
        table.most_rows = std::max(least_rows, (table.rows.size() + blocks - 1) / blocks);
        const TableSize size = draw_table(sheet_, table, {page_margin, y_});
        sheet_.width = std::max(sheet_.width, size.width + 2.0 * page_margin);
        y_ += size.height + between_tables;
    }

    [[nodiscard]] TextTable run_table() const {
        TextTable table;
        table.head = {"run", "from", "to", "length", "thick", "cover", "wires", "cut open"};
        for (const PlannedRun& run : plan_.runs) {
            const Run& it = study_.vehicle.run(run.run);
            table.rows.push_back(
                {it.name, study_.vehicle.point(it.from).name, study_.vehicle.point(it.to).name,
                 fmt::format("{:.0f} mm", run.length), fmt::format("{:.1f} mm", run.diameter),
                 run.cover, fmt::format("{}", run.wires), run.twin});
        }
        return table;
    }

    [[nodiscard]] TextTable point_table() const {
        TextTable table;
        table.most_width = 120.0;
        table.head = {"point", "devices there", "joined by"};
        for (const PlannedPoint& point : plan_.points) {
            const std::string things = fmt::format("{}", fmt::join(point.things, ", "));
            std::vector<std::string> lines =
                fit_text(things, table.most_width - 1.0, table.text_size, most_thing_lines);
            lines.resize(std::max<std::size_t>(1, lines.size()));
            for (std::size_t i = 0; i < lines.size(); ++i) {
                const bool is_first = i == 0;
                table.rows.push_back(
                    {is_first ? study_.vehicle.point(point.point).name : "", lines[i],
                     is_first ? fmt::format("{}", fmt::join(point.twins, ", ")) : ""});
            }
        }
        return table;
    }

    const StudyInput& study_;
    const LoomPlan& plan_;
    Drawing sheet_;
    double y_ = page_margin;
};

} // namespace

std::string scale_name(double scale) {
    return fmt::format("1:{}", show_number(1.0 / scale));
}

double fitting_scale(Spot size, Spot room) {
    // Beyond the last that ISO 5455 names, the next by ten.
    constexpr std::array divisors = {1.0,   2.0,   5.0,    10.0,   20.0,   50.0,   100.0,
                                     200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0};
    const auto* const found = std::ranges::find_if(divisors, [&](double divisor) {
        return size.x / divisor <= room.x && size.y / divisor <= room.y;
    });
    return 1.0 / (found != divisors.end() ? *found : divisors.back());
}

Drawing loom_sheet(const StudyInput& study, const LoomPlan& plan) {
    return LoomSheetMaker(study, plan).make();
}

} // namespace draw

std::optional<std::string> draw_loom(const StudyInput& study, const Sizing& sizing,
                                     const draw::BoardSize& board, DrawingFormat format,
                                     std::string& why_not) {
    if (draw::laced_runs(study).empty()) {
        why_not = "no new wire lies in any run of the car";
        return std::nullopt;
    }
    const std::array sheets = {draw::loom_sheet(study, draw::loom_plan(study, sizing, board))};
    return draw::write_sheets(sheets, format, "Loom", why_not);
}

} // namespace loomwright
