// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue_reader.hpp"

#include <algorithm>

namespace loomwright {

void CatalogueReader::read_fittings(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        FittingType made;
        made.name = row.text("name");
        made.title = row.text("title");
        made.least = SquareMetres(row.needed("least"));
        made.most = SquareMetres(row.needed("most"));
        made.range_origin = row.origin("most");
        if (const auto amps = row.number("current")) {
            made.current = Amps(*amps);
            made.current_origin = row.origin("current");
        }
        made.barrel = row.text("barrel");
        made.mate = row.text("mate");
        if (std::ranges::find(catalogue_.strip_lengths_, made.barrel, &StripLength::barrel) ==
            catalogue_.strip_lengths_.end()) {
            row.complain("barrel", "the table strip-lengths has no such barrel");
        }
        if (!(made.least.value() > 0.0 && made.most > made.least)) {
            row.complain("most", "a fitting takes wire from a least area up to a larger one");
        }
        catalogue_.fittings_.push_back(std::move(made));
    }
}

void CatalogueReader::read_strip_lengths(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        StripLength made;
        made.barrel = row.text("barrel");
        made.most = SquareMetres(row.needed("to"));
        made.strip = Metres(row.needed("strip"));
        std::vector<StripLength>& all = catalogue_.strip_lengths_;
        if (!all.empty() && all.back().barrel == made.barrel && made.most <= all.back().most) {
            row.complain("to", "the rows of a barrel rise");
        }
        all.push_back(std::move(made));
    }
}

const FittingType* Catalogue::find_splice_barrel(SquareMetres sum) const {
    const FittingType* best = nullptr;
    for (const FittingType& row : fittings_) {
        if (row.name.starts_with("splice barrel") && sum <= row.most &&
            (best == nullptr || row.most < best->most)) {
            best = &row;
        }
    }
    return best;
}

Metres Catalogue::strip_length(std::string_view barrel, SquareMetres area) const {
    Metres longest;
    for (const StripLength& row : strip_lengths_) {
        if (row.barrel != barrel) {
            continue;
        }
        longest = row.strip;
        if (area <= row.most) {
            break;
        }
    }
    return longest;
}

const FittingType* Catalogue::find_fitting(std::string_view name) const {
    const auto found = std::ranges::find(fittings_, name, &FittingType::name);
    return found == fittings_.end() ? nullptr : &*found;
}

} // namespace loomwright
