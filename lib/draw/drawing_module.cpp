// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The loaded part: Graphviz and cairo behind one table of functions.
#include "draw/cairo_writer.hpp"
#include "draw/drawing_library.hpp"
#include "draw/graphviz.hpp"

const loomwright::draw::DrawingLibrary* loomwright_drawing_library() {
    static constexpr loomwright::draw::DrawingLibrary library{
        loomwright::draw::start_dot, loomwright::draw::write_pdf, loomwright::draw::write_png};
    return &library;
}
