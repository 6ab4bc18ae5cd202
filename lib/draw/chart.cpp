// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/chart.hpp"

#include "draw/chart_axes.hpp"
#include "draw/chart_curves.hpp"
#include "draw/chart_labels.hpp"
#include "draw/chart_paper.hpp"
#include "draw/chart_phases.hpp"
#include "draw/chart_scale.hpp"
#include "draw/write_sheets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

namespace loomwright {
namespace draw {
namespace {

constexpr double panel_height = 50.0;
constexpr double tick_room = 7.0;     // between numbers one above the other
constexpr double label_column = 44.0; // of the names at the right
constexpr double leader = 4.0;
constexpr double sample = 8.0;
constexpr std::size_t label_lines = 3;

/// A name at the right of a panel, with the place on its curve or level that it belongs to.
struct Label {
    std::vector<std::string> lines;
    std::optional<std::size_t> series; ///< none: a level
    double y = 0.0;                    ///< where its line ends or leaves the field
    bool has_leader = false;
};

struct Panel {
    const ChartPanel* chart = nullptr;
    Scale y;
    std::vector<Tick> ticks;
    std::string title;
    Field field;
    std::vector<Label> labels;
    double labels_height = 0.0;
};

double height_of(const Label& label) {
    return static_cast<double>(label.lines.size()) * chart_line_height + 0.6;
}

class Sheet {
public:
    explicit Sheet(const Chart& chart) : chart_(chart), x_(x_scale(chart)) {}

    Drawing make() {
        out_.width = chart_width;
        y_ = chart_margin;
        heading(chart_.title, chart_title_size, true, 3);
        set_panels();
        const double labels_room =
            has_labels() ? leader + sample + 2.0 * chart_gap + widest_label() : 3.0;
        left_ = chart_margin + widest_tick() + tick_length + chart_gap;
        width_ = chart_width - chart_margin - labels_room - left_;
        phases_ = label_phases(chart_.phases, x_, left_, width_);
        for (std::size_t i = 0; i < panels_.size(); ++i) {
            place(panels_[i], i == 0);
        }
        // What stands behind comes first.
        std::vector<Field> fields;
        std::ranges::transform(panels_, std::back_inserter(fields), &Panel::field);
        draw_phases(out_, chart_.phases, x_, fields, phases_);
        for (const Panel& panel : panels_) {
            paint(panel);
        }
        x_axis();
        foot();
        out_.height = y_ + chart_margin;
        return std::move(out_);
    }

private:
    static Scale x_scale(const Chart& chart) {
        std::vector<double> values;
        for (const ChartPanel& panel : chart.panels) {
            for (const ChartSeries& series : panel.series) {
                const std::size_t count = std::min(series.x.size(), series.y.size());
                values.insert(values.end(), series.x.begin(),
                              series.x.begin() + static_cast<std::ptrdiff_t>(count));
            }
        }
        for (const ChartPhase& phase : chart.phases) {
            values.push_back(phase.from);
            values.push_back(phase.to);
        }
        return scale_for(chart.x, values, false);
    }

    void heading(std::string_view text, double size, bool is_bold, std::size_t lines) {
        for (const std::string& line :
             fit_text(text, chart_width - 2.0 * chart_margin, size, lines, is_bold)) {
            y_ += size;
            out_.text({chart_margin, y_}, line, size, Anchor::start, is_bold);
            y_ += 0.35 * size;
        }
    }

    void set_panels() {
        for (const ChartPanel& panel : chart_.panels) {
            std::vector<double> values;
            for (const ChartSeries& series : panel.series) {
                for (std::size_t i = 0; i < std::min(series.x.size(), series.y.size()); ++i) {
                    // What lies outside of given ends of x does not widen y.
                    const double share = x_.can_show(series.x[i]) ? x_.share(series.x[i]) : -1.0;
                    if (share >= -1e-9 && share <= 1.0 + 1e-9) {
                        values.push_back(series.y[i]);
                    }
                }
            }
            for (const ChartLevel& level : panel.levels) {
                values.push_back(level.y);
            }
            const Scale scale = scale_for(panel.y, values, true);
            Panel made{&panel, scale, {}, axis_title(panel.y, scale), {}, {}, 0.0};
            set_labels(made);
            made.field.height = std::max(panel_height, made.labels_height);
            made.ticks = scale.ticks(static_cast<std::size_t>(made.field.height / tick_room));
            panels_.push_back(std::move(made));
        }
    }

