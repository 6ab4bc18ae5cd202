// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/data_table.hpp"

#include "table_files.hpp"

namespace loomwright {

std::vector<std::string> data_table_names() {
    std::vector<std::string> out;
    for (const table_files::EmbeddedFile& file : table_files::embedded_files()) {
        out.emplace_back(file.name.substr(0, file.name.rfind('.')));
    }
    return out;
}

} // namespace loomwright
