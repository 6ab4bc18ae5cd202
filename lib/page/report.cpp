// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "page/report.hpp"

#include "page/report_parts.hpp"

#include "base/side_by_side.hpp"
#include "diag/finding_counts.hpp"
#include "draw/feeds.hpp"
#include "draw/svg_writer.hpp"
#include "page_templates.hpp"
#include "sheets/bundle_schedule.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <functional>
#include <numeric>
#include <utility>

namespace loomwright::page {
namespace {

/// How many findings there are of each severity, and how many are accepted.
Data::List counts_of(const Findings& findings) {
    Data::List out;
    const auto add = [&](std::size_t count, const std::string& what) {
        Data row;
        row.set("count", std::to_string(count));
        row.set("what", what);
        row.set("is_some", count > 0);
        out.push_back(std::move(row));
    };
    const FindingCounts counts = count_findings(findings);
    for (const Severity severity : severities_from_worst) {
        const std::size_t count = counts.of(severity);
        add(count, fmt::format("{}{}", severity_name(severity), count == 1 ? "" : "s"));
    }
    add(counts.waived, "accepted");
    return out;
}

/// A text as the content of a quoted CSS string that stands in a style element.
std::string css_text(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        const bool is_plain = byte >= 0x80 || (byte >= '0' && byte <= '9') ||
                              (byte >= 'A' && byte <= 'Z') || (byte >= 'a' && byte <= 'z') ||
                              byte == ' ' || byte == ',' || byte == '.' || byte == '-';
        out += is_plain ? std::string(1, c) : fmt::format("\\{:x} ", byte);
    }
    return out;
}

/// `head` and `foot` stand over and under every printed page.
std::string style_of(Paper paper, const std::string& head, const std::string& foot) {
    Data style;
    style.set("paper", paper == Paper::a4 ? "A4" : "letter");
    style.set("head", css_text(head));
    style.set("foot", css_text(foot));
    return render("report.css", style);
}

bool draw_all_feeds(ReportContext& context, std::string& out, std::string& why_not) {
    const auto sheets = draw::feeds_sheets(context.study(), context.sizing(), why_not);
    if (!sheets) {
        return false;
    }
    for (std::size_t i = 0; i < sheets->size(); ++i) {
        out += "<figure class=\"drawing\">" +
               draw::svg_figure((*sheets)[i], fmt::format("Feeds, sheet {}", i + 1), feeds_prefix,
                                context.drawn) +
               "</figure>\n";
    }
    return true;
}

/// A section of the page; those that need the others' ids are made after them.
struct Section {
    const char* id;
    const char* heading;
    std::string (*make)(const ReportContext&);
    bool is_long = false; ///< begun before the others
};

constexpr std::array under_the_verdict = {
    Section{"findings", "What was found", findings_part},
    Section{"states", "States and sources", states_part},
    Section{"protection", "Protection", protection_part},
    Section{"curves", "Time and current", curves_part, true},
    Section{"drops", "Voltage drop", drops_part},
    Section{"every-wire", "Wires", wires_part},
    Section{"faults", "Faults", faults_part},
    Section{"feeds", "Feeds", nullptr},
    Section{"loom", "Loom", loom_part, true},
    Section{"waivers", "Accepted findings", waivers_part},
    Section{"old-wiring", "Old wiring", retained_part},
    Section{"assumptions", "Assumptions", assumptions_part},
    Section{"method", "Method and sources", method_part},
    Section{"workings", "Workings", nullptr},
};

/// Two things side by side.
void both(const std::function<void()>& one, const std::function<void()>& other) {
    side_by_side(1, [&](std::size_t number) { (number == 0 ? one : other)(); });
}

/// The sections in the order of the page. `feeds` and `workings` are made first: the others lead to
/// what is there.
Data::List sections_of(const ReportContext& context, std::string feeds, std::string workings) {
    std::array<std::string, under_the_verdict.size()> made;
    for (std::size_t i = 0; i < made.size(); ++i) {
        const std::string_view id = under_the_verdict.at(i).id;
        if (id == "feeds") {
            made.at(i).swap(feeds);
        } else if (id == "workings") {
            made.at(i).swap(workings);
        }
    }
    std::array<std::size_t, under_the_verdict.size()> order{};
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_partition(order.begin(), order.end(),
                          [](std::size_t i) { return under_the_verdict.at(i).is_long; });
    each_side_by_side(order.size(), [&](std::size_t k) {
        const Section& section = under_the_verdict.at(order.at(k));
        if (section.make != nullptr) {
            made.at(order.at(k)) = section.make(context);
        }
    });
    Data::List out;
    for (std::size_t i = 0; i < made.size(); ++i) {
        Data row;
        row.set("id", under_the_verdict.at(i).id);
        row.set("heading", under_the_verdict.at(i).heading);
        row.set("html", Markup{std::move(made.at(i))});
        out.push_back(std::move(row));
    }
    return out;
}

} // namespace

