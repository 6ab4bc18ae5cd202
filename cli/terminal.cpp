// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "terminal.hpp"

#include "sheets/characters.hpp"

#include <fmt/format.h>

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

} // namespace

bool wants_colour(int descriptor) {
    // NOLINTNEXTLINE(concurrency-mt-unsafe): read once, before any thread is started
    const char* no_colour = std::getenv("NO_COLOR");
    return ::isatty(descriptor) != 0 && (no_colour == nullptr || *no_colour == '\0');
}

int terminal_width() {
    winsize size{};
    if (::isatty(STDOUT_FILENO) != 0 && ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 &&
        size.ws_col >= 40) {
        return size.ws_col;
    }
    return 100;
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

void print_error(std::string_view text) {
    (void)std::fwrite(text.data(), 1, text.size(), stderr);
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
