// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "terminal.hpp"

#include "fold.hpp"

#include "sheets/characters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>

#include <sys/ioctl.h>
#include <unistd.h>

namespace loomwright::cli {
namespace {

/// U+200E, U+200F, U+202A..U+202E and U+2066..U+2069.
bool is_direction_mark(char32_t character) {
    return character == 0x200E || character == 0x200F ||
           (character >= 0x202A && character <= 0x202E) ||
           (character >= 0x2066 && character <= 0x2069);
}

bool is_control(char32_t character) {
    return (character < 0x20 && character != '\n' && character != '\t') ||
           (character >= 0x7F && character < 0xA0);
}

std::string_view colour_of(Severity severity) {
    switch (severity) {
    case Severity::danger:
        return "\x1b[1;31m";
    case Severity::fault:
        return "\x1b[31m";
    case Severity::caution:
        return "\x1b[33m";
    case Severity::note:
        return "\x1b[36m";
    }
    return "";
}

/// What a variable of the environment says; "" when it is not there.
std::string_view environment(const char* name) {
    // NOLINTNEXTLINE(concurrency-mt-unsafe): nothing in the program writes to the environment
    const char* const text = std::getenv(name);
    return text == nullptr ? "" : text;
}

bool is_terminal(int descriptor) {
    return ::isatty(descriptor) != 0;
}

TextWidth width_of(int descriptor) {
    constexpr int narrowest = 40;
    winsize size{};
    if (is_terminal(descriptor) && ::ioctl(descriptor, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
        return {std::max<int>(size.ws_col, narrowest), true};
    }
    return {};
}

} // namespace

bool wants_colour(int descriptor) {
    return is_terminal(descriptor) && environment("NO_COLOR").empty() &&
           environment("TERM") != "dumb";
}

bool wants_bar() {
    return is_terminal(STDERR_FILENO) && environment("TERM") != "dumb";
}

TextWidth terminal_width() {
    return width_of(STDOUT_FILENO);
}

TextWidth error_width() {
    return width_of(STDERR_FILENO);
}

std::string printable(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (std::size_t i = 0; i < text.size();) {
        const CodePoint point = code_point_at(text, i);
        if (!point.is_valid || is_control(point.value)) {
            out += fmt::format("\\x{:02x}", static_cast<unsigned>(point.value));
        } else if (is_direction_mark(point.value)) {
            out += fmt::format("\\u{:04x}", static_cast<unsigned>(point.value));
        } else {
            out += text.substr(i, point.bytes);
        }
        i += point.bytes;
    }
    return out;
}

bool print(std::string_view text) {
    return std::fwrite(text.data(), 1, text.size(), stdout) == text.size() &&
           std::fflush(stdout) == 0;
}

bool print_text(std::string_view text) {
    const TextWidth width = terminal_width();
    return width.is_edge ? print(folded(text, width.columns)) : print(text);
}

void print_error(std::string_view text) {
    const TextWidth width = error_width();
    const std::string lines = width.is_edge ? folded(text, width.columns) : std::string(text);
    (void)std::fwrite(lines.data(), 1, lines.size(), stderr);
}

std::string finding_text(const Finding& finding, const SourceFiles& files, bool with_colour) {
    std::string text = printable(describe(finding, files));
    if (with_colour) {
        const RuleInfo& info = rule_info(finding.rule);
        const std::string head = fmt::format(
            "{}[{}]", info.is_input ? "error" : severity_name(finding.severity), info.id);
        if (const std::size_t at = text.find(head); at != std::string::npos) {
            text.insert(at + head.size(), "\x1b[0m");
            text.insert(at, colour_of(info.is_input ? Severity::danger : finding.severity));
        }
    }
    return text;
}

} // namespace loomwright::cli
