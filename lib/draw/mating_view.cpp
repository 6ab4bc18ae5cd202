// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/mating_view.hpp"

#include "draw/sheet_letters.hpp"
#include "draw/svg_writer.hpp"
#include "draw/write_sheets.hpp"
#include "sheets/characters.hpp"
#include "sheets/connector_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace loomwright {
namespace {

using draw::Anchor;
using draw::Drawing;
using draw::line_height;
using draw::Spot;
using draw::text_size;
using draw::title_size;

// All in millimetres of paper.
constexpr double face_margin = 6.0;
constexpr double cavity_name_size = 2.2;
constexpr double wire_size = 2.8;
constexpr double colour_size = 2.4;
constexpr double cell_height = 13.0;
constexpr double least_cell = 11.0;
constexpr double most_cell = 24.0;
constexpr double rim = 2.5; ///< from the cavities to the edge of the housing
constexpr double between_faces = 14.0;
constexpr double housing_mm = 0.5;
constexpr double cavity_mm = 0.25;
constexpr double row_name_room = 8.0;
constexpr double widest_pair = 180.0;    ///< beyond it the faces stand one under the other
constexpr std::size_t most_in_line = 20; ///< cavities; a longer row goes on in the next line

constexpr const char* mating_caption = "Mating face";
constexpr const char* wire_side_caption = "Wire side, mirrored";

/// Cavities of one line of a face, from left to right.
struct FaceLine {
    std::string name; ///< of its row, in the first line of it
    std::vector<const Cavity*> cavities;
};

class FaceMaker {
public:
    FaceMaker(const StudyInput& study, const PlugHalf& half) : study_(study), half_(half) {
        cell_width_ = least_cell;
        for (const Cavity& cavity : half.cavities) {
            for (const auto& [text, size] :
                 {std::pair{cavity.name, cavity_name_size}, std::pair{wires_of(cavity), wire_size},
                  std::pair{colours_of(cavity), colour_size}}) {
                cell_width_ = std::max(cell_width_, draw::text_width(text, size, true) + 2.0);
            }
        }
        cell_width_ = std::min(cell_width_, most_cell);
    }

    Drawing make() {
        draw_head();
        const std::vector<FaceLine> mating = lines(half_.is_mirrored);
        const std::vector<FaceLine> wire_side = lines(!half_.is_mirrored);
        const double width =
            std::max(face_width(mating),
                     row_name_room + draw::text_width(wire_side_caption, text_size, true));
        const bool beside = 2.0 * width + between_faces <= widest_pair;
        const double top = y_;
        const double left_foot = draw_face(mating_caption, mating, {face_margin, top});
        const Spot second = beside ? Spot{face_margin + width + between_faces, top}
                                   : Spot{face_margin, left_foot + line_height};
        const double foot = std::max(left_foot, draw_face(wire_side_caption, wire_side, second));
        sheet_.width = std::max(second.x + width, head_right_) + face_margin;
        sheet_.height = foot + face_margin;
        return std::move(sheet_);
    }

private:
    [[nodiscard]] std::string wires_of(const Cavity& cavity) const {
        std::string out;
        for (const WireId wire : cavity.wires) {
            out += (out.empty() ? "" : "+") + plain_text(study_.vehicle.wire(wire).number);
        }
        return out;
    }
    /// The colour of its wire; of two that are not of one colour both.
    [[nodiscard]] std::string colours_of(const Cavity& cavity) const {
        std::string out;
        for (const WireId wire : cavity.wires) {
            const std::string& colour = study_.vehicle.wire(wire).colour;
            if (!colour.empty() && out != colour) {
                out += (out.empty() ? "" : "+") + colour;
            }
        }
        return out;
    }

    void add_line(const std::string& text, double size, bool is_bold) {
        y_ += std::max(line_height, 1.4 * size);
        sheet_.text({face_margin, y_}, text, size, Anchor::start, is_bold);
        head_right_ =
            std::max(head_right_, face_margin + draw::text_width(plain_text(text), size, is_bold));
    }

    void draw_head() {
        const Device& device = study_.vehicle.device(half_.device);
        add_line(half_.name + (device.title.empty() ? "" : ", " + device.title), title_size, true);
        add_line(housing_text(study_.vehicle, half_), text_size, false);
        y_ += line_height;
    }

    [[nodiscard]] std::vector<FaceLine> lines(bool is_mirrored) const {
        std::vector<FaceLine> out;
        const std::size_t in_row = half_.cavities_in_row();
        for (std::size_t first = 0; first < half_.cavities.size(); first += in_row) {
            const std::size_t last = std::min(first + in_row, half_.cavities.size());
            std::vector<const Cavity*> row;
            for (std::size_t c = first; c < last; ++c) {
                row.push_back(&half_.cavities[c]);
            }
            row.resize(in_row, nullptr); // a last row that is shorter keeps its place in the mirror
            if (is_mirrored) {
                std::ranges::reverse(row);
            }
            for (std::size_t c = 0; c < row.size(); c += most_in_line) {
                const auto from = row.begin() + static_cast<std::ptrdiff_t>(c);
                const auto to = row.begin() +
                                static_cast<std::ptrdiff_t>(std::min(c + most_in_line, row.size()));
                out.push_back({c > 0            ? "..."
                               : half_.rows > 1 ? fmt::format("row {}", first / in_row + 1)
                                                : std::string(),
                               {from, to}});
            }
        }
        return out;
    }

