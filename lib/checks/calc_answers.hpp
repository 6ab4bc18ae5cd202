// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/calc_options.hpp"

#include <string>

namespace loomwright {

// The questions, one function each; nothing when an option was wrong.

[[nodiscard]] std::optional<CalcAnswer> answer_wire(CalcReader& reader);
[[nodiscard]] std::optional<CalcAnswer> answer_drop(CalcReader& reader);
[[nodiscard]] std::optional<CalcAnswer> answer_fuse(CalcReader& reader);
[[nodiscard]] std::optional<CalcAnswer> answer_bundle(CalcReader& reader);
[[nodiscard]] std::optional<CalcAnswer> answer_fault(CalcReader& reader);
[[nodiscard]] std::optional<CalcAnswer> answer_lamp(CalcReader& reader);

// Figures of an answer.
[[nodiscard]] CalcFigure text_figure(std::string key, std::string label, std::string text);
[[nodiscard]] CalcFigure yes_figure(std::string key, std::string label, bool yes,
                                    std::string shown);
/// A number with how it is shown; not defined where it is infinite.
[[nodiscard]] CalcFigure number_figure(std::string key, std::string label, double value,
                                       std::string shown);
[[nodiscard]] CalcFigure amps_figure(std::string key, std::string label, double amps);
[[nodiscard]] CalcFigure volts_figure(std::string key, std::string label, double volts);
[[nodiscard]] CalcFigure ohms_figure(std::string key, std::string label, double ohms);
[[nodiscard]] CalcFigure celsius_figure(std::string key, std::string label, double celsius);
[[nodiscard]] CalcFigure seconds_figure(std::string key, std::string label,
                                        std::optional<double> seconds, std::string otherwise);

/// A permitted drop: volts, or a share of the nominal voltage.
struct DropQuestion {
    std::optional<double> limit_v;
    double nominal_v = 12.0;
    std::string limit_shown; ///< "0.36 V (3 % of 12 V)"
};
/// Reads `limit` and `volts`.
[[nodiscard]] DropQuestion read_drop_question(CalcReader& reader);

/// Resistance of a length of conductor at a temperature, its drop at a current and the share of the
/// nominal voltage; against the limit where there is one.
[[nodiscard]] ProofSection prove_run_drop(const Conductor& conductor, double metres, bool is_return,
                                          double amps, double conductor_c,
                                          const DropQuestion& drop);

} // namespace loomwright