    static void set_labels(Panel& panel) {
        const auto add = [&](const std::string& name, std::optional<std::size_t> series) {
            Label label{fit_text(name, label_column, chart_text_size, label_lines), series};
            if (!label.lines.empty()) {
                panel.labels_height += height_of(label);
                panel.labels.push_back(std::move(label));
            }
        };
        for (std::size_t i = 0; i < panel.chart->series.size(); ++i) {
            add(panel.chart->series[i].name, i);
        }
        for (const ChartLevel& level : panel.chart->levels) {
            add(level.name, std::nullopt);
            if (!level.name.empty()) {
                panel.labels.back().y = level.y;
            }
        }
    }

    [[nodiscard]] bool has_labels() const {
        return std::ranges::any_of(panels_, [](const Panel& p) { return !p.labels.empty(); });
    }

    [[nodiscard]] double widest_label() const {
        double width = 0.0;
        for (const Panel& panel : panels_) {
            for (const Label& label : panel.labels) {
                for (const std::string& line : label.lines) {
                    width = std::max(width, text_width(line, chart_text_size));
                }
            }
        }
        return width;
    }

    [[nodiscard]] double widest_tick() const {
        double width = 0.0;
        for (const Panel& panel : panels_) {
            for (const Tick& tick : panel.ticks) {
                width = std::max(width, text_width(tick.label, chart_text_size));
            }
        }
        return width;
    }

    void place(Panel& panel, bool is_first) {
        y_ += is_first ? 1.5 : 3.0;
        const auto lines =
            fit_text(panel.title, chart_width - 2.0 * chart_margin, chart_text_size, 2);
        for (const std::string& line : lines) {
            y_ += chart_line_height;
            out_.text({chart_margin, y_ - 0.8}, line, chart_text_size);
        }
        y_ += is_first ? phases_.rows * phases_.row_height : 0.0;
        y_ += 1.8;
        panel.field = {left_, y_, width_, panel.field.height};
        y_ = panel.field.bottom();
    }

    void paint(const Panel& panel) {
        const Field& field = panel.field;
        draw_upright_axis(out_, panel.y, panel.ticks, field,
                          panel.y.kind() == ChartScale::logarithmic ? Grid::and_between
                                                                    : Grid::at_numbers);
        for (const ChartLevel& level : panel.chart->levels) {
            if (const auto y = level_height(panel, level.y)) {
                out_.line({field.left, *y}, {field.right(), *y}, chart_thin);
            }
        }
        out_.box({field.left, field.top}, field.width, field.height, chart_frame);
        for (std::size_t i = 0; i < panel.chart->series.size(); ++i) {
            draw_curve(out_, panel.chart->series[i], x_, panel.y, field, curve_style(i));
        }
        labels(panel);
    }

    static std::optional<double> level_height(const Panel& panel, double value) {
        if (!panel.y.can_show(value)) {
            return std::nullopt;
        }
        const double share = panel.y.share(value);
        return share < 0.0 || share > 1.0
                   ? std::nullopt
                   : std::optional(panel.field.bottom() - share * panel.field.height);
    }

    /// Where the label's line comes out of the field; in the middle of it where it does not.
    void aim(Label& label, const Panel& panel) const {
        const Field& field = panel.field;
        std::optional<double> y;
        if (label.series) {
            const auto end = end_of_curve(panel.chart->series[*label.series], x_, panel.y, field);
            y = end ? std::optional(end->y) : std::nullopt;
            label.has_leader = end && end->x > field.right() - 1.0;
        } else {
            y = level_height(panel, label.y);
            label.has_leader = y.has_value();
        }
        label.y = y.value_or(field.top + field.height / 2.0);
    }

