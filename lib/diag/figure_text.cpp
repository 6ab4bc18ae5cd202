// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/figure_text.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <cmath>

namespace loomwright {

std::string figure_value(const Figure& figure) {
    // The unit of a figure is SI; people read millimetres and milliohms.
    if (figure.unit == "m2") {
        return show(SquareMetres(figure.value));
    }
    if (figure.unit == "A") {
        return show(Amps(figure.value));
    }
    if (figure.unit == "V") {
        return show(Volts(figure.value));
    }
    if (figure.unit == "ohm") {
        return show(Ohms(figure.value));
    }
    if (figure.unit == "s") {
        return show(Seconds(figure.value));
    }
    if (figure.unit == "m" && figure.value > 0.0 && figure.value < 0.1) {
        return show_number(figure.value * 1e3) + " mm";
    }
    return figure.unit.empty() ? show_number(figure.value)
                               : fmt::format("{} {}", show_number(figure.value), figure.unit);
}

std::string figure_text(const Figure& figure) {
    return fmt::format("{}: {}", figure.label, figure_value(figure));
}

std::string figures_line(const Finding& finding) {
    std::string out;
    for (const Figure& figure : finding.figures) {
        out += (out.empty() ? "" : "; ") + figure_text(figure);
    }
    if (const auto margin = finding.margin()) {
        out += fmt::format("; margin: {}", show_percent(std::round(*margin * 1e3) / 1e3));
    }
    return out;
}

std::string_view verdict_name(const Finding& finding) {
    return rule_info(finding.rule).is_input ? "error" : severity_name(finding.severity);
}

} // namespace loomwright
