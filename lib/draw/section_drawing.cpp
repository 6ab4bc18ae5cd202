// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/section_drawing.hpp"

#include "base/display.hpp"
#include "draw/leader_labels.hpp"
#include "draw/section_table.hpp"
#include "draw/sheet_letters.hpp"
#include "draw/write_sheets.hpp"
#include "loom/packing_shelf.hpp"
#include "network/wire_bodies.hpp"
#include "sheets/characters.hpp"
#include "study/shelves.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace loomwright {
namespace {

using draw::Anchor;
using draw::Dash;
using draw::Drawing;
using draw::figure_margin;
using draw::Fill;
using draw::line_height;
using draw::Spot;
using draw::text_size;
using draw::title_size;

// All in millimetres of paper.
constexpr double least_number = 1.8; ///< height of the smallest number in a wire
constexpr double most_number = 3.2;
constexpr double wire_outline_mm = 0.25;
constexpr double twist_mm = 0.2;
constexpr double shield_mm = 0.5;
constexpr double leader_mm = 0.15;
constexpr double cover_mm = 0.35;
constexpr double dimension_mm = 0.18;
constexpr double most_figure = 200.0; ///< diameter of all that is drawn to scale
constexpr double between_dimensions = 6.0;
constexpr double longest_bar = 50.0;
constexpr double beside_figure = 10.0;
constexpr std::size_t least_table_rows = 45;

// Scales of ISO 5455, largest first, and 1:2 and less for what is huge.
constexpr std::array scales = {20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1};

std::string scale_text(double scale) {
    return scale >= 1.0 ? fmt::format("{}:1", show_number(scale))
                        : fmt::format("1:{}", show_number(1.0 / scale));
}

std::string millimetres(Metres length) {
    return fmt::format("{:.1f} mm", length.value() * 1e3);
}

/// A circle that is dashed: the writers dash lines only.
draw::Stroke dashed_circle(Spot centre, double radius, double width, Dash dash) {
    constexpr int corners = 120;
    draw::Stroke out{
        .spots = {}, .width = width, .is_closed = true, .fill = Fill::none, .dash = dash};
    for (int i = 0; i < corners; ++i) {
        const double angle = 2.0 * std::numbers::pi * i / corners;
        out.spots.push_back(
            {centre.x + radius * std::cos(angle), centre.y + radius * std::sin(angle)});
    }
    return out;
}

/// Height at which a number fits in a circle; 0 where it would be too small to read.
double number_size(const std::string& number, double radius) {
    // The text is a box of its width and of 0.73 of its height: its corners touch the circle.
    const double half_width = 0.5 * draw::text_width(number, 1.0) + 0.1;
    const double size = 0.92 * radius / std::hypot(half_width, 0.37);
    return size < least_number ? 0.0 : std::min(size, most_number);
}

class SectionMaker {
public:
    SectionMaker(const StudyInput& study, const Sizing& sizing, const RunBundle& bundle)
        : study_(study), sizing_(sizing), bundle_(bundle), run_(study.vehicle.run(bundle.run)),
          passages_(passage_fits(study.vehicle, bundle)) {
        choose_scale();
    }

    Drawing make() {
        draw_head();
        place_figure();
        draw_dimensions(); // under the figure: their lines are seen outside it only
        draw_figure();
        const double figure_foot = y_;
        const draw::TableSize table =
            draw::draw_table(sheet_, wire_table(), {table_left(), head_foot_});
        y_ = std::max(figure_foot, head_foot_ + table.height) + line_height;
        const double foot_right =
            figure_margin + longest_bar + 2.0 + draw::text_width(scale_bar_text(), text_size);
        sheet_.width =
            std::max({table_left() + table.width, head_right_, foot_right}) + figure_margin;
        draw_foot();
        sheet_.height = y_ + figure_margin;
        return std::move(sheet_);
    }

private:
    [[nodiscard]] double on_paper(Metres length) const { return length.value() * 1e3 * scale_; }
    [[nodiscard]] Spot on_paper(SectionSpot spot) const {
        return centre_ + Spot{spot.x_m * 1e3 * scale_, spot.y_m * 1e3 * scale_};
    }

    [[nodiscard]] Metres widest() const {
        Metres out = bundle_.outside;
        for (const PassageFit& passage : passages_) {
            out = std::max(out, passage.opening);
        }
        return out;
    }

    void choose_scale() {
        scale_ = scales.back();
        for (const double scale : scales) {
            if (widest().value() * 1e3 * scale <= most_figure) {
                scale_ = scale;
                break;
            }
        }
    }