std::string ReportContext::table(const ReportTable& table) const {
    const std::string& title = vehicle().title;
    return render_table(table, fmt::format("{}: {}, {}", table.caption,
                                           title.empty() ? "vehicle without a title" : title,
                                           vehicle().revision.empty() ? "-" : vehicle().revision));
}

std::string ReportContext::in_feeds(std::string_view mark) const {
    std::string id = fmt::format("{}{}", feeds_prefix, mark);
    return drawn.contains(id) ? id : std::string();
}

OpenFindings open_findings(const Findings& findings) {
    OpenFindings out;
    for (std::size_t i = 0; i < findings.all().size(); ++i) {
        if (findings.all()[i].waived.empty()) {
            out[findings.all()[i].subject].push_back(i);
        }
    }
    return out;
}

int ReportContext::worst_open(std::string_view subject, bool (*counts)(Rule)) const {
    const auto here = open.find(subject);
    int worst = -1;
    if (here == open.end()) {
        return worst;
    }
    const auto& all = order.findings.all();
    for (const std::size_t i : here->second) {
        if ((counts == nullptr || counts(all[i].rule)) &&
            (worst < 0 || all[i].severity > all[static_cast<std::size_t>(worst)].severity)) {
            worst = static_cast<int>(i);
        }
    }
    return worst;
}

std::string finding_id(std::size_t finding) {
    return fmt::format("f{}", finding);
}

std::string curves_id(DeviceId device) {
    return fmt::format("c{}", device.index());
}

std::string section_id(RunId run) {
    return fmt::format("s{}", run.index());
}

ReportCell verdict_cell(const ReportContext& context, int finding, const std::string& good) {
    if (finding < 0) {
        return text_cell(good);
    }
    const auto index = static_cast<std::size_t>(finding);
    const Finding& worst = context.order.findings.all()[index];
    return text_cell(std::string(severity_name(worst.severity)), finding_id(index),
                     std::string(rule_info(worst.rule).id));
}

} // namespace loomwright::page

namespace loomwright {

std::optional<std::string> make_report(const ReportOrder& order, std::string& why_not) {
    const Vehicle& vehicle = order.checked.study.vehicle;
    page::ReportContext context{order, page::open_findings(order.findings), {}, {}, {}, {}};
    std::string feeds;
    std::string workings;
    bool is_drawn = false;
    page::both(
        [&] { context.shorts = shorts_to_open(order.checked.study, order.checked.sizing); },
        [&] { context.bundles = bundle_schedule(order.checked.study, order.checked.sizing); });
    page::both([&] { is_drawn = page::draw_all_feeds(context, feeds, why_not); },
               [&] { workings = page::workings_part(context); });
    if (!is_drawn) {
        return std::nullopt;
    }
    page::Data data = page::page_data(vehicle, order.findings, order.paper);
    data.set("report_style",
             page::style_of(order.paper, "Inspector's report: " + vehicle.title, vehicle.revision));
    data.set("script", page::render("report.js", page::Data()));
    data.set("served", order.is_served);
    data.set("reload", page::render("reload.js", page::Data()));
    data.set("file", vehicle.main_file.is_valid() ? order.files.file(vehicle.main_file).name
                                                  : std::string());
    data.set("counts", page::counts_of(order.findings));
    data.set("sections", page::sections_of(context, std::move(feeds), std::move(workings)));
    return page::render("report.html", data);
}

std::string input_faults_page(const std::string& file, const Findings& findings,
                              const SourceFiles& files) {
    page::Data data;
    data.set("report_style", page::style_of(Paper::a4, file, ""));
    data.set("reload", page::render("reload.js", page::Data()));
    data.set("file", file);
    data.set("sentence",
             page::counted(findings.all().size(), "error in the input", "errors in the input"));
    page::Data::List list;
    for (const Finding& finding : findings.all()) {
        list.emplace_back().set("text", page::markup_lines(describe(finding, files)));
    }
    data.set("faults", std::move(list));
    return page::render("faults-of-input.html", data);
}

} // namespace loomwright
