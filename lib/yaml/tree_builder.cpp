// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/tree_builder.hpp"

#include "yaml/text_check.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

/// Where a quoted text ends; the parser takes one that is never closed for closed by the file's
/// end.
struct QuotedExtent {
    std::size_t on_first_line = 0; ///< bytes from the opening quote, on its line
    bool is_closed = false;
};

QuotedExtent quoted_extent(std::string_view source) {
    const char quote = source.front();
    QuotedExtent out;
    for (std::size_t i = 1; i < source.size(); ++i) {
        // A quote can stand in its text: \" in double quotes, '' in single ones.
        const bool is_escape =
            quote == '"' ? source[i] == '\\'
                         : source[i] == quote && i + 1 < source.size() && source[i + 1] == quote;
        i += is_escape ? 1 : 0;
        if (i < source.size() && source[i] == '\n' && out.on_first_line == 0) {
            out.on_first_line = i;
        } else if (!is_escape && source[i] == quote) {
            out.is_closed = true;
            out.on_first_line = out.on_first_line == 0 ? i + 1 : out.on_first_line;
            return out;
        }
    }
    return out;
}

/// Bytes of what stands on the first line of `source`, without spaces at its end.
std::size_t line_length(std::string_view source) {
    std::string_view line = source.substr(0, source.find('\n'));
    while (!line.empty() && (line.back() == ' ' || line.back() == '\r')) {
        line.remove_suffix(1);
    }
    return line.size();
}

/// What was written for nothing: "~", "null" and its like, or no word at all.
std::string_view word_for_nothing(std::string_view source) {
    for (const std::string_view word : {"~", "null", "Null", "NULL"}) {
        if (source.starts_with(word)) {
            const std::string_view rest = source.substr(word.size());
            if (rest.empty() || rest.find_first_of(" \t\r\n,:]}#") == 0) {
                return source.substr(0, word.size());
            }
        }
    }
    return source.substr(0, 0);
}

} // namespace

TreeBuilder::TreeBuilder(FileId file, std::string_view text, Findings& findings,
                         const YamlLimits& limits)
    : tree_(std::make_unique<Tree>()), text_(text), findings_(findings), limits_(limits) {
    tree_->file_ = file;
    is_ascii_ = is_ascii(text_);
    tree_->records_.reserve(text_.size() / 8 + 16);
}

int TreeBuilder::column_of(const TextMark& mark) {
    if (is_ascii_) {
        return mark.column + 1;
    }
    if (mark.line != counted_line_ || mark.offset < counted_offset_) {
        counted_line_ = mark.line;
        counted_offset_ = mark.offset - mark.column;
        counted_columns_ = 0;
    }
    const std::string_view source = text();
    const auto last = std::min(static_cast<std::size_t>(mark.offset), source.size());
    for (auto i = static_cast<std::size_t>(counted_offset_); i < last; ++i) {
        counted_columns_ += (static_cast<unsigned char>(source[i]) & 0xC0U) == 0x80U ? 0 : 1;
    }
    counted_offset_ = mark.offset;
    return counted_columns_ + 1;
}

TextMark TreeBuilder::after_properties(TextMark mark) const {
    const std::string_view source = text();
    auto at = std::min(static_cast<std::size_t>(mark.offset), source.size());
    while (at < source.size() && (source[at] == '&' || source[at] == '!')) {
        const std::size_t blank = source.find_first_of(" \t\r\n", at);
        const std::size_t next = source.find_first_not_of(" \t", blank);
        if (next == std::string_view::npos || source[next] == '\n' || source[next] == '\r' ||
            source[next] == '#') {
            return mark; // the value begins on a line of its own, or is empty
        }
        mark.offset += static_cast<int>(next - at);
        mark.column += static_cast<int>(next - at);
        at = next;
    }
    return mark;
}

SourceRange TreeBuilder::range(const TextMark& mark, int end_column) {
    return {tree_->file_, mark.line + 1, column_of(mark), end_column};
}

void TreeBuilder::stop(const TextMark& mark, std::string message, std::string remedy) {
    findings_.add(Rule::bad_yaml, "", range(mark), std::move(message), std::move(remedy));
    throw StopReading{};
}