    void add_line(const std::string& text, double size, bool is_bold) {
        y_ += std::max(line_height, 1.4 * size);
        sheet_.text({figure_margin, y_}, text, size, Anchor::start, is_bold);
        head_right_ = std::max(head_right_,
                               figure_margin + draw::text_width(plain_text(text), size, is_bold));
    }

    void draw_head() {
        const Vehicle& vehicle = study_.vehicle;
        add_line(fmt::format("Run {}, {} to {}", run_.name, vehicle.point(run_.from).name,
                             vehicle.point(run_.to).name),
                 title_size, true);
        if (!vehicle.title.empty()) {
            add_line(vehicle.title, text_size, false);
        }
        add_line(fmt::format("Scale {}. {} {}, {} g/m, {} long. {}", scale_text(scale_),
                             bundle_.section.wires.size(),
                             bundle_.section.wires.size() == 1 ? "wire" : "wires",
                             show_number(bundle_.kg_per_m * 1e3, 3), show(bundle_.length),
                             cover_text()),
                 text_size, false);
        add_line(fmt::format("Least bend radius {} mm ({}). Supports: {}, {} mm apart.{}",
                             show_number(bundle_.least_bend.value() * 1e3, 3),
                             bundle_.bend_by_wire ? "by its largest wire" : "by the whole bundle",
                             bundle_.clips, show_number(bundle_.clip_spacing.value() * 1e3, 3),
                             bundle_.ties > 0 ? fmt::format(" Ties between them: {}.", bundle_.ties)
                                              : std::string()),
                 text_size, false);
        y_ += line_height;
        head_foot_ = y_;
    }

    [[nodiscard]] std::string cover_text() const {
        if (run_.cover.empty()) {
            return "No cover.";
        }
        return bundle_.cover != nullptr
                   ? fmt::format("Cover: {}, {}.", run_.cover, bundle_.cover->name)
                   : fmt::format("Cover: {}; no size of the tables takes this bundle.", run_.cover);
    }

    /// The labels that find no room in their wires decide how wide and high the figure is.
    void place_figure() {
        figure_radius_ = 0.5 * on_paper(widest());
        std::vector<draw::LeaderLabel> labels;
        double label_width = 0.0;
        for (const SectionWire& wire : bundle_.section.wires) {
            const std::string number = number_of(wire);
            if (number_size(number, radius_of(wire)) == 0.0) {
                labels.push_back({on_paper(wire.at), number});
                label_width = std::max(label_width, draw::text_width(number, text_size));
            }
        }
        frame_ = {{}, figure_radius_, text_size, 1.35 * text_size};
        labels_ = draw::place_leader_labels(std::move(labels), frame_);
        const double aside = labels_.empty() ? 0.0 : label_width + beside_figure;
        const double half_height =
            std::max(figure_radius_, draw::half_height_of_labels(labels_, frame_));
        centre_ = {figure_margin + aside + figure_radius_, head_foot_ + half_height};
        figure_right_ = centre_.x + figure_radius_ + aside;
        figure_right_ = std::max(figure_right_, centre_.x + figure_radius_ + dimension_room());
        y_ = centre_.y + half_height;
        for (draw::PlacedLabel& label : labels_) { // laid out round the origin
            label.label.from = label.label.from + centre_;
            label.elbow = label.elbow + centre_;
            label.end = label.end + centre_;
        }
    }

    [[nodiscard]] std::string number_of(const SectionWire& wire) const {
        return plain_text(study_.vehicle.wire(wire.wire).number);
    }
    [[nodiscard]] double radius_of(const SectionWire& wire) const {
        return wire.radius_m * 1e3 * scale_;
    }

    void draw_figure() {
        draw_passages(true);
        if (!run_.cover.empty()) {
            const CoverType* type = study_.catalogue.find_cover(run_.cover);
            const Metres wall = bundle_.cover != nullptr ? bundle_.cover->wall : type->wall;
            sheet_.circle(centre_, 0.5 * on_paper(bundle_.outside), cover_mm, Fill::pale);
            sheet_.circle(centre_, 0.5 * on_paper(bundle_.outside - 2.0 * wall), cover_mm,
                          Fill::white);
        }
        sheet_.shapes.emplace_back(
            dashed_circle(centre_, 0.5 * on_paper(bundle_.bare), dimension_mm, Dash::dotted));
        for (const SectionRing& shield : bundle_.section.shields) {
            sheet_.circle(on_paper(shield.at), shield.radius_m * 1e3 * scale_, shield_mm);
        }
        for (const SectionRing& twist : bundle_.section.twists) {
            sheet_.shapes.emplace_back(dashed_circle(
                on_paper(twist.at), twist.radius_m * 1e3 * scale_, twist_mm, Dash::dashed));
        }
        draw_wires();
        draw_passages(false); // too small for the loom: over it
    }

