// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/spread_rows.hpp"

namespace loomwright {
namespace {

std::string_view rule_of(SpreadLimit::Kind kind) {
    switch (kind) {
    case SpreadLimit::Kind::drop:
        return "drop-limit";
    case SpreadLimit::Kind::controller:
        return "crank-voltage";
    case SpreadLimit::Kind::coil:
        return "relay-pull-in";
    case SpreadLimit::Kind::on:
    case SpreadLimit::Kind::off:
        return "state-not-met";
    case SpreadLimit::Kind::insulation:
        return "insulation-heat";
    }
    return "";
}

std::string_view unit_of(SpreadLimit::Kind kind) {
    switch (kind) {
    case SpreadLimit::Kind::drop:
    case SpreadLimit::Kind::controller:
    case SpreadLimit::Kind::coil:
        return "V";
    case SpreadLimit::Kind::insulation:
        return "C";
    case SpreadLimit::Kind::on:
    case SpreadLimit::Kind::off:
        break;
    }
    return "";
}

} // namespace

std::vector<SpreadLimitRow> spread_limit_rows(const StudyInput& study, const SpreadAnswer& answer) {
    std::vector<SpreadLimitRow> out;
    out.reserve(answer.limits.size());
    for (std::size_t i = 0; i < answer.limits.size(); ++i) {
        const SpreadLimit& limit = answer.limits[i];
        out.push_back({.limit = &limit,
                       .rule = rule_of(limit.kind),
                       .subject = limit.wire.is_valid() ? study.vehicle.wire(limit.wire).number
                                                        : study.vehicle.device(limit.device).name,
                       .unit = unit_of(limit.kind),
                       .broken = answer.result.broken[i],
                       .is_nominal_broken = answer.result.nominal_broken[i] != 0});
    }
    for (std::size_t i = 0; i < answer.figures.size(); ++i) {
        if (answer.figures[i].kind == SpreadFigure::Kind::limit) {
            out[answer.figures[i].index].values = answer.result.figures[i];
        }
    }
    return out;
}

std::vector<SpreadFigureRow> spread_figure_rows(const StudyInput& study,
                                                const SpreadAnswer& answer) {
    std::vector<SpreadFigureRow> out;
    for (std::size_t i = 0; i < answer.figures.size(); ++i) {
        const SpreadFigure& figure = answer.figures[i];
        SpreadFigureRow row{.values = answer.result.figures[i]};
        switch (figure.kind) {
        case SpreadFigure::Kind::wire_amps:
            row.figure = "amps";
            row.unit = "A";
            row.is_wire = true;
            break;
        case SpreadFigure::Kind::wire_drop:
            row.figure = "drop_v";
            row.unit = "V";
            row.is_wire = true;
            break;
        case SpreadFigure::Kind::wire_c:
            row.figure = "conductor_c";
            row.unit = "C";
            row.is_wire = true;
            break;
        case SpreadFigure::Kind::device_volts:
            row.figure = "volts";
            row.unit = "V";
            break;
        case SpreadFigure::Kind::device_amps:
            row.figure = "amps";
            row.unit = "A";
            break;
        case SpreadFigure::Kind::limit:
            continue;
        }
        row.subject = row.is_wire ? study.vehicle.wires[figure.index].number
                                  : study.vehicle.devices[figure.index].name;
        out.push_back(std::move(row));
    }
    return out;
}

} // namespace loomwright