Tree::Record& TreeBuilder::append(const TextMark& mark, std::size_t anchor, NodeKind kind) {
    if (tree_->records_.size() >= limits_.values) {
        stop(mark, fmt::format("the file has more than {} values", limits_.values),
             "take out what is not part of the vehicle");
    }
    settle_empty(mark);
    enter_parent(mark, kind);
    const auto index = static_cast<std::uint32_t>(tree_->records_.size());
    if (anchor != 0) {
        anchors_[anchor] = index;
        if (anchors_.size() > limits_.anchors) {
            stop(mark, fmt::format("the file has more than {} anchors", limits_.anchors),
                 "take out those (`&name`) that no alias names");
        }
    }
    Tree::Record& record = tree_->records_.emplace_back();
    record.kind = kind;
    record.line = mark.line + 1;
    record.column = column_of(mark);
    record.end_column = record.column;
    record.end = index + 1;
    return record;
}

void TreeBuilder::enter_parent(const TextMark& mark, NodeKind kind) {
    if (open_.empty()) {
        return;
    }
    Open& parent = open_.back();
    if (!parent.is_map) {
        ++tree_->records_[parent.index].size;
        return;
    }
    if (!parent.wants_value) {
        if (kind == NodeKind::list || kind == NodeKind::map) {
            stop(mark, "a key must be a word, not a list or a map",
                 "write the key as one word, in quotes if it begins with [ or {; or is the bracket "
                 "that opens here never closed?");
        }
        ++tree_->records_[parent.index].size;
    }
    parent.wants_value = !parent.wants_value;
}

// An empty value has the mark of what comes after it: when that turns out to begin with "null" or
// "~", the word belongs there. The place of an empty value is where its key ends.
void TreeBuilder::settle_empty(const TextMark& mark) {
    if (last_nothing_ != 0 && last_nothing_offset_ == mark.offset) {
        tree_->records_[last_nothing_].size = 0;
    }
    if (last_nothing_ != 0 && tree_->records_[last_nothing_].size == 0) {
        const Tree::Record& before = tree_->records_[last_nothing_ - 1];
        Tree::Record& record = tree_->records_[last_nothing_];
        if (before.kind == NodeKind::scalar) {
            record.line = before.line;
            record.column = record.end_column = before.end_column;
            if (last_nothing_in_block_) {
                check_colon(before);
            }
        }
    }
    last_nothing_ = 0;
}

// An empty item of a list has the mark of what comes after it too. Its place is its dash: before
// the mark, with nothing but blanks and comments between.
void TreeBuilder::place_at_dash(Tree::Record& record, const TextMark& mark) {
    const std::string_view source = text();
    auto end = std::min(static_cast<std::size_t>(mark.offset), source.size());
    for (int line = mark.line; line >= 0; --line) {
        const std::size_t begin = end == 0 ? 0 : source.rfind('\n', end - 1) + 1; // 0 on the first
        const std::string_view written = source.substr(begin, end - begin);
        const std::size_t last = written.substr(0, written.find('#')).find_last_not_of(" \t\r");
        if (last != std::string_view::npos) {
            if (written[last] == '-') {
                const auto column = static_cast<int>(last);
                record.line = line + 1;
                record.column = record.end_column =
                    column_of({static_cast<int>(begin) + column, line, column});
            }
            return;
        }
        if (begin == 0) {
            return;
        }
        end = begin - 1;
    }
}

// The parser takes a line without a colon for a key without a value.
void TreeBuilder::check_colon(const Tree::Record& key) {
    const std::string_view source = text();
    if (key.text_shift >= 0) {
        const auto after = static_cast<std::size_t>(key.text - source.data()) + key.size +
                           static_cast<std::size_t>(key.text_shift);
        const std::string_view rest = source.substr(std::min(after, source.size()));
        const std::size_t next = rest.find_first_not_of(" \t");
        if (next != std::string_view::npos && rest[next] == ':') {
            return;
        }
        const std::size_t line = source.substr(0, after).rfind('\n') + 1; // 0 on the first line
        if (source.substr(line).find_first_not_of(' ') == source.substr(line).find('?')) {
            return; // a key of its own line, its colon may be left out
        }
    }
    findings_.add(Rule::bad_yaml, "", {tree_->file_, key.line, key.column, key.end_column},
                  "this line has no colon", "write `key: value`; a list item begins with `- `");
    throw StopReading{};
}

