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
        if (!(made.least.value() > 0.0 && made.most > made.least)) {
            row.complain("most", "a fitting takes wire from a least area up to a larger one");
        }
        catalogue_.fittings_.push_back(std::move(made));
    }
}

const FittingType* Catalogue::find_fitting(std::string_view name) const {
    const auto found = std::ranges::find(fittings_, name, &FittingType::name);
    return found == fittings_.end() ? nullptr : &*found;
}

} // namespace loomwright
