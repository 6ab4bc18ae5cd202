// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A comparison as text, as one table and as JSON.
#include "sheets/compare.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include <array>

namespace loomwright {
namespace {

using Json = nlohmann::ordered_json;

/// A kind of work, as people and as programs read it: most work first.
struct Kind {
    WireChange change;
    const char* title;
    const char* counted; ///< in the line of counts
    const char* key;     ///< in JSON
};
constexpr std::array kinds{
    Kind{WireChange::cut_again, "Cut again", "to cut again", "cut_again"},
    Kind{WireChange::added, "Cut, new in this file", "to cut that are new", "added"},
    Kind{WireChange::pull, "Pull", "to pull", "removed"},
    Kind{WireChange::re_terminate, "Re-terminate", "to re-terminate", "re_terminated"},
    Kind{WireChange::re_label, "Re-label", "to re-label", "re_labelled"},
    Kind{WireChange::still_fits, "Still fit, with a change", "that still fit", "still_fit"},
    Kind{WireChange::same, "The same", "the same", "same"}};

Sheet wires_sheet(const DesignComparison& comparison, const Kind& kind) {
    Sheet sheet;
    sheet.name = kind.key;
    sheet.title = kind.title;
    sheet.columns = {text_column("wire", "wire"),
                     text_column("from", "from"),
                     text_column("to", "to"),
                     text_column("make", "size", true),
                     number_column("cut_m", "is cut", "m", 3),
                     number_column("needed_m", "to cut", "m", 3),
                     text_column("why", "why", true)};
    for (const WireComparison& wire : comparison.wires) {
        if (wire.change == kind.change) {
            sheet.rows.push_back({wire.number, wire.from, wire.to, wire.make, length_cell(wire.cut),
                                  length_cell(wire.needed), wire.why});
        }
    }
    return sheet;
}

Sheet ratings_sheet(const DesignComparison& comparison) {
    Sheet sheet;
    sheet.name = "ratings";
    sheet.title = "Ratings";
    sheet.columns = {text_column("fuse", "fuse"), text_column("was", "was"),
                     text_column("now", "now"), text_column("why", "why", true)};
    for (const RatingComparison& row : comparison.ratings) {
        sheet.rows.push_back({row.device, row.was.empty() ? Cell() : Cell(row.was),
                              row.now.empty() ? Cell() : Cell(row.now), row.why});
    }
    return sheet;
}

/// "caution[drop-limit]", as findings are headed.
std::string verdict_head(const VerdictComparison& row) {
    return fmt::format("{}[{}]", severity_name(row.severity), rule_info(row.rule).id);
}

std::string verdict_text(const VerdictComparison& row) {
    return row.why.empty() ? row.message : fmt::format("{}: {}", row.why, row.message);
}

Sheet verdicts_sheet(const DesignComparison& comparison) {
    Sheet sheet;
    sheet.name = "verdicts";
    sheet.title = "Verdicts";
    sheet.columns = {text_column("change", "change"), text_column("finding", "finding"),
                     text_column("subject", "on"), text_column("message", "what", true)};
    for (const VerdictComparison& row : comparison.verdicts) {
        sheet.rows.push_back({std::string(verdict_change_name(row.change)), verdict_head(row),
                              row.subject, verdict_text(row)});
    }
    return sheet;
}

Json number_or_null(const std::optional<Metres>& length) {
    return length ? Json(length->value()) : Json();
}
Json number_or_null(const std::optional<Amps>& rating) {
    return rating ? Json(rating->value()) : Json();
}
Json text_or_null(const std::string& text) {
    return text.empty() ? Json() : Json(text);
}

Json wires_json(const DesignComparison& comparison, WireChange change) {
    Json list = Json::array();
    for (const WireComparison& wire : comparison.wires) {
        if (wire.change == change) {
            list.push_back({{"wire", wire.number},
                            {"was_wire", text_or_null(wire.was_number)},
                            {"from", wire.from},
                            {"to", wire.to},
                            {"make", wire.make},
                            {"was_make", text_or_null(wire.was_make)},
                            {"cut_m", number_or_null(wire.cut)},
                            {"needed_m", number_or_null(wire.needed)},
                            {"why", wire.why}});
        }
    }
    return list;
}

} // namespace

std::string compare_text(const DesignComparison& comparison, TextWidth width) {
    std::vector<std::string> counts;
    for (const Kind& kind : kinds) {
        if (const int count = comparison.count(kind.change); count > 0) {
            counts.push_back(fmt::format("{} {}", count, kind.counted));
        }
    }
    std::string out = fmt::format(
        "Wires: {}\n", counts.empty() ? "none" : fmt::format("{}", fmt::join(counts, ", ")));
    out += fmt::format("Ratings that moved: {}\nVerdicts that changed: {}\n",
                       comparison.ratings.size(), comparison.verdicts.size());
    for (const Kind& kind : kinds) {
        if (kind.change != WireChange::same && comparison.count(kind.change) > 0) {
            out += "\n" + sheet_text(wires_sheet(comparison, kind), width);
        }
    }
    if (!comparison.ratings.empty()) {
        out += "\n" + sheet_text(ratings_sheet(comparison), width);
    }
    if (!comparison.verdicts.empty()) {
        out += "\n" + sheet_text(verdicts_sheet(comparison), width);
    }
    return out;
}

Sheet compare_sheet(const DesignComparison& comparison) {
    Sheet sheet;
    sheet.name = "changes";
    sheet.title = "Changes";
    sheet.columns = {text_column("change", "change"),
                     text_column("subject", "subject"),
                     text_column("from", "from"),
                     text_column("to", "to"),
                     text_column("was", "was"),
                     text_column("now", "now"),
                     number_column("cut_m", "is cut", "m", 3),
                     number_column("needed_m", "to cut", "m", 3),
                     text_column("why", "why", true)};
    for (const Kind& kind : kinds) {
        for (const WireComparison& wire : comparison.wires) {
            if (wire.change != kind.change || kind.change == WireChange::same) {
                continue;
            }
            const bool is_pulled = wire.change == WireChange::pull;
            const std::string before = wire.change == WireChange::added ? ""
                                       : wire.was_make.empty()          ? wire.make
                                                                        : wire.was_make;
            sheet.rows.push_back({std::string(wire_change_name(wire.change)), wire.number,
                                  wire.from, wire.to, before, is_pulled ? "" : wire.make,
                                  length_cell(wire.cut), length_cell(wire.needed), wire.why});
        }
    }
    for (const RatingComparison& row : comparison.ratings) {
        sheet.rows.push_back({std::string("rating"), row.device, Cell(), Cell(), row.was, row.now,
                              Cell(), Cell(), row.why});
    }
    for (const VerdictComparison& row : comparison.verdicts) {
        const bool is_gone = row.change == VerdictChange::went;
        sheet.rows.push_back({fmt::format("verdict-{}", verdict_change_name(row.change)),
                              row.subject, Cell(), Cell(), is_gone ? verdict_head(row) : "",
                              is_gone ? "" : verdict_head(row), Cell(), Cell(), verdict_text(row)});
    }
    return sheet;
}

std::string compare_json(const DesignComparison& comparison) {
    Json wires = Json::object();
    for (const Kind& kind : kinds) {
        wires[kind.key] = wires_json(comparison, kind.change);
    }
    Json ratings = Json::array();
    for (const RatingComparison& row : comparison.ratings) {
        ratings.push_back({{"fuse", row.device},
                           {"was", text_or_null(row.was)},
                           {"now", text_or_null(row.now)},
                           {"was_a", number_or_null(row.was_rating)},
                           {"now_a", number_or_null(row.now_rating)},
                           {"why", row.why}});
    }
    Json verdicts = Json::array();
    for (const VerdictComparison& row : comparison.verdicts) {
        verdicts.push_back({{"change", verdict_change_name(row.change)},
                            {"rule", rule_info(row.rule).id},
                            {"severity", severity_name(row.severity)},
                            {"subject", row.subject},
                            {"message", row.message},
                            {"why", row.why}});
    }
    const Json out = {{"wires", std::move(wires)},
                      {"ratings", std::move(ratings)},
                      {"verdicts", std::move(verdicts)}};
    return out.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace loomwright
