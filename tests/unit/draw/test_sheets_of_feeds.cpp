// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// What a person must be able to read on the finished sheets, checked on the shapes themselves.
#include "draw/build_band.hpp"
#include "draw/drawing_library.hpp"
#include "draw/sheet_layout.hpp"
#include "sheets/loaded.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

using namespace loomwright;
using namespace loomwright::draw;

namespace {

struct InkBox {
    double left, right, top, bottom;
};

/// A little less than the letters take: neighbours may touch, not overlap.
InkBox box_of(const Text& text) {
    double width = text_width(text.text, text.size, text.is_bold);
    width = text.room > 0.0 ? std::min(width, text.room) : width;
    const double share = text.anchor == Anchor::start    ? 0.0
                         : text.anchor == Anchor::middle ? 0.5
                                                         : 1.0;
    const double left = text.at.x - share * width;
    return {left + 0.1, left + width - 0.1, text.at.y - 0.70 * text.size,
            text.at.y + 0.12 * text.size};
}

bool overlap(const InkBox& a, const InkBox& b) {
    return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

std::vector<InkBox> straight_lines(const Drawing& sheet) {
    std::vector<InkBox> out;
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

/// The solid heads of the arrows that name where a wire goes on: boxes round them.
std::vector<InkBox> arrow_heads(const Drawing& sheet) {
    std::vector<InkBox> out;
    for (const Shape& shape : sheet.shapes) {
        const auto* stroke = std::get_if<Stroke>(&shape);
        if (stroke == nullptr || stroke->spots.size() != 3 || !stroke->is_closed ||
            stroke->width > 0.0 || stroke->fill != Fill::black) {
            continue;
        }
        const auto [left, right] = std::ranges::minmax(stroke->spots, {}, &Spot::x);
        const auto [top, bottom] = std::ranges::minmax(stroke->spots, {}, &Spot::y);
        out.push_back({left.x, right.x, top.y, bottom.y});
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
    split_large_groups(vehicle, out.groups, most_wires_of_band);
    const Parts parts(vehicle, out.groups);
    const BandInput input{vehicle, out.project->catalogue, out.project->sizing.design, out.groups,
                          parts};
    std::string why_not;
    const DrawingLibrary* library = load_drawing_library(why_not);
    REQUIRE_MESSAGE(library != nullptr, why_not);
    const std::unique_ptr<DotEngine> engine = library->start_dot();
    for (std::size_t g = 0; g < out.groups.groups.size(); ++g) {
        auto band = make_band(input, static_cast<int>(g), *engine, why_not);
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
        std::vector<InkBox> lines = straight_lines(sheet);
        std::ranges::copy(arrow_heads(sheet), std::back_inserter(lines));
        for (std::size_t i = 0; i < texts.size(); ++i) {
            CAPTURE(texts[i]->text);
            const InkBox box = box_of(*texts[i]);
            CHECK(box.left >= 0.0);
            CHECK(box.right <= sheet.width);
            CHECK(box.top >= 0.0);
            CHECK(box.bottom <= sheet.height);
            CHECK(texts[i]->size >= 1.7); // 2.2 mm made smaller by 0.8 at most
            for (std::size_t k = i + 1; k < texts.size(); ++k) {
                CAPTURE(texts[k]->text);
                CHECK_FALSE(overlap(box, box_of(*texts[k])));
            }
            const auto crossed = std::ranges::count_if(
                lines, [&](const InkBox& line) { return overlap(box, line); });
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
    }
    CHECK(std::ranges::all_of(own, [](int count) { return count == 1; }));
}

/// Each wire that goes on or comes from elsewhere has an arrow with one head.
void check_arrows(const Sheets& sheets) {
    std::size_t heads = 0;
    for (const Drawing& sheet : sheets.drawings) {
        heads += arrow_heads(sheet).size();
    }
    std::ptrdiff_t references = 0;
    for (const Band& band : sheets.bands) {
        references += std::ranges::count(band.nodes, Symbol::reference, &Node::symbol);
    }
    CHECK(heads == static_cast<std::size_t>(references));
}

} // namespace

TEST_CASE("examples: every wire is drawn, no text on a text or on a line") {
    for (const std::string folder :
         {"one-lamp", "relay-fan", "split-lights", "marlow", "truck-body", "six-volt"}) {
        CAPTURE(folder);
        const Sheets sheets = sheets_of_project(test::example(folder, folder + ".yaml"));
        check_legible(sheets);
        check_complete(sheets);
        check_arrows(sheets);
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

TEST_CASE("a group too large for one frame goes on in others, each wire in one of them") {
    std::string devices;
    std::string paths;
    for (int i = 0; i < 150; ++i) {
        devices += fmt::format("  E{}: {{is: lamp, draws: 5 W at 13.5 V}}\n", i);
        paths += fmt::format("      - ST1 > E{} > GND1\n", i);
    }
    const Sheets sheets = sheets_of_project(test::sized(
        "loomwright: 1\ndevices:\n  G1: {is: battery, capacity: 65 Ah, cranking-amps: 650 A}\n"
        "  GND1: {is: ground, body: chassis}\n  F1: {is: fuse, rating: 30 A}\n  ST1: {is: stud}\n" +
        devices +
        "circuits:\n  all:\n    number: 1\n    size: 1.5 mm2\n    paths:\n"
        "      - G1.- > GND1\n      - G1 > F1 > ST1\n" +
        paths));
    check_complete(sheets);
    check_legible(sheets);
    CHECK(sheets.bands.size() >= 6); // 301 wires behind the fuse, at most 60 in a frame
    for (const Band& band : sheets.bands) {
        CHECK(band.links.size() <= most_wires_of_band + 1); // and what feeds the fuse
    }
}

TEST_CASE("odd vehicles are drawn whole") {
    const std::string head =
        "loomwright: 1\ndevices:\n"
        "  G1: {is: battery, capacity: 65 Ah, cranking-amps: 650 A}\n"
        "  GND1: {is: ground, body: chassis}\n  F1: {is: fuse, rating: 10 A}\n"
        "  F2: {is: fuse, rating: 10 A}\n  SP1: {is: splice}\n"
        "  E1: {is: lamp, draws: 5 W at 13.5 V, title: A long title that cannot "
        "possibly stand in two short lines}\n"
        "  E2: {is: lamp, draws: 5 W at 13.5 V}\n"
        "  S1: {is: switch, positions: {off: [], on: [1-2]}, contact: 5 A}\n";
    const std::string tail = "circuits:\n  c:\n    number: 1\n    size: 1.5 mm2\n    paths:\n";
    const std::vector<std::pair<const char*, std::string>> vehicles = {
        {"one wire", head + tail + "      - G1.- > GND1\n"},
        {"grounds in a chain", head + tail +
                                   "      - G1 > F1 > E1\n      - F1.out > E2\n"
                                   "      - E2.- > E1.- > GND1\n"},
        {"feeds in a chain",
         head + tail + "      - G1 > F1 > E1.+ > E2 > GND1\n      - E1.- > GND1\n"},
        {"fed from both sides", head + tail +
                                    "      - G1 > F1 > SP1\n      - G1 > F2 > SP1\n"
                                    "      - SP1 > E1 > GND1\n"},
        {"a ring", head + tail +
                       "      - G1 > F1 > SP1 > S1.1\n      - S1.2 > F2.in\n"
                       "      - F2.out > SP1\n"},
        {"switched ground", head + tail + "      - G1 > F1 > E1 > S1 > GND1\n"},
        {"fed backward",
         head + tail + "      - E1 > F1.out\n      - F1.in > G1.+\n      - E1.+ > S1.2\n"},
        {"nothing feeds it", head + tail + "      - E1 > E2 > GND1\n      - S1.1 > S1.2\n"},
        {"ground to ground",
         head + "  GND2: {is: ground, body: chassis}\n" + tail + "      - GND1 > GND2\n"},
        {"fuses in a housing",
         head +
             "  X: {is: unit, terminals: [30, a, b], inside: {fa: {is: fuse, from: 30, to: a, "
             "rating: "
             "5 A}, fb: {is: fuse, from: 30, to: b, rating: 5 A}}}\n" +
             tail + "      - G1 > X.30\n      - X.a > E1 > GND1\n      - X.b > E2 > GND1\n"},
        {"mated connectors", head +
                                 "  X1: {is: connector, cavities: 2, mate: X2}\n"
                                 "  X2: {is: connector, cavities: 2, mate: X1}\n" +
                                 tail + "      - G1 > F1 > X1.1 > E1 > X2.2 > GND1\n"},
        {"a relay that changes over",
         head + "  K1: {is: relay, contact: 30 A, coil: 85 ohm, break-contact: yes}\n" + tail +
             "      - G1 > F1 > K1.30/87a > E1 > GND1\n      - K1.87 > E2 > GND1\n"
             "      - F1.out > K1.86\n      - K1.85 > GND1\n"},
        {"two batteries and an alternator",
         head +
             "  G2: {is: battery, capacity: 65 Ah, cranking-amps: 650 A}\n"
             "  G3: {is: alternator, rated: 80 A, regulates: 14.2 V, case: engine}\n" +
             tail +
             "      - G1 > S1 > G2.+\n      - G3.B+ > F1 > G1.+\n      - G3.D+ > E1 > SP1\n"
             "      - G1.- > GND1\n      - G2.- > GND1\n"},
    };
    for (const auto& vehicle : vehicles) {
        CAPTURE(std::string(vehicle.first));
        const Sheets sheets = sheets_of_project(test::sized(vehicle.second));
        check_complete(sheets);
        check_legible(sheets);
    }
}
