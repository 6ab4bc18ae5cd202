// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "yaml/tree.hpp"

#include <cstddef>
#include <memory>
#include <mutex>
#include <string_view>
#include <unordered_map>

namespace loomwright {

/// Pieces of texts as they were read, for texts that are alike: variants of one car, or one car
/// read again after each change. What stands in a piece goes by its text alone, so a piece taken
/// from here is what reading it once more would give. Several threads may use one shelf.
class PieceShelf {
public:
    /// As many as a hundred cars take that have nothing in common.
    static constexpr std::size_t usual_bytes = std::size_t{64} << 20U;
    explicit PieceShelf(std::size_t most_bytes = usual_bytes) : most_bytes_(most_bytes) {}

    /// The tree of a text that is here, with its lines counted from 0; else nullptr.
    [[nodiscard]] std::shared_ptr<const Tree> find(std::string_view text) const;
    /// Keeps a tree that was read without any finding, its lines counted from 0, with the text in
    /// it. One that is here already, or has no room any more, is let go.
    void keep(const std::shared_ptr<const Tree>& tree);

private:
    mutable std::mutex mutex_;
    std::unordered_map<std::string_view, std::shared_ptr<const Tree>> by_text_;
    std::size_t most_bytes_; ///< of the trees
    std::size_t bytes_ = 0;
};

} // namespace loomwright
