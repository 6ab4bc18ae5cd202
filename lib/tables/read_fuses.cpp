// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

// A family's band from the bands of its ranges of ratings. Opening times fall as the current rises,
// so a range that has no gate at a multiple m still opens not sooner than at its next gate above m
// and not later than at its next gate below. The band of the family takes, at every multiple that
// any range lists,
//   shortest = the least over the ranges, longest = the greatest over the ranges,
// and has a side only where every range has one. Source of the gates: fuse-gates.yaml.

namespace loomwright {
namespace {

const Amps small_fuse{30.0}; // the two defaults of cold resistance meet here

/// The gates of one range of ratings.
using Range = std::vector<const FuseGate*>;

std::vector<Range> ranges_of(const std::vector<FuseGate>& gates) {
    std::vector<Range> out;
    for (const FuseGate& gate : gates) {
        const auto same = [&gate](const Range& range) {
            return range.front()->least == gate.least && range.front()->most == gate.most;
        };
        const auto found = std::ranges::find_if(out, same);
        if (found == out.end()) {
            out.push_back({&gate});
        } else {
            found->push_back(&gate);
        }
    }
    return out;
}

/// The nearest gate at or above the multiple that has a shortest time.
const FuseGate* shortest_at(const Range& range, double multiple) {
    for (const FuseGate* gate : range) {
        if (gate->multiple >= multiple && gate->shortest) {
            return gate;
        }
    }
    return nullptr;
}

/// The nearest gate at or below the multiple that has a longest time.
const FuseGate* longest_at(const Range& range, double multiple) {
    const FuseGate* best = nullptr;
    for (const FuseGate* gate : range) {
        if (gate->multiple <= multiple && gate->longest) {
            best = gate;
        }
    }
    return best;
}

FuseGate merged_gate(const std::vector<Range>& ranges, double multiple) {
    FuseGate out;
    out.multiple = multiple;
    bool has_shortest = true;
    bool has_longest = true;
    for (const Range& range : ranges) {
        const FuseGate* lower = shortest_at(range, multiple);
        const FuseGate* upper = longest_at(range, multiple);
        has_shortest = has_shortest && lower != nullptr;
        has_longest = has_longest && upper != nullptr;
        if (lower != nullptr && (!out.shortest || *lower->shortest < *out.shortest)) {
            out.shortest = lower->shortest;
            out.origin = lower->origin;
        }
        if (upper != nullptr && (!out.longest || *upper->longest > *out.longest)) {
            out.longest = upper->longest;
            out.origin = upper->origin;
        }
    }
    out.shortest = has_shortest ? out.shortest : std::nullopt;
    out.longest = has_longest ? out.longest : std::nullopt;
    return out;
}

std::optional<ProtectionKind> kind_of(std::string_view word) {
    if (word == "fuse") {
        return ProtectionKind::fuse;
    }
    if (word == "breaker") {
        return ProtectionKind::breaker;
    }
    if (word == "fusible-link") {
        return ProtectionKind::fusible_link;
    }
    return std::nullopt;
}

} // namespace

void CatalogueReader::read_fuse_families(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        FuseFamily made;
        made.name = row.text("name");
        made.title = row.text("title");
        made.standard = row.text("standard");
        if (const auto kind = kind_of(row.text("kind"))) {
            made.kind = *kind;
        } else {
            row.complain("kind", "the kind is none of fuse, breaker, fusible-link");
        }
        if (const auto rated = row.number("rated")) {
            made.rated_voltage = Volts(*rated);
        }
        if (const auto breaking = row.number("breaking")) {
            made.breaking_capacity = Amps(*breaking);
        }
        made.breaking_origin = row.origin("breaking");
        made.derating_per_k = row.number("derating").value_or(0.0);
        made.derating_from = Celsius(row.number("derating-from").value_or(20.0));
        made.derating_origin = row.origin("derating");
        made.hot_over_cold = row.needed("hot-over-cold");
        made.note = row.text("note");
        catalogue_.fuses_.push_back(std::move(made));
    }
}

FuseFamily* CatalogueReader::family(const RowReader& row) {
    const auto found = std::ranges::find(catalogue_.fuses_, row.text("family"), &FuseFamily::name);
    if (found == catalogue_.fuses_.end()) {
        row.complain("family", fmt::format("no family of fuses is called {}", row.text("family")));
        return nullptr;
    }
    return &*found;
}

void CatalogueReader::read_fuse_ratings(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        FuseFamily* owner = family(row);
        FuseRating made;
        made.origin = row.origin("rating");
        made.colour = row.text("colour");
        if (const auto cold = row.number("cold")) {
            made.cold = Ohms(*cold);
            made.cold_origin = row.origin("cold");
        }
        for (const double rating : row.numbers("rating")) {
            made.rating = Amps(rating);
            if (owner != nullptr) {
                add_rating(*owner, made, row);
            }
        }
    }
}

void CatalogueReader::add_rating(FuseFamily& owner, FuseRating made, const RowReader& row) const {
    if (!owner.ratings.empty() && owner.ratings.back().rating >= made.rating) {
        row.complain("rating", "ratings of a family must rise");
        return;
    }
    if (!made.cold) {
        const std::string_view name =
            made.rating < small_fuse ? "fuse-cold-drop-small" : "fuse-cold-drop";
        made.cold = Volts(constant(name)) / made.rating;
        made.cold_origin = {Provenance::derived,
                            fmt::format("{} of the defaults over the rating", name)};
    }
    owner.ratings.push_back(std::move(made));
}

void CatalogueReader::read_fuse_gates(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        FuseGate gate;
        gate.multiple = row.needed("multiple");
        gate.least = Amps(row.needed("least"));
        gate.most = Amps(row.needed("most"));
        gate.origin = row.origin("shortest");
        if (const auto shortest = row.number("shortest")) {
            gate.shortest = Seconds(*shortest);
        }
        if (const auto longest = row.number("longest")) {
            gate.longest = Seconds(*longest);
        }
        if (FuseFamily* owner = family(row)) {
            owner->rating_gates.push_back(std::move(gate));
        }
    }
    for (FuseFamily& owner : catalogue_.fuses_) {
        merge_gates(owner);
    }
}

void CatalogueReader::merge_gates(FuseFamily& family) {
    const std::vector<Range> ranges = ranges_of(family.rating_gates);
    std::set<double> multiples;
    for (const FuseGate& gate : family.rating_gates) {
        multiples.insert(gate.multiple);
    }
    for (const double multiple : multiples) {
        FuseGate gate = merged_gate(ranges, multiple);
        gate.least = family.rating_gates.front().least;
        gate.most = family.rating_gates.back().most;
        if (gate.shortest || gate.longest) {
            family.gates.push_back(std::move(gate));
        }
    }
}

} // namespace loomwright
