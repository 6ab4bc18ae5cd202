// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/sneak_drawing.hpp"

#include "base/display.hpp"
#include "draw/sheet_letters.hpp"
#include "draw/write_sheets.hpp"
#include "network/branch_kinds.hpp"
#include "sheets/characters.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

using draw::Anchor;
using draw::Drawing;
using draw::figure_margin;
using draw::Fill;
using draw::line_height;
using draw::Spot;
using draw::title_size;

// All in millimetres.
constexpr double sheet_width = 200.0;
constexpr double part_name_size = 3.0;
constexpr double small_size = 2.4;
constexpr double box_height = 8.0;
constexpr double post_radius = 3.0;
constexpr double full_height = 190.0; ///< no further way is begun on a sheet
constexpr double row_pitch = 26.0;
constexpr double above_row = 8.0; ///< from the text over it to the line of a row
constexpr double between = 3.0;   ///< line before and after a box
constexpr double wire_mm = 0.5;
constexpr double woken_mm = 0.9;
constexpr double box_mm = 0.3;
constexpr std::size_t most_states = 4;

/// One thing on the way.
struct Step {
    std::string name;
    std::string what; ///< a device's word; empty: a wire
    bool is_woken = false;
    int to_node = -1; ///< where it ends
    std::string open; ///< what hung there before it was opened
};

/// The way of one danger with the posts it starts and ends at.
struct Way {
    std::string from;
    std::string to;
    std::vector<Step> steps;
};

int common_node(const Branch& a, const Branch& b) {
    return a.from == b.from || a.from == b.to ? a.from : a.to;
}

/// "G1.+", of the source that has a post at this node; else the node's own name.
std::string post_name(const StudyInput& study, int node) {
    for (const Branch& branch : study.network.branches) {
        if (is_source(branch.kind) && (branch.from == node || branch.to == node)) {
            const std::string terminal = terminal_at(study, branch.device, node);
            const std::string& name = study.vehicle.device(branch.device).name;
            return terminal.empty() ? name : fmt::format("{}.{}", name, terminal);
        }
    }
    return study.network.node_names[static_cast<std::size_t>(node)];
}

Way way_of(const StudyInput& study, const SneakWay& sneak) {
    const std::vector<Branch>& branches = study.network.branches;
    const std::vector<int>& way = sneak.way;
    const auto at = [&](std::size_t k) -> const Branch& {
        return branches[static_cast<std::size_t>(way[k])];
    };
    Way out;
    if (way.empty()) {
        return out;
    }
    int node = way.size() > 1 ? at(0).other_end(common_node(at(0), at(1))) : at(0).from;
    out.from = plain_text(post_name(study, node));
    // A motor that is turned stands first on its way, and is the post as a battery is.
    const bool is_turned = at(0).kind == BranchKind::load && at(0).device != sneak.device;
    const auto post_of_motor = [&](int at_node) {
        return plain_text(fmt::format("{}.{}", study.vehicle.device(at(0).device).name,
                                      terminal_at(study, at(0).device, at_node)));
    };
    if (is_turned) {
        node = at(0).other_end(node);
        out.from = post_of_motor(node);
    }
    for (std::size_t k = is_turned ? 1 : 0; k < way.size(); ++k) {
        node = at(k).other_end(node);
        const bool is_wire = at(k).wire.is_valid();
        const std::string name = plain_text(is_wire ? study.vehicle.wire(at(k).wire).number
                                                    : study.vehicle.device(at(k).device).name);
        if (out.steps.empty() || out.steps.back().name != name) {
            out.steps.push_back(
                {.name = name,
                 .what = is_wire ? "" : plain_text(study.vehicle.device(at(k).device).word),
                 .is_woken = !is_wire && at(k).device == sneak.device});
        }
        out.steps.back().to_node = node;
    }
    out.to = is_turned ? post_of_motor(node) : plain_text(post_name(study, node));
    // What was opened hangs on the first step that ends where it did.
    for (Step& step : out.steps) {
        for (const int opened : sneak.opened) {
            const Branch& branch = branches[static_cast<std::size_t>(opened)];
            if (step.to_node == branch.from || step.to_node == branch.to) {
                step.open = plain_text(branch_name(study, opened));
                return out;
            }
        }
    }
    return out;
}

