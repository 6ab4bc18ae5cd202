// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/events.hpp"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <istream>
#include <streambuf>

namespace loomwright {
namespace {

struct TooFarAhead {};

/// Lets a parser that wants a stream read a text where it stands, up to `most_ahead` bytes after
/// what it has reached.
class TextBuffer : public std::streambuf {
public:
    TextBuffer(std::string_view text, std::size_t most_ahead)
        : text_(text), most_ahead_(most_ahead) {}
    void reach(int offset) { reached_ = static_cast<std::size_t>(offset); }

protected:
    int_type underflow() override {
        constexpr std::size_t block = 4096;
        if (given_ == text_.size()) {
            return traits_type::eof();
        }
        if (given_ > reached_ + most_ahead_) {
            throw TooFarAhead{};
        }
        const std::size_t count = std::min(block, text_.size() - given_);
        // The get area of a stream is not const; it is never written to.
        char* first = const_cast<char*>(text_.data()) + given_;
        setg(first, first, first + count);
        given_ += count;
        return traits_type::to_int_type(*first);
    }

private:
    std::string_view text_;
    std::size_t most_ahead_;
    std::size_t given_ = 0;
    std::size_t reached_ = 0;
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
    EventReader(EventSink& sink, TextBuffer& buffer) : sink_(sink), buffer_(buffer) {}
    [[nodiscard]] const TextMark& last() const { return last_; }

    void OnDocumentStart(const YAML::Mark& mark) override { sink_.begin_document(reach(mark)); }
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        sink_.add_nothing(reach(mark), anchor);
    }
    void OnAlias(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        sink_.repeat(reach(mark), anchor);
    }
    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        check_tag(mark, tag);
        sink_.add_scalar(reach(mark), anchor, tag == "?" || tag.empty(), value);
    }
    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                         YAML::EmitterStyle::value style) override {
        check_tag(mark, tag);
        sink_.open_list(reach(mark), anchor, is_block(style));
    }
    void OnSequenceEnd() override { sink_.close(); }
    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                    YAML::EmitterStyle::value style) override {
        check_tag(mark, tag);
        sink_.open_map(reach(mark), anchor, is_block(style));
    }
    void OnMapEnd() override { sink_.close(); }

private:
    TextMark reach(const YAML::Mark& mark) {
        last_ = mark_of(mark);
        buffer_.reach(last_.offset);
        return last_;
    }
    /// "?" is a plain value, "!" a quoted one: what the parser gives where the file has no tag.
    void check_tag(const YAML::Mark& mark, const std::string& tag) {
        if (!tag.empty() && tag != "?" && tag != "!" && tag != "tag:yaml.org,2002:str") {
            sink_.refuse_tag(mark_of(mark), tag);
        }
    }

    EventSink& sink_;
    TextBuffer& buffer_;
    TextMark last_;
};

} // namespace

std::optional<ParserFault> run_parser(std::string_view text, EventSink& sink,
                                      std::size_t most_ahead) {
    TextBuffer buffer(text, most_ahead);
    std::istream stream(&buffer);
    EventReader reader(sink, buffer);
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
    } catch (const TooFarAhead&) {
        return ParserFault{.mark = reader.last(), .message = {}, .is_stopped = true};
    }
    return std::nullopt;
}

} // namespace loomwright
