// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/svg_writer.hpp"

#include "sheets/characters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright::draw {
namespace {

constexpr double gap_between_sheets = 8.0;

/// Hundredths of a millimetre are finer than any printer; the same number gives the same bytes.
std::string coordinate(double value) {
    const double rounded = std::round(value * 100.0) / 100.0;
    return fmt::format("{}", rounded == 0.0 ? 0.0 : rounded);
}

const char* fill_name(Fill fill) {
    switch (fill) {
    case Fill::none:
        return "none";
    case Fill::white:
        return "#fff";
    case Fill::pale:
        return "#ececec";
    case Fill::black:
        return "#000";
    }
    return "none";
}

void write(std::string& out, const Stroke& stroke) {
    out += stroke.is_closed ? "<polygon points=\"" : "<polyline points=\"";
    for (std::size_t i = 0; i < stroke.spots.size(); ++i) {
        out += (i > 0 ? " " : "") + coordinate(stroke.spots[i].x) + "," +
               coordinate(stroke.spots[i].y);
    }
    out += fmt::format(R"(" fill="{}" stroke-width="{}")", fill_name(stroke.fill),
                       coordinate(stroke.width));
    out += stroke.is_white ? R"( stroke="#fff")" : "";
    std::string dashes;
    for (const double length : dash_lengths(stroke.dash)) {
        dashes += (dashes.empty() ? "" : ",") + coordinate(length);
    }
    out += dashes.empty() ? "/>\n" : " stroke-dasharray=\"" + dashes + "\"/>\n";
}

void write(std::string& out, const Circle& circle) {
    out += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{}\" stroke-width=\"{}\"/>\n",
                       coordinate(circle.centre.x), coordinate(circle.centre.y),
                       coordinate(circle.radius), fill_name(circle.fill), coordinate(circle.width));
}

void write(std::string& out, const Text& text, const std::string& id = {}) {
    constexpr std::array anchors = {"start", "middle", "end"};
    out += "<text";
    out += id.empty() ? "" : " id=\"" + id + "\"";
    out += fmt::format(R"( x="{}" y="{}" font-size="{}")", coordinate(text.at.x),
                       coordinate(text.at.y), coordinate(text.size));
    if (text.anchor != Anchor::start) {
        out += fmt::format(" text-anchor=\"{}\"", anchors[static_cast<std::size_t>(text.anchor)]);
    }
    out += text.is_bold ? " font-weight=\"bold\"" : "";
    if (text.room > 0.0 && text_width(text.text, text.size, text.is_bold) > text.room) {
        out += fmt::format(R"( textLength="{}" lengthAdjust="spacingAndGlyphs")",
                           coordinate(text.room));
    }
    out += ">" + markup_text(text.text) + "</text>\n";
}

/// Strokes first, then texts in a group of their own: letters have no outline. `id_of` gives each
/// text its id, "" for none.
template <typename IdOf> void write_shapes(std::string& out, const Drawing& sheet, IdOf id_of) {
    for (const Shape& shape : sheet.shapes) {
        if (const auto* stroke = std::get_if<Stroke>(&shape)) {
            write(out, *stroke);
        } else if (const auto* circle = std::get_if<Circle>(&shape)) {
            write(out, *circle);
        }
    }
    out += "<g stroke=\"none\" fill=\"#000\" font-family=\"'DejaVu Sans', Arial, Helvetica, "
           "sans-serif\">\n";
    for (const Shape& shape : sheet.shapes) {
        if (const auto* text = std::get_if<Text>(&shape)) {
            write(out, *text, id_of(*text));
        }
    }
    out += "</g>\n";
}

} // namespace

std::string write_svg(std::span<const Drawing> sheets, const std::string& title) {
    double width = 0.0;
    double height = 0.0;
    for (const Drawing& sheet : sheets) {
        width = std::max(width, sheet.width);
        height += sheet.height + (height > 0.0 ? gap_between_sheets : 0.0);
    }
    std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    out += fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0}mm\" "
                       "height=\"{1}mm\" viewBox=\"0 0 {0} {1}\">\n<title>{2}</title>\n",
                       coordinate(width), coordinate(height), markup_text(title));
    out += fmt::format("<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>\n", coordinate(width),
                       coordinate(height));
    double top = 0.0;
    for (const Drawing& sheet : sheets) {
        out += fmt::format(
            "<g transform=\"translate(0,{})\" stroke=\"#000\" stroke-linejoin=\"round\" "
            "stroke-linecap=\"round\">\n",
            coordinate(top));
        write_shapes(out, sheet, [](const Text& /*text*/) { return std::string(); });
        out += "</g>\n";
        top += sheet.height + gap_between_sheets;
    }
    return out + "</svg>\n";
}

std::string svg_figure(const Drawing& sheet, const std::string& label, std::string_view prefix,
                       MarksTaken& taken) {
    std::string out =
        fmt::format("<svg role=\"img\" aria-label=\"{2}\" viewBox=\"0 0 {0} {1}\" "
                    "style=\"width:{0}mm\">\n<rect width=\"{0}\" height=\"{1}\" fill=\"#fff\"/>\n"
                    "<g stroke=\"#000\" stroke-linejoin=\"round\" stroke-linecap=\"round\">\n",
                    coordinate(sheet.width), coordinate(sheet.height), markup_text(label));
    write_shapes(out, sheet, [&](const Text& text) {
        std::string id = text.mark.empty() ? std::string() : fmt::format("{}{}", prefix, text.mark);
        return id.empty() || !taken.insert(id).second ? std::string() : id;
    });
    return out + "</g>\n</svg>\n";
}

} // namespace loomwright::draw
