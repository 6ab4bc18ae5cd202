// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace loomwright {

/// A place in the text as the parser counts: bytes from 0, lines from 0, columns in bytes from 0.
struct TextMark {
    int offset = 0;
    int line = 0;
    int column = 0;
};

/// Takes the events of a YAML text in the order of writing. `anchor` is 0 where there is none.
class EventSink {
public:
    EventSink() = default;
    virtual ~EventSink() = default;
    EventSink(const EventSink&) = delete;
    EventSink& operator=(const EventSink&) = delete;
    EventSink(EventSink&&) = delete;
    EventSink& operator=(EventSink&&) = delete;

    virtual void begin_document(const TextMark& mark) = 0;
    virtual void add_nothing(const TextMark& mark, std::size_t anchor) = 0;
    virtual void add_scalar(const TextMark& mark, std::size_t anchor, bool is_plain,
                            const std::string& value) = 0;
    virtual void open_list(const TextMark& mark, std::size_t anchor, bool is_block) = 0;
    virtual void open_map(const TextMark& mark, std::size_t anchor, bool is_block) = 0;
    virtual void close() = 0;
    virtual void repeat(const TextMark& mark, std::size_t anchor) = 0;
    virtual void refuse_tag(const TextMark& mark, const std::string& tag) = 0;
};

/// What the parser complained of, in its own words.
struct ParserFault {
    std::optional<TextMark> mark; ///< where it was stopped: that of the last event
    std::string message;
    bool is_stopped = false; ///< it had read too far ahead
};

/// Runs yaml-cpp over a text. What the sink throws comes through. It reads ahead to the end of what
/// it may be in, and keeps that: with `most_ahead` bytes or more after the last event it is
/// stopped.
[[nodiscard]] std::optional<ParserFault> run_parser(std::string_view text, EventSink& sink,
                                                    std::size_t most_ahead);

} // namespace loomwright
