// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// SARIF 2.1.0, OASIS standard with errata 01 (memory): sections are named where they decide.
#include "sheets/sarif.hpp"

#include "diag/figure_text.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <cstdint>
#include <map>
#include <string_view>
#include <utility>

namespace loomwright {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view schema =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// 3.27.10: the levels of the format are fewer than ours; `properties.severity` has ours.
std::string_view level_of(Severity severity) {
    switch (severity) {
    case Severity::danger:
    case Severity::fault:
        return "error";
    case Severity::caution:
        return "warning";
    case Severity::note:
        return "note";
    }
    return "none";
}

/// 3.11.5: braces of a message are those of its placeholders unless they stand twice.
Json message(std::string_view text) {
    std::string out;
    for (const char c : plain_text(text)) {
        out += c;
        if (c == '{' || c == '}') {
            out += c;
        }
    }
    return {{"text", out}};
}

/// What RFC 3986 calls unreserved (section 2.3), and the slash between the parts of a path.
bool is_kept_in_uri(char c) {
    constexpr std::string_view kept =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
    return kept.find(c) != std::string_view::npos;
}

/// A path as a URI reference: every other byte of it is percent-encoded.
std::string uri_of(std::string_view path) {
    std::string out = path.starts_with('/') ? "file://" : "";
    for (const char c : path) {
        out += is_kept_in_uri(c) ? std::string(1, c)
                                 : fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return out;
}

/// 3.30: columns are characters, `columnKind` says so.
Json region_of(const SourceRange& where) {
    Json out = {{"startLine", where.line}, {"startColumn", where.column}};
    if (where.end_column > where.column) {
        out["endColumn"] = where.end_column;
    }
    return out;
}

/// 3.28; null for a place in no file.
Json location_of(const CheckAnswer& answer, const SourceRange& where) {
    const std::string path = path_from_here(answer, where.file);
    if (path.empty()) {
        return {};
    }
    Json physical = {{"artifactLocation", {{"uri", uri_of(path)}}}};
    if (where.is_known() && where.column > 0) {
        physical["region"] = region_of(where);
    }
    return {{"physicalLocation", std::move(physical)}};
}

Json related_of(const CheckAnswer& answer, const Finding& finding) {
    Json out = Json::array();
    for (const RelatedPlace& related : finding.related) {
        Json location = location_of(answer, related.where);
        if (!location.is_null()) {
            location["id"] = out.size();
            location["message"] = message(related.label);
            out.push_back(std::move(location));
        }
    }
    return out;
}

/// FNV-1a of 64 bits (the hash of Fowler, Noll and Vo), in hexadecimal.
std::string digest(std::string_view text) {
    std::uint64_t hash = 0xcbf29ce484222325U;
    for (const char c : text) {
        hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3U;
    }
    return fmt::format("{:016x}", hash);
}

/// Counts the findings that share rule and subject.
using Counts = std::map<std::pair<Rule, std::string>, int>;

/// 3.27.17: nothing in it moves with the lines of the file.
Json fingerprints_of(const Finding& finding, Counts& counts) {
    const int count = ++counts[{finding.rule, finding.subject}];
    std::string name = fmt::format("{}:{}", rule_info(finding.rule).id, finding.subject);
    if (count > 1) {
        name += fmt::format(":{}", count);
    }
    return {{"ruleAndSubject/v1", name}, {"digest/v1", digest(name)}};
}

Json properties_of(const Finding& finding) {
    Json figures = Json::array();
    for (const Figure& figure : finding.figures) {
        figures.push_back({{"label", figure.label},
                           {"value", std::isfinite(figure.value) ? Json(figure.value) : Json()},
                           {"unit", figure.unit},
                           {"role", figure_role_name(figure.role)}});
    }
    Json out = {{"severity", verdict_name(finding)},
                {"subject", finding.subject},
                {"figures", std::move(figures)},
                {"source", finding.source},
                {"remedy", finding.remedy}};
    if (const auto margin = finding.margin(); margin && std::isfinite(*margin)) {
        out["margin"] = *margin;
    }
    return out;
}

std::string message_text(const Finding& finding) {
    std::string out = finding.subject + (finding.subject.empty() ? "" : ": ") + finding.message;
    if (!finding.figures.empty()) {
        out += fmt::format(" ({})", figures_line(finding));
    }
    if (!finding.remedy.empty()) {
        out += ". Remedy: " + finding.remedy;
    }
    return out;
}

Json result_of(const CheckAnswer& answer, const Finding& finding, Counts& counts) {
    const RuleInfo& info = rule_info(finding.rule);
    Json locations = Json::array();
    if (Json location = location_of(answer, finding.where); !location.is_null()) {
        locations.push_back(std::move(location));
    }
    // 3.27.23: either no result has suppressions or all do, of which none is an empty list.
    Json suppressions = Json::array();
    if (!finding.waived.empty()) {
        suppressions.push_back(
            {{"kind", "inSource"}, {"justification", plain_text(finding.waived)}});
    }
    Json out = {{"ruleId", info.id},
                {"ruleIndex", static_cast<int>(info.rule)},
                {"level", level_of(finding.severity)},
                {"message", message(message_text(finding))},
                {"locations", std::move(locations)},
                {"partialFingerprints", fingerprints_of(finding, counts)},
                {"suppressions", std::move(suppressions)},
                {"properties", properties_of(finding)}};
    if (Json related = related_of(answer, finding); !related.empty()) {
        out["relatedLocations"] = std::move(related);
    }
    return out;
}

/// 3.49. No helpUri: it would have to be an absolute address.
Json rules_of_catalogue() {
    Json out = Json::array();
    for (const RuleInfo& info : rule_catalogue()) {
        out.push_back(
            {{"id", info.id},
             {"shortDescription", message(info.title)},
             {"fullDescription",
              message(fmt::format("{}. The limit comes from: {}.", info.title, info.standard))},
             {"help", message(fmt::format("What it looks at, what to do about it and an example: "
                                          "docs/rules/{}.md of the program's documentation. "
                                          "`loomwright explain FILE {}` lists its findings.",
                                          info.id, info.id))},
             {"defaultConfiguration", {{"level", level_of(info.severity)}}},
             {"properties",
              {{"severity", info.is_input ? "error" : severity_name(info.severity)}}}});
    }
    return out;
}

} // namespace

std::string check_sarif(const CheckAnswer& answer) {
    Json results = Json::array();
    Counts counts;
    for (const Finding& finding : answer.findings.all()) {
        results.push_back(result_of(answer, finding, counts));
    }
    const Json driver = {{"name", "Loomwright"},
                         {"version", answer.version},
                         {"semanticVersion", answer.version},
                         {"rules", rules_of_catalogue()}};
    const Json run = {
        {"tool", {{"driver", driver}}},
        {"invocations",
         Json::array({{{"executionSuccessful", !answer.findings.has_input_fault()}}})},
        {"columnKind", "unicodeCodePoints"},
        {"results", std::move(results)}};
    const Json log = {{"$schema", schema}, {"version", "2.1.0"}, {"runs", Json::array({run})}};
    return log.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace loomwright
