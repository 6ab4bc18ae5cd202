// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "page/page_data.hpp"

#include "diag/finding_counts.hpp"
#include "page_templates.hpp"
#include "sheets/cautions.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>
#include <kainjow/mustache.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <stdexcept>

namespace loomwright::page {
namespace {

std::string_view paper_name(Paper paper) {
    return paper == Paper::a4 ? "A4" : "letter";
}

std::string_view template_text(std::string_view name) {
    for (const auto& file : templates::embedded_files()) {
        if (file.name == name) {
            return file.text;
        }
    }
    throw std::logic_error("template is not embedded: " + std::string(name));
}

// A part that is made already is called by its number between these two, which no page holds.
constexpr char part_begins = '\x02';
constexpr char part_ends = '\x03';
using Parts = std::vector<const std::string*>;

kainjow::mustache::data mustache_data(const Data& data, Parts& parts) {
    kainjow::mustache::data out;
    for (const auto& [name, value] : data.values()) {
        if (const auto* text = std::get_if<std::string>(&value)) {
            out.set(name, *text);
        } else if (const auto* is_so = std::get_if<bool>(&value)) {
            out.set(name, *is_so);
        } else if (const auto* part = std::get_if<Markup>(&value)) {
            out.set(name, fmt::format("{}{}{}", part_begins, parts.size(), part_ends));
            parts.push_back(&part->text);
        } else {
            kainjow::mustache::data list{kainjow::mustache::data::type::list};
            for (const Data& row : std::get<Data::List>(value)) {
                list.push_back(mustache_data(row, parts));
            }
            out.set(name, list);
        }
    }
    return out;
}

/// Appends text with the parts in the place of their numbers.
void append_with_parts(std::string_view text, const Parts& parts, std::string& out) {
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t begin = std::min(text.find(part_begins, from), text.size());
        out += text.substr(from, begin - from);
        if (begin == text.size()) {
            return;
        }
        const std::size_t end = std::min(text.find(part_ends, begin), text.size());
        std::size_t number = parts.size();
        std::from_chars(text.data() + begin + 1, text.data() + end, number);
        out += *parts.at(number);
        from = end + 1;
    }
}

void set_verdict(Data& data, const Findings& findings) {
    const FindingCounts counts = count_findings(findings);
    const std::size_t dangers = counts.of(Severity::danger);
    const std::size_t faults = counts.of(Severity::fault);
    const std::size_t cautions_open = counts.of(Severity::caution);
    const bool stops = dangers + faults > 0;
    data.set("stop", stops);
    data.set(
        "verdict",
        stops
            ? fmt::format("NOT READY: {} and {} stand open in the check of this design. Settle "
                          "them before anything is cut or bought.",
                          counted(dangers, "danger", "dangers"), counted(faults, "fault", "faults"))
            : fmt::format("The check of this design found no open danger and no open fault; {}.",
                          counted(cautions_open, "caution", "cautions")));
}

void set_waivers(Data& data, const Findings& findings) {
    Data::List list;
    for (const Finding& finding : findings.all()) {
        if (finding.waived.empty()) {
            continue;
        }
        Data row;
        row.set("rule", std::string(rule_info(finding.rule).id));
        row.set("subject", finding.subject);
        row.set("message", finding.message);
        row.set("reason", finding.waived);
        list.push_back(std::move(row));
    }
    data.set("has_waivers", !list.empty());
    data.set("waivers", std::move(list));
}

} // namespace

int text_width_mm(Paper paper) {
    return paper == Paper::a4 ? 277 : 259;
}

Data::List text_rows(std::string_view name, const std::vector<std::string>& texts) {
    Data::List out;
    for (const std::string& text : texts) {
        out.emplace_back().set(std::string(name), text);
    }
    return out;
}

std::string markup_lines(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        out += markup_text(text.substr(0, end)) + "\n";
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    }
    return out;
}

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

struct Template::Read {
    kainjow::mustache::mustache page;
};

Template::Template(std::string_view name)
    : read_(new Read{kainjow::mustache::mustache{std::string(template_text(name))}}) {
    read_->page.set_custom_escape([](const std::string& text) { return markup_text(text); });
    if (!read_->page.is_valid()) {
        throw std::logic_error("template is broken: " + read_->page.error_message());
    }
}
Template::~Template() = default;

void Template::render(const Data& data, std::string& out) {
    Parts parts;
    const kainjow::mustache::data filled = mustache_data(data, parts);
    std::size_t length = out.size();
    for (const std::string* part : parts) {
        length += part->size();
    }
    if (!parts.empty()) {
        constexpr std::size_t rest = 1 << 16; // of such a page, more or less
        out.reserve(length + rest);
    }
    read_->page.render(filled,
                       [&](const std::string& text) { append_with_parts(text, parts, out); });
}

std::string render(std::string_view template_name, const Data& data) {
    std::string out;
    Template(template_name).render(data, out);
    return out;
}

Data page_data(const Vehicle& vehicle, const Findings& findings, Paper paper) {
    Data style;
    style.set("paper", std::string(paper_name(paper)));
    // On a screen the page is as wide as on paper.
    style.set("width", fmt::format("{}mm", text_width_mm(paper)));
    Data data;
    data.set("style", render("style.css", style));
    data.set("title", vehicle.title.empty() ? "vehicle without a title" : vehicle.title);
    data.set("revision", vehicle.revision.empty() ? "-" : vehicle.revision);
    Data::List list;
    for (const std::string_view text : cautions()) {
        list.emplace_back().set("text", std::string(text));
    }
    data.set("cautions", std::move(list));
    set_verdict(data, findings);
    data.set("cautions_and_verdict", render("cautions.html", data));
    set_waivers(data, findings);
    return data;
}

} // namespace loomwright::page
