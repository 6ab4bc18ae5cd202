// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/display.hpp"
#include "sheets/measure_sheets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double hot_joint_w = 2.0; // common practice, no source
constexpr std::size_t most_named = 12;

std::string signed_volts(double volts) {
    return fmt::format("{}{}", volts < 0.0 ? "-" : "+", show(Volts(std::abs(volts))));
}

std::string verdict_cell(const ReadingResult& result) {
    const bool is_of_culprit = result.verdict == ReadingVerdict::explained && result.culprit >= 0;
    return is_of_culprit ? fmt::format("explained by {}", result.culprit + 1)
                         : std::string(verdict_name(result.verdict));
}

std::string chance_words(double chance) {
    return chance >= 1e-4 ? show_percent(chance) : "less than 0.01 %";
}

/// Never certain: what is not in the file takes no part in the comparison.
std::string sure_words(double sure) {
    const std::string share = sure > 0.999 ? "over 99.9 %" : show_percent(sure);
    const std::string_view words = sure >= 0.95  ? "almost certainly"
                                   : sure >= 0.8 ? "very likely"
                                   : sure >= 0.5 ? "likely"
                                                 : "perhaps";
    return fmt::format("{} ({})", words, share);
}

/// Writes the answer for people.
class DiagnosisWriter {
public:
    DiagnosisWriter(const MeasureReport& report, TextWidth width)
        : report_(report), answer_(report.answer), width_(width) {}

    [[nodiscard]] std::string write() {
        out_ = sheet_text(measured_sheet(report_), width_);
        out_ += "\nDiagnosis\n";
        write_summary();
        for (std::size_t i = 0; i < answer_.culprits.size(); ++i) {
            write_culprit(i);
        }
        write_strays();
        write_runners_up();
        write_next();
        write_limits();
        return std::move(out_);
    }

private:
    template <typename... Args> void line(fmt::format_string<Args...> format, Args&&... args) {
        out_ += fmt::format(format, std::forward<Args>(args)...) + "\n";
    }

    [[nodiscard]] std::string state(std::size_t index) const {
        return state_name(report_.study.vehicle, answer_.states[index].id);
    }

    void write_summary() {
        if (answer_.compared == 0) {
            line("No reading has a prediction to be compared with.");
            return;
        }
        if (answer_.culprits.empty() && answer_.is_accepted) {
            const std::string compared =
                answer_.compared == 1
                    ? "The one reading compared is"
                    : fmt::format("All {} readings compared are", answer_.compared);
            line("{} as predicted, within meter and tolerances.", compared);
            return;
        }
        line("Meter and tolerances alone would give readings so far off in {} of cases.",
             chance_words(answer_.chance_before));
        if (answer_.is_accepted) {
            line("The smallest set that explains them has {} member{}; with it, {} of cases would "
                 "be as far off or farther.",
                 answer_.culprits.size(), answer_.culprits.size() == 1 ? "" : "s",
                 chance_words(answer_.chance));
        } else if (answer_.culprits.empty()) {
            line("No set of up to {} joints, sources or loads makes them better.",
                 answer_.largest_set);
        } else {
            line("No set of up to {} explains them all; the best one follows, and leaves {} of "
                 "chance.",
                 answer_.largest_set, chance_words(answer_.chance));
        }
    }

    [[nodiscard]] std::string value_words(const SuspectFit& fit) const {
        switch (fit.what.kind) {
        case Suspect::Kind::joint:
            if (fit.is_open) {
                return fmt::format("open, or at least {} more than its {}", show(Ohms(fit.low)),
                                   show(Ohms(fit.nominal)));
            }
            return fmt::format("{} more than its {} (95 %: {} to {})", show(Ohms(fit.value)),
                               show(Ohms(fit.nominal)), show(Ohms(fit.low)), show(Ohms(fit.high)));
        case Suspect::Kind::source:
            return fmt::format("{} {} than the {} of the file (95 %: {} to {})",
                               show(Volts(std::abs(fit.value))), fit.value < 0.0 ? "less" : "more",
                               show(Volts(fit.nominal)), signed_volts(fit.low),
                               signed_volts(fit.high));
        case Suspect::Kind::load:
            return fmt::format("{} less than the {} predicted (95 %: {} to {})",
                               show_percent(fit.value), show(Amps(fit.nominal)),
                               show_percent(fit.low), show_percent(fit.high));
        case Suspect::Kind::reading:
            break;
        }
        return fmt::format("no joint explains it: {} against what the others foretell",
                           signed_volts(fit.value));
    }

    void write_culprit(std::size_t index) {
        const Culprit& culprit = answer_.culprits[index];
        const SuspectFit& first = culprit.one_of.front();
        const std::size_t count = culprit.one_of.size();
        line("\n{}. {}{}: {}", index + 1, count > 1 ? "one of: " : "",
             count > 1 ? fmt::format("{} that these readings do not tell apart", count)
                       : suspect_words(report_, first.what),
             sure_words(culprit.sure));
        for (std::size_t i = 0; i < std::min(count, most_named); ++i) {
            if (count > 1) {
                line("   - {}", suspect_words(report_, culprit.one_of[i].what));
            }
            line("   {}{}", count > 1 ? "  " : "", value_words(culprit.one_of[i]));
        }
        if (count > most_named) {
            line("   - and {} more", count - most_named);
        }
        if (first.what.kind == Suspect::Kind::joint && first.watts > 0.0 && !first.is_open) {
            line("   {} turn to heat in it in {}, at {}{}", show(Watts(first.watts)),
                 state(first.state), show(Amps(first.amps)),
                 first.watts >= hot_joint_w
                     ? ": more than 2 W make a terminal too hot to touch (common practice, no "
                       "source)"
                     : "");
        }
        line("   remedy: {}{}", count > 1 ? "tell them apart first; then, of the first, " : "",
             suspect_remedy(report_, first.what));
    }

