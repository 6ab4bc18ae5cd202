// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/drawing.hpp"

#include "sheets/characters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace loomwright::draw {
namespace {

// Advance widths of the printable ASCII characters in thousandths of the font's height, measured on
// DejaVu Sans, regular and bold; other letters are taken as wide as a wide small letter, wide
// scripts as a full square.
constexpr std::array<int, 95> regular = {
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361,  318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635,  611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352,  635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592,  525, 636, 337, 636, 838};
constexpr std::array<int, 95> bold = {
    348,  456, 521, 838, 696, 1002, 872, 306,  457, 457, 523, 838, 380, 415,  380, 365,
    696,  696, 696, 696, 696, 696,  696, 696,  696, 696, 400, 400, 838, 838,  838, 580,
    1000, 774, 762, 734, 830, 683,  683, 821,  837, 372, 372, 775, 637, 995,  837, 850,
    733,  850, 770, 720, 682, 812,  774, 1103, 771, 724, 725, 457, 365, 457,  838, 500,
    500,  675, 716, 593, 716, 678,  435, 716,  712, 343, 343, 665, 343, 1042, 712, 687,
    716,  716, 493, 595, 478, 712,  652, 924,  645, 652, 582, 712, 365, 712,  838};

constexpr std::array dashed = {1.5, 1.0};
constexpr std::array dotted = {0.2, 0.9};
constexpr std::array dash_dot = {2.4, 0.9, 0.2, 0.9};
constexpr std::array long_dash = {4.0, 1.2};
constexpr std::array dash_dot_dot = {2.4, 0.9, 0.2, 0.9, 0.2, 0.9};

constexpr std::string_view ellipsis = "\xE2\x80\xA6";

double character_width(std::string_view character, bool is_bold) {
    const CodePoint point = code_point_at(character, 0);
    if (point.value >= 32 && point.value < 127) {
        const std::size_t index = point.value - 32;
        return (is_bold ? bold[index] : regular[index]) / 1000.0;
    }
    const int columns = display_width(character);
    return columns == 0 ? 0.0 : columns == 1 ? 0.8 : 1.1;
}

/// As much of `text` as fits in `width` with an ellipsis after it.
std::string cut_text(std::string_view text, double width, double size, bool is_bold) {
    std::string out;
    double used = text_width(ellipsis, size, is_bold);
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t bytes = code_point_at(text, i).bytes;
        const std::string_view character = text.substr(i, bytes);
        used += character_width(character, is_bold) * size;
        if (used > width) {
            break;
        }
        out += character;
        i += bytes;
    }
    while (!out.empty() && out.back() == ' ') {
        out.pop_back();
    }
    return out + std::string(ellipsis);
}

} // namespace

std::span<const double> dash_lengths(Dash dash) {
    switch (dash) {
    case Dash::none:
        return {};
    case Dash::dashed:
        return dashed;
    case Dash::dotted:
        return dotted;
    case Dash::dash_dot:
        return dash_dot;
    case Dash::long_dash:
        return long_dash;
    case Dash::dash_dot_dot:
        return dash_dot_dot;
    }
    return {};
}

void Drawing::line(Spot a, Spot b, double width_mm) {
    shapes.emplace_back(Stroke{{a, b}, width_mm});
}

void Drawing::circle(Spot centre, double radius, double width_mm, Fill fill) {
    shapes.emplace_back(Circle{centre, radius, width_mm, fill});
}

void Drawing::box(Spot corner, double w, double h, double width_mm, Fill fill) {
    shapes.emplace_back(
        Stroke{{corner, corner + Spot{w, 0.0}, corner + Spot{w, h}, corner + Spot{0.0, h}},
               width_mm,
               true,
               fill});
}

void Drawing::text(Spot at, std::string_view text, double size, Anchor anchor, bool is_bold,
                   double room) {
    if (!text.empty()) {
        shapes.emplace_back(Text{at, plain_text(text), size, anchor, is_bold, room});
    }
}

void Drawing::add(const std::vector<Shape>& others, Spot offset, double scale) {
    const auto moved_spot = [&](Spot spot) {
        return Spot{spot.x * scale, spot.y * scale} + offset;
    };
    for (const Shape& shape : others) {
        Shape moved = shape;
        if (auto* stroke = std::get_if<Stroke>(&moved)) {
            std::ranges::transform(stroke->spots, stroke->spots.begin(), moved_spot);
            stroke->width *= scale;
        } else if (auto* circle = std::get_if<Circle>(&moved)) {
            circle->centre = moved_spot(circle->centre);
            circle->radius *= scale;
            circle->width *= scale;
        } else if (auto* text = std::get_if<Text>(&moved)) {
            text->at = moved_spot(text->at);
            text->size *= scale;
            text->room *= scale;
        }
        shapes.push_back(std::move(moved));
    }
}

double text_width(std::string_view text, double size, bool is_bold) {
    double width = 0.0;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t bytes = code_point_at(text, i).bytes;
        width += character_width(text.substr(i, bytes), is_bold);
        i += bytes;
    }
    return width * size;
}

std::string wire_mark(WireId wire) {
    return fmt::format("w{}", wire.index());
}

std::string device_mark(DeviceId device) {
    return fmt::format("d{}", device.index());
}

void Drawing::mark(std::string name) {
    if (auto* last = shapes.empty() ? nullptr : std::get_if<Text>(&shapes.back())) {
        last->mark = std::move(name);
    }
}

std::vector<std::string> fit_text(std::string_view text, double width, double size,
                                  std::size_t lines, bool is_bold) {
    std::vector<std::string> out;
    std::string line;
    const std::string plain = plain_text(text);
    for (std::size_t i = 0; i < plain.size();) {
        const std::size_t start = plain.find_first_not_of(' ', i);
        if (start == std::string::npos) {
            break;
        }
        const std::size_t end = std::min(plain.find(' ', start), plain.size());
        const std::string word = plain.substr(start, end - start);
        std::string longer = line;
        longer.append(line.empty() ? "" : " ").append(word);
        if (text_width(longer, size, is_bold) <= width) {
            line = longer;
            i = end;
        } else if (out.size() + 1 < lines && !line.empty()) {
            out.push_back(std::exchange(line, {}));
        } else {
            out.push_back(cut_text(longer, width, size, is_bold));
            return out;
        }
    }
    if (!line.empty()) {
        out.push_back(line);
    }
    return out;
}

} // namespace loomwright::draw
