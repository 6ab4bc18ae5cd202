// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What was found, the worst first, and what of it was accepted.
#include "page/report_parts.hpp"

#include "base/display.hpp"
#include "diag/figure_text.hpp"
#include "draw/drawing.hpp"

#include <fmt/format.h>

namespace loomwright::page {
namespace {

/// The wire or device that a finding is about.
struct Subject {
    WireId wire;
    DeviceId device;
};

Subject subject_of(const Vehicle& vehicle, const Finding& finding) {
    Subject out;
    out.wire = vehicle.find_wire(finding.subject);
    if (!out.wire.is_valid()) {
        out.device = vehicle.find_device(finding.subject);
    }
    return out;
}

/// Everything by which links lead on from a finding.
Data::List links_of(const ReportContext& context, std::size_t index) {
    const Finding& finding = context.order.findings.all()[index];
    Data::List out;
    const auto add = [&](const std::string& to, const std::string& text) {
        if (!to.empty()) {
            Data link;
            link.set("to", to);
            link.set("text", text);
            out.push_back(std::move(link));
        }
    };
    add(context.finding_working(index), "how it is judged");
    const Subject subject = subject_of(context.vehicle(), finding);
    if (subject.wire.is_valid()) {
        add(context.wire_working(subject.wire), "working of " + finding.subject);
        add(context.in_feeds(draw::wire_mark(subject.wire)), "in the feeds drawing");
    } else if (subject.device.is_valid()) {
        add(context.device_working(subject.device), "working of " + finding.subject);
        add(context.in_feeds(draw::device_mark(subject.device)), "in the feeds drawing");
    }
    return out;
}

std::string figures_of(const Finding& finding) {
    std::string out;
    for (const Figure& figure : finding.figures) {
        out += (out.empty() ? "" : "; ") + figure_text(figure);
    }
    if (const auto margin = finding.margin()) {
        out += fmt::format("; margin: {}", show_percent(*margin));
    }
    return out;
}

void set_if(Data& data, const std::string& name, const std::string& text) {
    data.set("has_" + name, !text.empty());
    data.set(name, text);
}

Data finding_data(const ReportContext& context, std::size_t index) {
    const Finding& finding = context.order.findings.all()[index];
    const RuleInfo& rule = rule_info(finding.rule);
    Data out;
    out.set("id", finding_id(index));
    out.set("severity", std::string(severity_name(finding.severity)));
    out.set("rule", std::string(rule.id));
    out.set("title", std::string(rule.title));
    out.set("subject", finding.subject);
    out.set("message", finding.message);
    set_if(out, "figures", figures_of(finding));
    set_if(out, "remedy", finding.remedy);
    set_if(out, "source", finding.source);
    set_if(out, "waived", finding.waived);
    set_if(out, "place", context.order.files.place(finding.where));
    Data::List related;
    for (const RelatedPlace& place : finding.related) {
        related.emplace_back().set(
            "text", fmt::format("{}: {}", context.order.files.place(place.where), place.label));
    }
    out.set("related", std::move(related));
    Data::List links = links_of(context, index);
    out.set("has_links", !links.empty());
    out.set("links", std::move(links));
    return out;
}

std::string render_findings(const ReportContext& context, bool waived, const std::string& none) {
    Data::List list;
    const auto& all = context.order.findings.all();
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].waived.empty() != waived) {
            list.push_back(finding_data(context, i));
        }
    }
    Data data;
    data.set("has_findings", !list.empty());
    data.set("findings", std::move(list));
    data.set("none", none);
    return render("report-findings.html", data);
}

} // namespace

std::string findings_part(const ReportContext& context) {
    return render_findings(context, false, "The checks of this design found nothing.");
}

std::string waivers_part(const ReportContext& context) {
    return render_findings(context, true, "Nothing was accepted: there are no waivers in use.");
}

} // namespace loomwright::page
