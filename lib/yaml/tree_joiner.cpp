// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/tree_builder.hpp"

#include <fmt/format.h>

namespace loomwright {
namespace {

// Up to this many keys, comparing each with each is faster than a table of them.
constexpr std::size_t few_keys = 12;

} // namespace

void TreeJoiner::find_repeated_keys(Tree& tree, std::uint32_t map_index, Findings& findings) {
    std::vector<Tree::Record>& records = tree.records_;
    const auto text = [&](std::uint32_t index) {
        return std::string_view(records[index].text, records[index].size);
    };
    const auto report = [&](std::uint32_t first, std::uint32_t second) {
        records[second].is_repeated = true;
        const auto place = [&](const Tree::Record& key) {
            return SourceRange{tree.file_, key.line, key.column, key.end_column};
        };
        findings
            .add(Rule::duplicate_key, std::string(text(second)), place(records[second]),
                 fmt::format("`{}` stands twice in one map", text(second)),
                 "keep one of the two, or give one another name")
            .related.push_back({place(records[first]), "the first one is here"});
    };
    const std::uint32_t last = records[map_index].end;
    if (records[map_index].size <= few_keys) {
        for (std::uint32_t i = map_index + 1; i < last; i = records[i + 1].end) {
            for (std::uint32_t j = map_index + 1; j < i && !records[i].is_repeated;
                 j = records[j + 1].end) {
                if (text(i) == text(j)) {
                    report(j, i);
                }
            }
        }
        return;
    }
    std::unordered_map<std::string_view, std::uint32_t> seen;
    seen.reserve(records[map_index].size);
    for (std::uint32_t i = map_index + 1; i < last; i = records[i + 1].end) {
        const auto [found, is_new] = seen.try_emplace(text(i), i);
        if (!is_new && !records[i].is_repeated) {
            report(found->second, i);
        }
    }
}

std::size_t TreeJoiner::record_count(const std::vector<std::shared_ptr<const Tree>>& trees) {
    std::size_t count = 0;
    for (const std::shared_ptr<const Tree>& tree : trees) {
        count += tree->records_.size();
    }
    return count;
}

bool TreeJoiner::fit(const std::vector<std::shared_ptr<const Tree>>& trees,
                     const YamlLimits& limits) {
    std::size_t anchors = 0;
    std::size_t repeated = 0;
    for (const std::shared_ptr<const Tree>& tree : trees) {
        anchors += tree->anchors_;
        repeated += tree->repeated_;
    }
    return record_count(trees) <= limits.values && anchors <= limits.anchors &&
           repeated <= limits.alias_nodes;
}

std::unique_ptr<Tree> TreeJoiner::join(FileId file, std::vector<std::shared_ptr<const Tree>> trees,
                                       const std::vector<Piece>& pieces, const YamlLimits& limits,
                                       Findings& findings) {
    if (trees.front()->records_.front().kind != NodeKind::map || !fit(trees, limits)) {
        return nullptr;
    }
    auto whole = std::make_unique<Tree>();
    whole->file_ = file;
    std::vector<Tree::Record>& records = whole->records_;
    records.reserve(record_count(trees));
    records = trees.front()->records_;
    std::vector<std::uint32_t> grown{0}; // maps that got entries of another piece
    std::uint32_t last_value = 0;        // of the topmost map so far
    const auto find_last_value = [&](std::uint32_t from) {
        for (std::uint32_t i = from; i < records.size(); i = records[i + 1].end) {
            last_value = i + 1;
        }
    };
    find_last_value(1);
    for (std::size_t i = 1; i < trees.size(); ++i) {
        const std::vector<Tree::Record>& more = trees[i]->records_;
        const std::uint32_t target = pieces[i].is_inner ? last_value : 0;
        if (more.front().kind != NodeKind::map || records[target].kind != NodeKind::map ||
            records[target].column != more.front().column || records[target].is_flow ||
            more.front().is_flow) {
            return nullptr;
        }
        // The root of the piece goes; what was at index 1 is now the next record.
        const auto first_new = static_cast<std::uint32_t>(records.size());
        const std::uint32_t shift = first_new - 1;
        for (std::size_t j = 1; j < more.size(); ++j) {
            records.push_back(more[j]);
            records.back().end += shift;
            records.back().line += pieces[i].first_line;
        }
        const auto last_new = static_cast<std::uint32_t>(records.size());
        records[target].size += more.front().size;
        records[target].end = last_new;
        records.front().end = last_new;
        if (!pieces[i].is_inner) {
            find_last_value(first_new);
        } else if (grown.back() != target) {
            grown.push_back(target);
        }
    }
    for (std::shared_ptr<const Tree>& tree : trees) {
        if (!tree->source_.empty() || !tree->folded_.empty()) {
            whole->parts_.push_back(std::move(tree));
        }
    }
    for (const std::uint32_t map : grown) {
        find_repeated_keys(*whole, map, findings);
    }
    return whole;
}

} // namespace loomwright
