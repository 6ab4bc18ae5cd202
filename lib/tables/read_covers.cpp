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

void CatalogueReader::read_cover_sizes(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        CoverSize made;
        made.cover = row.text("cover");
        made.name = row.text("size");
        made.least = Metres(row.needed("from"));
        made.most = Metres(row.needed("to"));
        made.wall = Metres(row.needed("wall"));
        if (const auto outside = row.number("outside")) {
            made.outside = Metres(*outside);
        }
        made.origin = row.origin("to");
        if (catalogue_.find_cover(made.cover) == nullptr) {
            row.complain("cover", "this cover is not in the table covers");
        }
        if (!(made.most > made.least && made.wall.value() > 0.0)) {
            row.complain("to",
                         "a size takes bundles from one diameter to a larger, and has a wall");
        }
        if (made.outside && *made.outside < made.most + 2.0 * made.wall) {
            row.complain("outside", "less than the largest bundle and two walls");
        }
        catalogue_.cover_sizes_.push_back(std::move(made));
    }
}

Metres CoverSize::over(Metres bundle) const {
    return outside ? *outside : bundle + 2.0 * wall;
}

std::span<const CoverSize> Catalogue::cover_sizes() const {
    return cover_sizes_;
}

const CoverSize* Catalogue::find_cover_size(std::string_view cover, Metres bundle) const {
    const auto found = std::ranges::find_if(cover_sizes_, [&](const CoverSize& size) {
        return size.cover == cover && bundle <= size.most && bundle >= size.least;
    });
    return found == cover_sizes_.end() ? nullptr : &*found;
}

const CoverType* Catalogue::find_cover(std::string_view name) const {
    const auto found = std::ranges::find(covers_, name, &CoverType::name);
    return found == covers_.end() ? nullptr : &*found;
}

std::span<const CoverType> Catalogue::covers() const {
    return covers_;
}

} // namespace loomwright
