// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/feeds.hpp"

#include "draw/build_band.hpp"
#include "draw/dot_writer.hpp"
#include "draw/drawing_library.hpp"
#include "draw/feed_groups.hpp"
#include "draw/sheet_layout.hpp"
#include "draw/write_sheets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace loomwright {
namespace {

using draw::Band;
using draw::BandInput;

const char* dot_shape(draw::Symbol symbol) {
    switch (symbol) {
    case draw::Symbol::lamp:
    case draw::Symbol::led_lamp:
    case draw::Symbol::motor:
    case draw::Symbol::generator:
        return "circle";
    case draw::Symbol::splice:
    case draw::Symbol::stud:
        return "oval";
    case draw::Symbol::reference:
        return "plaintext"; // the edge has its own head
    case draw::Symbol::ground:
        return "invtriangle";
    default:
        return "box";
    }
}

std::string dot_label(const BandInput& input, const draw::Node& node) {
    std::string out = node.name;
    out += node.word.empty() ? "" : " " + node.word;
    if (node.symbol == draw::Symbol::reference) {
        out += "\n" + draw::group_name(input, node.target);
    }
    for (const std::string& line : node.title) {
        out += line.empty() ? "" : "\n" + line;
    }
    return out;
}

std::string feeds_dot(const BandInput& input, const std::string& title) {
    draw::DotGraph graph;
    graph.title = title;
    for (std::size_t g = 0; g < input.groups.groups.size(); ++g) {
        const Band band = draw::build_band(input, static_cast<int>(g));
        graph.clusters.push_back(band.name + " " + band.heading);
        const auto id = [g](int node) { return fmt::format("g{}_{}", g, node); };
        for (std::size_t i = 0; i < band.nodes.size(); ++i) {
            graph.nodes.push_back({id(static_cast<int>(i)), dot_label(input, band.nodes[i]),
                                   dot_shape(band.nodes[i].symbol), static_cast<int>(g)});
        }
        for (const draw::Link& link : band.links) {
            graph.edges.push_back(
                {id(link.from), id(link.to),
                 input.vehicle.wire(link.wire).number + "\n" + draw::wire_label(input, link.wire),
                 4.0 * draw::line_width(input, link.wire)});
        }
    }
    return draw::write_dot(graph);
}

std::optional<std::vector<draw::Drawing>> groups_drawn(const BandInput& input,
                                                       std::string& why_not) {
    const draw::DrawingLibrary* library = draw::load_drawing_library(why_not);
    if (library == nullptr) {
        return std::nullopt;
    }
    const std::unique_ptr<draw::DotEngine> engine = library->start_dot();
    std::vector<Band> bands;
    for (std::size_t g = 0; g < input.groups.groups.size(); ++g) {
        auto band = draw::make_band(input, static_cast<int>(g), *engine, why_not);
        if (!band) {
            return std::nullopt;
        }
        if (!band->nodes.empty()) {
            bands.push_back(std::move(*band));
        }
    }
    return draw::sheets_of(
        input, bands, {input.vehicle.title, input.vehicle.revision, "Feeds, by source and fuse"});
}

draw::FeedGroups groups_of(const Vehicle& vehicle) {
    draw::FeedGroups groups = draw::group_feeds(vehicle);
    draw::split_large_groups(vehicle, groups, draw::most_wires_of_band);
    return groups;
}

} // namespace

std::optional<std::vector<draw::Drawing>>
draw::feeds_sheets(const StudyInput& study, const Sizing& sizing, std::string& why_not) {
    const FeedGroups groups = groups_of(study.vehicle);
    const Parts parts(study.vehicle, groups);
    return groups_drawn({study.vehicle, study.catalogue, sizing.design, groups, parts}, why_not);
}

std::optional<std::string> draw_feeds(const StudyInput& study, const Sizing& sizing,
                                      DrawingFormat format, std::string& why_not) {
    auto drawn = draw_feeds(study, sizing, std::span(&format, 1), why_not);
    return drawn ? std::optional(std::move(drawn->front())) : std::nullopt;
}

std::optional<std::vector<std::string>> draw_feeds(const StudyInput& study, const Sizing& sizing,
                                                   std::span<const DrawingFormat> formats,
                                                   std::string& why_not) {
    const Vehicle& vehicle = study.vehicle;
    const draw::FeedGroups groups = groups_of(vehicle);
    const draw::Parts parts(vehicle, groups);
    const BandInput input{vehicle, study.catalogue, sizing.design, groups, parts};
    const std::string title = (vehicle.title.empty() ? "vehicle" : vehicle.title) + ": feeds";
    std::optional<std::vector<draw::Drawing>> sheets;
    std::vector<std::string> out;
    for (const DrawingFormat format : formats) {
        if (format == DrawingFormat::dot) {
            out.push_back(feeds_dot(input, title));
            continue;
        }
        if (!sheets) {
            sheets = groups_drawn(input, why_not);
        }
        if (!sheets) {
            return std::nullopt;
        }
        auto bytes = draw::write_sheets(*sheets, format, title, why_not);
        if (!bytes) {
            return std::nullopt;
        }
        out.push_back(std::move(*bytes));
    }
    return out;
}

} // namespace loomwright
