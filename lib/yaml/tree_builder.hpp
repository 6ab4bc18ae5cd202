// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "yaml/events.hpp"
#include "yaml/pieces.hpp"
#include "yaml/tree.hpp"

#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace loomwright {

/// Thrown inside `lib/yaml` to leave the parser; the finding is there already.
struct StopReading {};

/// Lays the values of one text, or of one piece of it, into a Tree, in the order in which they
/// come.
class TreeBuilder : public EventSink {
public:
    /// The tree's texts point into `text`, which must outlive it.
    TreeBuilder(FileId file, std::string_view text, Findings& findings, const YamlLimits& limits);

    void begin_document(const TextMark& mark) override;
    void add_nothing(const TextMark& mark, std::size_t anchor) override;
    void add_scalar(const TextMark& mark, std::size_t anchor, bool is_plain,
                    const std::string& value) override;
    void open_list(const TextMark& mark, std::size_t anchor, bool is_block) override {
        open(mark, anchor, NodeKind::list, is_block);
    }
    void open_map(const TextMark& mark, std::size_t anchor, bool is_block) override {
        open(mark, anchor, NodeKind::map, is_block);
    }
    void close() override;
    void repeat(const TextMark& mark, std::size_t anchor) override;
    void refuse_tag(const TextMark& mark, const std::string& tag) override;

    /// The text as the parser is to see it.
    [[nodiscard]] std::string_view text() const { return text_; }
    [[nodiscard]] std::unique_ptr<Tree> finish() {
        tree_->anchors_ = anchors_.size();
        return std::move(tree_);
    }
    [[nodiscard]] bool has_root() const { return !tree_->records_.empty(); }

private:
    struct Open {
        std::uint32_t index = 0;
        bool is_map = false;
        bool is_block = false;    ///< written by indentation, not in brackets
        bool wants_value = false; ///< of a map: the key is there
    };

    /// Reports bad-yaml at a place and leaves the parser.
    [[noreturn]] void stop(const TextMark& mark, std::string message, std::string remedy);

    void open(const TextMark& mark, std::size_t anchor, NodeKind kind, bool is_block);
    [[nodiscard]] SourceRange range(const TextMark& mark, int end_column = 0);
    [[nodiscard]] int column_of(const TextMark& mark);
    /// The mark of a value itself, where its anchor or tag stands before it.
    [[nodiscard]] TextMark after_properties(TextMark mark) const;
    Tree::Record& append(const TextMark& mark, std::size_t anchor, NodeKind kind);
    /// Counts the new value in its list or map; a key that is not a plain word stops the reading.
    void enter_parent(const TextMark& mark, NodeKind kind);
    void lay_nothing(const TextMark& mark, std::size_t anchor);
    void lay_scalar(const TextMark& mark, std::size_t anchor, bool is_plain,
                    const std::string& value);
    void check_key(std::uint32_t index);
    void place_text(Tree::Record& record, const TextMark& mark, bool is_plain,
                    const std::string& value);
    void settle_empty(const TextMark& mark);
    void place_at_dash(Tree::Record& record, const TextMark& mark);
    void check_colon(const Tree::Record& key);

    std::unique_ptr<Tree> tree_;
    std::string_view text_;
    int documents_ = 0;
    Findings& findings_;
    YamlLimits limits_;
    bool is_ascii_ = true;
    std::vector<Open> open_;
    std::unordered_map<std::size_t, std::uint32_t> anchors_;
    std::uint32_t last_nothing_ = 0; ///< record that may turn out to be empty; 0: none
    int last_nothing_offset_ = -1;
    bool last_nothing_in_block_ = false;
    // Where the last column in characters was counted, to go on from there.
    int counted_line_ = -1;
    int counted_offset_ = 0;
    int counted_columns_ = 0;
};

/// Makes one tree of the trees of its pieces.
class TreeJoiner {
public:
    /// Nothing where the pieces do not fit together: then they were no pieces. Nor where there are
    /// more values in them than may be.
    [[nodiscard]] static std::unique_ptr<Tree> join(FileId file,
                                                    std::vector<std::shared_ptr<const Tree>> trees,
                                                    const std::vector<Piece>& pieces,
                                                    const YamlLimits& limits, Findings& findings);
    /// The tree keeps the text that its records point into.
    static void keep_source(Tree& tree, std::vector<char> source) {
        tree.source_ = std::move(source);
    }
    /// Reports keys of a map that stand in it already, and marks them.
    static void find_repeated_keys(Tree& tree, std::uint32_t map_index, Findings& findings);

private:
    /// True when these are within the limits of one text.
    [[nodiscard]] static bool fit(const std::vector<std::shared_ptr<const Tree>>& trees,
                                  const YamlLimits& limits);
    [[nodiscard]] static std::size_t
    record_count(const std::vector<std::shared_ptr<const Tree>>& trees);
};

} // namespace loomwright