    void draw_passages(bool those_that_fit) {
        for (const PassageFit& passage : passages_) {
            if (passage.fits() == those_that_fit) {
                sheet_.shapes.emplace_back(dashed_circle(centre_, 0.5 * on_paper(passage.opening),
                                                         wire_outline_mm, Dash::long_dash));
            }
        }
    }

    /// Leaders lie over the wires they come from and under those with a number in them.
    void draw_wires() {
        for (const SectionWire& wire : bundle_.section.wires) {
            if (number_size(number_of(wire), radius_of(wire)) == 0.0) {
                sheet_.circle(on_paper(wire.at), radius_of(wire), wire_outline_mm, Fill::white);
            }
        }
        for (const draw::PlacedLabel& label : labels_) {
            sheet_.shapes.emplace_back(draw::Stroke{
                .spots = {label.label.from, label.elbow, label.end}, .width = leader_mm});
            sheet_.circle(label.label.from, 0.3, 0.0, Fill::black);
            const double aside = label.is_left ? -0.8 : 0.8;
            sheet_.text(label.end + Spot{aside, 0.35 * text_size}, label.label.text, text_size,
                        label.is_left ? Anchor::end : Anchor::start);
        }
        for (const SectionWire& wire : bundle_.section.wires) {
            const std::string number = number_of(wire);
            const double size = number_size(number, radius_of(wire));
            if (size > 0.0) {
                const Spot at = on_paper(wire.at);
                sheet_.circle(at, radius_of(wire), wire_outline_mm, Fill::white);
                sheet_.text(at + Spot{0.0, 0.36 * size}, number, size, Anchor::middle);
            }
        }
    }

    struct Dimension {
        Metres diameter;
        std::string text;
    };

    [[nodiscard]] std::vector<Dimension> dimensions() const {
        std::vector<Dimension> out{{bundle_.bare, "wires " + millimetres(bundle_.bare)}};
        if (!run_.cover.empty()) {
            out.push_back({bundle_.outside, "with cover " + millimetres(bundle_.outside)});
        }
        for (const PassageFit& passage : passages_) {
            out.push_back(
                {passage.opening,
                 fmt::format("{} {}, filled to {:.0f} %", study_.vehicle.point(passage.point).name,
                             millimetres(passage.opening), 100.0 * passage.share)});
        }
        return out;
    }

    /// What a dimension's text needs beside the figure.
    [[nodiscard]] double dimension_room() const {
        double out = 0.0;
        for (const Dimension& dimension : dimensions()) {
            out = std::max(out, 3.0 + draw::text_width(plain_text(dimension.text), text_size));
        }
        return out;
    }

    void draw_dimensions() {
        for (const Dimension& dimension : dimensions()) {
            y_ += between_dimensions;
            const double half = 0.5 * on_paper(dimension.diameter);
            for (const double side : {-1.0, 1.0}) {
                const double x = centre_.x + side * half;
                sheet_.line({x, centre_.y}, {x, y_ + 1.0}, dimension_mm);
                draw_arrow({x, y_}, side);
            }
            const double text_left = centre_.x + figure_radius_ + 2.0; // right of every line down
            sheet_.line({centre_.x - half, y_}, {text_left, y_}, dimension_mm);
            sheet_.text({text_left + 1.0, y_ + 0.35 * text_size}, dimension.text, text_size);
        }
    }

    void draw_arrow(Spot tip, double side) {
        constexpr double length = 2.0;
        constexpr double half = 0.4;
        sheet_.shapes.emplace_back(draw::Stroke{.spots = {tip,
                                                          {tip.x - side * length, tip.y - half},
                                                          {tip.x - side * length, tip.y + half}},
                                                .width = 0.0,
                                                .is_closed = true,
                                                .fill = Fill::black});
    }

    [[nodiscard]] double table_left() const { return figure_right_ + beside_figure; }

