// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/circuit_drawing.hpp"

#include "draw/band_drawing.hpp"
#include "draw/circuit_groups.hpp"
#include "draw/drawing_library.hpp"
#include "draw/sheet_letters.hpp"
#include "draw/write_sheets.hpp"
#include "loom/places.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <utility>

namespace loomwright {
namespace draw {
namespace {

// All in millimetres.
constexpr double head_line_height = 4.0;
constexpr double widest_note = 24.0; ///< under a device
constexpr std::size_t most_note_lines = 4;
constexpr double least_page_scale = 0.65; ///< letters of 2.2 mm are then 1.4 mm high
constexpr int most_doublings = 8;

/// What stands under a device beside its title: where it is, and the circuits not drawn at it.
void add_notes(const Vehicle& vehicle, const CircuitGroups& groups, Node& node) {
    std::vector<std::string> notes = std::exchange(node.elsewhere, {});
    const PointId place = device_place(vehicle, node.part.device);
    if (place.is_valid()) {
        notes.push_back("at " + vehicle.point(place).name);
    }
    const auto found = groups.not_drawn.find(node.part.device);
    if (found != groups.not_drawn.end()) {
        std::vector<std::string> numbers;
        for (const CircuitId circuit : found->second) {
            numbers.push_back(vehicle.circuit(circuit).number);
        }
        notes.push_back(fmt::format("also circuit{} {}", numbers.size() == 1 ? "" : "s",
                                    fmt::join(numbers, ", ")));
    }
    if (node.symbol == Symbol::ground) {
        node.word = place.is_valid() ? plain_text(notes.front()) : "";
        return;
    }
    for (const std::string& note : notes) {
        for (std::string& line : fit_text(note, widest_note, note_size, most_note_lines)) {
            node.elsewhere.push_back(std::move(line));
        }
    }
}

class CircuitPageMaker {
public:
    CircuitPageMaker(const StudyInput& study, CircuitId circuit, const PaperSheet& paper)
        : vehicle_(study.vehicle), circuit_(study.vehicle.circuit(circuit)), paper_(paper) {}

    Drawing make(const Drawing& band) {
        sheet_.width = paper_.height;
        sheet_.height = paper_.width;
        for (int i = 0; i < most_doublings && scale_of(band) < least_page_scale; ++i) {
            sheet_ = {2.0 * sheet_.height, sheet_.width, {}}; // the next larger one
        }
        draw_head();
        const double scale = scale_of(band);
        sheet_.add(band.shapes, {page_margin, head_height()}, scale);
        return std::move(sheet_);
    }

private:
    static double head_height() { return page_margin + 4.0 * head_line_height + 3.0; }

    [[nodiscard]] double scale_of(const Drawing& band) const {
        return std::min({1.0, (sheet_.width - 2.0 * page_margin) / band.width,
                         (sheet_.height - page_margin - head_height()) / band.height});
    }

    void draw_head() {
        double y = page_margin;
        const auto add = [&](const std::string& text, double size, bool is_bold) {
            y += head_line_height;
            for (const std::string& line :
                 fit_text(text, sheet_.width - 2.0 * page_margin, size, 1, is_bold)) {
                sheet_.text({page_margin, y}, line, size, Anchor::start, is_bold);
            }
        };
        add(fmt::format("Circuit {} {}{}{}", circuit_.number, circuit_.name,
                        circuit_.title.empty() ? "" : ": ", circuit_.title),
            title_size, true);
        y += 0.8;
        add(fmt::format("{}{}{}", vehicle_.title, vehicle_.revision.empty() ? "" : ", ",
                        vehicle_.revision),
            text_size, false);
        add("On a wire its number and length as cut; under it size and colour. Arrows: from and to "
            "other "
            "circuits. The battery comes off before anything is undone.",
            text_size, false);
    }

    const Vehicle& vehicle_;
    const Circuit& circuit_;
    PaperSheet paper_;
    Drawing sheet_;
};

} // namespace

std::optional<Drawing> circuit_sheet(const StudyInput& study, const Sizing& sizing,
                                     CircuitId circuit, const PaperSheet& paper,
                                     std::string& why_not) {
    const DrawingLibrary* const library = load_drawing_library(why_not);
    if (library == nullptr) {
        return std::nullopt;
    }
    const CircuitGroups groups = group_circuits(study.vehicle, circuit);
    const Parts parts(study.vehicle, groups.groups);
    const BandInput input{study.vehicle, study.catalogue, sizing.design,
                          groups.groups, parts,           true};
    Band band = build_band(input, static_cast<int>(circuit.index()));
    band.name.clear();
    band.heading.clear();
    for (Node& node : band.nodes) {
        if (node.symbol != Symbol::reference) {
            add_notes(study.vehicle, groups, node);
        }
    }
    const std::unique_ptr<DotEngine> engine = library->start_dot();
    if (!place_band(input, band, *engine, why_not)) {
        return std::nullopt;
    }
    const Drawing drawn =
        draw_band(input, band, [&](int group) { return group_name(input, group); });
    return CircuitPageMaker(study, circuit, paper).make(drawn);
}

} // namespace draw

std::optional<std::string> draw_circuit(const StudyInput& study, const Sizing& sizing,
                                        CircuitId circuit, const draw::PaperSheet& paper,
                                        DrawingFormat format, std::string& why_not) {
    const auto sheet = draw::circuit_sheet(study, sizing, circuit, paper, why_not);
    if (!sheet) {
        return std::nullopt;
    }
    const std::array sheets = {*sheet};
    return draw::write_sheets(sheets, format, "Circuit", why_not);
}

} // namespace loomwright
