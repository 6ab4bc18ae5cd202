// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/json.hpp"

#include "diag/finding_counts.hpp"
#include "sheets/finding_changes.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"

#include <nlohmann/json.hpp>

#include <cmath>
#include <string_view>

namespace loomwright {
namespace {

using Json = nlohmann::ordered_json;

/// Areas are divided by what the tables' were multiplied with when they were read: 50 mm2 come out
/// as 50, where times 1e6 gives 49.99999999999999.
constexpr double mm2 = 1e-6;

/// A number, or null for one that is not defined: NaN and infinity are not JSON.
Json number(double value) {
    return std::isfinite(value) ? Json(value) : Json();
}
Json number_if(bool is_defined, double value) {
    return is_defined ? number(value) : Json();
}

std::string text_of(const Json& json) {
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Json finding_json(const Finding& finding, const SourceFiles& files) {
    Json figures = Json::array();
    for (const Figure& figure : finding.figures) {
        figures.push_back({{"label", figure.label},
                           {"value", number(figure.value)},
                           {"unit", figure.unit},
                           {"role", figure_role_name(figure.role)}});
    }
    const SourceRange& where = finding.where;
    const bool has_file = where.file.is_valid() && where.file.index() < files.size();
    Json out = {{"rule", rule_info(finding.rule).id},
                {"severity", severity_name(finding.severity)},
                {"subject", finding.subject},
                {"file", has_file ? Json(files.file(where.file).name) : Json()},
                {"line", where.is_known() ? Json(where.line) : Json()},
                {"column", where.is_known() ? Json(where.column) : Json()},
                {"message", finding.message},
                {"figures", std::move(figures)},
                {"source", finding.source},
                {"remedy", finding.remedy}};
    if (!finding.waived.empty()) {
        out["waived"] = finding.waived;
    }
    return out;
}

/// How many there are of each severity, and how many are waived.
Json counts_json(const Findings& findings) {
    const FindingCounts counts = count_findings(findings);
    Json out = Json::object();
    for (const Severity severity : severities_from_worst) {
        out[std::string(severity_name(severity))] = counts.of(severity);
    }
    out["waived"] = counts.waived;
    return out;
}

} // namespace

std::string size_json(const StudyInput& study, const Sizing& sizing) {
    const Vehicle& vehicle = study.vehicle;
    Json wires = Json::array();
    const bool is_known = has_answer(sizing);
    for (const WireSizing& wire : sizing.wires) {
        const WireDesign& design = sizing.design.wires[wire.wire.index()];
        const Conductor* conductor = design.conductor;
        wires.push_back(
            {{"wire", vehicle.wire(wire.wire).number},
             {"size", conductor != nullptr ? Json(show(conductor->size)) : Json()},
             {"area_mm2", conductor != nullptr ? number(conductor->area.value() / mm2) : Json()},
             {"length_m", number(design.length.value())},
             {"amps", number_if(is_known, wire.worst_amps)},
             {"ampacity_a", number_if(conductor != nullptr, wire.ampacity.amps)},
             {"drop_v", number_if(is_known, wire.worst_drop_v)},
             {"decided_by", reason_name(wire.decided_by)}});
    }
    Json fuses = Json::array();
    for (const FuseSizing& fuse : sizing.fuses) {
        Json protects = Json::array();
        for (const WireId wire : fuse.protects) {
            protects.push_back(vehicle.wire(wire).number);
        }
        fuses.push_back({{"fuse", vehicle.device(fuse.device).name},
                         {"rating_a", number_if(fuse.rating_a > 0.0, fuse.rating_a)},
                         {"load_a", number_if(is_known, fuse.load_a)},
                         {"protects", std::move(protects)},
                         {"decided_by", reason_name(fuse.decided_by)}});
    }
    return text_of({{"wires", std::move(wires)},
                    {"fuses", std::move(fuses)},
                    {"copper_kg", number(sizing.copper_kg)}});
}

static Json findings_json(const Findings& findings, const SourceFiles& files) {
    Json list = Json::array();
    for (const Finding& finding : findings.all()) {
        list.push_back(finding_json(finding, files));
    }
    return list;
}

std::string check_json(const Findings& findings, const SourceFiles& files) {
    return text_of(
        {{"findings", findings_json(findings, files)}, {"counts", counts_json(findings)}});
}

std::string check_json_line(const std::string& file, const Findings& findings,
                            const SourceFiles& files) {
    const Json answer = {{"file", file},
                         {"input_is_good", !findings.has_input_fault()},
                         {"findings", findings_json(findings, files)},
                         {"counts", counts_json(findings)}};
    return answer.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string changes_json(const Findings& before, const Findings& now, const SourceFiles& files) {
    const FindingChanges changes = compare_findings(before, now);
    Json fresh = Json::array();
    for (const std::size_t i : changes.fresh) {
        fresh.push_back(finding_json(now.all()[i], files));
    }
    Json changed = Json::array();
    for (const FindingChanges::Changed& change : changes.changed) {
        changed.push_back(finding_json(now.all()[change.now], files));
    }
    Json gone = Json::array();
    for (const std::size_t i : changes.gone) {
        const Finding& finding = before.all()[i];
        gone.push_back({{"rule", rule_info(finding.rule).id}, {"subject", finding.subject}});
    }
    const Json answer = {{"new", std::move(fresh)},
                         {"changed", std::move(changed)},
                         {"gone", std::move(gone)},
                         {"counts", counts_json(now)}};
    return answer.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string proof_json(const std::string& id, std::span<const ProofSection> sections) {
    Json list = Json::array();
    for (const ProofSection& section : sections) {
        Json steps = Json::array();
        for (const ProofStep& step : section.steps) {
            steps.push_back({{"formula", step.formula},
                             {"with", step.with},
                             {"gives", step.gives},
                             {"source", step.source}});
        }
        list.push_back({{"title", section.title}, {"steps", std::move(steps)}});
    }
    return text_of({{"id", id}, {"sections", std::move(list)}});
}

std::string table_json(const TableView& view) {
    return text_of({{"name", view.name},
                    {"description", view.description},
                    {"source", view.source},
                    {"edition", view.edition},
                    {"validity", view.validity},
                    {"columns", view.columns},
                    {"rows", view.rows},
                    {"notes", view.notes}});
}

} // namespace loomwright