    /// Readings that are not part of the answer and not as predicted either.
    void write_strays() {
        bool has_any = false;
        for (std::size_t i = 0; i < answer_.results.size(); ++i) {
            const ReadingResult& result = answer_.results[i];
            const bool is_stray =
                result.verdict == ReadingVerdict::impossible ||
                (result.verdict == ReadingVerdict::unexplained && result.culprit < 0);
            if (!is_stray) {
                continue;
            }
            line("{}{} in {}: {}; no joint explains it: check the meter's place, the state of the "
                 "car, or the file",
                 has_any ? "" : "\n", report_.readings[i].at.name,
                 state_name(report_.study.vehicle, report_.readings[i].state),
                 result.verdict == ReadingVerdict::impossible
                     ? "no source of the car could make it"
                     : fmt::format("{:.1f} deviations off what the others foretell",
                                   std::abs(result.left_sigmas)));
            has_any = true;
        }
        for (const AnswerState& state : answer_.states) {
            if (!state.is_solved) {
                line("\n{} has no operating point: {}; its readings are left out",
                     state_name(report_.study.vehicle, state.id), state.failure);
            }
        }
    }

    void write_runners_up() {
        for (std::size_t i = 0; i < answer_.runners_up.size(); ++i) {
            const RunnerUp& runner = answer_.runners_up[i];
            std::string names;
            for (const Suspect& suspect : runner.set) {
                names += (names.empty() ? "" : " and ") + suspect_words(report_, suspect);
            }
            line("{}   {}: {} as likely as the best", i == 0 ? "\nNext best\n" : "", names,
                 chance_words(std::exp((answer_.chi_square - runner.chi_square) / 2.0)));
        }
    }

    void write_next() {
        if (!answer_.next) {
            return;
        }
        const NextReading& next = *answer_.next;
        line("\nNext reading: red probe at {}, black probe at {}, in {}",
             probe_words(report_, next.node), probe_words(report_, next.against),
             state(next.state));
        for (const NextReading::Foretold& one : next.foretold) {
            line("   {} if it is {}", show(Volts(one.volts)),
                 suspect_words(report_, one.culprit.what));
        }
    }

    void write_limits() {
        if (!answer_.has_all_suspects) {
            line("\nNot every joint and load was suspected: the readings can tell of too many, and "
                 "those "
                 "that they tell least of were left out.");
        }
        if (!answer_.has_all_sets) {
            line("\nNot every set was weighed: of the larger ones those that add a member to the "
                 "300 best of the size before.");
        }
    }

    const MeasureReport& report_;
    const MeasureAnswer& answer_;
    TextWidth width_;
    std::string out_;
};

} // namespace

Sheet measured_sheet(const MeasureReport& report) {
    Sheet sheet;
    sheet.name = "readings";
    sheet.title = "Readings";
    sheet.columns = {
        number_column("line", "line", "", 0),     text_column("place", "place"),
        text_column("against", "against"),        text_column("state", "state"),
        number_column("read_v", "read", "V", 3),  number_column("predicted_v", "predicted", "V", 3),
        number_column("off_v", "off by", "V", 3), number_column("sigmas", "sigmas", "", 1),
        text_column("verdict", "verdict")};
    const std::string black = probe_words(report, report.answer.black_lead);
    for (std::size_t i = 0; i < report.readings.size(); ++i) {
        const MeterReading& reading = report.readings[i];
        const ReadingResult& result = report.answer.results[i];
        std::vector<Cell> row = {static_cast<double>(reading.where.line), reading.at.name,
                                 reading.to ? reading.to->name : black,
                                 state_name(report.study.vehicle, reading.state),
                                 reading.shown.value()};
        if (result.has_prediction()) {
            row.insert(row.end(), {result.predicted_v, result.off_v, result.sigmas});
        } else {
            row.insert(row.end(), 3, Cell());
        }
        row.emplace_back(verdict_cell(result));
        sheet.rows.push_back(std::move(row));
    }
    sheet.notes = {
        fmt::format("A sigma is one standard deviation of meter and prediction together: the meter "
                    "within {}{}, the prediction by the tolerances of lengths, copper, contacts, "
                    "loads and sources (table spreads). Off by more than {:.1f} is more than "
                    "chance.",
                    accuracy_words(report.accuracy),
                    report.accuracy.is_stated ? "" : " (common practice, no source)",
                    report.answer.limit_sigmas)};
    return sheet;
}

std::string measure_text(const MeasureReport& report, TextWidth width) {
    return DiagnosisWriter(report, width).write();
}

} // namespace loomwright
