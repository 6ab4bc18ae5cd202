// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/text_check.hpp"
#include "yaml/tree_builder.hpp"

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <array>
#include <istream>
#include <streambuf>

namespace loomwright {
namespace {

/// Lets a parser that wants a stream read a text where it stands.
class TextBuffer : public std::streambuf {
public:
    explicit TextBuffer(std::string_view text) {
        // The get area of a stream is not const; it is never written to.
        char* first = const_cast<char*>(text.data());
        setg(first, first, first + text.size());
    }
};

TextMark mark_of(const YAML::Mark& mark) {
    return {mark.pos, mark.line, mark.column};
}

/// Hands the parser's events on to the builder.
class EventReader : public YAML::EventHandler {
public:
    explicit EventReader(TreeBuilder& builder) : builder_(builder) {}

    void OnDocumentStart(const YAML::Mark& mark) override {
        if (++documents_ == 1) {
            return;
        }
        // What does not belong to the first value is taken for another document by the parser.
        const std::string_view rest = builder_.text().substr(static_cast<std::size_t>(mark.pos));
        if (rest.starts_with("---")) {
            builder_.stop(mark_of(mark), "a second document begins here (`---`)",
                          "keep one document in a file; a parts file is named under `include`");
        }
        builder_.stop(mark_of(mark), "this does not belong to what stands before it",
                      "look at the indentation here, and for a bracket or quote that closes too "
                      "early");
    }
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        builder_.add_nothing(mark_of(mark), anchor);
    }
    void OnAlias(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        builder_.repeat(mark_of(mark), anchor);
    }
    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        if (!is_own_tag(tag)) {
            builder_.refuse_tag(mark_of(mark), tag);
        }
        builder_.add_scalar(mark_of(mark), anchor, tag == "?" || tag.empty(), value);
    }
    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                         YAML::EmitterStyle::value style) override {
        if (!is_own_tag(tag)) {
            builder_.refuse_tag(mark_of(mark), tag);
        }
        builder_.open(mark_of(mark), anchor, NodeKind::list, style == YAML::EmitterStyle::Block);
    }
    void OnSequenceEnd() override { builder_.close(); }
    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                    YAML::EmitterStyle::value style) override {
        if (!is_own_tag(tag)) {
            builder_.refuse_tag(mark_of(mark), tag);
        }
        builder_.open(mark_of(mark), anchor, NodeKind::map, style == YAML::EmitterStyle::Block);
    }
    void OnMapEnd() override { builder_.close(); }

private:
    /// "?" is a plain value, "!" a quoted one: what the parser gives where the file has no tag.
    static bool is_own_tag(const std::string& tag) {
        return tag.empty() || tag == "?" || tag == "!" || tag == "tag:yaml.org,2002:str";
    }

    TreeBuilder& builder_;
    int documents_ = 0;
};

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

void explain(const YAML::Exception& fault, FileId file, std::string_view text, Findings& findings) {
    const int line = fault.mark.is_null() ? 1 : fault.mark.line + 1;
    for (const int tabbed : {line, line - 1}) {
        if (tabbed >= 1 && is_indented_by_tab(line_at(text, tabbed))) {
            const auto column = static_cast<int>(line_at(text, tabbed).find('\t')) + 1;
            findings.add(Rule::bad_yaml, "", {file, tabbed, column, column + 1},
                         "this line is indented with a tab", "indent with spaces");
            return;
        }
    }
    TextPlace place;
    if (!fault.mark.is_null()) {
        // An escape is complained of when it has been read.
        const int back = fault.msg.starts_with("unknown escape") ? 2 : 0;
        place = place_at(text, static_cast<std::size_t>(std::max(fault.mark.pos - back, 0)));
    }
    for (const Explanation& known : explanations) {
        if (fault.msg.starts_with(known.parser)) {
            findings.add(Rule::bad_yaml, "", {file, place.line, place.column, 0},
                         std::string(known.message), std::string(known.remedy));
            return;
        }
    }
    findings.add(Rule::bad_yaml, "", {file, place.line, place.column, 0},
                 fmt::format("this is not YAML: {}", fault.msg),
                 "correct this line; quotes and indentation are the usual reasons");
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

} // namespace

std::unique_ptr<const Tree> read_tree(FileId file, std::string_view text, Findings& findings,
                                      const YamlLimits& limits) {
    if (!is_readable(file, without_mark(text), findings, limits)) {
        return nullptr;
    }
    TreeBuilder builder(file, text, findings, limits);
    TextBuffer buffer(builder.text());
    std::istream stream(&buffer);
    EventReader reader(builder);
    try {
        YAML::Parser parser(stream);
        while (parser.HandleNextDocument(reader)) {
        }
    } catch (const StopReading&) {
        return nullptr;
    } catch (const YAML::Exception& fault) {
        explain(fault, file, builder.text(), findings);
        return nullptr;
    }
    if (!builder.has_root()) {
        findings.add(Rule::bad_yaml, "", {file, 1, 1, 0}, "the file is empty",
                     "begin it with `loomwright: 1`");
        return nullptr;
    }
    return builder.finish();
}

} // namespace loomwright