std::string say_states(const std::vector<std::string>& states) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < std::min(states.size(), most_states); ++i) {
        names.push_back(plain_text(states[i]));
    }
    return fmt::format("in {}{}", fmt::join(names, ", "),
                       states.size() > most_states
                           ? fmt::format(" and {} more", states.size() - most_states)
                           : "");
}

class SneakSheetMaker {
public:
    explicit SneakSheetMaker(const StudyInput& study) : study_(&study) {
        sheet_.width = sheet_width;
        y_ = figure_margin;
    }

    void add_title(const SneakWay& sneak) {
        std::vector<std::string> opened;
        for (const int branch : sneak.opened) {
            opened.push_back(plain_text(branch_name(*study_, branch)));
        }
        if (opened.empty()) {
            add_lines("The car as it is, nothing open", title_size, true);
            add_lines("Heavy box: what works and should not. Arrows: the current.", small_size,
                      false);
            return;
        }
        const std::string text = opened.size() > 1
                                     ? fmt::format("Any of {} open", fmt::join(opened, ", "))
                                     : opened.front() + " open";
        add_lines(text, title_size, true);
        add_lines("Heavy box: what wakes, or is passed the wrong way. Crossed: what is open, where "
                  "it hung. Arrows: the current.",
                  small_size, false);
    }

    void add_sneak(const SneakWay& sneak) {
        y_ += line_height;
        add_lines(fmt::format("{} {} at {}, {}{}",
                              plain_text(study_->vehicle.device(sneak.device).name),
                              sneak.is_on ? "works" : "gets current",
                              show(Volts(std::abs(sneak.volts))), show(Amps(std::abs(sneak.amps))),
                              sneak.is_reversed ? ", the wrong way round" : ""),
                  part_name_size, true);
        add_lines(say_states(sneak.states), small_size, false);
        draw_way(way_of(*study_, sneak));
    }

    [[nodiscard]] bool is_full() const { return y_ > full_height; }

    [[nodiscard]] Drawing take() {
        sheet_.height = y_ + figure_margin;
        return std::move(sheet_);
    }

private:
    void add_lines(const std::string& text, double size, bool is_bold) {
        constexpr std::size_t most_lines = 3;
        for (const std::string& line :
             draw::fit_text(text, sheet_width - 2.0 * figure_margin, size, most_lines, is_bold)) {
            y_ += std::max(line_height, 1.3 * size);
            sheet_.text({figure_margin, y_}, line, size, Anchor::start, is_bold);
        }
    }

    /// Width that a step takes of its row, the line to it and the stub behind it counted.
    static double width_of(const Step& step) {
        const double inside =
            step.what.empty() ? draw::text_width(step.name, small_size) + 5.0 : box_width(step);
        return inside + between + (step.open.empty() ? 0.0 : stub_width(step));
    }
    static double box_width(const Step& step) {
        return std::max({draw::text_width(step.name, part_name_size, step.is_woken) + 3.0,
                         draw::text_width(step.what, small_size) + 1.5, 10.0});
    }
    static double stub_width(const Step& step) {
        return draw::text_width(step.open + " open", small_size) + 2.0;
    }

    void draw_way(const Way& way) {
        if (way.steps.empty()) {
            return;
        }
        y_ += above_row + post_radius;
        x_ = figure_margin + post_radius;
        draw_post(way.from, true);
        for (const Step& step : way.steps) {
            if (x_ + width_of(step) > sheet_width - figure_margin - between) {
                turn_line();
            }
            draw_step(step);
        }
        const double last =
            2.0 * post_radius + between + draw::text_width(way.to, small_size) / 2.0;
        if (x_ + last > sheet_width - figure_margin) {
            turn_line();
        }
        line_to(x_ + between);
        x_ += post_radius;
        draw_post(way.to, false);
        y_ += row_pitch - above_row - post_radius - box_height;
    }

    void line_to(double x) {
        sheet_.line({x_, y_}, {x, y_}, wire_mm);
        x_ = x;
    }

    /// The post of a source, with its name over it. Leaves x at its right edge.
    void draw_post(const std::string& name, bool is_start) {
        const double half = draw::text_width(name, small_size) / 2.0;
        const double middle = is_start ? std::max(x_, figure_margin + half) : x_;
        sheet_.circle({middle, y_}, post_radius, box_mm, Fill::white);
        sheet_.text({middle, y_ + 0.35 * part_name_size}, is_start ? "+" : "-", part_name_size,
                    Anchor::middle, true);
        sheet_.text({middle, y_ - post_radius - 1.2}, name, small_size, Anchor::middle);
        x_ = middle + post_radius;
    }

