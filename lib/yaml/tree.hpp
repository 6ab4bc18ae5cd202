// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/input_limits.hpp"
#include "diag/finding.hpp"

#include <cstdint>
#include <deque>
#include <iterator>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// What stands at a place of the file.
enum class NodeKind : std::uint8_t {
    nothing, ///< no value, `~` or `null`
    scalar,
    list,
    map,
};

/// How large a text may be, so that a slip (or ill will) costs neither memory nor time.
struct YamlLimits {
    std::size_t bytes = most_input_bytes;
    std::size_t value_bytes = most_bytes_of_a_value; ///< in which no value comes to an end
    int depth = most_depth;                          ///< maps and lists inside each other
    std::size_t values = most_values;
    std::size_t anchors = most_anchors;
    std::size_t alias_nodes = most_repeated_values; ///< values that aliases repeat, in all
    int threads = 0; ///< that read one text; 0: as many as the machine has, up to four
    std::size_t piece_bytes = std::size_t{16} << 10U; ///< least part of a text for a thread
};

class PieceShelf;
class Tree;
class Items;
class Entries;

/// A value of the tree with its place; valid as long as its tree. Scalars keep the text as it was
/// written: nothing becomes a number or a truth value by itself.
class Node {
public:
    Node() = default;
    Node(const Tree& tree, std::uint32_t index) : tree_(&tree), index_(index) {}

    [[nodiscard]] bool is_valid() const { return tree_ != nullptr; }
    [[nodiscard]] NodeKind kind() const;
    [[nodiscard]] bool is_scalar() const { return kind() == NodeKind::scalar; }
    [[nodiscard]] bool is_list() const { return kind() == NodeKind::list; }
    [[nodiscard]] bool is_map() const { return kind() == NodeKind::map; }
    [[nodiscard]] bool is_nothing() const { return kind() == NodeKind::nothing; }
    /// Text of a scalar; what was written of a `nothing` ("~", "null", ""); else empty.
    [[nodiscard]] std::string_view text() const;
    /// True of a scalar in quotes, or in a block of its own (`|`, `>`).
    [[nodiscard]] bool is_quoted() const;
    /// Place of the whole value: of a scalar its text, of a map or list its first character.
    [[nodiscard]] SourceRange where() const;
    /// Place of `length` bytes of a scalar's text from `offset`; the whole scalar where its text is
    /// not in the file as it stands (folded lines, escapes).
    [[nodiscard]] SourceRange where(std::size_t offset, std::size_t length) const;
    /// Number of items of a list or entries of a map.
    [[nodiscard]] std::size_t size() const;
    /// Items of a list; none for anything else.
    [[nodiscard]] Items items() const;
    /// Entries of a map; none for anything else. A repeated key is not among them.
    [[nodiscard]] Entries entries() const;
    /// The value of a key of a map; an invalid node when there is none.
    [[nodiscard]] Node find(std::string_view key) const;

private:
    const Tree* tree_ = nullptr;
    std::uint32_t index_ = 0;
};

/// A key and its value.
struct Entry {
    Node key;
    Node value;
};

/// One text as a flat list of values in the order of writing: a value's parts follow it.
class Tree {
public:
    [[nodiscard]] Node root() const { return {*this, 0}; }
    [[nodiscard]] FileId file() const { return file_; }
    /// The text as it was read.
    [[nodiscard]] std::string_view text() const { return {source_.data(), source_.size()}; }
    /// Number of values, those of aliases and keys counted.
    [[nodiscard]] std::size_t size() const { return records_.size(); }
    /// Memory that it takes, about.
    [[nodiscard]] std::size_t bytes() const {
        return source_.size() + records_.capacity() * sizeof(Record);
    }

private:
    friend class Node;
    friend class Items;
    friend class Entries;
    friend class TreeBuilder;
    friend class TreeJoiner;

    struct Record {
        const char* text = nullptr;
        std::uint32_t size = 0; ///< of the text, or the number of items or entries
        std::uint32_t end = 0;  ///< index of the first record after this value and its parts
        std::int32_t line = 0;
        std::int32_t column = 0;
        std::int32_t end_column = 0;
        NodeKind kind = NodeKind::nothing;
        bool is_quoted = false;
        bool is_flow = false; ///< a map or list in brackets
        std::int16_t text_shift =
            -1;                   ///< characters from the place to the text; -1: not as it stands
        bool is_repeated = false; ///< a key that stands in its map already
    };

    FileId file_;
    std::vector<char> source_;       ///< a vector: its characters stay where they are when it moves
    std::deque<std::string> folded_; ///< texts that are not in the source as they stand
    /// Trees of pieces that hold the texts of these records.
    std::vector<std::shared_ptr<const Tree>> parts_;
    std::vector<Record> records_;
    std::size_t anchors_ = 0;  ///< names that aliases can call
    std::size_t repeated_ = 0; ///< records that aliases called
};

/// Walks the items of a list.
class Items {
public:
    class Iterator {
    public:
        using difference_type = std::ptrdiff_t;
        using value_type = Node;
        Iterator() = default;
        Iterator(const Tree& tree, std::uint32_t index) : tree_(&tree), index_(index) {}
        Node operator*() const { return {*tree_, index_}; }
        Iterator& operator++() {
            index_ = tree_->records_[index_].end;
            return *this;
        }
        Iterator operator++(int) {
            const Iterator before = *this;
            ++*this;
            return before;
        }
        friend bool operator==(const Iterator&, const Iterator&) = default;

    private:
        const Tree* tree_ = nullptr;
        std::uint32_t index_ = 0;
    };
    Items() = default;
    Items(Iterator first, Iterator last) : first_(first), last_(last) {}
    [[nodiscard]] Iterator begin() const { return first_; }
    [[nodiscard]] Iterator end() const { return last_; }

private:
    Iterator first_;
    Iterator last_;
};

/// Walks the entries of a map.
class Entries {
public:
    class Iterator {
    public:
        using difference_type = std::ptrdiff_t;
        using value_type = Entry;
        Iterator() = default;
        Iterator(const Tree& tree, std::uint32_t index, std::uint32_t last)
            : tree_(&tree), index_(index), last_(last) {
            skip_repeated();
        }
        Entry operator*() const { return {{*tree_, index_}, {*tree_, index_ + 1}}; }
        Iterator& operator++() {
            index_ = tree_->records_[index_ + 1].end;
            skip_repeated();
            return *this;
        }
        Iterator operator++(int) {
            const Iterator before = *this;
            ++*this;
            return before;
        }
        friend bool operator==(const Iterator&, const Iterator&) = default;

    private:
        void skip_repeated() {
            while (index_ < last_ && tree_->records_[index_].is_repeated) {
                index_ = tree_->records_[index_ + 1].end;
            }
        }
        const Tree* tree_ = nullptr;
        std::uint32_t index_ = 0;
        std::uint32_t last_ = 0;
    };
    Entries() = default;
    Entries(Iterator first, Iterator last) : first_(first), last_(last) {}
    [[nodiscard]] Iterator begin() const { return first_; }
    [[nodiscard]] Iterator end() const { return last_; }

private:
    Iterator first_;
    Iterator last_;
};

/// Reads one YAML text. What is wrong with it becomes findings (bad-yaml, duplicate-key); nullptr
/// when no tree can be made of it. With a shelf only those entries are read that are not on it.
[[nodiscard]] std::unique_ptr<const Tree> read_tree(FileId file, std::string_view text,
                                                    Findings& findings,
                                                    const YamlLimits& limits = {},
                                                    PieceShelf* shelf = nullptr);

} // namespace loomwright
