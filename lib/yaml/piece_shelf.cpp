// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/piece_shelf.hpp"

namespace loomwright {

std::shared_ptr<const Tree> PieceShelf::find(std::string_view text) const {
    const std::lock_guard lock(mutex_);
    const auto found = by_text_.find(text);
    return found == by_text_.end() ? nullptr : found->second;
}

void PieceShelf::keep(const std::shared_ptr<const Tree>& tree) {
    const std::string_view text = tree->text();
    const std::lock_guard lock(mutex_);
    if (bytes_ + tree->bytes() <= most_bytes_ && by_text_.try_emplace(text, tree).second) {
        bytes_ += tree->bytes();
    }
}

} // namespace loomwright
