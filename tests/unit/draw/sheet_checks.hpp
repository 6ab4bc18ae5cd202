// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace loomwright {

struct Box {
    double left, top, right, bottom;
    std::string text;
};

inline std::vector<Box> text_boxes(const draw::Drawing& sheet) {
    std::vector<Box> out;
    for (const draw::Shape& shape : sheet.shapes) {
        if (const auto* text = std::get_if<draw::Text>(&shape)) {
            const double width = draw::text_width(text->text, text->size, text->is_bold);
            const double left = text->anchor == draw::Anchor::start    ? text->at.x
                                : text->anchor == draw::Anchor::middle ? text->at.x - width / 2.0
                                                                       : text->at.x - width;
            out.push_back({left, text->at.y - 0.73 * text->size, left + width,
                           text->at.y + 0.24 * text->size, text->text});
        }
    }
    return out;
}

/// No text off the sheet or upon another, no line off the sheet.
inline void check_texts_and_lines(const draw::Drawing& sheet) {
    const auto boxes = text_boxes(sheet);
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        const Box& a = boxes[i];
        CHECK_MESSAGE(
            (a.left >= 0.0 && a.right <= sheet.width && a.top >= 0.0 && a.bottom <= sheet.height),
            a.text, " is off the sheet");
        for (std::size_t k = i + 1; k < boxes.size(); ++k) {
            const Box& b = boxes[k];
            CHECK_MESSAGE(
                (a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top),
                a.text, " and ", b.text, " overlap");
        }
    }
    for (const draw::Shape& shape : sheet.shapes) {
        if (const auto* stroke = std::get_if<draw::Stroke>(&shape)) {
            for (const draw::Spot& spot : stroke->spots) {
                CHECK((spot.x >= 0.0 && spot.x <= sheet.width));
                CHECK((spot.y >= 0.0 && spot.y <= sheet.height));
            }
        }
    }
}

} // namespace loomwright
