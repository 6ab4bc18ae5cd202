// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/calc_answer.hpp"

#include "sheets/characters.hpp"
#include "sheets/text.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <variant>

namespace loomwright {
namespace {

using Json = nlohmann::ordered_json;

Json value_of(const CalcFigure& figure) {
    if (const auto* number = std::get_if<double>(&figure.value)) {
        return *number;
    }
    if (const auto* yes = std::get_if<bool>(&figure.value)) {
        return *yes;
    }
    if (const auto* text = std::get_if<std::string>(&figure.value)) {
        return *text;
    }
    return nullptr;
}

Json object_of(const std::vector<CalcFigure>& figures) {
    Json out = Json::object();
    for (const CalcFigure& figure : figures) {
        out[figure.key] = value_of(figure);
    }
    return out;
}

/// `first`, then `text` broken into lines that stand under it.
void add_hanging(std::string& out, std::string first, const std::string& text, TextWidth width) {
    const int indent = display_width(first);
    for (const std::string& line : wrap(plain_text(text), std::max(20, width.columns - indent))) {
        out += first + line + "\n";
        first.assign(static_cast<std::size_t>(indent), ' ');
    }
}

} // namespace

std::string calc_text(const CalcAnswer& answer, TextWidth width) {
    int widest = 0;
    for (const CalcFigure& figure : answer.figures) {
        widest = std::max(widest, display_width(figure.label));
    }
    std::string out;
    for (const CalcFigure& figure : answer.figures) {
        const int gap = widest - display_width(figure.label) + 2;
        add_hanging(out, plain_text(figure.label) + std::string(static_cast<std::size_t>(gap), ' '),
                    figure.shown, width);
    }
    for (const std::vector<CalcFigure>& wire : answer.wires) {
        std::string line;
        bool is_listed = false; // what comes after the colon stands in a list
        for (const CalcFigure& figure : wire) {
            const bool is_head = line.empty() || line.ends_with(':');
            line += line.empty() ? "" : is_listed && !is_head ? ", " : " ";
            line += figure.label + (figure.label.empty() ? "" : " ") + figure.shown;
            is_listed = is_listed || figure.shown.ends_with(':');
        }
        add_hanging(out, "  ", line, width);
    }
    return out + "\n" + proof_text(answer.sections, width);
}

std::string calc_json(const CalcAnswer& answer) {
    Json figures = object_of(answer.figures);
    if (!answer.wires.empty()) {
        Json wires = Json::array();
        std::ranges::transform(answer.wires, std::back_inserter(wires), object_of);
        figures["wires"] = std::move(wires);
    }
    Json steps = Json::array();
    for (const ProofSection& section : answer.sections) {
        for (const ProofStep& step : section.steps) {
            steps.push_back({{"formula", step.formula},
                             {"with", step.with},
                             {"gives", step.gives},
                             {"source", step.source}});
        }
    }
    const Json out = {{"question", answer.question},
                      {"holds", answer.holds},
                      {"answer", std::move(figures)},
                      {"steps", std::move(steps)}};
    return out.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace loomwright
