// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "study/measure.hpp"

#include <span>
#include <string>
#include <string_view>

namespace loomwright {

/// Readings and what was made of them; all of it outlives this.
struct MeasureReport {
    const StudyInput& study;
    std::span<const MeterReading> readings;
    const MeasureAnswer& answer;
    const MeterAccuracy& accuracy; ///< of readings that state none of their own
};

/// "as predicted", "explained", "unexplained", "impossible", "no prediction".
[[nodiscard]] std::string_view verdict_name(ReadingVerdict verdict);
/// "joint", "source", "load", "reading".
[[nodiscard]] std::string_view suspect_kind_name(Suspect::Kind kind);
/// The name that other answers have for it: "1.3", "F1", "K1.30-87", "GND2", "M1.+".
[[nodiscard]] std::string suspect_id(const MeasureReport& report, const Suspect& suspect);
/// What it is to a wireman: "wire 1.3 with its ends at K1.87 and M1.+", "fuse F1 in its holder".
[[nodiscard]] std::string suspect_words(const MeasureReport& report, const Suspect& suspect);
/// What to do with it, imperative.
[[nodiscard]] std::string_view suspect_remedy(const MeasureReport& report, const Suspect& suspect);
/// A node to hold a probe at: "M1.+", "chassis".
[[nodiscard]] std::string probe_words(const MeasureReport& report, int node);
/// A meter's accuracy: "0.5 % + 10 mV".
[[nodiscard]] std::string accuracy_words(const MeterAccuracy& accuracy);
/// True when some reading is not as predicted.
[[nodiscard]] bool has_deviation(const MeasureAnswer& answer);

/// The readings with prediction and verdict.
[[nodiscard]] Sheet measured_sheet(const MeasureReport& report);
/// `measure`, for people.
[[nodiscard]] std::string measure_text(const MeasureReport& report, TextWidth width = {});
/// `measure --json`:
/// {"accuracy","against","limit_sigmas","chance_as_predicted","chance","accepted",
/// "exhausted","suspects","readings":[],"culprits":[],"runners_up":[],"next"}.
[[nodiscard]] std::string measure_json(const MeasureReport& report);

} // namespace loomwright