    /// Down at the right edge, back to the left, and on.
    void turn_line() {
        const double right = sheet_width - figure_margin;
        const double gap = y_ + 0.62 * row_pitch;
        sheet_.shapes.emplace_back(
            draw::Stroke{.spots = {{x_, y_},
                                   {right, y_},
                                   {right, gap},
                                   {figure_margin, gap},
                                   {figure_margin, y_ + row_pitch},
                                   {figure_margin + between, y_ + row_pitch}},
                         .width = wire_mm});
        y_ += row_pitch;
        x_ = figure_margin + between;
    }

    void draw_arrow(double x) {
        constexpr double length = 2.2;
        constexpr double half = 0.9;
        sheet_.shapes.emplace_back(draw::Stroke{.spots = {{x - length / 2.0, y_ - half},
                                                          {x + length / 2.0, y_},
                                                          {x - length / 2.0, y_ + half}},
                                                .width = 0.0,
                                                .is_closed = true,
                                                .fill = Fill::black});
    }

    void draw_step(const Step& step) {
        if (step.what.empty()) {
            const double from = x_;
            line_to(x_ + width_of(step) - (step.open.empty() ? 0.0 : stub_width(step)));
            const double middle = (from + x_) / 2.0;
            draw_arrow(middle);
            sheet_.text({middle, y_ - 1.8}, step.name, small_size, Anchor::middle);
        } else {
            line_to(x_ + between);
            const double wide = box_width(step);
            sheet_.box({x_, y_ - box_height / 2.0}, wide, box_height,
                       step.is_woken ? woken_mm : box_mm, step.is_woken ? Fill::pale : Fill::white);
            sheet_.text({x_ + wide / 2.0, y_ + 0.35 * part_name_size}, step.name, part_name_size,
                        Anchor::middle, step.is_woken);
            sheet_.text({x_ + wide / 2.0, y_ + box_height / 2.0 + 3.0}, step.what, small_size,
                        Anchor::middle);
            x_ += wide;
        }
        if (!step.open.empty()) {
            draw_stub(step);
        }
    }

    /// A branch off the line, broken and crossed.
    void draw_stub(const Step& step) {
        const double wide = stub_width(step);
        const double middle = x_ + wide / 2.0;
        line_to(x_ + wide);
        sheet_.circle({middle, y_}, 0.7, 0.0, Fill::black);
        const double foot = y_ + 5.0;
        sheet_.line({middle, y_}, {middle, foot}, box_mm);
        constexpr double arm = 1.5;
        sheet_.line({middle - arm, foot - arm}, {middle + arm, foot + arm}, wire_mm);
        sheet_.line({middle - arm, foot + arm}, {middle + arm, foot - arm}, wire_mm);
        sheet_.text({middle, foot + arm + 3.0}, step.open + " open", small_size, Anchor::middle);
    }

    const StudyInput* study_;
    Drawing sheet_;
    double x_ = 0.0;
    double y_ = 0.0;
};

} // namespace

namespace draw {

std::vector<Drawing> sneak_sheets(const StudyInput& study, std::span<const SneakWay> sneaks) {
    std::vector<Drawing> out;
    std::vector<std::uint8_t> is_drawn(sneaks.size(), 0);
    for (std::size_t i = 0; i < sneaks.size(); ++i) {
        if (is_drawn[i] != 0) {
            continue;
        }
        SneakSheetMaker sheet(study);
        sheet.add_title(sneaks[i]);
        for (std::size_t k = i; k < sneaks.size(); ++k) {
            if (is_drawn[k] != 0 || sneaks[k].opened != sneaks[i].opened) {
                continue;
            }
            if (sheet.is_full()) {
                out.push_back(sheet.take());
                sheet = SneakSheetMaker(study);
                sheet.add_title(sneaks[i]);
            }
            is_drawn[k] = 1;
            sheet.add_sneak(sneaks[k]);
        }
        out.push_back(sheet.take());
    }
    return out;
}

} // namespace draw

std::optional<std::string> draw_sneaks(const StudyInput& study, std::span<const SneakWay> sneaks,
                                       DrawingFormat format, std::string& why_not) {
    return draw::write_sheets(draw::sneak_sheets(study, sneaks), format, "Sneak paths", why_not);
}

} // namespace loomwright
