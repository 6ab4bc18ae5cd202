// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/word_list.hpp"

namespace loomwright {

std::string list_of(const std::vector<std::string>& words) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) {
            out += i + 1 == words.size() ? " and " : ", ";
        }
        out += words[i];
    }
    return out;
}

} // namespace loomwright