    void labels(const Panel& panel) {
        std::vector<Label> aimed = panel.labels;
        std::vector<SideLabel> wanted;
        for (Label& label : aimed) {
            aim(label, panel);
            wanted.push_back({label.y, height_of(label)});
        }
        const auto middles = place_labels(wanted, panel.field.top, panel.field.bottom());
        const double from = panel.field.right() + leader;
        for (std::size_t i = 0; i < aimed.size(); ++i) {
            const Label& label = aimed[i];
            const Spot at{from, middles[i]};
            if (label.has_leader) {
                out_.line({panel.field.right(), label.y}, at, chart_thin);
            }
            draw_sample(panel, label, at);
            double y = at.y - height_of(label) / 2.0 + 0.3 + 0.78 * chart_line_height;
            for (const std::string& line : label.lines) {
                out_.text({at.x + sample + chart_gap, y}, line, chart_text_size);
                y += chart_line_height;
            }
        }
    }

    /// A piece of the line beside its name.
    void draw_sample(const Panel& panel, const Label& label, Spot at) {
        if (!label.series) {
            out_.line(at, at + Spot{sample, 0.0}, chart_thin);
            return;
        }
        const CurveStyle style = curve_style(*label.series);
        if (panel.chart->series[*label.series].form == ChartForm::marks) {
            out_.circle(at + Spot{sample / 2.0, 0.0}, 0.75, 0.2, style.mark);
            return;
        }
        Stroke stroke{{at, at + Spot{sample, 0.0}}, style.width};
        stroke.dash = style.dash;
        out_.shapes.emplace_back(stroke);
    }

    void x_axis() {
        if (panels_.empty()) {
            return;
        }
        const std::vector<Tick> ticks = ticks_with_room(x_, panels_.front().field);
        const Grid grid = x_.kind() == ChartScale::logarithmic ? Grid::and_between : Grid::none;
        for (const Panel& panel : panels_) {
            draw_level_axis(out_, x_, ticks, panel.field, grid, &panel == &panels_.back());
        }
        y_ += tick_length + chart_line_height;
        for (const std::string& line :
             fit_text(axis_title(chart_.x, x_), width_, chart_text_size, 2)) {
            y_ += chart_line_height;
            out_.text({left_ + width_ / 2.0, y_ - 0.4}, line, chart_text_size, Anchor::middle);
        }
    }

    /// The key of the numbered phases, what is not shown, and the notes.
    void foot() {
        y_ += 1.0;
        double x = chart_margin;
        const double most = chart_width - 2.0 * chart_margin;
        for (const std::string& entry : phases_.key) {
            const auto lines = fit_text(entry, most, chart_text_size, 3);
            const double width = lines.empty() ? 0.0 : text_width(lines.front(), chart_text_size);
            if (x == chart_margin || x + width > chart_width - chart_margin) {
                x = chart_margin;
                y_ += chart_line_height;
            }
            for (std::size_t i = 0; i < lines.size(); ++i) {
                y_ += i > 0 ? chart_line_height : 0.0;
                out_.text({x, y_}, lines[i], chart_text_size);
            }
            x = lines.size() > 1 ? chart_margin : x + width + 4.0;
        }
        if (phases_.is_missing_some) {
            note("Phases too narrow for a number bear none.");
        }
        std::size_t unshown = 0;
        for (const ChartPanel& panel : chart_.panels) {
            for (const ChartSeries& series : panel.series) {
                unshown += count_unshown(series, chart_.x.scale, panel.y.scale);
            }
        }
        if (unshown > 0) {
            note(fmt::format("{} point{} not shown: not a number, or not above 0 on a logarithmic "
                             "axis.",
                             unshown, unshown == 1 ? " is" : "s are"));
        }
        for (const std::string& text : chart_.notes) {
            note(text);
        }
    }

    void note(std::string_view text) {
        for (const std::string& line :
             fit_text(text, chart_width - 2.0 * chart_margin, chart_text_size, 6)) {
            y_ += chart_line_height;
            out_.text({chart_margin, y_}, line, chart_text_size);
        }
    }

    const Chart& chart_;
    Scale x_;
    Drawing out_;
    double y_ = 0.0; ///< how far down the sheet is filled
    double left_ = 0.0;
    double width_ = 0.0;
    std::vector<Panel> panels_;
    PhaseLabels phases_;
};

} // namespace

Drawing chart_sheet(const Chart& chart) {
    return Sheet(chart).make();
}

} // namespace draw

std::optional<std::string> draw_chart(const Chart& chart, DrawingFormat format,
                                      std::string& why_not) {
    const draw::Drawing sheet = draw::chart_sheet(chart);
    return draw::write_sheets(std::span(&sheet, 1), format, chart.title, why_not);
}

} // namespace loomwright