void TreeBuilder::begin_document(const TextMark& mark) {
    if (++documents_ == 1) {
        return;
    }
    // What does not belong to the first value is taken for another document by the parser.
    const std::string_view rest =
        text().substr(std::min(static_cast<std::size_t>(mark.offset), text().size()));
    if (rest.starts_with("---")) {
        stop(mark, "a second document begins here (`---`)",
             "keep one document in a file; a parts file is named under `include`");
    }
    stop(mark, "this does not belong to what stands before it",
         "look at the indentation here, and for a bracket or quote that closes too early");
}

void TreeBuilder::add_nothing(const TextMark& mark, std::size_t anchor) {
    lay_nothing(after_properties(mark), anchor);
}

void TreeBuilder::lay_nothing(const TextMark& mark, std::size_t anchor) {
    Tree::Record& record = append(mark, anchor, NodeKind::nothing);
    const std::string_view source =
        text().substr(std::min(static_cast<std::size_t>(mark.offset), text_.size()));
    const std::string_view word = word_for_nothing(source);
    record.text = word.data();
    record.size = static_cast<std::uint32_t>(word.size());
    record.text_shift = 0;
    record.end_column = record.column + static_cast<int>(word.size());
    const auto index = static_cast<std::uint32_t>(tree_->records_.size() - 1);
    if (word.empty() && !open_.empty() && !open_.back().is_map && open_.back().is_block) {
        place_at_dash(record, mark);
    }
    const bool is_key = !open_.empty() && open_.back().is_map && open_.back().wants_value;
    if (is_key) {
        check_key(index);
    } else if (index > 0 && !open_.empty() && open_.back().is_map) {
        last_nothing_ = index;
        last_nothing_offset_ = mark.offset;
        last_nothing_in_block_ = open_.back().is_block;
    }
}

void TreeBuilder::add_scalar(const TextMark& mark, std::size_t anchor, bool is_plain,
                             const std::string& value) {
    lay_scalar(after_properties(mark), anchor, is_plain, value);
}

void TreeBuilder::lay_scalar(const TextMark& mark, std::size_t anchor, bool is_plain,
                             const std::string& value) {
    Tree::Record& record = append(mark, anchor, NodeKind::scalar);
    record.is_quoted = !is_plain;
    place_text(record, mark, is_plain, value);
    if (!open_.empty() && open_.back().is_map && open_.back().wants_value) {
        check_key(static_cast<std::uint32_t>(tree_->records_.size() - 1));
    }
}

void TreeBuilder::place_text(Tree::Record& record, const TextMark& mark, bool is_plain,
                             const std::string& value) {
    const std::string_view source =
        text().substr(std::min(static_cast<std::size_t>(mark.offset), text_.size()));
    const bool has_quotes = !is_plain && (source.starts_with('"') || source.starts_with('\''));
    const std::size_t shift = has_quotes ? 1 : 0;
    const std::size_t size = value.size();
    record.size = static_cast<std::uint32_t>(size);
    const bool stands_there = source.size() >= size + 2 * shift &&
                              source.substr(shift, size) == value &&
                              (!has_quotes || source[size + 1] == source.front()) &&
                              value.find('\n') == std::string::npos;
    std::size_t shown = size + 2 * shift; // bytes of it on its first line
    if (stands_there) {
        record.text = source.data() + shift;
        record.text_shift = static_cast<std::int16_t>(shift);
    } else {
        record.text = tree_->folded_.emplace_back(value).data();
        const QuotedExtent extent = has_quotes ? quoted_extent(source) : QuotedExtent{0, true};
        if (!extent.is_closed) {
            stop(mark, "a quoted text begins here and is not closed",
                 "close it with the quote it began with");
        }
        shown = has_quotes ? extent.on_first_line : line_length(source);
    }
    if (is_ascii_) {
        record.end_column = record.column + static_cast<int>(shown);
        return;
    }
    const TextMark after{mark.offset + static_cast<int>(shown), mark.line,
                         mark.column + static_cast<int>(shown)};
    record.end_column = column_of(after);
}

