// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/side_by_side.hpp"
#include "yaml/piece_shelf.hpp"
#include "yaml/text_check.hpp"
#include "yaml/tree_builder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <thread>

namespace loomwright {
namespace {

/// What a complaint of the parser means to someone who has the file before him.
struct Explanation {
    std::string_view parser;
    std::string_view message;
    std::string_view remedy;
};

constexpr std::array explanations = {
    Explanation{"end of map flow not found",
                "a map opened with { is not closed, or a comma is missing",
                "look for a missing } or comma, or a colon without a space after it, here or "
                "on the lines before"},
    Explanation{"end of sequence flow not found",
                "a list opened with [ is not closed, or a comma is missing",
                "look for a missing ] or comma here or on the lines before"},
    Explanation{"illegal flow end", "a bracket closes what was not opened",
                "delete the bracket, or open it before"},
    Explanation{"end of map not found", "this line does not fit the map it stands in",
                "give all keys of one map the same indentation, each with a colon and a space"},
    Explanation{"end of sequence not found", "this line does not fit the list it stands in",
                "give all items of one list the same indentation, each with `- ` before it"},
    Explanation{"illegal map value", "a colon stands where no value can begin",
                "put a text that holds `: ` in quotes, correct the indentation, or look for a "
                "line before without a colon"},
    Explanation{"illegal map key", "a key stands where none can be", "correct the indentation"},
    Explanation{"illegal block entry", "a list item (`- `) stands where none can be",
                "put each item on a line of its own, indented under its key"},
    Explanation{"illegal EOF in scalar", "a quoted text is not closed before the file ends",
                "close it with the quote it began with"},
    Explanation{"illegal document indicator in scalar", "a quoted text is not closed",
                "close it with the quote it began with"},
    Explanation{"illegal tab when looking for indentation", "a tab stands where spaces must",
                "indent with spaces"},
    Explanation{"unknown token", "a character stands here that begins no value",
                "put a text that begins with one of % @ ` in quotes"},
    Explanation{"the referenced anchor is not defined", "this alias (`*name`) names nothing",
                "define it before with `&name`, or put the text in quotes"},
    Explanation{"alias not found after *", "a * stands here without a name",
                "put a text that begins with * in quotes"},
    Explanation{"anchor not found after &", "an & stands here without a name",
                "put a text that begins with & in quotes"},
    Explanation{"unknown escape character", "an escape in this quoted text is not known",
                "write \\\\ for a backslash, or use single quotes"},
};

/// True when the indentation of the line holds a tab: the usual reason for a complaint that
/// sounds like another.
bool is_indented_by_tab(std::string_view line) {
    const std::size_t first = line.find_first_not_of(" \t");
    return line.substr(0, first).find('\t') != std::string_view::npos;
}

void explain(const ParserFault& fault, FileId file, std::string_view text, Findings& findings) {
    const int line = fault.mark ? fault.mark->line + 1 : 1;
    for (const int tabbed : {line, line - 1}) {
        if (tabbed >= 1 && is_indented_by_tab(line_at(text, tabbed))) {
            const auto column = static_cast<int>(line_at(text, tabbed).find('\t')) + 1;
            findings.add(Rule::bad_yaml, "", {file, tabbed, column, column + 1},
                         "this line is indented with a tab", "indent with spaces");
            return;
        }
    }
    TextPlace place;
    if (fault.mark) {
        // An escape is complained of when it has been read.
        const int back = fault.message.starts_with("unknown escape") ? 2 : 0;
        place = place_at(text, static_cast<std::size_t>(std::max(fault.mark->offset - back, 0)));
    }
    const SourceRange where{file, place.line, place.column, 0};
    for (const Explanation& known : explanations) {
        if (fault.message.starts_with(known.parser)) {
            findings.add(Rule::bad_yaml, "", where, std::string(known.message),
                         std::string(known.remedy));
            return;
        }
    }
    findings.add(Rule::bad_yaml, "", where, fmt::format("this is not YAML: {}", fault.message),
                 "correct this line; quotes and indentation are the usual reasons");
}

void explain_stop(const ParserFault& fault, FileId file, std::string_view text, Findings& findings,
                  const YamlLimits& limits) {
    const TextPlace place = place_at(text, static_cast<std::size_t>(fault.mark->offset));
    findings.add(Rule::bad_yaml, "", {file, place.line, place.column, 0},
                 fmt::format("more than {} KiB follow here in which no value ends",
                             limits.value_bytes >> 10U),
                 "look for a bracket or a quote that is not closed; write maps and lists of this "
                 "size a line an entry, without brackets");
}

bool is_readable(FileId file, std::string_view text, Findings& findings, const YamlLimits& limits) {
    if (text.size() > limits.bytes) {
        findings.add(Rule::bad_yaml, "", {file, 0, 0, 0},
                     fmt::format("the text is larger than {} MiB", limits.bytes >> 20U),
                     "take out what is not part of the vehicle");
        return false;
    }
    if (const auto bad = find_bad_character(text)) {
        const TextPlace place = place_at(text, bad->offset);
        findings.add(Rule::bad_yaml, "", {file, place.line, place.column, place.column + 1},
                     bad->message, bad->remedy);
        return false;
    }
    return true;
}

/// Reads a text, or a piece of one, as it stands; nothing, with findings, when it is no YAML.
std::unique_ptr<Tree> read_at_once(FileId file, std::string_view text, Findings& findings,
                                   const YamlLimits& limits) {
    TreeBuilder builder(file, text, findings, limits);
    try {
        if (const auto fault = run_parser(text, builder, limits.value_bytes)) {
            if (fault->is_stopped) {
                explain_stop(*fault, file, text, findings, limits);
            } else {
                explain(*fault, file, text, findings);
            }
            return nullptr;
        }
    } catch (const StopReading&) {
        return nullptr;
    }
    if (!builder.has_root()) {
        findings.add(Rule::bad_yaml, "", {file, 1, 1, 0}, "the file is empty",
                     "begin it with `loomwright: 1`");
        return nullptr;
    }
    return builder.finish();
}

constexpr std::size_t pieces_of_a_thread = 4;

int thread_count(std::size_t bytes, const YamlLimits& limits) {
    constexpr int most_threads = 4; // more make the pieces uneven and gain little
    const int machine = static_cast<int>(std::thread::hardware_concurrency());
    const int wanted = limits.threads > 0 ? limits.threads : std::min(machine, most_threads);
    const std::size_t fitting = bytes / std::max<std::size_t>(limits.piece_bytes, 1);
    return static_cast<int>(
        std::min<std::size_t>(static_cast<std::size_t>(std::max(wanted, 1)), fitting));
}

/// One tree of the trees of pieces; nothing when one of them is missing, or when anything is to be
/// said. A text that anything is wrong with is read as a whole, so that what is said of it is the
/// same on every machine.
std::unique_ptr<Tree> join_pieces(FileId file, std::vector<std::shared_ptr<const Tree>> trees,
                                  const std::vector<Piece>& pieces, const YamlLimits& limits) {
    if (std::ranges::find(trees, nullptr) != trees.end()) {
        return nullptr;
    }
    Findings joined;
    auto tree = TreeJoiner::join(file, std::move(trees), pieces, limits, joined);
    return joined.empty() ? std::move(tree) : nullptr;
}

/// A piece as if it were all of the text, so that its lines count from 0; nothing when it is no
/// YAML by itself, or when anything is to be said of it.
std::unique_ptr<Tree> read_clean_piece(const Piece& piece, std::string_view text,
                                       YamlLimits limits) {
    limits.depth -= piece.is_inner ? 1 : 0; // the map that it is a part of
    Findings said;
    auto tree = read_at_once(FileId(), text, said, limits);
    return said.empty() ? std::move(tree) : nullptr;
}

/// Reads the pieces of a text side by side.
std::unique_ptr<Tree> read_pieces(FileId file, const std::vector<Piece>& pieces, int threads,
                                  const YamlLimits& limits) {
    std::vector<std::shared_ptr<const Tree>> trees(pieces.size());
    // A piece's time goes by its tokens more than by its length, so a thread takes the next when it
    // is done with one.
    std::atomic<std::size_t> next{0};
    side_by_side(static_cast<std::size_t>(threads - 1), [&](std::size_t /*thread*/) {
        for (std::size_t i = next++; i < pieces.size(); i = next++) {
            trees[i] = read_clean_piece(pieces[i], pieces[i].text, limits);
        }
    });
    return join_pieces(file, std::move(trees), pieces, limits);
}

/// Takes from the shelf what is there, and reads and keeps the other pieces.
std::unique_ptr<Tree> read_pieces_from(PieceShelf& shelf, FileId file,
                                       const std::vector<Piece>& pieces, const YamlLimits& limits) {
    std::vector<std::shared_ptr<const Tree>> trees;
    trees.reserve(pieces.size());
    std::size_t values = 0;
    for (const Piece& piece : pieces) {
        std::shared_ptr<const Tree> known = shelf.find(piece.text);
        if (!known) {
            std::vector<char> source(piece.text.begin(), piece.text.end());
            std::unique_ptr<Tree> fresh =
                read_clean_piece(piece, {source.data(), source.size()}, limits);
            if (!fresh) {
                return nullptr;
            }
            TreeJoiner::keep_source(*fresh, std::move(source));
            known = std::move(fresh);
            shelf.keep(known);
        }
        values += known->size();
        if (values > limits.values) {
            return nullptr;
        }
        trees.push_back(std::move(known));
    }
    return join_pieces(file, std::move(trees), pieces, limits);
}

std::unique_ptr<Tree> read_in_pieces(FileId file, std::string_view text, const YamlLimits& limits,
                                     PieceShelf* shelf) {
    if (shelf != nullptr) {
        // An entry each: two texts that differ in one have all others in common.
        const std::vector<Piece> pieces = cut_into_pieces(text, static_cast<int>(text.size()));
        return read_pieces_from(*shelf, file, pieces, limits);
    }
    const int threads = thread_count(text.size(), limits);
    if (threads < 2) {
        return nullptr;
    }
    const auto least = std::max<std::size_t>(limits.piece_bytes / pieces_of_a_thread, 1);
    const std::vector<Piece> pieces = cut_into_pieces(
        text, static_cast<int>(std::min(static_cast<std::size_t>(threads) * pieces_of_a_thread,
                                        text.size() / least)));
    return pieces.size() > 1 ? read_pieces(file, pieces, threads, limits) : nullptr;
}

} // namespace

std::unique_ptr<const Tree> read_tree(FileId file, std::string_view text, Findings& findings,
                                      const YamlLimits& limits, PieceShelf* shelf) {
    const std::string_view body = without_mark(text);
    if (!is_readable(file, body, findings, limits)) {
        return nullptr;
    }
    std::vector<char> source(body.begin(), body.end());
    const std::string_view kept(source.data(), source.size());
    std::unique_ptr<Tree> tree = read_in_pieces(file, kept, limits, shelf);
    if (!tree) {
        tree = read_at_once(file, kept, findings, limits);
    }
    if (tree) {
        TreeJoiner::keep_source(*tree, std::move(source));
    }
    return tree;
}

} // namespace loomwright