    [[nodiscard]] double face_width(const std::vector<FaceLine>& face) const {
        std::size_t most = 0;
        for (const FaceLine& line : face) {
            most = std::max(most, line.cavities.size());
        }
        return row_name_room + 2.0 * rim + static_cast<double>(most) * cell_width_;
    }

    /// Draws a face under its caption and gives its foot.
    double draw_face(const std::string& caption, const std::vector<FaceLine>& face, Spot corner) {
        const Spot housing = corner + Spot{row_name_room, line_height};
        sheet_.text({housing.x, corner.y + 0.6 * line_height}, caption, text_size, Anchor::start,
                    true);
        const double height = 2.0 * rim + static_cast<double>(face.size()) * cell_height;
        sheet_.box(housing, face_width(face) - row_name_room, height, housing_mm);
        double y = housing.y + rim;
        for (const FaceLine& line : face) {
            sheet_.text({housing.x - 1.0, y + 0.5 * cell_height + 0.35 * cavity_name_size},
                        line.name, cavity_name_size, Anchor::end);
            double x = housing.x + rim;
            for (const Cavity* cavity : line.cavities) {
                if (cavity != nullptr) {
                    draw_cavity(*cavity, {x, y});
                }
                x += cell_width_;
            }
            y += cell_height;
        }
        return housing.y + height;
    }

    void draw_cavity(const Cavity& cavity, Spot corner) {
        constexpr double gap = 0.6;
        sheet_.box(corner + Spot{gap, gap}, cell_width_ - 2.0 * gap, cell_height - 2.0 * gap,
                   cavity_mm);
        const double room = cell_width_ - 2.0;
        sheet_.text(corner + Spot{1.4, 3.2}, cavity.name, cavity_name_size, Anchor::start, true,
                    room);
        const double middle = corner.x + 0.5 * cell_width_;
        if (cavity.wires.empty()) {
            draw_empty(corner);
            return;
        }
        sheet_.text({middle, corner.y + 7.2}, fitted(wires_of(cavity), wire_size, room), wire_size,
                    Anchor::middle, false, room);
        sheet_.text({middle, corner.y + 10.8}, fitted(colours_of(cavity), colour_size, room),
                    colour_size, Anchor::middle, false, room);
    }

    static std::string fitted(const std::string& text, double size, double room) {
        const std::vector<std::string> lines = draw::fit_text(text, room, size, 1);
        return lines.empty() ? std::string() : lines.front();
    }

    /// A cavity with a plug is crossed out, one that is left open has a dash.
    void draw_empty(Spot corner) {
        const double half = 0.15 * cell_width_;
        const Spot middle = corner + Spot{0.5 * cell_width_, 0.62 * cell_height};
        if (half_.face->is_sealed) {
            sheet_.line(middle + Spot{-half, -half}, middle + Spot{half, half}, cavity_mm);
            sheet_.line(middle + Spot{-half, half}, middle + Spot{half, -half}, cavity_mm);
        } else {
            sheet_.line(middle + Spot{-half, 0.0}, middle + Spot{half, 0.0}, cavity_mm);
        }
    }

    const StudyInput& study_;
    const PlugHalf& half_;
    double cell_width_ = least_cell;
    Drawing sheet_;
    double y_ = face_margin - line_height;
    double head_right_ = 0.0;
};

} // namespace

namespace draw {

Drawing mating_view_sheet(const StudyInput& study, const PlugHalf& half) {
    return FaceMaker(study, half).make();
}

} // namespace draw

std::string mating_view_svg(const StudyInput& study, const PlugHalf& half) {
    const std::array sheets = {draw::mating_view_sheet(study, half)};
    return draw::write_svg(sheets, "Mating view of " + half.name);
}

std::optional<std::string> draw_mating_view(const StudyInput& study, const Sizing& sizing,
                                            DeviceId device, DrawingFormat format,
                                            std::string& why_not) {
    const EndFittings fittings(study.vehicle, study.catalogue, sizing.design);
    std::vector<Drawing> sheets;
    for (const PlugHalf& half : plug_halves(study, sizing.design, fittings)) {
        if (half.device == device) {
            sheets.push_back(draw::mating_view_sheet(study, half));
        }
    }
    return draw::write_sheets(sheets, format, "Mating view", why_not);
}

} // namespace loomwright
