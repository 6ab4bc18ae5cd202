// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue_reader.hpp"
#include "tables/family_bands.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

const Amps small_fuse{30.0}; // the two defaults of cold resistance meet here

std::optional<ProtectionKind> protection_kind_of(std::string_view word) {
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
        if (const auto kind = protection_kind_of(row.text("kind"))) {
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
        made.opening_per_k = row.number("opening").value_or(0.0);
        made.opening_origin = row.origin("opening");
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

} // namespace loomwright
