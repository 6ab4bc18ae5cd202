// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue_reader.hpp"

namespace loomwright {

void CatalogueReader::read_all() {
    struct File {
        std::string_view name;
        void (CatalogueReader::*read)(const DataTable&);
    };
    // The defaults come first: other files are completed with them. Ratings and gates need their
    // family.
    constexpr std::array<File, 15> files{{
        {"defaults", &CatalogueReader::read_defaults},
        {"conductors-iso", &CatalogueReader::read_iso},
        {"conductors-sae", &CatalogueReader::read_sae},
        {"conductors-awg", &CatalogueReader::read_awg},
        {"insulation", &CatalogueReader::read_insulations},
        {"fuses", &CatalogueReader::read_fuse_families},
        {"fuse-ratings", &CatalogueReader::read_fuse_ratings},
        {"fuse-gates", &CatalogueReader::read_fuse_gates},
        {"drop-limits", &CatalogueReader::read_drop_limits},
        {"relays", &CatalogueReader::read_relays},
        {"bundle-factors", &CatalogueReader::read_bundle_factors},
        {"covers", &CatalogueReader::read_covers},
        {"cover-sizes", &CatalogueReader::read_cover_sizes},
        {"strip-lengths", &CatalogueReader::read_strip_lengths},
        {"fittings", &CatalogueReader::read_fittings},
    }};
    for (const File& file : files) {
        if (const auto table = read_data_table(file.name, files_, findings_)) {
            (this->*file.read)(*table);
        }
    }
    settle_outside_diameters();
}

Catalogue load_catalogue(SourceFiles& files, Findings& findings) {
    Catalogue catalogue;
    CatalogueReader(catalogue, files, findings).read_all();
    return catalogue;
}

} // namespace loomwright
