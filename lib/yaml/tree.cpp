// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/tree.hpp"

namespace loomwright {
namespace {

/// Characters (not bytes) of UTF-8 text.
int character_count(std::string_view text) {
    int count = 0;
    for (const char c : text) {
        count += (static_cast<unsigned char>(c) & 0xC0U) == 0x80U ? 0 : 1;
    }
    return count;
}

} // namespace

NodeKind Node::kind() const {
    return tree_ == nullptr ? NodeKind::nothing : tree_->records_[index_].kind;
}

std::string_view Node::text() const {
    const NodeKind own = kind();
    if (tree_ == nullptr || own == NodeKind::list || own == NodeKind::map) {
        return {};
    }
    const Tree::Record& record = tree_->records_[index_];
    return {record.text, record.size};
}

bool Node::is_quoted() const {
    return tree_ != nullptr && tree_->records_[index_].is_quoted;
}

SourceRange Node::where() const {
    if (tree_ == nullptr) {
        return {};
    }
    const Tree::Record& record = tree_->records_[index_];
    return {tree_->file_, record.line, record.column, record.end_column};
}

SourceRange Node::where(std::size_t offset, std::size_t length) const {
    SourceRange range = where();
    if (tree_ == nullptr || tree_->records_[index_].text_shift < 0 || offset > text().size()) {
        return range;
    }
    const int shift = tree_->records_[index_].text_shift;
    range.column += shift + character_count(text().substr(0, offset));
    range.end_column = range.column + character_count(text().substr(offset, length));
    return range;
}

std::size_t Node::size() const {
    return is_list() || is_map() ? tree_->records_[index_].size : 0;
}

Items Node::items() const {
    if (!is_list()) {
        return {};
    }
    return {{*tree_, index_ + 1}, {*tree_, tree_->records_[index_].end}};
}

Entries Node::entries() const {
    if (!is_map()) {
        return {};
    }
    const std::uint32_t last = tree_->records_[index_].end;
    return {{*tree_, index_ + 1, last}, {*tree_, last, last}};
}

Node Node::find(std::string_view key) const {
    for (const Entry entry : entries()) {
        if (entry.key.text() == key) {
            return entry.value;
        }
    }
    return {};
}

} // namespace loomwright
