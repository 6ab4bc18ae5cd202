// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/figure_text.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

namespace loomwright {

std::string figure_text(const Figure& figure) {
    // The unit of a figure is SI; people read millimetres and milliohms.
    if (figure.unit == "m2") {
        return fmt::format("{}: {}", figure.label, show(SquareMetres(figure.value)));
    }
    if (figure.unit == "A") {
        return fmt::format("{}: {}", figure.label, show(Amps(figure.value)));
    }
    if (figure.unit == "V") {
        return fmt::format("{}: {}", figure.label, show(Volts(figure.value)));
    }
    if (figure.unit == "ohm") {
        return fmt::format("{}: {}", figure.label, show(Ohms(figure.value)));
    }
    if (figure.unit == "s") {
        return fmt::format("{}: {}", figure.label, show(Seconds(figure.value)));
    }
    if (figure.unit == "m" && figure.value > 0.0 && figure.value < 0.1) {
        return fmt::format("{}: {} mm", figure.label, show_number(figure.value * 1e3));
    }
    return figure.unit.empty()
               ? fmt::format("{}: {}", figure.label, show_number(figure.value))
               : fmt::format("{}: {} {}", figure.label, show_number(figure.value), figure.unit);
}

} // namespace loomwright
