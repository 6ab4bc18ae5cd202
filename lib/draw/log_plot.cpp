// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/log_plot.hpp"

#include "draw/chart_axes.hpp"
#include "draw/chart_paper.hpp"
#include "draw/label_places.hpp"
#include "draw/write_sheets.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace loomwright {
namespace draw {
namespace {

constexpr double right_room = 18.0; // beside the field, for the names of uprights
constexpr double plot_height = 165.0;
constexpr double hatch_step = 2.2; // mm between the uprights of a hatched band
constexpr double fill_step = 0.5;  // mm between the corners of a filled one
constexpr double widest_curve_name = 46.0;
constexpr double widest_flag = 40.0;
constexpr std::size_t most_ticks = 12;

std::vector<double> values_of(const LogPlot& plot, bool is_x) {
    std::vector<double> out;
    const auto add = [&](const PlotCurve& curve) {
        const std::vector<double>& from = is_x ? curve.x : curve.y;
        out.insert(out.end(), from.begin(), from.end());
    };
    for (const PlotBand& band : plot.bands) {
        add(band.lower);
        add(band.upper);
    }
    std::ranges::for_each(plot.curves, add);
    for (const PlotUpright& upright : plot.uprights) {
        if (is_x) {
            out.push_back(upright.x);
        }
    }
    return out;
}

/// The value of a curve at x, straight in log-log; nothing beside its ends.
std::optional<double> value_at(const PlotCurve& curve, double x) {
    for (std::size_t i = 1; i < std::min(curve.x.size(), curve.y.size()); ++i) {
        if (x < curve.x[i - 1] || x > curve.x[i]) {
            continue;
        }
        if (curve.x[i] <= curve.x[i - 1]) {
            return curve.y[i];
        }
        const double part = std::log(x / curve.x[i - 1]) / std::log(curve.x[i] / curve.x[i - 1]);
        return curve.y[i - 1] * std::pow(curve.y[i] / curve.y[i - 1], part);
    }
    return std::nullopt;
}

class PlotSheet {
public:
    explicit PlotSheet(const LogPlot& plot)
        : plot_(plot), x_(scale_for(plot.x, values_of(plot, true), false)),
          y_(scale_for(plot.y, values_of(plot, false), true)) {}

    Drawing make() {
        out_.width = chart_width;
        heading();
        lay_out_flags();
        lay_out_field();
        for (const BandFill how : {BandFill::pale, BandFill::hatched}) {
            for (const PlotBand& band : plot_.bands) {
                if (band.fill == how) {
                    fill(band);
                }
            }
        }
        axes();
        flags();
        for (const PlotBand& band : plot_.bands) {
            curve(band.lower);
            curve(band.upper);
        }
        std::ranges::for_each(plot_.curves, [this](const PlotCurve& one) { curve(one); });
        names();
        foot();
        out_.height = down_ + chart_margin;
        return std::move(out_);
    }

private:
    void heading() {
        for (const std::string& line :
             fit_text(plot_.title, chart_width - 2.0 * chart_margin, chart_title_size, 3, true)) {
            down_ += chart_title_size;
            out_.text({chart_margin, down_}, line, chart_title_size, Anchor::start, true);
            down_ += 0.35 * chart_title_size;
        }
        for (const std::string& line : fit_text(
                 axis_title(plot_.y, y_), chart_width - 2.0 * chart_margin, chart_text_size, 2)) {
            down_ += chart_line_height;
            out_.text({chart_margin, down_}, line, chart_text_size);
        }
        down_ += 1.0;
    }

