// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Spread samples as JSON, a row of every list on a line of its own.
#include "sheets/spread_rows.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <string_view>

namespace loomwright {
namespace {

using Json = nlohmann::ordered_json;

std::string line_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json or_null(bool is_there, double value) {
    return is_there ? Json(value) : Json();
}

Json json_of(const SpreadShare& share) {
    return {{"count", share.count},
            {"of", share.of},
            {"share", share.share},
            {"share_low", share.low},
            {"share_high", share.high}};
}

void add_values(const SpreadValues& values, Json& out) {
    out["nominal"] = or_null(values.nominal.has_value(), values.nominal.value_or(0.0));
    out["p1"] = or_null(values.count > 0, values.p1);
    out["p50"] = or_null(values.count > 0, values.p50);
    out["p99"] = or_null(values.count > 0, values.p99);
}

/// SpreadRows of a list, each begun on a new line.
class SpreadRows {
public:
    SpreadRows(std::string& out, std::string_view name) : out_(out) {
        out_ += fmt::format(",\n   \"{}\": [", name);
    }
    void add(const Json& row) {
        out_ += is_first_ ? "\n    " : ",\n    ";
        out_ += line_of(row);
        is_first_ = false;
    }
    void end() { out_ += is_first_ ? "]" : "\n   ]"; }

private:
    std::string& out_;
    bool is_first_ = true;
};

void add_limits(const StudyInput& study, const SpreadAnswer& answer, std::string& out) {
    SpreadRows rows(out, "limits");
    for (const SpreadLimitRow& row : spread_limit_rows(study, answer)) {
        Json json = {{"rule", row.rule}, {"subject", row.subject}};
        switch (row.limit->kind) {
        case SpreadLimit::Kind::coil:
        case SpreadLimit::Kind::on:
        case SpreadLimit::Kind::off:
            json["expected"] =
                row.limit->kind == SpreadLimit::Kind::on ||
                        (row.limit->kind == SpreadLimit::Kind::coil && row.limit->is_on)
                    ? "on"
                    : "off";
            break;
        case SpreadLimit::Kind::drop:
        case SpreadLimit::Kind::controller:
        case SpreadLimit::Kind::insulation:
            break;
        }
        if (!row.unit.empty()) {
            json["limit"] = row.limit->limit;
            json["unit"] = row.unit;
            add_values(row.values, json);
        }
        json["nominal_broken"] = row.is_nominal_broken;
        json["broken"] = json_of(row.broken);
        json["source"] = row.limit->source;
        rows.add(json);
    }
    rows.end();
}

/// Wires or devices, the figures of one subject on one line: they stand side by side.
void add_figures(const std::vector<SpreadFigureRow>& figures, bool of_wires, std::string& out) {
    SpreadRows rows(out, of_wires ? "wires" : "devices");
    for (std::size_t i = 0; i < figures.size();) {
        const SpreadFigureRow& first = figures[i];
        Json json = {{of_wires ? "wire" : "device", first.subject}};
        std::size_t next = i;
        for (; next < figures.size() && figures[next].is_wire == first.is_wire &&
               figures[next].subject == first.subject;
             ++next) {
            Json values;
            add_values(figures[next].values, values);
            json[std::string(figures[next].figure)] = std::move(values);
        }
        if (first.is_wire == of_wires) {
            rows.add(json);
        }
        i = next;
    }
    rows.end();
}

void add_spreads(const SpreadTable& table, std::string& out) {
    out += "\n \"spreads\": [";
    bool is_first = true;
    for (const Spread& spread : table.rows()) {
        out += is_first ? "\n  " : ",\n  ";
        is_first = false;
        out += line_of({{"name", spread.name},
                        {"kind", spread_kind_name(spread.kind)},
                        {"middle", spread.middle},
                        {"width", spread.width},
                        {"unit", spread.unit},
                        {"drawn", spread.drawn},
                        {"what", spread.what},
                        {"provenance", provenance_name(spread.origin.provenance)},
                        {"source", spread.origin.source}});
    }
    out += "\n ],";
}

} // namespace

std::string spread_json(const StudyInput& study, const SpreadTable& table,
                        std::span<const SpreadAnswer> answers) {
    const SpreadResult none;
    const SpreadResult& any = answers.empty() ? none : answers.front().result;
    std::string out = fmt::format("{{\n \"samples\": {},\n \"seed\": {},", any.samples, any.seed);
    add_spreads(table, out);
    out += "\n \"states\": [";
    bool is_first = true;
    for (const SpreadAnswer& answer : answers) {
        const SpreadResult& result = answer.result;
        out += is_first ? "\n  {" : ",\n  {";
        is_first = false;
        out += "\n   \"state\": " + line_of(state_name(study.vehicle, result.nominal.state));
        out += fmt::format(",\n   \"converged\": {}", result.nominal.converged);
        out += fmt::format(",\n   \"answered\": {}",
                           result.samples - result.no_answer.count - result.chattering.count);
        out += ",\n   \"no_answer\": " + line_of(json_of(result.no_answer));
        out += ",\n   \"chattering\": " + line_of(json_of(result.chattering));
        add_limits(study, answer, out);
        const std::vector<SpreadFigureRow> figures = spread_figure_rows(study, answer);
        add_figures(figures, true, out);
        add_figures(figures, false, out);
        out += "\n  }";
    }
    out += answers.empty() ? "]\n}\n" : "\n ]\n}\n";
    return out;
}

} // namespace loomwright
