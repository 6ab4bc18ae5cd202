// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/piece_shelf.hpp"

#include <utility>

namespace loomwright {
namespace {

/// Texts of about two hundred cars that have nothing in common; the trees take ten times that.
constexpr std::size_t most_bytes = std::size_t{8} << 20U;

} // namespace

std::shared_ptr<const Tree> PieceShelf::find(std::string_view text) const {
    const std::lock_guard lock(mutex_);
    const auto found = by_text_.find(text);
    return found == by_text_.end() ? nullptr : found->second;
}

void PieceShelf::keep(std::shared_ptr<const Tree> tree) {
    const std::string_view text = tree->text();
    const std::lock_guard lock(mutex_);
    if (bytes_ + text.size() <= most_bytes && by_text_.try_emplace(text, std::move(tree)).second) {
        bytes_ += text.size();
    }
}

} // namespace loomwright