    /// Uprights in the plot, from left to right, with their names in lines.
    void lay_out_flags() {
        const std::vector<Tick> ticks = y_.ticks(most_ticks);
        double widest = 0.0;
        for (const Tick& tick : ticks) {
            widest = std::max(widest, text_width(tick.label, chart_text_size));
        }
        field_.left = chart_margin + widest + tick_length + chart_gap;
        field_.width = chart_width - chart_margin - right_room - field_.left;
        for (const PlotUpright& upright : plot_.uprights) {
            const double share = x_.can_show(upright.x) ? x_.share(upright.x) : -1.0;
            if (share >= 0.0 && share <= 1.0) {
                flags_.push_back({&upright, field_.left + share * field_.width, {}, 0.0, 0});
            }
        }
        std::ranges::stable_sort(flags_, {}, &Flag::place);
        std::vector<double> places;
        std::vector<double> widths;
        for (Flag& flag : flags_) {
            const double room =
                std::min(widest_flag, chart_width - chart_margin - flag.place - chart_gap);
            flag.lines = fit_text(flag.upright->name, room, chart_text_size, 2);
            for (const std::string& line : flag.lines) {
                flag.width =
                    std::max(flag.width, text_width(line, chart_text_size) + 2.0 * chart_gap);
            }
            places.push_back(flag.place);
            widths.push_back(flag.width);
        }
        const std::vector<int> rows = flag_rows(places, widths);
        for (std::size_t i = 0; i < rows.size(); ++i) {
            flags_[i].row = rows[i];
        }
    }

    [[nodiscard]] double row_height() const {
        std::size_t lines = 1;
        for (const Flag& flag : flags_) {
            lines = std::max(lines, flag.lines.size());
        }
        return static_cast<double>(lines) * chart_line_height + 0.8;
    }

    void lay_out_field() {
        int rows = 0;
        for (const Flag& flag : flags_) {
            rows = std::max(rows, flag.row + 1);
        }
        down_ += rows * row_height() + 1.0;
        field_.top = down_;
        field_.height = plot_height;
        down_ = field_.bottom();
    }

    void axes() {
        draw_upright_axis(out_, y_, y_.ticks(most_ticks), field_, Grid::and_between);
        draw_level_axis(out_, x_, ticks_with_room(x_, field_), field_, Grid::and_between, true);
        out_.box({field_.left, field_.top}, field_.width, field_.height, chart_frame);
        down_ += tick_length + chart_line_height;
        for (const std::string& line :
             fit_text(axis_title(plot_.x, x_), field_.width, chart_text_size, 2)) {
            down_ += chart_line_height;
            out_.text({field_.left + field_.width / 2.0, down_ - 0.4}, line, chart_text_size,
                      Anchor::middle);
        }
    }

    void flags() {
        for (const Flag& flag : flags_) {
            const double top = field_.top - 0.4 - flag.row * row_height();
            Stroke stroke{
                {{flag.place, field_.bottom()},
                 {flag.place, top - static_cast<double>(flag.lines.size()) * chart_line_height}},
                flag.upright->width_mm};
            stroke.dash = flag.upright->dash;
            out_.shapes.emplace_back(stroke);
            double y = top - 0.9 - static_cast<double>(flag.lines.size() - 1) * chart_line_height;
            for (const std::string& line : flag.lines) {
                out_.text({flag.place + chart_gap, y}, line, chart_text_size);
                y += chart_line_height;
            }
        }
    }

    static ChartSeries series_of(const PlotCurve& curve) {
        return {curve.name, curve.x, curve.y, ChartForm::line};
    }

    void curve(const PlotCurve& one) {
        draw_curve(out_, series_of(one), x_, y_, field_, {one.width_mm, one.dash, Fill::black});
        for (const PlotMark& mark : one.marks) {
            if (is_in(mark.x, mark.y)) {
                out_.circle({across(x_, mark.x, field_), up(y_, mark.y, field_)}, mark_radius, 0.25,
                            mark.fill);
            }
        }
    }

    [[nodiscard]] bool is_in(double x, double y) const {
        const auto holds = [](const Scale& scale, double value) {
            return scale.can_show(value) && scale.share(value) >= 0.0 && scale.share(value) <= 1.0;
        };
        return holds(x_, x) && holds(y_, y);
    }