void TreeBuilder::check_key(std::uint32_t index) {
    Tree::Record& key = tree_->records_[index];
    const std::string_view word{key.text, key.size};
    if (word.empty() && !key.is_quoted) {
        findings_.add(Rule::bad_yaml, "", {tree_->file_, key.line, key.column, key.end_column},
                      "a key is missing before this colon", "write the key, or delete the line");
        throw StopReading{};
    }
    if (const auto unseen = unseen_character(word)) {
        findings_.add(Rule::bad_yaml, std::string(word),
                      {tree_->file_, key.line, key.column, key.end_column},
                      fmt::format("a name holds a character that cannot be seen (U+{:04X})",
                                  static_cast<unsigned>(*unseen)),
                      "delete it: two names that look the same must be the same");
        throw StopReading{};
    }
    if (word == "<<" && !key.is_quoted) {
        findings_.add(Rule::bad_yaml, "", {tree_->file_, key.line, key.column, key.end_column},
                      "`<<` (merging one map into another) is not understood",
                      "write the keys out, or repeat a whole value by its alias: `*name`");
        key.is_repeated = true;
    }
}

void TreeBuilder::open(const TextMark& mark, std::size_t anchor, NodeKind kind, bool is_block) {
    if (open_.size() >= static_cast<std::size_t>(limits_.depth)) {
        stop(mark, fmt::format("maps and lists inside each other go deeper than {}", limits_.depth),
             "a vehicle file needs far less depth: look for brackets that are not closed");
    }
    Tree::Record& record = append(after_properties(mark), anchor, kind);
    record.end = 0; // known when it closes
    record.is_flow = !is_block;
    const auto index = static_cast<std::uint32_t>(tree_->records_.size() - 1);
    open_.push_back({index, kind == NodeKind::map, is_block, false});
}

void TreeBuilder::close() {
    const Open closed = open_.back();
    if (last_nothing_ != 0) {
        // The mark of an empty value before a closing bracket is that of the bracket.
        settle_empty({-1, 0, 0});
    }
    open_.pop_back();
    tree_->records_[closed.index].end = static_cast<std::uint32_t>(tree_->records_.size());
    if (closed.is_map) {
        TreeJoiner::find_repeated_keys(*tree_, closed.index, findings_);
    }
}

void TreeBuilder::repeat(const TextMark& mark, std::size_t anchor) {
    const auto found = anchors_.find(anchor);
    if (found == anchors_.end()) {
        stop(mark, "this alias names nothing", "define it before with `&name`");
    }
    const std::uint32_t first = found->second;
    const std::uint32_t last = tree_->records_[first].end;
    if (last == 0) {
        stop(mark, "this alias repeats the value that it stands in", "write the value out");
    }
    tree_->repeated_ += last - first;
    if (tree_->repeated_ > limits_.alias_nodes) {
        stop(mark, fmt::format("aliases repeat more than {} values", limits_.alias_nodes),
             "write the values out");
    }
    settle_empty(mark);
    enter_parent(mark, tree_->records_[first].kind);
    const auto shift = static_cast<std::uint32_t>(tree_->records_.size()) - first;
    for (std::uint32_t i = first; i < last; ++i) {
        Tree::Record record = tree_->records_[i];
        record.end += shift;
        tree_->records_.push_back(record);
    }
    if (!open_.empty() && open_.back().is_map && open_.back().wants_value) {
        check_key(static_cast<std::uint32_t>(tree_->records_.size() - 1));
    }
}

void TreeBuilder::refuse_tag(const TextMark& mark, const std::string& tag) {
    constexpr std::string_view core = "tag:yaml.org,2002:";
    const std::string shown = tag.starts_with(core) ? "!!" + tag.substr(core.size()) : tag;
    findings_.add(Rule::bad_yaml, "", range(mark),
                  fmt::format("the tag `{}` is not understood", shown),
                  "leave it out: values keep the text they are written in");
}

} // namespace loomwright
