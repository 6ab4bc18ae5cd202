// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// What a person must be able to read on the finished sheets, checked on the shapes themselves.
#include "draw/build_band.hpp"
#include "draw/graphviz.hpp"
#include "draw/sheet_layout.hpp"
#include "sheets/loaded.hpp"

#include <algorithm>
#include <cmath>

using namespace loomwright;
using namespace loomwright::draw;

namespace {

struct Box {
    double left, right, top, bottom;
};

/// A little less than the letters take: neighbours may touch, not overlap.
Box box_of(const Text& text) {
    double width = text_width(text.text, text.size, text.is_bold);
    width = text.room > 0.0 ? std::min(width, text.room) : width;
    const double share = text.anchor == Anchor::start    ? 0.0
                         : text.anchor == Anchor::middle ? 0.5
                                                         : 1.0;
    const double left = text.at.x - share * width;
    return {left + 0.1, left + width - 0.1, text.at.y - 0.70 * text.size,
            text.at.y + 0.12 * text.size};
}

bool overlap(const Box& a, const Box& b) {
    return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

std::vector<Box> straight_lines(const Drawing& sheet) {
    std::vector<Box> out;
    for (const Shape& shape : sheet.shapes) {
        const auto* stroke = std::get_if<Stroke>(&shape);
        if (stroke == nullptr || stroke->spots.size() != 2 || stroke->is_closed) {
            continue;
        }
        const Spot a = stroke->spots[0];
        const Spot b = stroke->spots[1];
        if (std::abs(a.x - b.x) < 1e-6 || std::abs(a.y - b.y) < 1e-6) {
            const double half = stroke->width / 2.0;
            out.push_back({std::min(a.x, b.x) - half, std::max(a.x, b.x) + half,
                           std::min(a.y, b.y) - half, std::max(a.y, b.y) + half});
        }
    }
    return out;
}

struct Sheets {
    std::unique_ptr<Project> project;
    FeedGroups groups;
    std::vector<Band> bands;
    std::vector<Drawing> drawings;
};

Sheets sheets_of_project(std::unique_ptr<Project> project) {
    Sheets out;
    out.project = std::move(project);
    const Vehicle& vehicle = out.project->vehicle;
    out.groups = group_feeds(vehicle);
    const Parts parts(vehicle, out.groups);
    const BandInput input{vehicle, out.project->catalogue, out.project->sizing.design, out.groups,
                          parts};
    DotEngine engine;
    std::string why_not;
    for (std::size_t g = 0; g < out.groups.groups.size(); ++g) {
        auto band = make_band(input, static_cast<int>(g), engine, why_not);
        REQUIRE_MESSAGE(band.has_value(), why_not);
        out.bands.push_back(std::move(*band));
    }
    out.drawings = sheets_of(input, out.bands, {vehicle.title, vehicle.revision, "Feeds"});
    return out;
}

void check_legible(const Sheets& sheets) {
    for (const Drawing& sheet : sheets.drawings) {
        std::vector<const Text*> texts;
        for (const Shape& shape : sheet.shapes) {
            if (const auto* text = std::get_if<Text>(&shape)) {
                texts.push_back(text);
            }
        }
        const std::vector<Box> lines = straight_lines(sheet);
        for (std::size_t i = 0; i < texts.size(); ++i) {
            CAPTURE(texts[i]->text);
            const Box box = box_of(*texts[i]);
            CHECK(box.left >= 0.0);
            CHECK(box.right <= sheet.width);
            CHECK(box.top >= 0.0);
            CHECK(box.bottom <= sheet.height);
            CHECK(texts[i]->size >= 1.7); // 2.2 mm made smaller by 0.8 at most
            for (std::size_t k = i + 1; k < texts.size(); ++k) {
                CAPTURE(texts[k]->text);
                CHECK_FALSE(overlap(box, box_of(*texts[k])));
            }
            const auto crossed =
                std::ranges::count_if(lines, [&](const Box& line) { return overlap(box, line); });
            CHECK(crossed == 0);
        }
    }
}

/// Each wire is drawn in its own group, once; and once more where it feeds a fuse.
void check_complete(const Sheets& sheets) {
    const Vehicle& vehicle = sheets.project->vehicle;
    std::vector<int> own(vehicle.wires.size(), 0);
    for (const Band& band : sheets.bands) {
        for (const Link& link : band.links) {
            const bool is_own = sheets.groups.of_wire[link.wire.index()] == band.group;
            own[link.wire.index()] += is_own ? 1 : 0;
        }
        CHECK(band.nodes.size() > 0);
    }
    CHECK(std::ranges::all_of(own, [](int count) { return count == 1; }));
}

} // namespace

TEST_CASE("examples: every wire is drawn, no text on a text or on a line") {
    for (const auto& [folder, file] : {std::pair{"one-lamp", "one-lamp.yaml"},
                                       {"relay-fan", "relay-fan.yaml"},
                                       {"split-lights", "split-lights.yaml"},
                                       {"marlow", "marlow.yaml"}}) {
        CAPTURE(folder);
        const Sheets sheets = sheets_of_project(test::example(folder, file));
        check_legible(sheets);
        check_complete(sheets);
    }
}

TEST_CASE("wires are grouped behind the protective device before them") {
    const auto project = test::sized(test::written_out);
    const FeedGroups groups = group_feeds(project->vehicle);
    const auto head = [&](const char* number) {
        const int group = groups.of_wire[project->vehicle.find_wire(number).index()];
        return project->vehicle.device(groups.groups[static_cast<std::size_t>(group)].head).name;
    };
    // By hand, from the paths of the file: the wire into a fuse is before it, all behind it is its
    // own, returns to ground included.
    CHECK(head("1.1") == "G1");
    CHECK(head("2.1") == "G1");
    for (const char* number : {"2.2", "2.3", "2.4", "2.5", "2.6"}) {
        CHECK(head(number) == "F1");
    }
    CHECK(head("3.1") == "G1");
    CHECK(head("3.2") == "F2");
    CHECK(head("3.3") == "F2");
}

TEST_CASE("a switch is not passed by two positions at once") {
    // Through the hazard switch, F2's feed would be reached from F1 over 30-49 and 49-15; no
    // position holds both.
    const auto project = test::sized(R"yaml(
loomwright: 1
devices:
  G1: {is: battery, capacity: 45 Ah, cranking-amps: 400 A}
  GND1: {is: ground, body: chassis}
  F1: {is: fuse, rating: 10 A}
  F2: {is: fuse, rating: 10 A}
  S1: {is: switch, positions: {off: [15-49], on: [30-49]}, contact: 10 A}
  E1: {is: lamp, draws: 21 W at 13.5 V}
circuits:
  a:
    number: 1
    size: 1.5 mm2
    paths: [G1 > F1 > S1.30, G1 > F2, F2.out > S1.15, S1.49 > E1 > GND1, G1.- > GND1]
    wires: {1.1: {length: 1 m}, 1.2: {length: 1 m}, 1.3: {length: 1 m}, 1.4: {length: 1 m},
            1.5: {length: 1 m}, 1.6: {length: 1 m}, 1.7: {length: 1 m}}
)yaml");
    const FeedGroups groups = group_feeds(project->vehicle);
    const int group = groups.of_wire[project->vehicle.find_wire("1.4").index()];
    CHECK(project->vehicle.device(groups.groups[static_cast<std::size_t>(group)].head).name ==
          "F2");
    CHECK_FALSE(groups.is_against[project->vehicle.find_wire("1.4").index()]);
}

TEST_CASE("text is measured and cut by characters, not bytes") {
    CHECK(text_width("mm", 1.0) > text_width("ii", 1.0));
    CHECK(fit_text("one two", 100.0, 2.0, 1) == std::vector<std::string>{"one two"});
    CHECK(fit_text("", 10.0, 2.0, 2).empty());
    const auto cut = fit_text("T\xC3\xBCr T\xC3\xBCr T\xC3\xBCr", 6.0, 2.0, 1);
    REQUIRE(cut.size() == 1);
    CHECK(cut[0].ends_with("\xE2\x80\xA6"));
    CHECK(text_width(cut[0], 2.0) <= 6.0);
}
