// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue_reader.hpp"

#include <algorithm>

namespace loomwright {

void CatalogueReader::read_covers(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        CoverType made;
        made.name = row.text("name");
        made.title = row.text("title");
        made.gap = Metres(row.needed("gap"));
        made.wall = Metres(row.needed("wall"));
        made.conductivity_w_per_m_k = row.needed("conductivity");
        made.emissivity = row.needed("emissivity");
        made.origin = row.origin("wall");
        made.emissivity_origin = row.origin("emissivity");
        if (const auto u = row.number("duct-u")) {
            made.duct = {*u, row.needed("duct-v"), row.needed("duct-y")};
            made.duct_origin = row.origin("duct-u");
        }
        if (!(made.gap.value() >= 0.0 && made.wall.value() > 0.0 &&
              made.conductivity_w_per_m_k > 0.0 && made.emissivity > 0.0)) {
            row.complain("wall", "a cover has a wall, a conductivity and an emissivity above zero");
        }
        catalogue_.covers_.push_back(std::move(made));
    }
}

const CoverType* Catalogue::find_cover(std::string_view name) const {
    const auto found = std::ranges::find(covers_, name, &CoverType::name);
    return found == covers_.end() ? nullptr : &*found;
}

std::span<const CoverType> Catalogue::covers() const {
    return covers_;
}

} // namespace loomwright