    [[nodiscard]] draw::TextTable wire_table() const {
        const Vehicle& vehicle = study_.vehicle;
        std::vector<WireId> wires;
        for (const SectionWire& wire : bundle_.section.wires) {
            if (std::ranges::find(wires, wire.wire) == wires.end()) { // in it twice, told once
                wires.push_back(wire.wire);
            }
        }
        const bool has_twists = std::ranges::any_of(
            wires, [&](WireId id) { return !vehicle.wire(id).twisted.empty(); });
        draw::TextTable table;
        table.head = {"wire", "size", "outside", "colour", "from", "to"};
        if (has_twists) {
            table.head.emplace_back("pair");
        }
        if (!bundle_.section.shields.empty()) {
            table.head.emplace_back("screen");
        }
        for (const WireId id : wires) {
            const Wire& wire = vehicle.wire(id);
            const WireDesign& design = sizing_.design.wires[id.index()];
            std::vector<std::string> row = {wire.number,
                                            show(design.conductor->size),
                                            millimetres(study_.catalogue.outside_diameter(
                                                *design.conductor, *design.insulation)),
                                            wire.colour,
                                            vehicle.show(wire.from),
                                            vehicle.show(wire.to)};
            if (has_twists) {
                row.push_back(wire.twisted);
            }
            if (!bundle_.section.shields.empty()) {
                row.push_back(screen_of(id));
            }
            table.rows.push_back(std::move(row));
        }
        const double figure_rows = (y_ - head_foot_) / table.pitch - 2.0;
        table.most_rows = std::max(least_table_rows, static_cast<std::size_t>(figure_rows));
        return table;
    }

    /// The name of the screen that a wire lies in; "" for none.
    [[nodiscard]] std::string screen_of(WireId id) const {
        for (const Shield& shield : study_.vehicle.shields) {
            if (std::ranges::find(shield.around, id, &Given<WireId>::value) !=
                shield.around.end()) {
                return shield.name;
            }
        }
        return {};
    }

    /// Millimetres of loom that the bar of the scale stands for: as many as have room.
    [[nodiscard]] double scale_bar() const {
        constexpr std::array lengths = {500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0};
        const auto* const found = std::ranges::find_if(
            lengths, [&](double length) { return length * scale_ <= longest_bar; });
        return found != lengths.end() ? *found : lengths.back();
    }
    [[nodiscard]] std::string scale_bar_text() const {
        return fmt::format("{} mm of loom, where the sheet is printed at its full size",
                           show_number(scale_bar()));
    }

    void draw_foot() {
        y_ += line_height;
        const double bar = scale_bar() * scale_;
        sheet_.line({figure_margin, y_}, {figure_margin + bar, y_}, 0.5);
        for (const double x : {0.0, bar}) {
            sheet_.line({figure_margin + x, y_ - 1.2}, {figure_margin + x, y_ + 1.2}, 0.35);
        }
        sheet_.text({figure_margin + bar + 2.0, y_ + 0.35 * text_size}, scale_bar_text(),
                    text_size);
        y_ += line_height;
        for (const std::string& line : draw::fit_text(
                 "The tightest packing that was found, with the largest outside diameters of the "
                 "tables. Wound by hand the wires lie otherwise, and the loom is thicker.",
                 sheet_.width - 2.0 * figure_margin, text_size, 3)) {
            y_ += line_height;
            sheet_.text({figure_margin, y_}, line, text_size);
        }
    }

    const StudyInput& study_;
    const Sizing& sizing_;
    const RunBundle& bundle_;
    const Run& run_;
    std::vector<PassageFit> passages_;
    double scale_ = 1.0;
    Drawing sheet_;
    double y_ = figure_margin;
    double head_foot_ = 0.0;
    double head_right_ = 0.0;
    double figure_radius_ = 0.0;
    double figure_right_ = 0.0;
    Spot centre_;
    draw::LeaderFrame frame_;
    std::vector<draw::PlacedLabel> labels_;
};

} // namespace

namespace draw {

Drawing section_sheet(const StudyInput& study, const Sizing& sizing, const RunBundle& bundle) {
    return SectionMaker(study, sizing, bundle).make();
}

} // namespace draw

std::optional<std::string> draw_section(const StudyInput& study, const Sizing& sizing, RunId run,
                                        DrawingFormat format, std::string& why_not) {
    const WireBodies bodies = wire_bodies(study.catalogue, sizing.design);
    const RunBundle bundle = BundleMaker(study.vehicle, study.catalogue, study.routing, bodies,
                                         shelf_of<PackingShelf>(study))
                                 .make(run);
    const std::array sheets = {draw::section_sheet(study, sizing, bundle)};
    return draw::write_sheets(sheets, format, "Section of a run", why_not);
}

} // namespace loomwright
