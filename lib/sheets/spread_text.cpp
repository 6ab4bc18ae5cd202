// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Spread samples for people and for spreadsheets.
#include "sheets/characters.hpp"
#include "sheets/spread_rows.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace loomwright {
namespace {

constexpr double per_cent = 100.0;

Cell or_nothing(const std::optional<double>& value) {
    return value ? Cell(*value) : Cell();
}

Cell if_any(const SpreadValues& values, double value) {
    return values.count > 0 ? Cell(value) : Cell();
}

/// "at most", "at least": which way the limit is read.
std::string limit_words(const SpreadLimit& limit) {
    switch (limit.kind) {
    case SpreadLimit::Kind::drop:
    case SpreadLimit::Kind::insulation:
        return "at most";
    case SpreadLimit::Kind::controller:
        return "at least";
    case SpreadLimit::Kind::coil:
        return limit.is_on ? "pulls in" : "stays out";
    case SpreadLimit::Kind::on:
        return "on";
    case SpreadLimit::Kind::off:
        return "off";
    }
    return "";
}

bool has_figure(const SpreadLimit& limit) {
    return limit.kind != SpreadLimit::Kind::on && limit.kind != SpreadLimit::Kind::off;
}

/// Worth a line though it holds: how near it comes is of interest.
bool is_always_shown(const SpreadLimit& limit) {
    return limit.kind == SpreadLimit::Kind::drop || limit.kind == SpreadLimit::Kind::controller ||
           (limit.kind == SpreadLimit::Kind::coil && limit.is_on);
}

bool is_shown(const SpreadLimitRow& row) {
    return row.broken.count > 0 || row.is_nominal_broken || is_always_shown(*row.limit);
}

std::string heading(const StudyInput& study, const SpreadResult& result) {
    return fmt::format("State {}: {} sample{}, seed {}\n",
                       plain_text(state_name(study.vehicle, result.nominal.state)), result.samples,
                       result.samples == 1 ? "" : "s", result.seed);
}

/// A line on samples without an answer; "" when all have one.
std::string missing_line(const char* what, const SpreadShare& share) {
    return share.count == 0 ? std::string()
                            : fmt::format("{} in {:.2f} % of the samples (95 %: {:.2f} to {:.2f} "
                                          "%), which are left out below\n",
                                          what, per_cent * share.share, per_cent * share.low,
                                          per_cent * share.high);
}

/// "drop-limit 30, insulation-heat 316" of the limits with no line of their own.
std::string held_line(const std::vector<SpreadLimitRow>& rows, TextWidth width) {
    std::vector<std::pair<std::string_view, int>> counts;
    for (const SpreadLimitRow& row : rows) {
        if (is_shown(row)) {
            continue;
        }
        const auto found =
            std::ranges::find(counts, row.rule, &std::pair<std::string_view, int>::first);
        if (found == counts.end()) {
            counts.emplace_back(row.rule, 1);
        } else {
            ++found->second;
        }
    }
    if (counts.empty() || rows.front().broken.of == 0) {
        return {};
    }
    std::string text = "Never broken, and not shown:";
    for (const auto& [rule, count] : counts) {
        text += fmt::format("{} {} {}", text.back() == ':' ? "" : ",", rule, count);
    }
    text +=
        fmt::format(". Never in {} samples means at most {:.2g} % (95 %).", rows.front().broken.of,
                    per_cent * wilson_share(0, rows.front().broken.of).high);
    std::string out;
    for (const std::string& line : wrap(text, std::max(width.columns, 40))) {
        out += line + "\n";
    }
    return out;
}

} // namespace

Sheet spread_limits_sheet(const StudyInput& study, const SpreadAnswer& answer, bool with_all) {
    Sheet sheet;
    sheet.name = "limits";
    sheet.title = "Limits";
    sheet.columns = {text_column("rule", "rule"),
                     text_column("subject", "of"),
                     text_column("way", "must be"),
                     number_column("limit", "limit"),
                     text_column("unit", "unit"),
                     number_column("nominal", "nominal"),
                     number_column("p1", "1 %"),
                     number_column("p50", "50 %"),
                     number_column("p99", "99 %"),
                     number_column("share", "broken", "%", 2, per_cent),
                     number_column("share_low", "from", "%", 2, per_cent),
                     number_column("share_high", "to", "%", 2, per_cent)};
    std::vector<SpreadLimitRow> rows = spread_limit_rows(study, answer);
    if (!with_all) {
        std::erase_if(rows, [](const SpreadLimitRow& row) { return !is_shown(row); });
    }
    std::ranges::stable_sort(rows, std::ranges::greater(),
                             [](const SpreadLimitRow& row) { return row.broken.share; });
    for (const SpreadLimitRow& row : rows) {
        sheet.rows.push_back({std::string(row.rule), row.subject, limit_words(*row.limit),
                              has_figure(*row.limit) ? Cell(row.limit->limit) : Cell(),
                              std::string(row.unit), or_nothing(row.values.nominal),
                              if_any(row.values, row.values.p1), if_any(row.values, row.values.p50),
                              if_any(row.values, row.values.p99), row.broken.share, row.broken.low,
                              row.broken.high});
    }
    return sheet;
}

