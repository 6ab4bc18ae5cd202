// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/events.hpp"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

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

bool is_block(YAML::EmitterStyle::value style) {
    return style == YAML::EmitterStyle::Block;
}

/// Hands the parser's events on.
class EventReader : public YAML::EventHandler {
public:
    explicit EventReader(EventSink& sink) : sink_(sink) {}

    void OnDocumentStart(const YAML::Mark& mark) override { sink_.begin_document(mark_of(mark)); }
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        sink_.add_nothing(mark_of(mark), anchor);
    }
    void OnAlias(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        sink_.repeat(mark_of(mark), anchor);
    }
    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        check_tag(mark, tag);
        sink_.add_scalar(mark_of(mark), anchor, tag == "?" || tag.empty(), value);
    }
    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                         YAML::EmitterStyle::value style) override {
        check_tag(mark, tag);
        sink_.open_list(mark_of(mark), anchor, is_block(style));
    }
    void OnSequenceEnd() override { sink_.close(); }
    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                    YAML::EmitterStyle::value style) override {
        check_tag(mark, tag);
        sink_.open_map(mark_of(mark), anchor, is_block(style));
    }
    void OnMapEnd() override { sink_.close(); }

private:
    /// "?" is a plain value, "!" a quoted one: what the parser gives where the file has no tag.
    void check_tag(const YAML::Mark& mark, const std::string& tag) {
        if (!tag.empty() && tag != "?" && tag != "!" && tag != "tag:yaml.org,2002:str") {
            sink_.refuse_tag(mark_of(mark), tag);
        }
    }

    EventSink& sink_;
};

} // namespace

std::optional<ParserFault> run_parser(std::string_view text, EventSink& sink) {
    TextBuffer buffer(text);
    std::istream stream(&buffer);
    EventReader reader(sink);
    try {
        YAML::Parser parser(stream);
        bool is_more = true;
        while (is_more) {
            is_more = parser.HandleNextDocument(reader);
        }
    } catch (const YAML::Exception& fault) {
        ParserFault out{.mark = {}, .message = fault.msg};
        if (!fault.mark.is_null()) {
            out.mark = mark_of(fault.mark);
        }
        return out;
    }
    return std::nullopt;
}

} // namespace loomwright
