// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Colours that are left to the program: where none was left, and how each came about (explain).
#include "checks/checks.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"

#include "sizing/choose_colours.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {

void check_colours(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    for (const ColourChoice& choice : choose_colours(input.study, input.sizing.design)) {
        const Wire& wire = vehicle.wire(choice.wire);
        if (choice.colour.empty()) {
            findings.add(Rule::colour_clash, wire.number, wire.where,
                         "the stock has this wire in no colour that may be chosen",
                         "write its colour, or list the wire in another colour");
        } else if (choice.clash.is_valid()) {
            const Wire& other = vehicle.wire(choice.clash);
            Finding& finding = findings.add(
                Rule::colour_clash, wire.number, wire.where,
                fmt::format("is {} like {} beside it: no colour{} is left", choice.colour,
                            other.number, choice.from_stock ? " of the stock" : ""),
                choice.from_stock
                    ? "list this wire in more colours in the stock, or write a colour for it"
                    : "part the bundle, or write colours for some of its wires");
            finding.figures = {
                seen("colours that wires beside it have", static_cast<double>(choice.taken), "")};
            finding.related.push_back({other.where, "the other wire"});
        }
    }
}

ProofSection prove_colour(const CheckInput& input, WireId id) {
    ProofSection out{"Colour", {}};
    if (!input.study.vehicle.wire(id).colour_is_auto) {
        return out;
    }
    const std::vector<ColourChoice> choices = choose_colours(input.study, input.sizing.design);
    const auto found = std::ranges::find(choices, id, &ColourChoice::wire);
    if (found == choices.end()) {
        return out;
    }
    out.steps.push_back({"base: " + found->why, "", found->base, found->source});
    out.steps.push_back({found->goes_on ? "as the wire that it goes on from"
                                        : "the first that no wire beside it has",
                         fmt::format("{} before it are taken{}", found->taken,
                                     found->from_stock ? "; of the colours in stock" : ""),
                         found->colour, "docs/method/colours.md"});
    return out;
}

} // namespace loomwright
