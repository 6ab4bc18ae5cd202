// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/write_sheets.hpp"

#include "draw/drawing_library.hpp"
#include "draw/svg_writer.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

namespace loomwright {
namespace {

constexpr std::array format_names = {
    std::pair{std::string_view("svg"), DrawingFormat::svg},
    std::pair{std::string_view("pdf"), DrawingFormat::pdf},
    std::pair{std::string_view("png"), DrawingFormat::png},
    std::pair{std::string_view("dot"), DrawingFormat::dot},
};

} // namespace

std::optional<DrawingFormat> drawing_format(std::string_view name) {
    std::string lower(name.starts_with('.') ? name.substr(1) : name);
    std::ranges::transform(lower, lower.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const auto* const found = std::ranges::find(format_names, std::string_view(lower),
                                                &std::pair<std::string_view, DrawingFormat>::first);
    return found == format_names.end() ? std::nullopt : std::optional(found->second);
}

namespace draw {

std::optional<std::string> write_sheets(std::span<const Drawing> sheets, DrawingFormat format,
                                        const std::string& title, std::string& why_not) {
    if (format == DrawingFormat::svg) {
        return write_svg(sheets, title);
    }
    if (format == DrawingFormat::dot) {
        why_not = "DOT holds graphs alone; SVG, PDF and PNG hold this";
        return std::nullopt;
    }
    const DrawingLibrary* library = load_drawing_library(why_not);
    if (library == nullptr) {
        return std::nullopt;
    }
    return format == DrawingFormat::pdf ? library->write_pdf(sheets, title, why_not)
                                        : library->write_png(sheets, why_not);
}

} // namespace draw
} // namespace loomwright