Sheet spread_loads_sheet(const StudyInput& study, const SpreadAnswer& answer) {
    Sheet sheet;
    sheet.name = "loads";
    sheet.title = "Loads";
    sheet.columns = {text_column("device", "device"),
                     text_column("title", "title", true),
                     number_column("nominal", "nominal", "V", 3),
                     number_column("p1", "1 %", "V", 3),
                     number_column("p50", "50 %", "V", 3),
                     number_column("p99", "99 %", "V", 3)};
    for (std::size_t i = 0; i < answer.figures.size(); ++i) {
        if (answer.figures[i].kind != SpreadFigure::Kind::device_volts) {
            continue;
        }
        const Device& device = study.vehicle.devices[answer.figures[i].index];
        const SpreadValues& values = answer.result.figures[i];
        sheet.rows.push_back({device.name, device.title, or_nothing(values.nominal),
                              if_any(values, values.p1), if_any(values, values.p50),
                              if_any(values, values.p99)});
    }
    return sheet;
}

std::string spread_text(const StudyInput& study, std::span<const SpreadAnswer> answers,
                        TextWidth width) {
    std::string out;
    for (const SpreadAnswer& answer : answers) {
        const SpreadResult& result = answer.result;
        out += out.empty() ? "" : "\n";
        out += heading(study, result);
        if (!result.nominal.converged) {
            out += fmt::format("The nominal car has no answer: {}\n",
                               plain_text(result.nominal.failure));
            if (answer.stands_in > 0) {
                out += fmt::format("Loads and the ways to them are those of sample {}, the first "
                                   "with an answer\n",
                                   answer.stands_in);
            }
        }
        out += missing_line("No operating point", result.no_answer);
        out += missing_line("Never at rest (chatter)", result.chattering);
        out += "\n" + sheet_text(spread_limits_sheet(study, answer, false), width);
        out += held_line(spread_limit_rows(study, answer), width);
        out += "\n" + sheet_text(spread_loads_sheet(study, answer), width);
    }
    const std::string note =
        "1, 50 and 99 of 100 samples lie at or below the figures so headed. from - to: the range "
        "in "
        "which the true share lies in 95 of 100 such cases (Wilson). What varies, and how far: "
        "loomwright tables spreads.";
    out += "\n";
    for (const std::string& line : wrap(note, std::max(width.columns, 40))) {
        out += line + "\n";
    }
    return out;
}

std::string spread_csv(const StudyInput& study, std::span<const SpreadAnswer> answers) {
    Sheet sheet;
    sheet.columns = {text_column("state", "state"),
                     text_column("figure", "figure"),
                     text_column("subject", "of"),
                     text_column("unit", "unit"),
                     number_column("nominal", "nominal"),
                     number_column("p1", "1 %"),
                     number_column("p50", "50 %"),
                     number_column("p99", "99 %"),
                     text_column("way", "must be"),
                     number_column("limit", "limit"),
                     number_column("broken", "broken samples"),
                     number_column("of", "of samples"),
                     number_column("share_low", "share from"),
                     number_column("share_high", "share to")};
    const auto count = [](std::uint64_t number) { return Cell(static_cast<double>(number)); };
    for (const SpreadAnswer& answer : answers) {
        const std::string state = state_name(study.vehicle, answer.result.nominal.state);
        const auto add_missing = [&](const char* rule, const SpreadShare& share) {
            sheet.rows.push_back({state, std::string(rule), state, std::string(), Cell(), Cell(),
                                  Cell(), Cell(), std::string(), Cell(), count(share.count),
                                  count(share.of), share.low, share.high});
        };
        add_missing("not-solved", answer.result.no_answer);
        add_missing("chattering", answer.result.chattering);
        for (const SpreadLimitRow& row : spread_limit_rows(study, answer)) {
            const SpreadValues& values = row.values;
            sheet.rows.push_back(
                {state, std::string(row.rule), row.subject, std::string(row.unit),
                 or_nothing(values.nominal), if_any(values, values.p1), if_any(values, values.p50),
                 if_any(values, values.p99), limit_words(*row.limit),
                 has_figure(*row.limit) ? Cell(row.limit->limit) : Cell(), count(row.broken.count),
                 count(row.broken.of), row.broken.low, row.broken.high});
        }
        for (const SpreadFigureRow& row : spread_figure_rows(study, answer)) {
            const SpreadValues& values = row.values;
            sheet.rows.push_back({state, std::string(row.figure), row.subject,
                                  std::string(row.unit), or_nothing(values.nominal),
                                  if_any(values, values.p1), if_any(values, values.p50),
                                  if_any(values, values.p99), std::string(), Cell(), Cell(),
                                  count(values.count), Cell(), Cell()});
        }
    }
    return sheet_csv(sheet);
}

} // namespace loomwright
