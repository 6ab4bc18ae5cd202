// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/cairo_writer.hpp"

#include <cairo-pdf.h>
#include <cairo.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>

namespace loomwright::draw {
namespace {

constexpr double points_per_mm = 72.0 / 25.4;
constexpr double gap_between_sheets = 8.0;
constexpr double pale_level = 0xec / 255.0; // as in the SVG
constexpr double most_pixels = 30000.0;     // a side: the library holds 32767
constexpr double most_area = 150.0e6;       // pixels: 600 MB

struct SurfaceCloser {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
struct ContextCloser {
    void operator()(cairo_t* context) const { cairo_destroy(context); }
};
using Surface = std::unique_ptr<cairo_surface_t, SurfaceCloser>;
using Context = std::unique_ptr<cairo_t, ContextCloser>;

cairo_status_t append(void* closure, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

void paint(cairo_t* context, Fill fill) {
    if (fill != Fill::none) {
        const double level = fill == Fill::white ? 1.0 : fill == Fill::pale ? pale_level : 0.0;
        cairo_set_source_rgb(context, level, level, level);
        cairo_fill_preserve(context);
    }
}

void finish(cairo_t* context, Fill fill, double width, bool is_white = false) {
    paint(context, fill);
    const double level = is_white ? 1.0 : 0.0;
    cairo_set_source_rgb(context, level, level, level);
    if (width > 0.0) {
        cairo_set_line_width(context, width);
        cairo_stroke(context);
    } else {
        cairo_new_path(context);
    }
}

void draw_shape(cairo_t* context, const Stroke& stroke) {
    for (const Spot& spot : stroke.spots) {
        cairo_line_to(context, spot.x, spot.y);
    }
    if (stroke.is_closed) {
        cairo_close_path(context);
    }
    const std::span<const double> dashes = dash_lengths(stroke.dash);
    cairo_set_dash(context, dashes.data(), static_cast<int>(dashes.size()), 0.0);
    finish(context, stroke.fill, stroke.width, stroke.is_white);
    cairo_set_dash(context, nullptr, 0, 0.0);
}

void draw_shape(cairo_t* context, const Circle& circle) {
    cairo_arc(context, circle.centre.x, circle.centre.y, circle.radius, 0.0,
              2.0 * std::numbers::pi);
    finish(context, circle.fill, circle.width);
}

void draw_shape(cairo_t* context, const Text& text) {
    cairo_select_font_face(context, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           text.is_bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(context, text.size);
    cairo_text_extents_t extents;
    cairo_text_extents(context, text.text.c_str(), &extents);
    // Another font may be wider than the one that the room was reckoned with.
    const double reckoned = text_width(text.text, text.size, text.is_bold);
    const double room = text.room > 0.0 ? std::min(text.room, reckoned) : reckoned;
    const double squeeze = extents.x_advance > room ? room / extents.x_advance : 1.0;
    const double share = text.anchor == Anchor::start    ? 0.0
                         : text.anchor == Anchor::middle ? 0.5
                                                         : 1.0;
    cairo_save(context);
    cairo_translate(context, text.at.x - share * squeeze * extents.x_advance, text.at.y);
    cairo_scale(context, squeeze, 1.0);
    cairo_move_to(context, 0.0, 0.0);
    cairo_set_source_rgb(context, 0.0, 0.0, 0.0);
    cairo_show_text(context, text.text.c_str());
    cairo_restore(context);
    cairo_new_path(context);
}

void draw_sheet(cairo_t* context, const Drawing& sheet) {
    cairo_set_line_join(context, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(context, CAIRO_LINE_CAP_ROUND);
    // As in the SVG: lines first, then texts over them.
    for (const Shape& shape : sheet.shapes) {
        if (const auto* stroke = std::get_if<Stroke>(&shape)) {
            draw_shape(context, *stroke);
        } else if (const auto* circle = std::get_if<Circle>(&shape)) {
            draw_shape(context, *circle);
        }
    }
    for (const Shape& shape : sheet.shapes) {
        if (const auto* text = std::get_if<Text>(&shape)) {
            draw_shape(context, *text);
        }
    }
}

bool is_good(cairo_status_t status, std::string& why_not) {
    if (status == CAIRO_STATUS_SUCCESS) {
        return true;
    }
    why_not = std::string("the drawing could not be rendered: ") + cairo_status_to_string(status);
    return false;
}

} // namespace

std::optional<std::string> write_pdf(std::span<const Drawing> sheets, const std::string& title,
                                     std::string& why_not) {
    std::string bytes;
    const Surface surface(cairo_pdf_surface_create_for_stream(append, &bytes, 100.0, 100.0));
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
    // An empty date is left out: the same design gives the same bytes on any day.
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "");
    const Context context(cairo_create(surface.get()));
    for (const Drawing& sheet : sheets) {
        cairo_pdf_surface_set_size(surface.get(), sheet.width * points_per_mm,
                                   sheet.height * points_per_mm);
        cairo_identity_matrix(context.get());
        cairo_scale(context.get(), points_per_mm, points_per_mm);
        draw_sheet(context.get(), sheet);
        cairo_show_page(context.get());
    }
    const cairo_status_t drawn = cairo_status(context.get());
    cairo_surface_finish(surface.get());
    if (!is_good(drawn, why_not) || !is_good(cairo_surface_status(surface.get()), why_not)) {
        return std::nullopt;
    }
    return bytes;
}

std::optional<std::string> write_png(std::span<const Drawing> sheets, std::string& why_not) {
    double width = 0.0;
    double height = 0.0;
    for (const Drawing& sheet : sheets) {
        width = std::max(width, sheet.width);
        height += sheet.height + (height > 0.0 ? gap_between_sheets : 0.0);
    }
    double scale = 150.0 / 25.4;
    scale = std::min(scale, most_pixels / std::max({width, height, 1.0}));
    scale = std::min(scale, std::sqrt(most_area / std::max(width * height, 1.0)));
    const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                                     static_cast<int>(width * scale) + 1,
                                                     static_cast<int>(height * scale) + 1));
    const Context context(cairo_create(surface.get()));
    cairo_set_source_rgb(context.get(), 1.0, 1.0, 1.0);
    cairo_paint(context.get());
    double top = 0.0;
    for (const Drawing& sheet : sheets) {
        cairo_identity_matrix(context.get());
        cairo_scale(context.get(), scale, scale);
        cairo_translate(context.get(), 0.0, top);
        draw_sheet(context.get(), sheet);
        top += sheet.height + gap_between_sheets;
    }
    std::string bytes;
    if (!is_good(cairo_status(context.get()), why_not) ||
        !is_good(cairo_surface_write_to_png_stream(surface.get(), append, &bytes), why_not)) {
        return std::nullopt;
    }
    return bytes;
}

} // namespace loomwright::draw