    /// From the left of the field to its right: where both curves are, from the one to the other.
    void fill(const PlotBand& band) {
        const double step = band.fill == BandFill::pale ? fill_step : hatch_step;
        std::vector<Spot> under;
        std::vector<Spot> over;
        const auto close = [&] {
            if (under.size() > 1) {
                Stroke inside{under, 0.0, true, Fill::pale};
                inside.spots.insert(inside.spots.end(), over.rbegin(), over.rend());
                out_.shapes.emplace_back(inside);
            }
            under.clear();
            over.clear();
        };
        for (double at = 0.0; at <= field_.width; at += step) {
            const double share = at / field_.width;
            const double x = x_.low() * std::pow(x_.high() / x_.low(), share);
            const auto low = value_at(band.lower, x);
            const auto high = value_at(band.upper, x);
            if (!low || !high || *low > y_.high() || *high < y_.low()) {
                close();
                continue;
            }
            const Spot bottom{field_.left + at, up(y_, std::max(*low, y_.low()), field_)};
            const Spot top{field_.left + at, up(y_, std::min(*high, y_.high()), field_)};
            if (band.fill == BandFill::hatched) {
                out_.line(bottom, top, chart_thin);
                continue;
            }
            under.push_back(bottom);
            over.push_back(top);
        }
        close();
    }

    /// What of a curve is seen, on paper.
    [[nodiscard]] std::vector<Spot> seen(const PlotCurve& one) const {
        Drawing trial;
        draw_curve(trial, series_of(one), x_, y_, field_, {});
        std::vector<Spot> out;
        for (const Shape& shape : trial.shapes) {
            if (const auto* stroke = std::get_if<Stroke>(&shape)) {
                out.insert(out.end(), stroke->spots.begin(), stroke->spots.end());
            }
        }
        return out;
    }

    void names() {
        std::vector<const PlotCurve*> named;
        for (const PlotBand& band : plot_.bands) {
            named.insert(named.end(), {&band.lower, &band.upper});
        }
        for (const PlotCurve& one : plot_.curves) {
            named.push_back(&one);
        }
        std::vector<LineLabel> wishes;
        std::vector<std::vector<std::string>> texts;
        for (const PlotCurve* one : named) {
            texts.push_back(fit_text(one->name, widest_curve_name, chart_text_size, 3));
            LineLabel wish{seen(*one), 0.0, 0.0, one->name_at};
            for (const std::string& line : texts.back()) {
                wish.width = std::max(wish.width, text_width(line, chart_text_size) + chart_gap);
                wish.height += chart_line_height;
            }
            wishes.push_back(std::move(wish));
        }
        // Uprights stand in the way, without a name here.
        for (const Flag& flag : flags_) {
            wishes.push_back(
                {{{flag.place, field_.bottom()}, {flag.place, field_.top}}, 0.0, 0.0, 0.5});
        }
        const auto places = place_at_lines(wishes, field_);
        for (std::size_t i = 0; i < named.size(); ++i) {
            if (places[i]) {
                name(*places[i], wishes[i], texts[i]);
            }
        }
    }

    void name(const LabelPlace& place, const LineLabel& wish,
              const std::vector<std::string>& lines) {
        out_.line(place.anchor, place.end, chart_thin);
        out_.box(place.corner, wish.width, wish.height, 0.0, Fill::white);
        double y = place.corner.y + 0.78 * chart_line_height;
        for (const std::string& line : lines) {
            out_.text({place.corner.x + chart_gap / 2.0, y}, line, chart_text_size);
            y += chart_line_height;
        }
    }

    void foot() {
        down_ += 1.0;
        for (const std::string& text : plot_.notes) {
            for (const std::string& line :
                 fit_text(text, chart_width - 2.0 * chart_margin, chart_text_size, 6)) {
                down_ += chart_line_height;
                out_.text({chart_margin, down_}, line, chart_text_size);
            }
        }
    }

    struct Flag {
        const PlotUpright* upright = nullptr;
        double place = 0.0; ///< across the sheet
        std::vector<std::string> lines;
        double width = 0.0;
        int row = 0;
    };

    const LogPlot& plot_;
    Scale x_;
    Scale y_;
    Drawing out_;
    double down_ = chart_margin; ///< how far the sheet is filled
    Field field_;
    std::vector<Flag> flags_;
};

} // namespace

Drawing plot_sheet(const LogPlot& plot) {
    return PlotSheet(plot).make();
}

} // namespace draw

std::optional<std::string> draw_plot(const LogPlot& plot, DrawingFormat format,
                                     std::string& why_not) {
    const draw::Drawing sheet = draw::plot_sheet(plot);
    return draw::write_sheets(std::span(&sheet, 1), format, plot.title, why_not);
}

} // namespace loomwright
