// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The reader of YAML: any bytes become a tree whose every place is in the text, or a finding. Some
// are read in pieces too, or from a shelf of pieces, and come out the same.
#include "must.hpp"

#include "yaml/piece_shelf.hpp"
#include "yaml/tree.hpp"

using namespace loomwright;

namespace {

/// The tree as one text, with the places.
void print_tree(const Node& node, std::string& out) {
    const SourceRange where = node.where();
    out += std::to_string(where.line) + ":" + std::to_string(where.column) + " ";
    out += node.text();
    out += '\n';
    for (const Node& item : node.items()) {
        print_tree(item, out);
    }
    for (const Entry& entry : node.entries()) {
        print_tree(entry.key, out);
        print_tree(entry.value, out);
        fuzz::must(node.find(entry.key.text()).is_valid(), "a key of a map is found in it");
    }
}

std::string read(const std::string& text, const YamlLimits& limits, PieceShelf* shelf = nullptr) {
    SourceFiles files;
    Findings findings;
    const FileId file = files.add("fuzz.yaml", text);
    const auto tree = read_tree(file, text, findings, limits, shelf);
    fuzz::must(tree != nullptr || findings.has_input_fault(), "no tree has a reason");
    fuzz::must_be_told(findings, files);
    std::string out;
    if (tree) {
        print_tree(tree->root(), out);
    }
    for (const Finding& finding : findings.all()) {
        out += describe(finding, files);
    }
    return out;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Hurry hurry;
    const std::string text = fuzz::text_of(data, size);
    YamlLimits limits;
    limits.threads = 1;
    limits.alias_nodes = 5'000; // enough to see that it holds
    const std::string whole = read(text, limits);
    static PieceShelf shelf; // it holds what earlier texts left
    fuzz::must(read(text, limits, &shelf) == whole, "pieces of a shelf are what the whole is");
    // Threads take most of the time of a small text: not for every one.
    constexpr std::size_t one_in = 16;
    if (size > 64 && size % one_in == 0) {
        limits.threads = 2;
        limits.piece_bytes = 16;
        fuzz::must(read(text, limits) == whole, "pieces are read as the whole is");
    }
    return 0;
}
